"""Compression tests and their readings."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from functools import lru_cache
from math import isfinite
from typing import TYPE_CHECKING

from annual_planner.records.edits import Changed
from annual_planner.records.engine_hours import check_day, check_hours
from annual_planner.records.plug_shelf import PlugShelf, type_of
from annual_planner.records.row_edits import AddRow, ChangeRow, RemoveRow, Subject, Together
from annual_planner.store.plug_facts import FittedEngine, fitted_engine, hours_of_tests_around
from annual_planner.store.writing import field_of, rows_where, values_of
from annual_planner.trade.compression_safety import steps_open
from annual_planner.trade.engines import EngineType
from annual_planner.trade.flow import REGULATED_PSI
from annual_planner.trade.pressure import ambient_pressure
from annual_planner.trade.recheck import RecheckDone, leak_paths_heard, recheck
from annual_planner.trade.refused import Refused
from annual_planner.trade.said import said_date, said_hours

if TYPE_CHECKING:
    from annual_planner.library.compression import CompressionFacts
    from annual_planner.store.session import Work

MOST_PSI = 200.0
"""Above this a regulated pressure is a slip of the pen."""
MOST_RESTRICTOR_IN, MOST_OIL_C = 0.25, 200.0
"""Above these a restrictor's bore, and the temperature of oil, are too."""


@lru_cache(maxsize=1)
def _tables() -> CompressionFacts:
    from annual_planner.library.compression import load_compression

    return load_compression()


@dataclass(frozen=True, slots=True)
class ReadCylinder:
    """One cylinder as it was read: the first reading, where air was heard, and the rungs done after it."""

    cylinder: int
    reading_psi: float
    heard: tuple[str, ...] = ()
    rechecked: tuple[RecheckDone, ...] = ()
    note: str = ""

    @property
    def stands_psi(self) -> float:
        """The reading that stands: the last of the recheck, where there was one."""
        again = [each.reading_psi for each in self.rechecked if each.reading_psi is not None]
        return again[-1] if again else self.reading_psi


@dataclass(frozen=True, slots=True)
class RecordTest:
    """Write down a compression test with its conditions and every reading.

    Pressures in psi, restrictor in inches, oil in °C, elevation in feet. `safety_ticked`: keys of
    trade.compression_safety.SAFETY_STEPS, all of which must be there.
    """

    assembly_id: int
    tested_on: date
    engine_hours: Decimal | None
    readings: tuple[ReadCylinder, ...]
    safety_ticked: tuple[str, ...]
    regulated_psi: float = REGULATED_PSI
    restrictor_in: float | None = None
    tester: str = ""
    master_psi: float | None = None
    minutes_since_shutdown: int | None = None
    oil_temperature_c: float | None = None
    cold: bool = False
    ambient_psi_a: float | None = None
    elevation_ft: float | None = None
    altimeter_inhg: float | None = None
    after_work: str = ""
    package_id: int | None = None
    note: str = ""
    library: PlugShelf | None = field(default=None, repr=False, compare=False)

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return f"compression test of {said_date(self.tested_on)}"

    def apply(self, work: Work, today: date) -> Changed:
        """Write it down.

        Raises Refused without the safety steps, without readings, for a cylinder unknown or read twice, a
        reading above the regulated pressure, an unknown leak path or rung, and hours that go backwards.
        """
        engine = fitted_engine(work, self.assembly_id)
        kind = type_of(engine, self.library)
        together = Together(work, Subject("compression", self.says, engine.aircraft_id))
        check_safety(self.safety_ticked)
        check_day(self.tested_on, today)
        check_conditions(self._conditions())
        check_test_hours(work, engine, self.engine_hours, self.tested_on)
        check_readings(kind, self.readings, self.regulated_psi)
        made = together.write(AddRow(together.of, "compression_test", self._values()))
        for each in self.readings:
            together.write(AddRow(together.of, "cylinder_reading", _reading_values(made, each)))
        return together.settled(today, made_id=made)

    def _conditions(self) -> dict[str, object]:
        return {
            "minutes_since_shutdown": self.minutes_since_shutdown,
            "oil_temperature_c": self.oil_temperature_c,
            "cold": self.cold,
            "regulated_psi": self.regulated_psi,
            "restrictor_in": self.restrictor_in,
            "tester": self.tester.strip(),
            "master_psi": self.master_psi,
            "ambient_psi_a": self.ambient_psi_a,
            "elevation_ft": self.elevation_ft,
            "altimeter_inhg": self.altimeter_inhg,
            "after_work": self.after_work.strip(),
        }

    def _values(self) -> dict[str, object]:
        return {
            "assembly_id": self.assembly_id,
            "tested_on": self.tested_on,
            "engine_hours": self.engine_hours,
            **self._conditions(),
            "safety_ticked": list(self.safety_ticked),
            "package_id": self.package_id,
            "note": self.note,
        }


def _reading_values(test_id: int, each: ReadCylinder) -> dict[str, object]:
    return {
        "test_id": test_id,
        "cylinder": each.cylinder,
        "reading_psi": each.stands_psi,
        "first_psi": each.reading_psi if each.rechecked else None,
        "heard": list(each.heard),
        "rechecked": [rung_as_stored(rung) for rung in each.rechecked],
        "note": each.note,
    }


def rung_as_stored(rung: RecheckDone) -> dict[str, object]:
    """A rung of the ladder as it is kept."""
    return {
        "step": rung.step,
        "reading_psi": rung.reading_psi,
        "damage": rung.damage,
        "left_out": rung.left_out,
    }


def check_safety(ticked: Sequence[str]) -> None:
    """Raise Refused while a safety step is not ticked."""
    still_open = steps_open(ticked)
    if still_open:
        named = "; ".join(step.text for step in still_open)
        raise Refused(
            f"Not ticked: {named}.", "Air goes into a cylinder only after these; tick each once it is done."
        )


def check_conditions(values: Mapping[str, object]) -> None:
    """Raise Refused for conditions of a test that can't be."""
    regulated, master = values["regulated_psi"], values["master_psi"]
    if not isinstance(regulated, int | float) or not 0 < regulated <= MOST_PSI:
        raise Refused(
            f"A regulated pressure of {_said(regulated)} psi can't be.", "Give what the tester was set to."
        )
    if isinstance(master, int | float) and not 0 < master < regulated:
        raise Refused(
            f"A master reading of {master:g} psi can't be at {regulated:g} psi.",
            "Connect the master restrictor again and read it under pressure.",
        )
    _check_positive(values, "restrictor_in", "restrictor", "in")
    _check_not_above(values, "restrictor_in", "restrictor", MOST_RESTRICTOR_IN, "in")
    _check_not_above(values, "oil_temperature_c", "temperature of the oil", MOST_OIL_C, "°C")
    _check_positive(values, "ambient_psi_a", "pressure of the air", "psi absolute")
    minutes = values["minutes_since_shutdown"]
    if isinstance(minutes, int) and minutes < 0:
        raise Refused(f"{minutes} minutes since shut-down can't be.", "Give 0 or more.")
    elevation, setting = values["elevation_ft"], values["altimeter_inhg"]
    if isinstance(elevation, int | float):
        ambient_pressure(elevation, setting if isinstance(setting, int | float) else None)
    elif setting is not None:
        raise Refused("An altimeter setting needs the field's elevation.", "Give the elevation too.")


def _check_positive(values: Mapping[str, object], key: str, name: str, unit: str) -> None:
    value = values[key]
    if isinstance(value, int | float) and not (isfinite(value) and value > 0):
        raise Refused(f"A {name} of {value:g} {unit} can't be.", "Give a number above 0, or leave it empty.")


def _said(value: object) -> str:
    return f"{value:g}" if isinstance(value, int | float) else f"{value}"


def _check_not_above(values: Mapping[str, object], key: str, name: str, most: float, unit: str) -> None:
    value = values[key]
    if isinstance(value, int | float) and value > most:
        raise Refused(
            f"A {name} of {value:g} {unit} can't be.", f"Read it again; it is at most {most:g} {unit}."
        )


def check_test_hours(
    work: Work, engine: FittedEngine, hours: Decimal | None, on: date, *, without: int | None = None
) -> None:
    """Raise Refused where a test's engine hours don't lie between those of the tests around it."""
    if hours is None:
        return
    before, after = hours_of_tests_around(work, engine.assembly_id, on, without=without)
    check_hours(engine, hours, on, at_least=before)
    if after is not None and hours > after:
        raise Refused(
            f"Engine hours go backwards: {said_hours(hours)} on {said_date(on)}, "
            f"but a later test says {said_hours(after)}.",
            "Read the hours again, or correct the later test.",
        )


def check_readings(kind: EngineType, readings: Sequence[ReadCylinder], regulated_psi: float) -> None:
    """Raise Refused for readings that can't be of this engine at this pressure."""
    if not readings:
        raise Refused("This test has no readings.", "Read at least one cylinder.")
    numbers = [each.cylinder for each in readings]
    for each in readings:
        if each.cylinder not in kind.firing_order:
            raise Refused(
                f"{kind.title} has no cylinder {each.cylinder}.",
                f"Its cylinders are numbered 1 to {kind.cylinder_count}.",
            )
        if numbers.count(each.cylinder) > 1:
            raise Refused(f"Cylinder {each.cylinder} was read twice.", "Keep one line for each cylinder.")
        _check_reading(each, regulated_psi)


def _check_reading(each: ReadCylinder, regulated_psi: float) -> None:
    again = [rung.reading_psi for rung in each.rechecked if rung.reading_psi is not None]
    for psi in (each.reading_psi, *again):
        if not (isfinite(psi) and psi >= 0):
            raise Refused(f"Cylinder {each.cylinder} can't read {psi:g} psi.", "Give 0 psi or more.")
        if psi > regulated_psi:
            raise Refused(
                f"Cylinder {each.cylinder} reads {psi:g} psi, above the {regulated_psi:g} psi put in.",
                "Check the tester on itself and read again, or correct the regulated pressure.",
            )
    leak_paths_heard(each.heard, _tables().paths)
    recheck(each.reading_psi, 0.0, each.rechecked, _tables().ladder)


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
