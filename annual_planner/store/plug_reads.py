"""Readers of engines, their plugs and their compression tests.

An engine's history takes a fixed number of questions, each answered from an index by its assembly or its
plugs: how many engines the fleet has makes no difference.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import Any, TypeVar

from sqlalchemy import Select, select

from annual_planner.store.many_lines import lines_of
from annual_planner.store.mappings import AssemblyRow, InstallationRow, StandingRow
from annual_planner.store.plug_mappings import (
    CompressionTestRow,
    CylinderChangeRow,
    CylinderReadingRow,
    PlugCheckRow,
    PlugRotationRow,
    PlugStayRow,
    SparkPlugRow,
)
from annual_planner.store.plug_rows import (
    CheckLine,
    CylinderChangeLine,
    CylinderLine,
    EngineHistory,
    EnginePlace,
    PlugLine,
    RotationLine,
    StayLine,
    TestLine,
)
from annual_planner.store.searching import rows_of
from annual_planner.store.session import Work

MOST_SPARES = 60
"""So many plugs of the drawer are shown with an engine; a drawer rarely holds more."""

_ENGINE: tuple[Any, ...] = (
    InstallationRow.position,
    AssemblyRow.id,
    AssemblyRow.maker,
    AssemblyRow.model,
    AssemblyRow.serial,
    AssemblyRow.type_key,
    StandingRow.hours_now,
    InstallationRow.airframe_hours_at_fitting,
    InstallationRow.assembly_hours_at_fitting,
)
_ENGINES = (
    select(*_ENGINE)
    .join(AssemblyRow, AssemblyRow.id == InstallationRow.assembly_id)
    .outerjoin(StandingRow, StandingRow.aircraft_id == InstallationRow.aircraft_id)
    .where(AssemblyRow.kind == "engine", InstallationRow.removed_on.is_(None))
    .order_by(InstallationRow.position, InstallationRow.id)
)


def engine_places(work: Work, aircraft_id: int) -> tuple[EnginePlace, ...]:
    """The engines that are fitted to an airplane, by position."""
    rows = rows_of(work, _ENGINES.where(InstallationRow.aircraft_id == aircraft_id))
    return tuple(_engine_place(*row) for row in rows)


def _engine_place(
    position: int, assembly_id: int, maker: str, model: str, serial: str, type_key: str, *hours: Any
) -> EnginePlace:
    airframe_now, airframe_at, own_at = hours
    now = None if airframe_now is None else airframe_now - airframe_at + own_at
    said = [*(each for each in (maker, model) if each), *([f"no. {serial}"] if serial else [])]
    return EnginePlace(position, assembly_id, " ".join(said), type_key, now)


_PLUG: tuple[Any, ...] = (
    SparkPlugRow.id,
    SparkPlugRow.type_key,
    SparkPlugRow.tag,
    SparkPlugRow.bought_on,
    SparkPlugRow.hours_before,
    SparkPlugRow.scrapped_on,
    SparkPlugRow.scrapped_why,
    SparkPlugRow.spare,
    SparkPlugRow.note,
    SparkPlugRow.version,
)
_STAY: tuple[Any, ...] = (
    PlugStayRow.id,
    PlugStayRow.plug_id,
    PlugStayRow.assembly_id,
    PlugStayRow.place,
    PlugStayRow.fitted_on,
    PlugStayRow.engine_hours_at_fitting,
    PlugStayRow.removed_on,
    PlugStayRow.engine_hours_at_removal,
    PlugStayRow.gasket_out,
    PlugStayRow.fitted_by_rotation_id,
    PlugStayRow.removed_by_rotation_id,
    PlugStayRow.why,
    PlugStayRow.version,
)
_CHECK: tuple[Any, ...] = (
    PlugCheckRow.id,
    PlugCheckRow.plug_id,
    PlugCheckRow.assembly_id,
    PlugCheckRow.place,
    PlugCheckRow.looked_on,
    PlugCheckRow.engine_hours,
    PlugCheckRow.stage,
    PlugCheckRow.conditions,
    PlugCheckRow.damage,
    PlugCheckRow.dropped,
    PlugCheckRow.gaps_in,
    PlugCheckRow.set_gap_in,
    PlugCheckRow.electrode_in,
    PlugCheckRow.oval_in,
    PlugCheckRow.resistance_ohm,
    PlugCheckRow.sparks_under_pressure,
    PlugCheckRow.verdict,
    PlugCheckRow.overruled_because,
    PlugCheckRow.rotation_id,
    PlugCheckRow.note,
    PlugCheckRow.version,
)
_ROTATION: tuple[Any, ...] = (
    PlugRotationRow.id,
    PlugRotationRow.assembly_id,
    PlugRotationRow.rotated_on,
    PlugRotationRow.engine_hours,
    PlugRotationRow.scheme_key,
    PlugRotationRow.moved,
    PlugRotationRow.state,
    PlugRotationRow.departures,
    PlugRotationRow.planned,
    PlugRotationRow.new_gaskets,
    PlugRotationRow.package_id,
    PlugRotationRow.note,
    PlugRotationRow.version,
)
_TEST: tuple[Any, ...] = (
    CompressionTestRow.id,
    CompressionTestRow.assembly_id,
    CompressionTestRow.tested_on,
    CompressionTestRow.engine_hours,
    CompressionTestRow.minutes_since_shutdown,
    CompressionTestRow.oil_temperature_c,
    CompressionTestRow.cold,
    CompressionTestRow.regulated_psi,
    CompressionTestRow.restrictor_in,
    CompressionTestRow.tester,
    CompressionTestRow.master_psi,
    CompressionTestRow.ambient_psi_a,
    CompressionTestRow.elevation_ft,
    CompressionTestRow.altimeter_inhg,
    CompressionTestRow.after_work,
    CompressionTestRow.safety_ticked,
    CompressionTestRow.package_id,
    CompressionTestRow.note,
    CompressionTestRow.version,
)
_READING: tuple[Any, ...] = (
    CylinderReadingRow.id,
    CylinderReadingRow.test_id,
    CylinderReadingRow.cylinder,
    CylinderReadingRow.reading_psi,
    CylinderReadingRow.first_psi,
    CylinderReadingRow.heard,
    CylinderReadingRow.rechecked,
    CylinderReadingRow.note,
    CylinderReadingRow.version,
)
_CHANGE: tuple[Any, ...] = (
    CylinderChangeRow.id,
    CylinderChangeRow.assembly_id,
    CylinderChangeRow.cylinder,
    CylinderChangeRow.changed_on,
    CylinderChangeRow.engine_hours,
    CylinderChangeRow.what,
    CylinderChangeRow.serial,
    CylinderChangeRow.version,
)
"""Columns in the order of the fields of PlugLine, StayLine, CheckLine and so on."""

# Made once, so that a question asked again is not built anew.
_PLUGS, _STAYS, _CHECKS = select(*_PLUG), select(*_STAY), select(*_CHECK)
_PLUGS_OF_ENGINE = select(PlugStayRow.plug_id).distinct()
_SPARE_IDS = select(SparkPlugRow.id).where(SparkPlugRow.spare).order_by(SparkPlugRow.tag).limit(MOST_SPARES)
_ROTATIONS = select(*_ROTATION).order_by(PlugRotationRow.rotated_on.desc(), PlugRotationRow.id.desc())
_TESTS = select(*_TEST).order_by(CompressionTestRow.tested_on.desc(), CompressionTestRow.id.desc())
_READINGS = (
    select(*_READING)
    .join(CompressionTestRow, CompressionTestRow.id == CylinderReadingRow.test_id)
    .order_by(CylinderReadingRow.test_id, CylinderReadingRow.cylinder)
)
_CHANGES = select(*_CHANGE).order_by(CylinderChangeRow.changed_on.desc(), CylinderChangeRow.id.desc())


def engine_history(work: Work, assembly_id: int, spare_types: Collection[str] = ()) -> EngineHistory:
    """Everything written down of one engine; with it the plugs of these types that lie in the drawer."""
    ids = _ids(work, _PLUGS_OF_ENGINE.where(PlugStayRow.assembly_id == assembly_id))
    spares = _ids(work, _SPARE_IDS.where(SparkPlugRow.type_key.in_(sorted(spare_types))))
    plugs, stays, checks = _lives(work, sorted({*ids, *spares}))
    return EngineHistory(
        plugs=plugs,
        stays=stays,
        checks=checks,
        rotations=_lines(work, RotationLine, _ROTATIONS.where(PlugRotationRow.assembly_id == assembly_id)),
        tests=tuple(
            _test(row) for row in rows_of(work, _TESTS.where(CompressionTestRow.assembly_id == assembly_id))
        ),
        readings=tuple(
            _reading(row)
            for row in rows_of(work, _READINGS.where(CompressionTestRow.assembly_id == assembly_id))
        ),
        changes=_lines(
            work, CylinderChangeLine, _CHANGES.where(CylinderChangeRow.assembly_id == assembly_id)
        ),
    )


def _lives(
    work: Work, ids: Sequence[int]
) -> tuple[dict[int, PlugLine], tuple[StayLine, ...], tuple[CheckLine, ...]]:
    plugs = _lines(work, PlugLine, _PLUGS.where(SparkPlugRow.id.in_(ids)))
    stays = _STAYS.where(PlugStayRow.plug_id.in_(ids)).order_by(PlugStayRow.fitted_on, PlugStayRow.id)
    looks = _CHECKS.where(PlugCheckRow.plug_id.in_(ids)).order_by(PlugCheckRow.looked_on, PlugCheckRow.id)
    return (
        {line.plug_id: line for line in plugs},
        _lines(work, StayLine, stays),
        tuple(_check(row) for row in rows_of(work, looks)),
    )


def _ids(work: Work, query: Select[Any]) -> list[int]:
    return [row[0] for row in rows_of(work, query)]


L = TypeVar("L")


def _lines(work: Work, kind: type[L], query: Select[Any]) -> tuple[L, ...]:
    return tuple(lines_of(kind, rows_of(work, query)))


def _check(row: Sequence[Any]) -> CheckLine:
    values = _with_tuples(row, (7, 8, 10))
    values[13] = None if values[13] is None else tuple(values[13])
    return CheckLine(*values)


def _test(row: Sequence[Any]) -> TestLine:
    return TestLine(*_with_tuples(row, (15,)))


def _reading(row: Sequence[Any]) -> CylinderLine:
    return CylinderLine(*_with_tuples(row, (5, 6)))


def _with_tuples(row: Sequence[Any], fields: tuple[int, ...]) -> list[Any]:
    """The row with the lists in these fields made tuples, so that lines are values through and through."""
    values = list(row)
    for field in fields:
        values[field] = tuple(values[field])
    return values
