"""What a visit weighs: an airplane's requirements with intervals, last doings, due state and hours now."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from sqlalchemy import ColumnElement, Select, and_, func, select
from sqlalchemy.orm import aliased

from annual_planner.store.due_days import not_before
from annual_planner.store.mappings import (
    AircraftRow,
    AssemblyRow,
    ComplianceRow,
    DueRow,
    InstallationRow,
    RequirementRow,
    StandingRow,
)
from annual_planner.store.rows import DueLine
from annual_planner.store.session import Work
from annual_planner.trade.periods import DuePoint, DueState, Force, Interval, Logic, Point, interval_text


@dataclass(frozen=True, slots=True)
class Weighable:
    """One requirement of an airplane as it stands now, with what its next due is counted from.

    `hours_now` are those of the assembly it counts on; `engine` is the position of that engine or propeller,
    else 0.
    """

    line: DueLine
    interval: Interval | None
    due: DuePoint
    last_done: Point | None
    effective: Point | None
    fixed_on: date | None
    hours_now: Decimal | None
    engine: int
    enroute: bool
    terminated: bool


def weighables(work: Work, aircraft_id: int) -> list[Weighable]:
    """Read every requirement of an airplane, what comes first first: one query."""
    query = _query().where(RequirementRow.aircraft_id == aircraft_id)
    return [_weighable(row) for row in work.session.execute(query)]


def item_dues(work: Work, requirement_ids: tuple[int, ...]) -> dict[int, Weighable]:
    """Read these requirements by their ids: one query."""
    found = work.session.execute(_query().where(RequirementRow.id.in_(requirement_ids)))
    return {each.line.requirement_id: each for each in map(_weighable, found)}


def _query() -> Select[*tuple[Any, ...]]:
    last = _last_compliance()
    return (
        select(
            RequirementRow, DueRow, AircraftRow.registration, ComplianceRow, InstallationRow, StandingRow,
            AssemblyRow.kind,
        )
        .join(AircraftRow, AircraftRow.id == RequirementRow.aircraft_id)
        .outerjoin(DueRow, DueRow.requirement_id == RequirementRow.id)
        .outerjoin(ComplianceRow, ComplianceRow.id == last)
        .outerjoin(AssemblyRow, AssemblyRow.id == RequirementRow.assembly_id)
        .outerjoin(
            InstallationRow,
            and_(
                InstallationRow.assembly_id == RequirementRow.assembly_id,
                InstallationRow.aircraft_id == RequirementRow.aircraft_id,
                InstallationRow.removed_on.is_(None),
            ),
        )
        .outerjoin(StandingRow, StandingRow.aircraft_id == RequirementRow.aircraft_id)
        .order_by(func.coalesce(DueRow.comes_first_on, date.max), RequirementRow.id)
    )  # fmt: skip


def _last_compliance() -> ColumnElement[int]:
    """The newest doing of the requirement, by its index on requirement and date."""
    newest = aliased(ComplianceRow)
    return (
        select(newest.id)
        .where(newest.requirement_id == RequirementRow.id)
        .order_by(newest.done_on.desc(), newest.id.desc())
        .limit(1)
        .correlate(RequirementRow)
        .scalar_subquery()
    )


def _weighable(row: Any) -> Weighable:
    need, due, registration, done, fitted, standing, kind = row
    hours_now = _hours_now(need, fitted, standing)
    interval = interval_of(need)
    turning = kind in ("engine", "propeller") and fitted is not None
    return Weighable(
        line=_line(need, due, registration, done, interval, _counts_on(kind, fitted), standing),
        interval=interval,
        due=_due_point(need, due),
        last_done=Point(done.done_on, done.done_hours, done.done_cycles) if done is not None else None,
        effective=_effective(need),
        fixed_on=need.fixed_on,
        hours_now=hours_now,
        engine=fitted.position if turning else 0,
        enroute=bool(done is not None and done.enroute),
        terminated=bool(need.terminated),
    )


def _hours_now(
    need: RequirementRow, fitted: InstallationRow | None, standing: StandingRow | None
) -> Decimal | None:
    if standing is None or standing.hours_now is None:
        return None
    if fitted is None:
        return standing.hours_now if need.assembly_id is None else None
    return fitted.assembly_hours_at_fitting + standing.hours_now - fitted.airframe_hours_at_fitting


INTERVAL_COLUMNS = (
    RequirementRow.every_hours,
    RequirementRow.every_cycles,
    RequirementRow.every_calendar_months,
    RequirementRow.every_months,
    RequirementRow.every_days,
    RequirementRow.logic,
    RequirementRow.recurring,
    RequirementRow.enroute_excess_hours,
)
"""What `interval_of` is made from."""


def interval_of(need: Any) -> Interval | None:
    """Make the trade's interval of a requirement, or a row of its columns; None where none is written."""
    limits = (
        need.every_hours, need.every_cycles, need.every_calendar_months, need.every_months, need.every_days
    )  # fmt: skip
    if all(limit is None for limit in limits):
        return None
    return Interval(
        *limits,
        logic=Logic(need.logic),
        recurring=need.recurring,
        enroute_excess_hours=need.enroute_excess_hours,
    )


def _effective(need: RequirementRow) -> Point | None:
    if need.effective_on is None and need.effective_hours is None:
        return None
    return Point(need.effective_on, need.effective_hours)


def _due_point(need: RequirementRow, due: DueRow | None) -> DuePoint:
    if need.terminated:
        return DuePoint(ended="terminated")
    if due is None:
        return DuePoint(logic=Logic(need.logic))
    ended = "done once" if due.state == DueState.ENDED else ""
    return DuePoint(due.due_on, due.due_hours, due.due_cycles, Logic(need.logic), ended)


def _counts_on(kind: str | None, fitted: InstallationRow | None) -> str:
    if kind is None:
        return "airframe"
    return f"{kind} {fitted.position}" if fitted is not None else kind


def _line(
    need: RequirementRow,
    due: DueRow | None,
    registration: str,
    done: ComplianceRow | None,
    interval: Interval | None,
    counts_on: str,
    standing: StandingRow | None,
) -> DueLine:
    kept_to = standing.worked_out_on if standing is not None else None
    return DueLine(
        requirement_id=need.id,
        aircraft_id=need.aircraft_id,
        registration=registration,
        title=need.title,
        key=need.key,
        citation=need.citation,
        source=need.source,
        force=Force(need.force).value,
        interval=interval_text(interval) if interval is not None else "",
        counts_on=counts_on,
        last_on=done.done_on if done is not None else None,
        last_hours=done.done_hours if done is not None else None,
        due_on=due.due_on if due is not None else None,
        due_hours=due.due_hours if due is not None else None,
        hours_left=due.hours_left if due is not None else None,
        state=due.state if due is not None else DueState.NEVER_DONE.value,
        first_limit=due.first_limit if due is not None else "",
        forecast_on=not_before(due.forecast_on, kept_to) if due is not None else None,
        early_on=not_before(due.early_on, kept_to) if due is not None else None,
        late_on=not_before(due.late_on, kept_to) if due is not None else None,
        comes_first_on=due.comes_first_on if due is not None else None,
        note=need.note,
    )
