"""The fleet's own tables: people, airplanes, what is due on them, and who changed what.

Measurements are numbers in the unit that the column's name says.
"""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal
from typing import Any

from sqlalchemy import JSON, Boolean, Date, ForeignKey, Index, MetaData, String, Text
from sqlalchemy.orm import DeclarativeBase, Mapped, mapped_column

from annual_planner.store.columns import HoursColumn, MomentColumn

NEVER_USED_TWICE = {"sqlite_autoincrement": True}
"""The number of a removed row is never given again, so that taking a removal back finds its place free."""

FAR_FUTURE = date(9999, 12, 31)
"""Stands where nothing is due, so that it sorts last."""


class Base(DeclarativeBase):
    """Base of every mapped table."""

    __table_args__: Any = NEVER_USED_TWICE

    metadata = MetaData(
        naming_convention={
            "ix": "ix_%(column_0_N_label)s",
            "uq": "uq_%(table_name)s_%(column_0_N_name)s",
            "fk": "fk_%(table_name)s_%(column_0_name)s",
            "pk": "pk_%(table_name)s",
        }
    )
    type_annotation_map = {
        Decimal: HoursColumn,
        date: Date,
        datetime: MomentColumn,
        bool: Boolean,
        list[str]: JSON,
        dict[str, Any]: JSON,
        str: Text,
    }


class FleetFact(Base):
    """One fact about the fleet as a whole: its name, whether it is the demo, its fixed 'today'."""

    __tablename__ = "fleet_fact"
    key: Mapped[str] = mapped_column(String(60), primary_key=True)
    value: Mapped[str]


class PersonRow(Base):
    """Someone who works on, owns or looks after airplanes."""

    __tablename__ = "person"
    id: Mapped[int] = mapped_column(primary_key=True)
    name: Mapped[str] = mapped_column(unique=True)
    roles: Mapped[list[str]]
    """Any of 'mechanic', 'owner', 'manager', 'helper'."""
    contact: Mapped[str] = mapped_column(default="")
    cost_per_hour: Mapped[Decimal | None]
    """What an hour of theirs costs, in the shop's own money; empty = as the table says for their kind."""
    version: Mapped[int] = mapped_column()
    __mapper_args__ = {"version_id_col": version}


class CertificateRow(Base):
    """One certificate of a person."""

    __tablename__ = "certificate"
    id: Mapped[int] = mapped_column(primary_key=True)
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"), index=True)
    kind: Mapped[str]
    number: Mapped[str]
    ratings: Mapped[list[str]]
    valid_from: Mapped[date | None]
    expires_on: Mapped[date | None]
    activity_met: Mapped[bool] = mapped_column(default=True)
    base_moved_on: Mapped[date | None]
    base_notice_on: Mapped[date | None]
    months_worked_in_24: Mapped[Decimal | None]
    version: Mapped[int] = mapped_column()
    __mapper_args__ = {"version_id_col": version}


class AircraftRow(Base):
    """An airplane."""

    __tablename__ = "aircraft"
    id: Mapped[int] = mapped_column(primary_key=True)
    registration: Mapped[str] = mapped_column(unique=True)
    maker: Mapped[str]
    model: Mapped[str]
    serial: Mapped[str]
    year_built: Mapped[int | None]
    category: Mapped[str] = mapped_column(default="standard")
    uses: Mapped[list[str]]
    """Any of 'hire', 'instruction', 'ifr'."""
    features: Mapped[list[str]]
    """Keys of resources/features.toml."""
    counts: Mapped[dict[str, Any]]
    """How many 'engines', 'cylinders', 'plugs', 'wheels' it has in all."""
    owner_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"), index=True)
    base: Mapped[str] = mapped_column(default="")
    stated_hours_per_month: Mapped[Decimal | None]
    notes: Mapped[str] = mapped_column(default="")
    version: Mapped[int] = mapped_column()
    __mapper_args__ = {"version_id_col": version}


class AssemblyRow(Base):
    """A thing with hours of its own that is fitted to an airplane: airframe, engine, propeller, part."""

    __tablename__ = "assembly"
    id: Mapped[int] = mapped_column(primary_key=True)
    kind: Mapped[str]
    maker: Mapped[str]
    model: Mapped[str]
    serial: Mapped[str]
    hours_since_overhaul_at_fitting: Mapped[Decimal | None]
    type_key: Mapped[str] = mapped_column(default="", server_default="")
    """Key of an engine type of the library; empty for what has none."""
    version: Mapped[int] = mapped_column()
    __mapper_args__ = {"version_id_col": version}


class InstallationRow(Base):
    """An assembly's stay on an airplane, with both hours at fitting and at removal."""

    __tablename__ = "installation"
    id: Mapped[int] = mapped_column(primary_key=True)
    assembly_id: Mapped[int] = mapped_column(ForeignKey("assembly.id"), index=True)
    aircraft_id: Mapped[int] = mapped_column(ForeignKey("aircraft.id"), index=True)
    position: Mapped[int] = mapped_column(default=1)
    fitted_on: Mapped[date]
    airframe_hours_at_fitting: Mapped[Decimal]
    assembly_hours_at_fitting: Mapped[Decimal]
    removed_on: Mapped[date | None]
    airframe_hours_at_removal: Mapped[Decimal | None]
    assembly_hours_at_removal: Mapped[Decimal | None]
    version: Mapped[int] = mapped_column()
    __mapper_args__ = {"version_id_col": version}


class MeterRow(Base):
    """A meter of an airplane. Its reading plus the offset is the airframe's time in service."""

    __tablename__ = "meter"
    id: Mapped[int] = mapped_column(primary_key=True)
    aircraft_id: Mapped[int] = mapped_column(ForeignKey("aircraft.id"), index=True)
    kind: Mapped[str]
    """'tach', 'hour meter' or 'airframe log'."""
    fitted_on: Mapped[date]
    offset_hours: Mapped[Decimal]
    of_record: Mapped[bool] = mapped_column(default=True)
    """The meter whose hours count as time in service; a replaced one stays in the history."""
    replaced_on: Mapped[date | None]
    version: Mapped[int] = mapped_column()
    __mapper_args__ = {"version_id_col": version}


class MeterReadingRow(Base):
    """A meter read on a date, with the landings counted by then where known."""

    __tablename__ = "meter_reading"
    id: Mapped[int] = mapped_column(primary_key=True)
    meter_id: Mapped[int] = mapped_column(ForeignKey("meter.id"), index=True)
    aircraft_id: Mapped[int] = mapped_column(ForeignKey("aircraft.id"))
    read_on: Mapped[date]
    meter_hours: Mapped[Decimal]
    landings: Mapped[int | None]
    note: Mapped[str] = mapped_column(default="")
    version: Mapped[int] = mapped_column()
    __mapper_args__ = {"version_id_col": version}
    __table_args__ = (Index("ix_meter_reading_aircraft_read_on", "aircraft_id", "read_on"), NEVER_USED_TWICE)


class RequirementRow(Base):
    """Something that must be done on an airplane at an interval or once."""

    __tablename__ = "requirement"
    id: Mapped[int] = mapped_column(primary_key=True)
    aircraft_id: Mapped[int] = mapped_column(ForeignKey("aircraft.id"), index=True)
    assembly_id: Mapped[int | None] = mapped_column(ForeignKey("assembly.id"), index=True)
    """The assembly whose hours count; empty = the airframe."""
    key: Mapped[str] = mapped_column(default="", index=True)
    """Key of the requirement template, empty for one of this airplane alone."""
    title: Mapped[str]
    source: Mapped[str]
    citation: Mapped[str]
    force: Mapped[str]
    every_hours: Mapped[Decimal | None]
    every_cycles: Mapped[int | None]
    every_calendar_months: Mapped[int | None]
    every_months: Mapped[int | None]
    every_days: Mapped[int | None]
    logic: Mapped[str] = mapped_column(default="first")
    recurring: Mapped[bool] = mapped_column(default=True)
    enroute_excess_hours: Mapped[Decimal]
    effective_on: Mapped[date | None]
    effective_hours: Mapped[Decimal | None]
    fixed_on: Mapped[date | None]
    """A marked or printed date that is taken as it stands."""
    directive_number: Mapped[str] = mapped_column(default="")
    directive_revised_on: Mapped[date | None]
    terminated: Mapped[str] = mapped_column(default="")
    """Why it no longer applies; empty while it does."""
    note: Mapped[str] = mapped_column(default="")
    version: Mapped[int] = mapped_column()
    __mapper_args__ = {"version_id_col": version}


class ComplianceRow(Base):
    """One doing of a requirement."""

    __tablename__ = "compliance"
    id: Mapped[int] = mapped_column(primary_key=True)
    requirement_id: Mapped[int] = mapped_column(ForeignKey("requirement.id"))
    done_on: Mapped[date]
    done_hours: Mapped[Decimal | None]
    """Hours, at the doing, of the assembly that the requirement counts on."""
    done_cycles: Mapped[int | None]
    method: Mapped[str] = mapped_column(default="")
    entry: Mapped[str] = mapped_column(default="")
    done_by: Mapped[str] = mapped_column(default="")
    enroute: Mapped[bool] = mapped_column(default=False)
    version: Mapped[int] = mapped_column()
    __mapper_args__ = {"version_id_col": version}
    __table_args__ = (
        Index("ix_compliance_requirement_done_on", "requirement_id", "done_on"),
        NEVER_USED_TWICE,
    )


class DueRow(Base):
    """When a requirement is next due, kept so that lists need no computation."""

    __tablename__ = "due"
    requirement_id: Mapped[int] = mapped_column(
        ForeignKey("requirement.id"), primary_key=True, autoincrement=False
    )
    aircraft_id: Mapped[int] = mapped_column(ForeignKey("aircraft.id"))
    due_on: Mapped[date | None]
    due_hours: Mapped[Decimal | None]
    due_cycles: Mapped[int | None]
    hours_left: Mapped[Decimal | None]
    cycles_left: Mapped[int | None]
    state: Mapped[str]
    first_limit: Mapped[str] = mapped_column(default="")
    forecast_on: Mapped[date | None]
    """As foreseen when the meter was last read, so it may have passed; lists show no day before the day the
    due state is kept to."""
    early_on: Mapped[date | None]
    late_on: Mapped[date | None]
    passed_on: Mapped[date | None]
    """The day of the first reading beyond the hour limit."""
    comes_first_on: Mapped[date]
    """The day it is expected to fall due, by whichever limit; far in the future when it never does."""
    looks_again_on: Mapped[date | None]
    """The first day on which it may stand otherwise though no record changes."""
    last_on: Mapped[date | None]
    last_hours: Mapped[Decimal | None]
    counts_on: Mapped[str] = mapped_column(default="airframe")
    """'airframe', 'engine 1', 'propeller 1' …"""
    interval: Mapped[str] = mapped_column(default="")
    """The interval in words."""
    note: Mapped[str] = mapped_column(default="")
    """What is to be said beside it: the requirement's own note, and what the state leaves out."""
    __table_args__ = (
        Index("ix_due_comes_first", "comes_first_on", "requirement_id"),
        Index("ix_due_aircraft_comes_first", "aircraft_id", "comes_first_on"),
        Index("ix_due_state_comes_first", "state", "comes_first_on"),
        Index("ix_due_looks_again", "looks_again_on", "aircraft_id"),
    )


class StandingRow(Base):
    """How one airplane stands, kept with its due rows: the fleet list is one indexed read of this table."""

    __tablename__ = "aircraft_standing"
    aircraft_id: Mapped[int] = mapped_column(ForeignKey("aircraft.id"), primary_key=True, autoincrement=False)
    comes_first_on: Mapped[date]
    first_requirement_id: Mapped[int | None]
    first_title: Mapped[str] = mapped_column(default="")
    state: Mapped[str]
    overdue: Mapped[int]
    due_soon: Mapped[int]
    annual_due_on: Mapped[date | None]
    hours_now: Mapped[Decimal | None]
    landings_now: Mapped[int | None]
    read_on: Mapped[date | None]
    hours_per_month: Mapped[Decimal | None]
    worked_out_on: Mapped[date | None]
    """The day to which the airplane's due state is kept; None where it is to be worked out anew."""
    looks_again_on: Mapped[date | None]
    """The first day on which its readings count otherwise, so that all of it is worked out anew."""
    __table_args__ = (
        Index("ix_aircraft_standing_comes_first", "comes_first_on", "aircraft_id"),
        Index("ix_aircraft_standing_state_comes_first", "state", "comes_first_on"),
    )


class AuditRow(Base):
    """Who changed what, when, from what to what."""

    __tablename__ = "audit"
    id: Mapped[int] = mapped_column(primary_key=True)
    changed_at: Mapped[datetime]
    changed_by: Mapped[str]
    table_name: Mapped[str]
    row_id: Mapped[int]
    aircraft_id: Mapped[int | None] = mapped_column(index=True)
    what: Mapped[str]
    before: Mapped[dict[str, Any]]
    after: Mapped[dict[str, Any]]
    __table_args__ = (Index("ix_audit_row", "table_name", "row_id"), NEVER_USED_TWICE)
