"""The compression tests of one engine: steady cylinders, and those the demo writes a story for."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from annual_planner.trade.engines import EngineType
from demo_fleet.airplane import Build
from demo_fleet.written import WrittenCylinder, WrittenEngine

STEADY_PSI = (75, 76, 77)
DAYS_BEFORE_ANNUAL = 7
"""A cylinder is worked on so long before the annual's test."""
HEARD_UNDER_PSI = 73


@dataclass(frozen=True, slots=True)
class _Tester:
    tester: str
    restrictor_in: float
    master_psi: float | None


def compression_rows(
    build: Build,
    written: WrittenEngine,
    engine: EngineType,
    assembly_id: int,
    days: Sequence[tuple[date, Decimal]],
    draw: random.Random,
) -> None:
    """Add a test at each of these days, and the work on cylinders."""
    levels = {number: draw.choice(STEADY_PSI) for number in sorted(engine.firing_order)}
    for number, (on, hours) in enumerate(days, 1):
        back = len(days) - number
        test_id = _test(build, _tester(written, back), assembly_id, on, hours, draw)
        for cylinder, level in levels.items():
            values = _reading(written, cylinder, back, level + draw.choice((-1, 0, 0, 1)))
            build.add("cylinder_reading", test_id=test_id, cylinder=cylinder, **values, note="")
        _changes(build, written, assembly_id, back, on, hours)


def _tester(written: WrittenEngine, back: int) -> _Tester:
    for each in written.earlier_testers:
        if back >= each.annuals_back:
            return _Tester(each.tester, each.restrictor_in, each.master_psi)
    return _Tester(written.tester, written.restrictor_in, written.master_psi)


def _test(
    build: Build, used: _Tester, assembly_id: int, on: date, hours: Decimal, draw: random.Random
) -> int:
    return build.add(
        "compression_test", assembly_id=assembly_id, tested_on=on, engine_hours=hours,
        minutes_since_shutdown=draw.choice((15, 20, 25)), oil_temperature_c=float(draw.randrange(58, 76, 2)),
        cold=False, regulated_psi=80.0, restrictor_in=used.restrictor_in, tester=used.tester,
        master_psi=used.master_psi, ambient_psi_a=14.5, elevation_ft=None, altimeter_inhg=None,
        after_work="", safety_ticked=[], package_id=None, note="",
    )  # fmt: skip


def _reading(written: WrittenEngine, cylinder: int, back: int, steady_psi: float) -> dict[str, Any]:
    for recheck in written.rechecked:
        if recheck.cylinder == cylinder and back == 0:
            rungs = [_rung(step, psi) for step, psi in recheck.rungs.items()]
            last = rungs[-1]["reading_psi"]
            return _values(last, list(recheck.heard), recheck.first_psi, rungs)
    story = next((each for each in written.cylinders if each.cylinder == cylinder), None)
    if story is None or back >= len(story.readings_psi):
        return _values(float(steady_psi), [])
    return _values(story.readings_psi[-1 - back], _heard(story, back))


def _heard(story: WrittenCylinder, back: int) -> list[str]:
    return list(story.heard) if story.readings_psi[-1 - back] < HEARD_UNDER_PSI else []


def _values(
    psi: float, heard: list[str], first_psi: float | None = None, rungs: Sequence[dict[str, Any]] = ()
) -> dict[str, Any]:
    return {"reading_psi": float(psi), "first_psi": first_psi, "heard": heard, "rechecked": list(rungs)}


def _rung(step: str, psi: float) -> dict[str, Any]:
    return {"step": step, "reading_psi": float(psi), "damage": "", "left_out": ""}


def _changes(
    build: Build, written: WrittenEngine, assembly_id: int, back: int, on: date, hours: Decimal
) -> None:
    for each in written.changes:
        if each.annuals_back == back:
            build.add(
                "cylinder_change", assembly_id=assembly_id, cylinder=each.cylinder,
                changed_on=on - timedelta(days=DAYS_BEFORE_ANNUAL), engine_hours=hours, what=each.what,
                serial=each.serial,
            )  # fmt: skip
