"""A laid-out package as it is kept in the fleet, read back, promised and pinned."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from annual_planner.planning.crew.laid_out import LaidOut, Place
from annual_planner.planning.crew.open_time import Span
from annual_planner.records.edits import Changed
from annual_planner.records.row_edits import AddRow, ChangeRow, RemoveRow, RowEdit, Several, Subject
from annual_planner.store.packages import package_dates
from annual_planner.store.session import Work
from annual_planner.store.shop_reads import LaidOutLine, last_laid_out
from annual_planner.store.writing import field_of, rows_where, values_of
from annual_planner.trade.refused import Refused
from annual_planner.trade.said import said_date

GATE = "gate: "
"""Jobs with such keys are points that work passes, no cards."""


@dataclass(frozen=True, slots=True)
class Kept:
    """A plan as it was kept: where everything lies, when it was made and by whom, and the likely days."""

    plan: LaidOut
    made_at: datetime
    made_by: str
    likely_on: date | None
    promise_on: date | None


def kept_plan_of(work: Work, package_id: int) -> Kept | None:
    """The newest plan of a package; None when it was never laid out."""
    line = last_laid_out(work, package_id)
    return _kept(line) if line is not None else None


def _kept(line: LaidOutLine) -> Kept:
    return Kept(from_bars(line.bars), line.made_at, line.made_by, line.likely_on, line.promise_on)


def as_bars(plan: LaidOut) -> dict[str, Any]:
    """A plan as plain values that JSON can hold; `from_bars` gives it back."""
    return {
        "places": [
            {
                "job": place.job,
                "title": place.title,
                "starts": place.starts.isoformat(),
                "ends": place.ends.isoformat(),
                "people": list(place.people),
                "pieces": [[piece.start.isoformat(), piece.end.isoformat()] for piece in place.pieces],
            }
            for place in plan.places
        ],
        "finish": plan.finish.isoformat(),
        "proven": plan.proven,
        "bound": plan.bound.isoformat() if plan.bound is not None else None,
        "settled": list(plan.settled),
        "late_steps": dict(plan.late_steps),
        "seconds": round(plan.seconds, 2),
    }


def from_bars(bars: Mapping[str, Any]) -> LaidOut:
    """A kept plan from its plain values."""
    return LaidOut(
        places=tuple(_place(each) for each in bars["places"]),
        finish=datetime.fromisoformat(bars["finish"]),
        proven=bool(bars["proven"]),
        bound=datetime.fromisoformat(bars["bound"]) if bars["bound"] else None,
        settled=tuple(bars["settled"]),
        late_steps=dict(bars["late_steps"]),
        seconds=float(bars["seconds"]),
    )


def _place(values: Mapping[str, Any]) -> Place:
    return Place(
        job=values["job"],
        title=values["title"],
        starts=datetime.fromisoformat(values["starts"]),
        ends=datetime.fromisoformat(values["ends"]),
        people=tuple(values["people"]),
        pieces=tuple(Span(*(datetime.fromisoformat(each) for each in piece)) for piece in values["pieces"]),
    )


def work_places(plan: LaidOut) -> tuple[Place, ...]:
    """The places that are work, without the points that work only passes."""
    return tuple(place for place in plan.places if not place.job.startswith(GATE))


@dataclass(frozen=True, slots=True)
class KeepPlan:
    """Keep a plan as the package's newest; `at` is the moment it was made."""

    package_id: int
    plan: LaidOut
    at: datetime
    likely_on: date | None = None
    promise_on: date | None = None

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "plan of the work"

    def apply(self, work: Work, today: date) -> Changed:
        """Write it down behind the ones before; undo brings the one before back."""
        return self.row(work, _of_package(work, self.package_id, self.says)).apply(work, today)

    def row(self, work: Work, of: Subject) -> AddRow:
        """The row that keeps it."""
        values = {
            "package_id": self.package_id,
            "made_at": self.at,
            "made_by": work.by,
            "finish_at": self.plan.finish.astimezone(),
            "likely_on": self.likely_on,
            "promise_on": self.promise_on,
            "proven": self.plan.proven,
            "bars": as_bars(self.plan),
        }
        return AddRow(of, "laid_out", values)


@dataclass(frozen=True, slots=True)
class Promise:
    """Write down the day the owner was promised the airplane; None takes the promise back."""

    package_id: int
    saw: date | None
    wants: date | None

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "promised date"

    def apply(self, work: Work, today: date) -> Changed:
        """Write it. Refused for a day before the visit starts, ChangedMeanwhile as every change."""
        dates = package_dates(work, self.package_id)
        if self.wants is not None and self.wants < dates.start_on:
            raise Refused(
                f"{said_date(self.wants)} is before the visit starts, {said_date(dates.start_on)}.",
                "Promise a later day.",
            )
        of = Subject("package", self.says, dates.aircraft_id)
        saw, wants = {"promised_on": self.saw}, {"promised_on": self.wants}
        return ChangeRow(of, "work_package", self.package_id, saw, wants).apply(work, today)


@dataclass(frozen=True, slots=True)
class PinCard:
    """Put a card on a time, on a person or on both by hand; `starts_at` is a moment with a zone."""

    card_id: int
    starts_at: datetime | None
    person_id: int | None = None

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "pin of a card"

    def apply(self, work: Work, today: date) -> Changed:
        """Write it in place of the pin before. Refused for a pin on nothing."""
        return self.row(work, _of_card(work, self.card_id, self.says)).apply(work, today)

    def row(self, work: Work, of: Subject) -> RowEdit:
        """The row of the pin, made or changed. Refused for a pin on nothing."""
        if self.starts_at is None and self.person_id is None:
            raise Refused("The card is put on neither a time nor a person.", "Give a time, a person or both.")
        wants = {"starts_at": self.starts_at, "person_id": self.person_id}
        for row_id, held in rows_where(work, "card_pin", card_id=self.card_id).items():
            saw = {key: held[key] for key in wants}
            return ChangeRow(of, "card_pin", row_id, saw, wants)
        return AddRow(of, "card_pin", {"card_id": self.card_id, **wants})


@dataclass(frozen=True, slots=True)
class PinInPlan:
    """Hold a card where a plan has it, and keep that plan: one change, taken back as one."""

    pin: PinCard
    keep: KeepPlan

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return self.pin.says

    def apply(self, work: Work, today: date) -> Changed:
        """Write both. Refused for a pin on nothing."""
        of = _of_package(work, self.keep.package_id, self.says)
        return Several(of, (self.pin.row(work, of), self.keep.row(work, of))).apply(work, today)


@dataclass(frozen=True, slots=True)
class UnpinCard:
    """Let a card lie where the plan puts it again."""

    card_id: int

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "release of a card"

    def apply(self, work: Work, today: date) -> Changed:
        """Take its pin away. Refused when it has none."""
        of = _of_card(work, self.card_id, self.says)
        for row_id in rows_where(work, "card_pin", card_id=self.card_id):
            return RemoveRow(of, "card_pin", row_id).apply(work, today)
        raise Refused("The card isn't pinned.", "Look at the plan again.")


def _of_package(work: Work, package_id: int, said: str) -> Subject:
    return Subject("layout", said, package_dates(work, package_id).aircraft_id)


def _of_card(work: Work, card_id: int, said: str) -> Subject:
    held = values_of(work, "work_card", card_id, said="card")
    return _of_package(work, field_of(held, "package_id", int), said)
