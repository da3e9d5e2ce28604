"""Writing down a compression test with its readings."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from annual_planner.records.compression_checks import (
    ReadCylinder,
    check_conditions,
    check_readings,
    check_safety,
    check_test_hours,
)
from annual_planner.records.edits import Changed
from annual_planner.records.engine_hours import check_day
from annual_planner.records.plug_shelf import PlugShelf, type_of
from annual_planner.records.row_edits import AddRow, Subject, Together
from annual_planner.store.plug_facts import fitted_engine
from annual_planner.trade.flow import REGULATED_PSI
from annual_planner.trade.recheck import RecheckDone
from annual_planner.trade.said import said_date

if TYPE_CHECKING:
    from annual_planner.store.session import Work


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
