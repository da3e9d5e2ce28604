"""A step of a discrepancy's life and its row, written together so that the row is what they add up to."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING

from annual_planner.records.row_edits import AddRow, ChangeRow, RemoveRow, RowEdit, Several, Subject
from annual_planner.store.signed_reads import signed_of
from annual_planner.store.writing import field_of, rows_where, values_of
from annual_planner.trade.discrepancy_life import Life, LifeStep, after
from annual_planner.trade.refused import Refused
from annual_planner.trade.said import said_date

if TYPE_CHECKING:
    from annual_planner.store.session import Work

ROW, STEP = "discrepancy", "discrepancy_step"
"""Names of the tables."""
LIFE_FIELDS = tuple(asdict(Life()))


@dataclass(frozen=True, slots=True)
class Taken:
    """A step as it is to be written: which, the day it counts for, when and by whom it was written."""

    step: str
    on: date
    at: datetime | None = None
    person_id: int | None = None
    said: str = ""

    def values(self, discrepancy_id: int, facts: Mapping[str, object]) -> dict[str, object]:
        """The step's row. Without a moment the program's clock counts, as it does for the audit trail."""
        return {
            "discrepancy_id": discrepancy_id,
            "step": self.step,
            "on": self.on,
            "written_at": self.at or datetime.now(UTC),
            "person_id": self.person_id,
            "said": self.said.strip(),
            "facts": dict(facts),
        }


def held_life(values: Mapping[str, object]) -> Life:
    """Where a discrepancy's row says that it stands."""
    return Life(**{name: values[name] for name in LIFE_FIELDS})  # type: ignore[arg-type]


def held(work: Work, discrepancy_id: int) -> dict[str, object]:
    """The discrepancy's row. Refused when it is gone."""
    return values_of(work, ROW, discrepancy_id, said="discrepancy")


def aircraft_of(values: Mapping[str, object]) -> int:
    """The airplane of a discrepancy's row."""
    return field_of(values, "aircraft_id", int)


def check_day(on: date, values: Mapping[str, object], today: date) -> None:
    """Refused for a day after today, or before the discrepancy was found."""
    found_on = field_of(values, "found_on", date)
    if not found_on <= on <= today:
        raise Refused(
            f"{said_date(on)} can't be: it was found on {said_date(found_on)}, today is {said_date(today)}.",
            "Give a day between its finding and today.",
        )


def step_edits(
    of: Subject, discrepancy_id: int, life: Life, taken: Taken, facts: Mapping[str, object]
) -> tuple[RowEdit, Life]:
    """The row's change and the step, as one edit; and where it stands then."""
    then = after(life, LifeStep(taken.step, taken.on, facts))
    before, wants = asdict(life), asdict(then)
    changed = [name for name in LIFE_FIELDS if before[name] != wants[name]]
    # The state is always compared, so that two persons' steps can't pass each other unseen.
    saw = {name: before[name] for name in {"state", *changed}}
    edits = (
        ChangeRow(of, ROW, discrepancy_id, saw, {name: wants[name] for name in {"state", *changed}}),
        AddStep(of, STEP, taken.values(discrepancy_id, facts)),
    )
    return Several(of, edits), then


@dataclass(frozen=True, slots=True)
class AddStep(AddRow):
    """Write a step; taken back only while it is the last one and nobody signed it."""

    def write(self, work: Work) -> tuple[RowEdit, int]:
        """Write it; the edit that takes it back, and its id."""
        back, row_id = AddRow.write(self, work)
        assert isinstance(back, RemoveRow)
        return TakeBackStep(back.of, back.table, back.row_id, back.saw), row_id


@dataclass(frozen=True, slots=True)
class TakeBackStep(RemoveRow):
    """Take the last step back; the audit trail keeps it."""

    def write(self, work: Work) -> tuple[RowEdit, int]:
        """Remove it. Refused when a later step rests on it, or when the discrepancy was signed since."""
        values = values_of(work, STEP, self.row_id, said="step")
        discrepancy_id = field_of(values, "discrepancy_id", int)
        later = max(rows_where(work, STEP, discrepancy_id=discrepancy_id))
        if later != self.row_id:
            raise Refused("Later steps rest on this one.", "Take those back first, or reopen it.")
        if signed_of(work, ROW, [discrepancy_id]):
            raise Refused("It was signed; no step of it is taken back.", "Reopen it, which is a new step.")
        back, row_id = RemoveRow.write(self, work)
        assert isinstance(back, AddRow)
        return AddStep(back.of, back.table, back.values), row_id
