"""The fleet's tables for spark plugs, their stays and looks, and for compression tests."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

from sqlalchemy import JSON, ForeignKey, Index, UniqueConstraint, false, text
from sqlalchemy.orm import Mapped, mapped_column

from annual_planner.store.mappings import NEVER_USED_TWICE, Base
from annual_planner.store.work_mappings import PackageRow


class SparkPlugRow(Base):
    """A spark plug with a serial, or the tag a shop gave it."""

    __tablename__ = "spark_plug"
    id: Mapped[int] = mapped_column(primary_key=True)
    type_key: Mapped[str]
    """Key of a plug type of the library."""
    tag: Mapped[str] = mapped_column(unique=True)
    bought_on: Mapped[date | None]
    hours_before: Mapped[Decimal | None]
    """Hours it had run before its first stay in this fleet; empty = not known."""
    scrapped_on: Mapped[date | None]
    scrapped_why: Mapped[str] = mapped_column(default="")
    spare: Mapped[bool] = mapped_column(default=False, server_default=false())
    """It lies in the drawer, ready to be fitted; kept so that the drawer is one indexed look."""
    note: Mapped[str] = mapped_column(default="")
    version: Mapped[int] = mapped_column()
    __mapper_args__ = {"version_id_col": version}
    __table_args__ = (Index("ix_spark_plug_spare", "spare", "type_key", "tag"), NEVER_USED_TWICE)


class PlugRotationRow(Base):
    """One time the plugs of an engine came out and went in again, as an event."""

    __tablename__ = "plug_rotation"
    id: Mapped[int] = mapped_column(primary_key=True)
    assembly_id: Mapped[int] = mapped_column(ForeignKey("assembly.id"))
    rotated_on: Mapped[date]
    engine_hours: Mapped[Decimal]
    scheme_key: Mapped[str]
    moved: Mapped[str] = mapped_column(default="going in")
    """'going in' or 'in the tray': when the plugs change place."""
    state: Mapped[str] = mapped_column(default="out")
    """'out' while plugs lie in the tray, 'in' once they are back."""
    departures: Mapped[dict[str, Any]]
    """Why a place got another plug than the map gives, by place."""
    planned: Mapped[dict[str, Any]] = mapped_column(default=dict, server_default=text("'{}'"))
    """While they are out: what is to go into a place instead of the map's plug, by place."""
    new_gaskets: Mapped[int | None]
    package_id: Mapped[int | None] = mapped_column(ForeignKey(PackageRow.id), index=True)
    note: Mapped[str] = mapped_column(default="")
    version: Mapped[int] = mapped_column()
    __mapper_args__ = {"version_id_col": version}
    __table_args__ = (Index("ix_plug_rotation_assembly", "assembly_id", "rotated_on"), NEVER_USED_TWICE)


def _while_fitted(name: str, *columns: str) -> Index:
    """One place holds one plug and one plug sits in one place, whoever writes at the same time."""
    fitted = text("removed_on IS NULL")
    return Index(name, *columns, unique=True, sqlite_where=fitted, postgresql_where=fitted)


class PlugStayRow(Base):
    """A plug's stay in one place of an engine, with the engine's hours at both ends."""

    __tablename__ = "plug_stay"
    id: Mapped[int] = mapped_column(primary_key=True)
    plug_id: Mapped[int] = mapped_column(ForeignKey("spark_plug.id"), index=True)
    assembly_id: Mapped[int] = mapped_column(ForeignKey("assembly.id"))
    place: Mapped[str]
    """As written on the tray: '3T'."""
    fitted_on: Mapped[date]
    engine_hours_at_fitting: Mapped[Decimal]
    removed_on: Mapped[date | None]
    engine_hours_at_removal: Mapped[Decimal | None]
    gasket_out: Mapped[bool | None]
    """Whether its gasket came out with it; empty until it is asked."""
    fitted_by_rotation_id: Mapped[int | None] = mapped_column(ForeignKey("plug_rotation.id"), index=True)
    removed_by_rotation_id: Mapped[int | None] = mapped_column(ForeignKey("plug_rotation.id"), index=True)
    why: Mapped[str] = mapped_column(default="")
    """Why it was fitted here though the rotation says elsewhere."""
    version: Mapped[int] = mapped_column()
    __mapper_args__ = {"version_id_col": version}
    __table_args__ = (
        Index("ix_plug_stay_assembly", "assembly_id", "removed_on"),
        _while_fitted("uq_plug_stay_place", "assembly_id", "place"),
        _while_fitted("uq_plug_stay_plug", "plug_id"),
        NEVER_USED_TWICE,
    )


class PlugCheckRow(Base):
    """One look at one plug, before or after cleaning."""

    __tablename__ = "plug_check"
    id: Mapped[int] = mapped_column(primary_key=True)
    plug_id: Mapped[int] = mapped_column(ForeignKey("spark_plug.id"), index=True)
    assembly_id: Mapped[int | None] = mapped_column(ForeignKey("assembly.id"))
    place: Mapped[str] = mapped_column(default="")
    """The place it came out of; empty for one that lay in a drawer."""
    looked_on: Mapped[date]
    engine_hours: Mapped[Decimal | None]
    stage: Mapped[str]
    """'before cleaning' or 'after cleaning'."""
    conditions: Mapped[list[str]]
    damage: Mapped[list[str]]
    dropped: Mapped[bool] = mapped_column(default=False)
    gaps_in: Mapped[list[float]] = mapped_column(JSON)
    set_gap_in: Mapped[float | None]
    """The gap it was set to after this look; empty when it was left."""
    electrode_in: Mapped[float | None]
    oval_in: Mapped[list[float] | None] = mapped_column(JSON)
    resistance_ohm: Mapped[float | None]
    sparks_under_pressure: Mapped[bool | None]
    verdict: Mapped[str]
    overruled_because: Mapped[str] = mapped_column(default="")
    rotation_id: Mapped[int | None] = mapped_column(ForeignKey("plug_rotation.id"), index=True)
    note: Mapped[str] = mapped_column(default="")
    version: Mapped[int] = mapped_column()
    __mapper_args__ = {"version_id_col": version}
    __table_args__ = (Index("ix_plug_check_assembly", "assembly_id", "looked_on"), NEVER_USED_TWICE)


class CompressionTestRow(Base):
    """One differential compression test of an engine, with the conditions it was made under."""

    __tablename__ = "compression_test"
    id: Mapped[int] = mapped_column(primary_key=True)
    assembly_id: Mapped[int] = mapped_column(ForeignKey("assembly.id"))
    tested_on: Mapped[date]
    engine_hours: Mapped[Decimal | None]
    minutes_since_shutdown: Mapped[int | None]
    oil_temperature_c: Mapped[float | None]
    cold: Mapped[bool] = mapped_column(default=False)
    regulated_psi: Mapped[float]
    restrictor_in: Mapped[float | None]
    tester: Mapped[str] = mapped_column(default="")
    master_psi: Mapped[float | None]
    ambient_psi_a: Mapped[float | None]
    """Station pressure as read, or worked out from the field's elevation or altimeter setting."""
    elevation_ft: Mapped[float | None]
    altimeter_inhg: Mapped[float | None]
    after_work: Mapped[str] = mapped_column(default="")
    safety_ticked: Mapped[list[str]]
    package_id: Mapped[int | None] = mapped_column(ForeignKey(PackageRow.id), index=True)
    note: Mapped[str] = mapped_column(default="")
    version: Mapped[int] = mapped_column()
    __mapper_args__ = {"version_id_col": version}
    __table_args__ = (Index("ix_compression_test_assembly", "assembly_id", "tested_on"), NEVER_USED_TWICE)


class CylinderReadingRow(Base):
    """One cylinder's reading in a compression test."""

    __tablename__ = "cylinder_reading"
    id: Mapped[int] = mapped_column(primary_key=True)
    test_id: Mapped[int] = mapped_column(ForeignKey("compression_test.id"))
    cylinder: Mapped[int]
    reading_psi: Mapped[float]
    """The reading that stands: the last one of the recheck, where there was one."""
    first_psi: Mapped[float | None]
    """The first reading, before any recheck; empty when it was not read again."""
    heard: Mapped[list[str]]
    """Keys of the leak paths where air was heard."""
    rechecked: Mapped[list[dict[str, Any]]] = mapped_column(JSON)
    """Rungs of the recheck ladder that were done, in order: step, reading_psi, damage, left_out."""
    note: Mapped[str] = mapped_column(default="")
    version: Mapped[int] = mapped_column()
    __mapper_args__ = {"version_id_col": version}
    __table_args__ = (UniqueConstraint("test_id", "cylinder"), NEVER_USED_TWICE)


class CylinderChangeRow(Base):
    """Work on a cylinder after which its readings start a new series."""

    __tablename__ = "cylinder_change"
    id: Mapped[int] = mapped_column(primary_key=True)
    assembly_id: Mapped[int] = mapped_column(ForeignKey("assembly.id"), index=True)
    cylinder: Mapped[int]
    changed_on: Mapped[date]
    engine_hours: Mapped[Decimal | None]
    what: Mapped[str]
    """'changed', 'overhauled', 'valves lapped' …"""
    serial: Mapped[str] = mapped_column(default="")
    version: Mapped[int] = mapped_column()
    __mapper_args__ = {"version_id_col": version}
