"""Doing a card: who works on it from when to when, and how it stands.

A person is on one card at a time. Cards that come first are looked up before one is begun: where it isn't
safe to go before them it is refused, else the reason is asked for.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING

from annual_planner.records.card_rules import (
    because,
    check_open_package,
    check_order,
    check_state,
    check_unsigned,
    check_workable,
    only_text,
)
from annual_planner.records.edits import Changed
from annual_planner.records.row_edits import AddRow, ChangeRow, RemoveRow, RowEdit, Several, Subject
from annual_planner.store.card_reads import (
    anything_begun,
    left_open,
    lock_person,
    open_stretches,
    place_of_card,
)
from annual_planner.store.doing_rows import CardPlace, StretchLine
from annual_planner.store.packages import card_line
from annual_planner.store.writing import change, field_of, rows_where, values_of
from annual_planner.trade import package_states
from annual_planner.trade.card_states import DONE, IN_WORK, OPEN
from annual_planner.trade.refused import Refused
from annual_planner.trade.said import said_date

if TYPE_CHECKING:
    from annual_planner.store.session import Work

CARD, PACKAGE, TIME = "work_card", "work_package", "worked_time"
"""Names of the tables."""


KINDS = frozenset({"work", "card", "package"})
"""What every edit here touches."""


@dataclass(frozen=True, slots=True)
class PackageFollows(RowEdit):
    """A package is in work as soon as anything was begun on it, and in planning while nothing was."""

    package_id: int

    def write(self, work: Work) -> tuple[RowEdit, int]:
        """Set it; it is its own way back. A closed package stays closed."""
        state = values_of(work, PACKAGE, self.package_id, said="package")["state"]
        wants = package_states.IN_WORK if anything_begun(work, self.package_id) else package_states.PLANNING
        if state != package_states.CLOSED and state != wants:
            saw, wanted = {"state": state}, {"state": wants}
            aircraft_id = self.of.aircraft_id
            change(work, PACKAGE, self.package_id, saw, wanted, aircraft_id=aircraft_id, said="package")
        return self, self.package_id


@dataclass(frozen=True, slots=True)
class CardEdit(RowEdit):
    """Rows of a card, and then the package that follows them, going there and coming back."""

    rows: tuple[RowEdit, ...]
    package_id: int
    first_made: bool = False
    """The first row is one that is made."""
    takes_back: bool = False
    """It takes an earlier edit back, for which nobody gave a reason."""

    def apply(self, work: Work, today: date) -> Changed:
        """Write it; cards and package are touched too. Refused where it would take a signed card back."""
        if self.takes_back:
            self._check_unsigned(work)
        changed = RowEdit.apply(self, work, today)
        made_id = changed.made_id if self.first_made else None
        return Changed(KINDS, changed.back, changed.aircraft_id, made_id)

    def write(self, work: Work) -> tuple[RowEdit, int]:
        """Write the rows, then the package."""
        back, row_id = Several(self.of, self.rows).write(work)
        PackageFollows(self.of, self.package_id).write(work)
        return CardEdit(self.of, (back,), self.package_id, takes_back=True), row_id

    def _check_unsigned(self, work: Work) -> None:
        edits = [each for row in self.rows for each in (row.edits if isinstance(row, Several) else (row,))]
        for each in edits:
            if isinstance(each, ChangeRow) and each.table == CARD:
                check_unsigned(work, place_of_card(work, each.row_id))


@dataclass(frozen=True, slots=True)
class StartWork:
    """A person begins, or goes on with, a card. `why`: the reason for working before what should come first.

    `stops_other`: ends the stretch that this person has on another card at the same moment.
    """

    card_id: int
    person_id: int
    at: datetime
    why: str = ""
    stops_other: bool = False

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "start of work on the card"

    def apply(self, work: Work, today: date) -> Changed:
        """Write it down. Refused where it can't be begun now, or while the person is on another card."""
        place = place_of_card(work, self.card_id)
        check_workable(place)
        check_order(work, self.card_id, self.why)
        of = Subject("work", self.says, place.aircraft_id)
        lock_person(work, self.person_id)
        stops = [self._stop_other(of, stretch) for stretch in open_stretches(work, self.person_id)]
        values = {"card_id": self.card_id, "person_id": self.person_id, "started_at": self.at}
        rows = (AddRow(of, TIME, values), *stops, *self._begin(work, of, place))
        return CardEdit(of, rows, place.package_id, first_made=True).apply(work, today)

    def _stop_other(self, of: Subject, stretch: StretchLine) -> ChangeRow:
        where = f"card {stretch.card_number} '{stretch.card_title}'"
        if stretch.card_id == self.card_id:
            raise Refused(f"{stretch.name} is on this card already.", "Stop it when the work rests.")
        if left_open([stretch], self.at):
            since = _moment(stretch.started_at, self.at)
            raise Refused(
                f"{stretch.name}'s time on {where} was left open since {since}.",
                "Say when that work ended, then start this card.",
            )
        if not self.stops_other:
            raise Refused(f"{stretch.name} is on {where}.", "Stop that first, or change over to this card.")
        return _stop(of, stretch, self.at)

    def _begin(self, work: Work, of: Subject, place: CardPlace) -> list[RowEdit]:
        wants: dict[str, object] = {}
        if place.state == OPEN:
            wants = {"state": IN_WORK}
        if self.why.strip():
            wants["state_why"] = self.why.strip()
        held = values_of(work, CARD, self.card_id, said="card")
        saw = {name: held[name] for name in wants}
        return [ChangeRow(of, CARD, self.card_id, saw, wants)] if wants else []


def _moment(moment: datetime, like: datetime) -> str:
    here = moment.astimezone(like.tzinfo)
    return f"{said_date(here.date())} {here:%H:%M}"


def _stop(of: Subject, stretch: StretchLine, at: datetime) -> ChangeRow:
    if at < stretch.started_at:
        raise Refused(
            f"{stretch.name} began at {_moment(stretch.started_at, at)}; it can't have ended before.",
            "Give a later time, or correct the beginning.",
        )
    return ChangeRow(of, TIME, stretch.stretch_id, {"stopped_at": None}, {"stopped_at": at})


@dataclass(frozen=True, slots=True)
class StopWork:
    """A person's stretch on a card ends; the card stays in work."""

    card_id: int
    person_id: int
    at: datetime

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "stop of work on the card"

    def apply(self, work: Work, today: date) -> Changed:
        """Write it down. Refused when the person isn't on this card, or for a time before the beginning."""
        place = place_of_card(work, self.card_id)
        running = [line for line in open_stretches(work, self.person_id) if line.card_id == self.card_id]
        if not running:
            raise Refused("Nobody of that name is on this card.", "Start it first, or look who is on it.")
        of = Subject("work", self.says, place.aircraft_id)
        rows = tuple(_stop(of, stretch, self.at) for stretch in running)
        return CardEdit(of, rows, place.package_id).apply(work, today)


Times = tuple[datetime, datetime | None]
"""Beginning and end of a stretch; no end while it runs."""


@dataclass(frozen=True, slots=True)
class SetStretch:
    """Correct when a stretch began and ended; so one that was left open is closed."""

    stretch_id: int
    saw: Times
    wants: Times
    why: str = ""
    """The reason, which the trail keeps."""

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return because("time on the card", self.why)

    def apply(self, work: Work, today: date) -> Changed:
        """Write it. Refused for an end before the beginning, or time the person spent on another card."""
        held = values_of(work, TIME, self.stretch_id, said="stretch of time")
        started, stopped = self.wants
        if stopped is not None and stopped < started:
            raise Refused("The end is before the beginning.", "Give a later end.")
        place = place_of_card(work, field_of(held, "card_id", int))
        check_open_package(place)
        _check_overlap(work, self.stretch_id, field_of(held, "person_id", int), self.wants)
        of = Subject("work", self.says, place.aircraft_id)
        row = ChangeRow(of, TIME, self.stretch_id, _times(self.saw), _times(self.wants))
        return CardEdit(of, (row,), place.package_id).apply(work, today)


def _times(given: Times) -> dict[str, object]:
    return {"started_at": given[0], "stopped_at": given[1]}


def _check_overlap(work: Work, stretch_id: int, person_id: int, wants: Times) -> None:
    started, stopped = wants
    for row_id, other in rows_where(work, TIME, person_id=person_id).items():
        if row_id != stretch_id and _meets(started, stopped, other):
            number = place_of_card(work, field_of(other, "card_id", int)).number
            raise Refused(
                f"At that time the person was on card {number}.", "Correct one of the two; nobody is on two."
            )


def _meets(started: datetime, stopped: datetime | None, other: Mapping[str, object]) -> bool:
    begins, ends = field_of(other, "started_at", datetime), other["stopped_at"]
    before_it_ends = not isinstance(ends, datetime) or started < ends
    return before_it_ends and (stopped is None or begins < stopped)


@dataclass(frozen=True, slots=True)
class RemoveStretch:
    """Take a stretch of time away that wasn't worked."""

    stretch_id: int
    why: str = ""

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return because("removal of time on the card", self.why)

    def apply(self, work: Work, today: date) -> Changed:
        """Remove it."""
        held = values_of(work, TIME, self.stretch_id, said="stretch of time")
        place = place_of_card(work, field_of(held, "card_id", int))
        check_open_package(place)
        of = Subject("work", self.says, place.aircraft_id)
        row = RemoveRow(of, TIME, self.stretch_id, held)
        return CardEdit(of, (row,), place.package_id).apply(work, today)


@dataclass(frozen=True, slots=True)
class SetCardState:
    """Set how a card stands: done, not applicable, carried over, in work, or open again.

    `why` is asked for but for 'done' in its turn. 'done' ends every stretch on the card at `at`.
    """

    card_id: int
    saw: str
    wants: str
    person_id: int | None
    at: datetime
    why: str = ""

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return f"card {self.wants}"

    def apply(self, work: Work, today: date) -> Changed:
        """Write it. Refused for a state it can't have next, a missing reason or person, or a signed card."""
        place = place_of_card(work, self.card_id)
        check_state(place, self.saw, self.wants, self.why, self.person_id)
        if self.wants in (DONE, IN_WORK):
            check_order(work, self.card_id, self.why)
        of = Subject("work", self.says, place.aircraft_id)
        wants = self._wants(work)
        saw = {**{name: values_of(work, CARD, self.card_id)[name] for name in wants}, "state": self.saw}
        rows = (ChangeRow(of, CARD, self.card_id, saw, wants), *self._stops(work, of, place))
        return CardEdit(of, rows, place.package_id).apply(work, today)

    def _stops(self, work: Work, of: Subject, place: CardPlace) -> list[ChangeRow]:
        """Nobody works on a card that is finished or open again."""
        running = [] if self.wants == IN_WORK else open_stretches(work, package_id=place.package_id)
        return [
            _stop(of, stretch, max(self.at, stretch.started_at))
            for stretch in running
            if stretch.card_id == self.card_id
        ]

    def _wants(self, work: Work) -> dict[str, object]:
        done = self.wants == DONE
        kept = card_line(work, self.card_id).state_why if done else ""
        return {
            "state": self.wants,
            "state_why": only_text(self.why) or kept,
            "done_by_id": self.person_id if done else None,
            "done_on": self.at.date() if done else None,
        }
