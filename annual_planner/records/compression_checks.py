"""What a compression test must say to be written down: safety steps, conditions, hours, readings."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import lru_cache
from math import isfinite
from typing import TYPE_CHECKING

from annual_planner.records.engine_hours import check_hours
from annual_planner.store.plug_facts import FittedEngine, hours_of_tests_around
from annual_planner.trade.compression_safety import steps_open
from annual_planner.trade.engines import EngineType
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
