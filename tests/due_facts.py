"""Facts of one airplane as the due arithmetic is given them, without a database."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from decimal import Decimal

from annual_planner.library.shelf import load_library
from annual_planner.records.due_working import NeedDue, work_out
from annual_planner.store.due_facts import Done, DueFacts, Fitted, Need
from annual_planner.trade.periods import Force, Interval, Point
from annual_planner.trade.requirements import RequirementTemplate
from annual_planner.trade.usage import Reading

TEMPLATES: Mapping[str, RequirementTemplate] = {each.key: each for each in load_library().requirements}
"""What airplanes take on, by key, as shipped."""


def need(
    key: str = "",
    interval: Interval | None = None,
    *,
    number: int = 1,
    force: Force = Force.DIRECTIVE,
    assembly: int | None = None,
    effective: Point | None = None,
    fixed_on: date | None = None,
    terminated: str = "",
) -> Need:
    """A requirement as the shipped template of this key has it, else a directive with this interval."""
    template = TEMPLATES.get(key)
    return Need(
        requirement_id=number,
        assembly_id=assembly,
        key=key,
        title=template.title if template else "A directive",
        citation=template.citation if template else "its own words",
        force=template.force if template else force,
        interval=template.interval if template else interval,
        effective=effective,
        fixed_on=fixed_on,
        terminated=terminated,
        note="",
    )


def done(on: date | None = None, hours: str | None = None, *, enroute: bool = False) -> Done:
    return Done(Point(on, None if hours is None else Decimal(hours)), enroute)


def facts(
    *needs: Need,
    doings: Mapping[int, Sequence[Done]] | None = None,
    readings: Sequence[Reading] = (),
    landings: Sequence[tuple[date, int]] = (),
    fitted: Mapping[int, Fitted] | None = None,
) -> DueFacts:
    return DueFacts(
        aircraft_id=1,
        registration="N012AP",
        stated_hours_per_month=Decimal(10),
        readings=tuple(readings),
        landings=tuple(landings),
        needs=needs,
        done={key: tuple(each) for key, each in (doings or {}).items()},
        fitted=dict(fitted or {}),
    )


def read(on: date, hours: str) -> Reading:
    return Reading(on, Decimal(hours))


def stands(known: DueFacts, today: date, number: int = 1) -> NeedDue:
    """One requirement, worked out as the program keeps it."""
    return next(each for each in work_out(known, today).needs if each.need.requirement_id == number)
