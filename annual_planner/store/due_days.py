"""The daily step of the kept due state: which of it a new day changes, and writing that down."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from sqlalchemy import ColumnElement, bindparam, case, or_, select, update

from annual_planner.store.mappings import FAR_FUTURE, AircraftRow, DueRow, RequirementRow, StandingRow
from annual_planner.store.searching import ids_of
from annual_planner.store.session import Work
from annual_planner.trade.periods import DuePoint, Force, Logic, Point


@dataclass(frozen=True, slots=True)
class TurningLine:
    """A kept line that may stand otherwise on a new day, with what that follows from."""

    requirement_id: int
    aircraft_id: int
    due: DuePoint
    last_read: Point
    """Hours and cycles of what it counts on, as last read; no day."""
    force: Force
    foreseen_on: date | None
    passed_on: date | None
    note: str
    """The requirement's own."""


@dataclass(frozen=True, slots=True)
class TurnedLine:
    """What a new day changes of a kept line."""

    requirement_id: int
    state: str
    first_limit: str
    comes_first_on: date | None
    looks_again_on: date | None
    note: str


@dataclass(frozen=True, slots=True)
class LineStands:
    """How one requirement stands, as the airplane's own standing asks for it."""

    requirement_id: int
    title: str
    binding: bool
    state: str
    comes_first_on: date | None


@dataclass(frozen=True, slots=True)
class AirplaneStands:
    """How an airplane stands by its requirements; `comes_first_on` None when nothing comes due."""

    comes_first_on: date | None
    first_requirement_id: int | None
    first_title: str
    state: str
    overdue: int
    due_soon: int


def kept_on_another_day(work: Work, today: date) -> list[int]:
    """The airplanes whose due state is kept to another day than `today`."""
    query = select(StandingRow.aircraft_id).where(StandingRow.worked_out_on.is_distinct_from(today))
    return sorted(work.session.scalars(query))


def to_work_out_anew(work: Work, today: date, among: Sequence[int] | None = None) -> list[int]:
    """The airplanes whose readings count otherwise on `today`, or that are kept to a later day or to none."""
    kept = StandingRow.worked_out_on
    anew = or_(kept.is_(None), kept > today, StandingRow.looks_again_on <= today)
    query = select(StandingRow.aircraft_id).where(anew)
    if among is not None:
        query = query.where(StandingRow.aircraft_id.in_(among))
    return sorted(work.session.scalars(query))


def with_turning_lines(work: Work, today: date) -> list[int]:
    """The airplanes of which some line may stand otherwise on `today`."""
    # Told apart here: for distinct airplanes SQLite would go through every line in their order.
    return sorted(set(ids_of(work, select(DueRow.aircraft_id).where(DueRow.looks_again_on <= today))))


_TURNING = (
    select(
        DueRow.requirement_id,
        DueRow.aircraft_id,
        DueRow.due_on,
        DueRow.due_hours,
        DueRow.due_cycles,
        DueRow.hours_left,
        DueRow.cycles_left,
        DueRow.forecast_on,
        DueRow.passed_on,
        RequirementRow.logic,
        RequirementRow.force,
        RequirementRow.note,
    )
    .join(RequirementRow, RequirementRow.id == DueRow.requirement_id)
    .where(DueRow.aircraft_id.in_(bindparam("among", expanding=True)))
    .where(DueRow.looks_again_on <= bindparam("today"))
)  # fmt: skip


def turning_lines(work: Work, today: date, among: Sequence[int]) -> list[TurningLine]:
    """The lines of these airplanes that may stand otherwise on `today`: one query."""
    rows = work.session.execute(_TURNING, {"among": list(among), "today": today})
    return [_turning(row) for row in rows]


def _turning(row: Any) -> TurningLine:
    requirement_id, aircraft_id, due_on, due_hours, due_cycles, hours_left, cycles_left, *rest = row
    foreseen_on, passed_on, logic, force, note = rest
    return TurningLine(
        requirement_id=requirement_id,
        aircraft_id=aircraft_id,
        due=DuePoint(due_on, due_hours, due_cycles, Logic(logic)),
        last_read=Point(
            hours=due_hours - hours_left if hours_left is not None else None,
            cycles=due_cycles - cycles_left if cycles_left is not None else None,
        ),
        force=Force(force),
        foreseen_on=foreseen_on,
        passed_on=passed_on,
        note=note,
    )


def lock_airplanes(work: Work, aircraft_ids: Sequence[int]) -> None:
    """Let one writer at a time change these airplanes' due state, where the database can."""
    query = select(AircraftRow.id).where(AircraftRow.id.in_(aircraft_ids)).order_by(AircraftRow.id)
    work.session.execute(query.with_for_update()).all()


def _in_place(row: Any, key: str, names: Sequence[str]) -> Any:
    """Writes these columns of the rows given by their key."""
    table = row.__table__
    values: dict[str, Any] = {name: bindparam(name) for name in names}
    return update(table).where(table.c[key] == bindparam("of")).values(values)


_TURN_LINE = _in_place(
    DueRow, "requirement_id", ("state", "first_limit", "comes_first_on", "looks_again_on", "note")
)
_TURN_STANDING = _in_place(
    StandingRow,
    "aircraft_id",
    (
        "comes_first_on", "first_requirement_id", "first_title", "state", "overdue", "due_soon",
        "worked_out_on",
    ),
)  # fmt: skip


def turn_lines(work: Work, lines: Sequence[TurnedLine]) -> None:
    """Write down how these lines stand now."""
    if lines:
        work.session.connection().execute(_TURN_LINE, [_stored(line) for line in lines])


def _stored(line: TurnedLine) -> dict[str, Any]:
    return {
        "of": line.requirement_id,
        "state": line.state,
        "first_limit": line.first_limit,
        "comes_first_on": line.comes_first_on or FAR_FUTURE,
        "looks_again_on": line.looks_again_on,
        "note": line.note,
    }


def lines_of_airplanes(work: Work, aircraft_ids: Sequence[int]) -> dict[int, list[LineStands]]:
    """How every requirement of these airplanes stands, by airplane, in the order of their ids: one query."""
    query = (
        select(
            DueRow.aircraft_id,
            DueRow.requirement_id,
            RequirementRow.title,
            RequirementRow.force,
            DueRow.state,
            DueRow.comes_first_on,
        )
        .join(RequirementRow, RequirementRow.id == DueRow.requirement_id)
        .where(DueRow.aircraft_id.in_(aircraft_ids))
        .order_by(DueRow.requirement_id)
    )
    found: dict[int, list[LineStands]] = {each: [] for each in aircraft_ids}
    for aircraft_id, requirement_id, title, force, state, day in work.session.execute(query):
        comes_first = None if day == FAR_FUTURE else day
        line = LineStands(requirement_id, title, Force(force).binding, state, comes_first)
        found[aircraft_id].append(line)
    return found


def turn_standings(work: Work, standings: dict[int, AirplaneStands], today: date) -> None:
    """Write down how these airplanes stand on `today`."""
    if standings:
        rows = [_standing(aircraft_id, each, today) for aircraft_id, each in standings.items()]
        work.session.connection().execute(_TURN_STANDING, rows)


def _standing(aircraft_id: int, stands: AirplaneStands, today: date) -> dict[str, Any]:
    return {
        "of": aircraft_id,
        "comes_first_on": stands.comes_first_on or FAR_FUTURE,
        "first_requirement_id": stands.first_requirement_id,
        "first_title": stands.first_title,
        "state": stands.state,
        "overdue": stands.overdue,
        "due_soon": stands.due_soon,
        "worked_out_on": today,
    }


def keep_to(work: Work, today: date, aircraft_ids: Sequence[int]) -> None:
    """Say of these airplanes that their due state holds on `today`, where nothing of it is left to change."""
    anew = StandingRow.looks_again_on
    turning = select(DueRow.aircraft_id).where(DueRow.looks_again_on <= today)
    work.session.execute(
        update(StandingRow)
        .where(StandingRow.aircraft_id.in_(aircraft_ids))
        .where(StandingRow.worked_out_on < today, or_(anew.is_(None), anew > today))
        .where(StandingRow.aircraft_id.not_in(turning))
        .values(worked_out_on=today)
        .execution_options(synchronize_session=False)
    )


def batches(ids: Sequence[int], size: int) -> Iterator[list[int]]:
    """So many at a time."""
    for first in range(0, len(ids), size):
        yield list(ids[first : first + size])


def not_before(day: date | None, today: date | None) -> date | None:
    """A day foreseen from an older reading is not shown in the past while its limit is not known passed."""
    return max(day, today) if day is not None and today is not None else day


def shown(foreseen_on: Any) -> ColumnElement[Any]:
    """`not_before` the day to which the due state is kept, for queries that look at the standing too."""
    kept = StandingRow.worked_out_on
    return case((foreseen_on < kept, kept), else_=foreseen_on)
