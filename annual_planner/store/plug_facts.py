"""What the edits of plugs and compression tests ask of the fleet before something is written down."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from sqlalchemy import func, select

from annual_planner.store.mappings import AircraftRow, AssemblyRow, InstallationRow, StandingRow
from annual_planner.store.plug_mappings import (
    CompressionTestRow,
    PlugCheckRow,
    PlugRotationRow,
    PlugStayRow,
    SparkPlugRow,
)
from annual_planner.store.plug_rows import RotationLine
from annual_planner.store.session import Work
from annual_planner.store.work_mappings import DiscrepancyRow
from annual_planner.trade.refused import Refused

MOST_ASKED = 1000
"""Tags that are asked for in one question."""


@dataclass(frozen=True, slots=True)
class FittedEngine:
    """An engine as edits see it; airplane and hours are None while it is fitted to none."""

    assembly_id: int
    type_key: str
    aircraft_id: int | None
    registration: str
    position: int
    hours_now: Decimal | None
    read_on: date | None

    @property
    def said(self) -> str:
        """How people call it."""
        return f"engine {self.position} of {self.registration}" if self.registration else "this engine"


@dataclass(frozen=True, slots=True)
class OpenStay:
    """A plug where it sits now."""

    stay_id: int
    plug_id: int
    tag: str
    type_key: str
    assembly_id: int
    place: str
    fitted_on: date
    engine_hours_at_fitting: Decimal


@dataclass(frozen=True, slots=True)
class LyingPlug:
    """A plug that a rotation took out, with the stay it came out of. `back`: it was fitted again by it."""

    stay_id: int
    plug_id: int
    tag: str
    type_key: str
    place: str
    gasket_out: bool | None
    scrapped: bool
    spare: bool
    back: bool


def fitted_engine(work: Work, assembly_id: int) -> FittedEngine:
    """The engine of that assembly. Raises Refused where it is gone or no engine."""
    columns: tuple[Any, ...] = (
        AssemblyRow.kind,
        AssemblyRow.type_key,
        InstallationRow.aircraft_id,
        AircraftRow.registration,
        InstallationRow.position,
        StandingRow.hours_now,
        StandingRow.read_on,
        InstallationRow.airframe_hours_at_fitting,
        InstallationRow.assembly_hours_at_fitting,
    )
    query = (
        select(*columns)
        .select_from(AssemblyRow)
        .outerjoin(
            InstallationRow,
            (InstallationRow.assembly_id == AssemblyRow.id) & InstallationRow.removed_on.is_(None),
        )
        .outerjoin(AircraftRow, AircraftRow.id == InstallationRow.aircraft_id)
        .outerjoin(StandingRow, StandingRow.aircraft_id == InstallationRow.aircraft_id)
        .where(AssemblyRow.id == assembly_id)
    )
    row = work.session.execute(query).first()
    if row is None or row[0] != "engine":
        raise Refused("This engine is no longer in the fleet.", "Look at the airplane again.")
    _, key, aircraft_id, registration, position, airframe, read_on, airframe_at, own_at = row
    now = None if airframe is None or airframe_at is None else airframe - airframe_at + own_at
    return FittedEngine(assembly_id, key, aircraft_id, registration or "", position or 1, now, read_on)


_OPEN_STAY: tuple[Any, ...] = (
    PlugStayRow.id,
    PlugStayRow.plug_id,
    SparkPlugRow.tag,
    SparkPlugRow.type_key,
    PlugStayRow.assembly_id,
    PlugStayRow.place,
    PlugStayRow.fitted_on,
    PlugStayRow.engine_hours_at_fitting,
)


def open_stays(work: Work, assembly_id: int) -> dict[str, OpenStay]:
    """The plugs that sit in an engine now, by place."""
    query = (
        select(*_OPEN_STAY)
        .join(SparkPlugRow, SparkPlugRow.id == PlugStayRow.plug_id)
        .where(PlugStayRow.assembly_id == assembly_id, PlugStayRow.removed_on.is_(None))
    )
    return {row[5]: OpenStay(*row) for row in work.session.execute(query)}


def where_fitted(work: Work, plug_id: int) -> OpenStay | None:
    """Where a plug sits now; None while it is in no engine."""
    query = (
        select(*_OPEN_STAY)
        .join(SparkPlugRow, SparkPlugRow.id == PlugStayRow.plug_id)
        .where(PlugStayRow.plug_id == plug_id, PlugStayRow.removed_on.is_(None))
    )
    row = work.session.execute(query).first()
    return OpenStay(*row) if row else None


def open_rotation(work: Work, assembly_id: int) -> RotationLine | None:
    """The rotation of an engine whose plugs are still out; None where there is none."""
    row = work.session.scalar(
        select(PlugRotationRow)
        .where(PlugRotationRow.assembly_id == assembly_id, PlugRotationRow.state == "out")
        .order_by(PlugRotationRow.rotated_on.desc(), PlugRotationRow.id.desc())
        .limit(1)
    )
    return None if row is None else _rotation(row)


def rotation_line(work: Work, rotation_id: int) -> RotationLine:
    """One rotation. Raises Refused when it is gone."""
    row = work.session.get(PlugRotationRow, rotation_id, populate_existing=True)
    if row is None:
        raise Refused("This rotation is no longer in the records.", "Look at the engine again.")
    return _rotation(row)


def _rotation(row: PlugRotationRow) -> RotationLine:
    return RotationLine(
        row.id,
        row.assembly_id,
        row.rotated_on,
        row.engine_hours,
        row.scheme_key,
        row.moved,
        row.state,
        dict(row.departures),
        dict(row.planned),
        row.new_gaskets,
        row.package_id,
        row.note,
        row.version,
    )


def lying_plugs(work: Work, rotation_id: int) -> list[LyingPlug]:
    """Every plug that a rotation took out, in the order of their stays."""
    again = (
        select(PlugStayRow.plug_id).where(PlugStayRow.fitted_by_rotation_id == rotation_id).scalar_subquery()
    )
    query = (
        select(
            PlugStayRow.id,
            PlugStayRow.plug_id,
            SparkPlugRow.tag,
            SparkPlugRow.type_key,
            PlugStayRow.place,
            PlugStayRow.gasket_out,
            SparkPlugRow.scrapped_on.is_not(None),
            SparkPlugRow.spare,
            PlugStayRow.plug_id.in_(again),
        )
        .join(SparkPlugRow, SparkPlugRow.id == PlugStayRow.plug_id)
        .where(PlugStayRow.removed_by_rotation_id == rotation_id)
        .order_by(PlugStayRow.id)
    )
    return [LyingPlug(*row) for row in work.session.execute(query)]


def last_removed(work: Work, plug_id: int) -> date | None:
    """The day a plug last came out of an engine; None for one that never sat in one."""
    return work.session.scalar(select(func.max(PlugStayRow.removed_on)).where(PlugStayRow.plug_id == plug_id))


def last_verdict(work: Work, plug_id: int) -> tuple[str, bool]:
    """The verdict of the newest look at a plug, empty where there is none; whether it was ever dropped."""
    query = (
        select(PlugCheckRow.verdict, PlugCheckRow.dropped)
        .where(PlugCheckRow.plug_id == plug_id)
        .order_by(PlugCheckRow.looked_on.desc(), PlugCheckRow.id.desc())
    )
    rows = work.session.execute(query).all()
    return (rows[0][0] if rows else ""), any(row[1] for row in rows)


def has_look(work: Work, plug_id: int, rotation_id: int, stage: str) -> bool:
    """Whether a plug was already looked at in this stage of a rotation."""
    query = select(PlugCheckRow.id).where(
        PlugCheckRow.rotation_id == rotation_id, PlugCheckRow.plug_id == plug_id, PlugCheckRow.stage == stage
    )
    return work.session.execute(query.limit(1)).first() is not None


def has_tag(work: Work, tag: str) -> bool:
    """Whether a plug with this serial or tag is known."""
    return work.session.execute(select(SparkPlugRow.id).where(SparkPlugRow.tag == tag)).first() is not None


def known_tags(work: Work, tags: Iterable[str]) -> set[str]:
    """Those of these serials or tags that a plug has."""
    asked = sorted(set(tags))
    parts = (asked[at : at + MOST_ASKED] for at in range(0, len(asked), MOST_ASKED))
    query = select(SparkPlugRow.tag)
    return {tag for part in parts for tag in work.session.scalars(query.where(SparkPlugRow.tag.in_(part)))}


def latest_known_hours(work: Work, assembly_id: int, on: date) -> Decimal | None:
    """The highest engine hours that plugs' stays and rotations up to a day tell of."""
    fitted = select(PlugStayRow.engine_hours_at_fitting).where(
        PlugStayRow.assembly_id == assembly_id,
        PlugStayRow.removed_on.is_(None),
        PlugStayRow.fitted_on <= on,
    )
    turned = (
        select(PlugRotationRow.engine_hours)
        .where(PlugRotationRow.assembly_id == assembly_id, PlugRotationRow.rotated_on <= on)
        .order_by(PlugRotationRow.rotated_on.desc())
        .limit(1)
    )
    known = [*work.session.scalars(fitted), *work.session.scalars(turned)]
    return max(known, default=None)


def hours_of_tests_around(
    work: Work, assembly_id: int, on: date, *, without: int | None = None
) -> tuple[Decimal | None, Decimal | None]:
    """Engine hours of the last test before a day, and of the first one after it, where written down."""
    hours, day = CompressionTestRow.engine_hours, CompressionTestRow.tested_on
    query = select(hours).where(CompressionTestRow.assembly_id == assembly_id, hours.is_not(None)).limit(1)
    if without is not None:
        query = query.where(CompressionTestRow.id != without)
    before = work.session.scalar(query.where(day < on).order_by(day.desc(), CompressionTestRow.id.desc()))
    after = work.session.scalar(query.where(day > on).order_by(day, CompressionTestRow.id))
    return before, after


def has_open_discrepancy(work: Work, aircraft_id: int, assembly_id: int, cylinder: int, text: str) -> bool:
    """Whether this very defect of a cylinder is written down and still open."""
    query = select(DiscrepancyRow.id).where(
        DiscrepancyRow.aircraft_id == aircraft_id,
        DiscrepancyRow.assembly_id == assembly_id,
        DiscrepancyRow.cylinder == cylinder,
        DiscrepancyRow.text == text,
        DiscrepancyRow.closed_on.is_(None),
    )
    return work.session.execute(query.limit(1)).first() is not None
