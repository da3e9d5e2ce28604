"""Corrections of compression tests that are written down already, and their removal."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from annual_planner.records.compression_checks import (
    ReadCylinder,
    check_conditions,
    check_readings,
    check_test_hours,
)
from annual_planner.records.edits import Changed
from annual_planner.records.engine_hours import check_day
from annual_planner.records.plug_shelf import PlugShelf, type_of
from annual_planner.records.row_edits import ChangeRow, RemoveRow, Subject, Together
from annual_planner.store.plug_facts import fitted_engine
from annual_planner.store.writing import field_of, rows_where, values_of
from annual_planner.trade.recheck import RecheckDone
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.store.session import Work


_READING_FIELDS = frozenset({"reading_psi", "first_psi", "heard", "rechecked", "note"})


@dataclass(frozen=True, slots=True)
class ChangeReading:
    """Write other values into one cylinder's reading: reading_psi, first_psi, heard, rechecked, note."""

    reading_id: int
    saw: Mapping[str, object]
    wants: Mapping[str, object]
    library: PlugShelf | None = field(default=None, repr=False, compare=False)

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "correction of a compression reading"

    def apply(self, work: Work, today: date) -> Changed:
        """Check it as a new reading is checked and write it. Raises ChangedMeanwhile as every change does."""
        _refuse_fields(self.wants, _READING_FIELDS)
        held = values_of(work, "cylinder_reading", self.reading_id, said="reading")
        test = values_of(work, "compression_test", field_of(held, "test_id", int), said="test")
        engine = fitted_engine(work, field_of(test, "assembly_id", int))
        after = {**held, **self.wants}
        regulated_psi = field_of(test, "regulated_psi", float)
        check_readings(type_of(engine, self.library), [_as_read(after)], regulated_psi)
        of = Subject("compression", self.says, engine.aircraft_id)
        return ChangeRow(of, "cylinder_reading", self.reading_id, self.saw, self.wants).apply(work, today)


def _as_read(row: Mapping[str, object]) -> ReadCylinder:
    first = row["first_psi"] if row["first_psi"] is not None else row["reading_psi"]
    stands, rungs, heard = row["reading_psi"], row["rechecked"], row["heard"]
    if not isinstance(first, int | float) or not isinstance(stands, int | float):
        raise Refused("A reading is a number of psi.", "Enter it.")
    assert isinstance(rungs, list | tuple)
    assert isinstance(heard, list | tuple)
    done = tuple(RecheckDone(**rung) for rung in rungs)
    read = ReadCylinder(field_of(row, "cylinder", int), float(first), tuple(heard), done)
    if read.stands_psi != stands:
        raise Refused(
            f"{stands:g} psi isn't the last reading of the recheck, {read.stands_psi:g} psi.",
            "Correct the reading and the recheck together.",
        )
    return read


_TEST_FIELDS = frozenset(
    (
        "tested_on", "engine_hours", "minutes_since_shutdown", "oil_temperature_c", "cold", "regulated_psi",
        "restrictor_in", "tester", "master_psi", "ambient_psi_a", "elevation_ft", "altimeter_inhg",
        "after_work", "note", "package_id",
    )
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class ChangeTest:
    """Write other conditions into a compression test, by field."""

    test_id: int
    saw: Mapping[str, object]
    wants: Mapping[str, object]

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "correction of a compression test"

    def apply(self, work: Work, today: date) -> Changed:
        """Check it as a new test is checked and write it. Raises ChangedMeanwhile as every change does."""
        _refuse_fields(self.wants, _TEST_FIELDS)
        held = values_of(work, "compression_test", self.test_id, said="compression test")
        engine = fitted_engine(work, field_of(held, "assembly_id", int))
        after = {**held, **self.wants}
        on, hours = after["tested_on"], after["engine_hours"]
        if not isinstance(on, date):
            raise Refused("A test has a day.", "Give it.")
        check_day(on, today)
        check_conditions(after)
        check_test_hours(
            work, engine, hours if isinstance(hours, Decimal) else None, on, without=self.test_id
        )
        self._check_above(work, after)
        of = Subject("compression", self.says, engine.aircraft_id)
        return ChangeRow(of, "compression_test", self.test_id, self.saw, self.wants).apply(work, today)

    def _check_above(self, work: Work, after: Mapping[str, object]) -> None:
        """A lower regulated pressure must still be above every reading."""
        regulated = after["regulated_psi"]
        assert isinstance(regulated, int | float)
        for row in rows_where(work, "cylinder_reading", test_id=self.test_id).values():
            psi = row["reading_psi"]
            if isinstance(psi, float) and psi > regulated:
                raise Refused(
                    f"Cylinder {row['cylinder']} reads {psi:g} psi, above the {regulated:g} psi put in.",
                    "Correct that reading first.",
                )


@dataclass(frozen=True, slots=True)
class RemoveTest:
    """Remove a compression test with its readings, taken down by mistake."""

    test_id: int

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "removal of a compression test"

    def apply(self, work: Work, today: date) -> Changed:
        """Remove it. Raises Refused when it is gone already."""
        held = values_of(work, "compression_test", self.test_id, said="compression test")
        engine = fitted_engine(work, field_of(held, "assembly_id", int))
        together = Together(work, Subject("compression", self.says, engine.aircraft_id))
        for reading_id in rows_where(work, "cylinder_reading", test_id=self.test_id):
            together.write(RemoveRow(together.of, "cylinder_reading", reading_id))
        together.write(RemoveRow(together.of, "compression_test", self.test_id))
        return together.settled(today)


def _refuse_fields(wants: Mapping[str, object], known: frozenset[str]) -> None:
    wrong = sorted(set(wants) - known)
    if wrong:
        raise Refused(f"{', '.join(wrong)} can't be changed here.", "Remove the entry and make it anew.")
