"""The airplane in `records.json`: what is fitted, its meters, what is required and when it was done."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from annual_planner.exchange.hand_over.values import Count, Day, Exact, Id, Row, Text, Word, Words

_Interval = Annotated[int, Field(ge=0, le=1_000_000)]


class Person(Row):
    """Someone whom the records name."""

    id: Id
    name: Word


class Aircraft(Row):
    """The airplane; `features` are keys of the program's list of features."""

    id: Id
    registration: Annotated[str, Field(pattern=r"^[A-Z0-9][A-Z0-9 ()._-]{0,59}$")]
    maker: Word
    model: Word
    serial: Word
    year_built: Annotated[int, Field(ge=1900, le=2199)] | None
    category: Word
    uses: Words
    features: Words
    counts: dict[str, Annotated[int, Field(ge=0, le=1000)]]
    base: Word
    stated_hours_per_month: Exact | None
    notes: Text


class Assembly(Row):
    """A thing with hours of its own: an engine, a propeller, a life-limited part."""

    id: Id
    kind: Word
    maker: Word
    model: Word
    serial: Word
    hours_since_overhaul_at_fitting: Exact | None
    type_key: Word


class Installation(Row):
    """An assembly's stay on the airplane, with both hours, h, at fitting and at removal."""

    id: Id
    assembly_id: Id
    aircraft_id: Id
    position: Annotated[int, Field(ge=1, le=99)]
    fitted_on: Day
    airframe_hours_at_fitting: Exact
    assembly_hours_at_fitting: Exact
    removed_on: Day | None
    airframe_hours_at_removal: Exact | None
    assembly_hours_at_removal: Exact | None


class Meter(Row):
    """A meter; its reading plus `offset_hours`, h, is the airframe's time in service."""

    id: Id
    aircraft_id: Id
    kind: Word
    fitted_on: Day
    offset_hours: Exact
    of_record: bool
    replaced_on: Day | None


class MeterReading(Row):
    """A meter read on a day, h, with the landings counted by then."""

    id: Id
    meter_id: Id
    aircraft_id: Id
    read_on: Day
    meter_hours: Exact
    landings: Count | None
    note: Text


class Requirement(Row):
    """Something that must be done at an interval or once."""

    id: Id
    aircraft_id: Id
    assembly_id: Id | None
    key: Word
    title: Word
    source: Text
    citation: Text
    force: Literal["rule", "directive", "limitation", "recommended"]
    every_hours: Exact | None
    every_cycles: _Interval | None
    every_calendar_months: _Interval | None
    every_months: _Interval | None
    every_days: _Interval | None
    logic: Literal["first", "last"]
    recurring: bool
    enroute_excess_hours: Exact
    effective_on: Day | None
    effective_hours: Exact | None
    fixed_on: Day | None
    directive_number: Word
    directive_revised_on: Day | None
    terminated: Text
    note: Text


class Compliance(Row):
    """One doing of a requirement."""

    id: Id
    requirement_id: Id
    done_on: Day
    done_hours: Exact | None
    done_cycles: Count | None
    method: Text
    entry: Text
    done_by: Text
    enroute: bool
