"""The engines in `records.json`: plugs with their stays and looks, and compression tests."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from annual_planner.exchange.hand_over.values import (
    Count,
    Cylinder,
    Day,
    Exact,
    Free,
    Id,
    Measured,
    Place,
    Row,
    Text,
    Word,
    Words,
)
from annual_planner.trade.plugs import Condition, Damage, Verdict

_CONDITIONS, _DAMAGE = tuple(each.value for each in Condition), tuple(each.value for each in Damage)
_VERDICTS = tuple(each.value for each in Verdict)


class SparkPlug(Row):
    """A spark plug with a serial, or the tag a shop gave it; hours, h."""

    id: Id
    type_key: Word
    tag: Annotated[str, Field(min_length=1, max_length=200)]
    bought_on: Day | None
    hours_before: Exact | None
    scrapped_on: Day | None
    scrapped_why: Text
    note: Text


class PlugRotation(Row):
    """One time the plugs of an engine came out and went in again."""

    id: Id
    assembly_id: Id
    rotated_on: Day
    engine_hours: Exact
    scheme_key: Word
    moved: Word
    state: Word
    departures: dict[Place, Text]
    new_gaskets: Count | None
    package_id: Id | None
    note: Text


class PlugStay(Row):
    """A plug's stay in one place of an engine, with the engine's hours, h, at both ends."""

    id: Id
    plug_id: Id
    assembly_id: Id
    place: Place
    fitted_on: Day
    engine_hours_at_fitting: Exact
    removed_on: Day | None
    engine_hours_at_removal: Exact | None
    gasket_out: bool | None
    fitted_by_rotation_id: Id | None
    removed_by_rotation_id: Id | None
    why: Text


class PlugCheck(Row):
    """One look at one plug; sizes in inch, resistance in ohm."""

    id: Id
    plug_id: Id
    assembly_id: Id | None
    place: Place | Annotated[str, Field(max_length=0)]
    looked_on: Day
    engine_hours: Exact | None
    stage: Word
    conditions: list[Literal[_CONDITIONS]]  # type: ignore[valid-type]
    damage: list[Literal[_DAMAGE]]  # type: ignore[valid-type]
    dropped: bool
    gaps_in: list[Measured]
    set_gap_in: Measured | None
    electrode_in: Measured | None
    oval_in: list[Measured] | None
    resistance_ohm: Measured | None
    sparks_under_pressure: bool | None
    verdict: Literal[_VERDICTS]  # type: ignore[valid-type]
    overruled_because: Text
    rotation_id: Id | None
    note: Text


class CompressionTest(Row):
    """One differential compression test with its conditions; pressures in psi."""

    id: Id
    assembly_id: Id
    tested_on: Day
    engine_hours: Exact | None
    minutes_since_shutdown: Count | None
    oil_temperature_c: Measured | None
    cold: bool
    regulated_psi: Annotated[float, Field(gt=0, le=1000)]
    restrictor_in: Measured | None
    tester: Text
    master_psi: Measured | None
    ambient_psi_a: Measured | None
    elevation_ft: Measured | None
    altimeter_inhg: Measured | None
    after_work: Text
    safety_ticked: Words
    package_id: Id | None
    note: Text


class CylinderReading(Row):
    """One cylinder's reading in a test, psi."""

    id: Id
    test_id: Id
    cylinder: Cylinder
    reading_psi: Annotated[float, Field(ge=0, le=1000)]
    first_psi: Annotated[float, Field(ge=0, le=1000)] | None
    heard: Words
    rechecked: list[Free]
    note: Text


class CylinderChange(Row):
    """Work on a cylinder after which its readings start a new series."""

    id: Id
    assembly_id: Id
    cylinder: Cylinder
    changed_on: Day
    engine_hours: Exact | None
    what: Word
    serial: Word
