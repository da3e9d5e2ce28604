"""What the airplane's owner does on which day by the plan, under which authority, and how to keep safe."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime

from annual_planner.library.shelf import Library
from annual_planner.planning.card_content import CardContent, from_stored
from annual_planner.planning.crew.laid_out import LaidOut, Place
from annual_planner.planning.entitled import may, owner_person, work_piece
from annual_planner.planning.in_order import key_in_order
from annual_planner.planning.job_hands import person_key
from annual_planner.planning.owner_jobs import MAY_DO, MAY_SIGN, SUPERVISED
from annual_planner.planning.package_view import PackageView
from annual_planner.planning.work_plan import kept_plan_of, work_places
from annual_planner.store.rows import AircraftSheet, CardLine
from annual_planner.store.session import Work
from annual_planner.trade.authority import MayDo
from annual_planner.trade.cards import Caution
from annual_planner.trade.people import Person


@dataclass(frozen=True, slots=True)
class OwnerPiece:
    """A stretch of one day that the owner is planned on one card."""

    starts: datetime
    ends: datetime
    card_number: int
    title: str
    authority: str
    steps: tuple[str, ...]
    cautions: tuple[Caution, ...]


@dataclass(frozen=True, slots=True)
class OwnerDay:
    """One day of the owner's, what they do on it from morning on, and the cautions of all of it."""

    day: date
    pieces: tuple[OwnerPiece, ...]

    @property
    def hours(self) -> float:
        """Hours planned on this day."""
        return sum((piece.ends - piece.starts).total_seconds() for piece in self.pieces) / 3600

    @property
    def cautions(self) -> tuple[Caution, ...]:
        """Each caution of the day once."""
        return tuple(dict.fromkeys(caution for piece in self.pieces for caution in piece.cautions))


@dataclass(frozen=True, slots=True)
class Owner:
    """The airplane, its owner's key among the people, and what they hold."""

    sheet: AircraftSheet
    person_id: int
    person: Person

    @property
    def name(self) -> str:
        """Their name."""
        return self.person.name


def owner_of(work: Work, sheet: AircraftSheet) -> Owner | None:
    """The owner of an airplane; None where none is recorded."""
    person = owner_person(work, sheet)
    return Owner(sheet, sheet.owner_id, person) if person is not None and sheet.owner_id is not None else None


def owner_days(
    plan: LaidOut, cards: Iterable[CardLine], owner: Owner, library: Library
) -> tuple[OwnerDay, ...]:
    """The owner's days by the plan, in order; places of cards that are gone are left out."""
    known = {key_in_order(card): card for card in cards}
    key = person_key(owner.person_id)
    days: dict[date, list[OwnerPiece]] = {}
    for place in work_places(plan):
        if key in place.people and place.job in known:
            for piece in _pieces(place, known[place.job], owner, library):
                days.setdefault(piece.starts.date(), []).append(piece)
    return tuple(
        OwnerDay(day, tuple(sorted(pieces, key=lambda piece: piece.starts)))
        for day, pieces in sorted(days.items())
    )


def kept_owner_days(work: Work, view: PackageView, library: Library) -> tuple[OwnerDay, ...] | None:
    """The owner's days by the plan that is kept; None where nothing is laid out or no owner recorded."""
    kept, owner = kept_plan_of(work, view.package.package_id), owner_of(work, view.aircraft)
    return (
        owner_days(kept.plan, view.cards, owner, library) if kept is not None and owner is not None else None
    )


def _pieces(place: Place, card: CardLine, owner: Owner, library: Library) -> Iterable[OwnerPiece]:
    content = from_stored(card.content)
    cautions: Mapping[str, Caution] = {caution.key: caution for caution in library.cautions}
    for span in place.pieces:
        yield OwnerPiece(
            starts=span.start,
            ends=span.end,
            card_number=card.number,
            title=card.title,
            authority=_authority(card, content, owner, span.start.date(), library),
            steps=content.steps,
            cautions=tuple(cautions[key] for key in content.cautions if key in cautions),
        )


def _authority(card: CardLine, content: CardContent, owner: Owner, on: date, library: Library) -> str:
    work = work_piece(card.title, card.kind, content)
    answer = may(work, owner.person, owner.sheet, owner.person_id, on, library.rules)
    if answer.may_do is not MayDo.YES:
        return SUPERVISED
    return MAY_SIGN if answer.may_sign else MAY_DO
