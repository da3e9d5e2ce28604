"""Frozen rows of plugs, their stays and looks, of compression tests and of work on cylinders."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal


@dataclass(frozen=True, slots=True)
class EnginePlace:
    """One engine fitted to an airplane: its position from 1, what it is, and its hours now."""

    position: int
    assembly_id: int
    title: str
    """Maker, model and serial."""
    type_key: str
    """Key of an engine type of the library; empty while nobody said."""
    hours_now: Decimal | None


@dataclass(frozen=True, slots=True)
class PlugLine:
    """One spark plug. `spare`: it lies in the drawer, fitted nowhere and not scrapped."""

    plug_id: int
    type_key: str
    tag: str
    bought_on: date | None
    hours_before: Decimal | None
    scrapped_on: date | None
    scrapped_why: str
    spare: bool
    note: str
    version: int


@dataclass(frozen=True, slots=True)
class StayLine:
    """A plug's stay in one place of one engine, with the engine's hours at both ends."""

    stay_id: int
    plug_id: int
    assembly_id: int
    place: str
    fitted_on: date
    engine_hours_at_fitting: Decimal
    removed_on: date | None
    engine_hours_at_removal: Decimal | None
    gasket_out: bool | None
    fitted_by_rotation_id: int | None
    removed_by_rotation_id: int | None
    why: str
    version: int


@dataclass(frozen=True, slots=True)
class CheckLine:
    """One look at one plug, before or after cleaning."""

    check_id: int
    plug_id: int
    assembly_id: int | None
    place: str
    looked_on: date
    engine_hours: Decimal | None
    stage: str
    conditions: tuple[str, ...]
    damage: tuple[str, ...]
    dropped: bool
    gaps_in: tuple[float, ...]
    set_gap_in: float | None
    electrode_in: float | None
    oval_in: tuple[float, ...] | None
    resistance_ohm: float | None
    sparks_under_pressure: bool | None
    verdict: str
    overruled_because: str
    rotation_id: int | None
    note: str
    version: int


@dataclass(frozen=True, slots=True)
class RotationLine:
    """One time the plugs of an engine came out; `state` is 'out' while they lie in the tray, then 'in'."""

    rotation_id: int
    assembly_id: int
    rotated_on: date
    engine_hours: Decimal
    scheme_key: str
    moved: str
    state: str
    departures: dict[str, str]
    planned: dict[str, dict[str, object]]
    """What is to go into a place instead of the scheme's plug, by place: see records.planned_places."""
    new_gaskets: int | None
    package_id: int | None
    note: str
    version: int


@dataclass(frozen=True, slots=True)
class TestLine:
    """One compression test with its conditions."""

    __test__ = False
    """Not a test of the program, whatever its name."""

    test_id: int
    assembly_id: int
    tested_on: date
    engine_hours: Decimal | None
    minutes_since_shutdown: int | None
    oil_temperature_c: float | None
    cold: bool
    regulated_psi: float
    restrictor_in: float | None
    tester: str
    master_psi: float | None
    ambient_psi_a: float | None
    elevation_ft: float | None
    altimeter_inhg: float | None
    after_work: str
    safety_ticked: tuple[str, ...]
    package_id: int | None
    note: str
    version: int


@dataclass(frozen=True, slots=True)
class CylinderLine:
    """One cylinder's reading in a test. `rechecked`: rungs of the ladder that were done, in order."""

    reading_id: int
    test_id: int
    cylinder: int
    reading_psi: float
    first_psi: float | None
    heard: tuple[str, ...]
    rechecked: tuple[dict[str, object], ...]
    note: str
    version: int


@dataclass(frozen=True, slots=True)
class CylinderChangeLine:
    """Work on a cylinder after which its readings start a new series."""

    change_id: int
    assembly_id: int
    cylinder: int
    changed_on: date
    engine_hours: Decimal | None
    what: str
    serial: str
    version: int


@dataclass(frozen=True, slots=True)
class EngineHistory:
    """Everything that is written down of one engine's plugs and cylinders.

    `plugs`: those that are or were in it, or lie in its open tray. `stays` and `checks`: whole lives of
    those plugs, stays elsewhere too, oldest first. Rotations, tests and changes: newest first.
    """

    plugs: dict[int, PlugLine]
    stays: tuple[StayLine, ...]
    checks: tuple[CheckLine, ...]
    rotations: tuple[RotationLine, ...]
    tests: tuple[TestLine, ...]
    readings: tuple[CylinderLine, ...]
    changes: tuple[CylinderChangeLine, ...]
