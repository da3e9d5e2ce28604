"""One card while it is worked: what it asks for, what is written on it, who may do it, and what is left."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from annual_planner.library.shelf import Library
from annual_planner.planning.card_content import CardContent, from_stored
from annual_planner.planning.entitled import LeastAsked, may, owner_person, work_piece
from annual_planner.records.card_results import Asked, measures_of
from annual_planner.records.predecessors import Before, predecessors_among
from annual_planner.store import card_reads
from annual_planner.store.doing_rows import (
    NoteLine,
    PartLine,
    PhotographLine,
    RaisedLine,
    ResultLine,
    StretchLine,
)
from annual_planner.store.fleet_reads import aircraft_sheet, person_values
from annual_planner.store.packages import PackageDates, card_line, card_lines, package_dates
from annual_planner.store.rows import AircraftSheet, CardLine
from annual_planner.store.session import Work
from annual_planner.trade.authority import Needed
from annual_planner.trade.cards import Caution
from annual_planner.trade.results import limits_said
from annual_planner.trade.working import Worked, Working


@dataclass(frozen=True, slots=True)
class Measure:
    """One taking of a measurement, its limits in words, and its result where there is one."""

    title: str
    unit: str
    low: Decimal | None
    high: Decimal | None
    note: str
    limits: str
    result: ResultLine | None

    @property
    def says(self) -> str:
        """How it stands in a word."""
        if self.result is None:
            return "not read yet"
        return {True: "within limits", False: "OUT of limits", None: "written down"}[self.result.within]


@dataclass(frozen=True, slots=True)
class PersonMay:
    """Whether one person may do and sign the card today, with the working."""

    person_id: int
    name: str
    may_do: str
    may_sign: bool
    warnings: tuple[str, ...]
    working: Working


@dataclass(frozen=True, slots=True)
class CardInWork:
    """Everything a reader needs of one card while it is worked."""

    card: CardLine
    content: CardContent
    package: PackageDates
    aircraft: AircraftSheet
    measures: tuple[Measure, ...]
    before: Worked[tuple[Before, ...]]
    stretches: tuple[StretchLine, ...]
    hours_used: Decimal
    hours_estimate: Decimal
    notes: tuple[NoteLine, ...]
    parts_used: tuple[PartLine, ...]
    photographs: tuple[PhotographLine, ...]
    discrepancies: tuple[RaisedLine, ...]
    needed: Worked[Needed]
    who: tuple[PersonMay, ...]
    cautions: tuple[Caution, ...]
    left: tuple[str, ...]
    """What is still missing before it can be called done; advice, not a bar."""

    @property
    def people_on(self) -> tuple[StretchLine, ...]:
        """Whose time runs on it."""
        return tuple(each for each in self.stretches if each.stopped_at is None)


def card_in_work(
    work: Work, card_id: int, library: Library, today: date, *, at: datetime | None = None
) -> CardInWork:
    """Read one card whole, in a fixed number of queries. Time that still runs counts until `at`.

    Refused when it is gone.
    """
    card = card_line(work, card_id)
    content = from_stored(card.content)
    package = package_dates(work, card.package_id)
    sheet = aircraft_sheet(work, package.aircraft_id)
    measures = _measures(card.content, card_reads.results(work, card_id))
    stretches = card_reads.stretches(work, card_id)
    raised = card_reads.raised_on(work, card_id)
    asked = LeastAsked(sheet, today, library.rules, owner_person(work, sheet))
    known = {each.key: each for each in library.cautions}
    return CardInWork(
        card=card,
        content=content,
        package=package,
        aircraft=sheet,
        measures=measures,
        before=predecessors_among(card, card_lines(work, card.package_id)),
        stretches=stretches,
        hours_used=sum((each.hours(at) for each in stretches), Decimal(0)),
        hours_estimate=card.hours_likely,
        notes=card_reads.notes(work, card_id),
        parts_used=card_reads.parts_used(work, card_id=card_id),
        photographs=card_reads.photographs(work, card_id=card_id),
        discrepancies=raised,
        needed=asked.needed(card.title, card.kind, content),
        who=_who(work, card, content, sheet, library, today),
        cautions=tuple(known[key] for key in content.cautions if key in known),
        left=_left(measures, raised, stretches),
    )


def _measures(content: Mapping[str, object], results: tuple[ResultLine, ...]) -> tuple[Measure, ...]:
    held = {each.measurement: each for each in results}
    return tuple(_measure(asked, held.get(title)) for title, asked in measures_of(content).items())


def _measure(asked: Asked, result: ResultLine | None) -> Measure:
    limits = limits_said(asked.low, asked.high, asked.unit)
    return Measure(asked.title, asked.unit, asked.low, asked.high, asked.note, limits, result)


def _who(
    work: Work, card: CardLine, content: CardContent, sheet: AircraftSheet, library: Library, today: date
) -> tuple[PersonMay, ...]:
    piece = work_piece(card.title, card.kind, content)
    found = []
    for person_id, person in person_values(work).items():
        answer = may(piece, person, sheet, person_id, today, library.rules)
        found.append(
            PersonMay(
                person_id,
                person.name,
                answer.may_do.value,
                answer.may_sign,
                answer.warnings,
                answer.working,
            )
        )
    return tuple(found)


def _left(
    measures: tuple[Measure, ...], raised: tuple[RaisedLine, ...], stretches: tuple[StretchLine, ...]
) -> tuple[str, ...]:
    out = [each.title for each in measures if each.result is not None and each.result.within is False]
    left = [f"'{each.title}' is not read yet" for each in measures if each.result is None]
    if out and not raised:
        left += [f"'{title}' is out of limits and no discrepancy is written down" for title in out]
    left += [f"{each.name}'s time still runs" for each in stretches if each.stopped_at is None]
    return tuple(left)
