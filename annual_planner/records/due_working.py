"""Working out when an airplane's requirements are due, from the facts on record: no database, no clock."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal

from annual_planner.records.due_on_day import OnDay, on_day
from annual_planner.store.due_facts import Done, DueFacts, Fitted, Need
from annual_planner.trade.answer import answer
from annual_planner.trade.flying import MONTHS_REMEMBERED
from annual_planner.trade.intervals import next_due
from annual_planner.trade.periods import DuePoint, Point, add_months
from annual_planner.trade.standing import cycles_left, hours_left
from annual_planner.trade.usage import Forecast, Reading, Usage, first_whole_month, forecasts, usage
from annual_planner.trade.working import Step, Worked, Working

ANNUAL = "annual"
STARTS_ANEW = {"hundred_hour": ANNUAL}
"""Requirements (by key) that are also met by doing another: an annual is at least a 100-hour inspection."""


@dataclass(frozen=True, slots=True)
class NeedDue:
    """One requirement with everything worked out about when it is due."""

    need: Need
    counts_on: str
    last: Point | None
    due: Worked[DuePoint]
    forecast: Worked[Forecast] | None
    """When the hour limit is reached, as counted from the last reading."""
    hours_left: Decimal | None
    cycles_left: int | None
    passed_on: date | None
    stands: OnDay


@dataclass(frozen=True, slots=True)
class AircraftDue:
    """An airplane's use and its requirements, worked out on one day."""

    usage: Worked[Usage]
    now: Point
    read_on: date | None
    counts_until: date | None
    """The first day on which its readings count otherwise though none is added."""
    needs: tuple[NeedDue, ...]


def work_out(facts: DueFacts, today: date, only: int | None = None) -> AircraftDue:
    """Work out every requirement, or one of them. Raises Refused for readings that can't be right."""
    readings = [reading for reading in facts.readings if reading.on <= today]
    flown = _usage(readings, facts.stated_hours_per_month, today)
    now = Point(today, readings[-1].hours if readings else None, _landings(facts, today))
    chosen = [need for need in facts.needs if only is None or need.requirement_id == only]
    dues = {need.requirement_id: _due(need, facts) for need in chosen}
    foreseen = _forecasts(chosen, dues, facts, readings, flown.value)
    needs = tuple(
        _need_due(need, dues[need.requirement_id], foreseen.get(need.requirement_id), facts, readings, now)
        for need in chosen
    )
    read_on = readings[-1].on if readings else None
    return AircraftDue(flown, now, read_on, _counts_until(facts.readings, flown.value, today), needs)


def _usage(readings: Sequence[Reading], stated: Decimal | None, today: date) -> Worked[Usage]:
    """How it is flown, from the months that still say something about it."""
    start = add_months(today, -MONTHS_REMEMBERED)
    older = [reading for reading in readings if reading.on < start]
    recent = [*older[-1:], *(reading for reading in readings if reading.on >= start)]
    worked = usage(recent, stated_hours_per_month=stated, today=today)
    if len(older) < 2:
        return worked
    step = Step(
        f"Readings of the last {MONTHS_REMEMBERED} months are taken, {len(older) - 1} older ones left out"
    )
    return Worked(worked.value, replace(worked.working, steps=(step, *worked.working.steps)))


def _counts_until(readings: Sequence[Reading], flown: Usage, today: date) -> date | None:
    """The first day after today on which readings count otherwise: one is no longer ahead, or grows too old.

    The newest of the old ones is counted still, so the oldest of all is left out when the next grows old.
    Where whole months are counted that changes nothing while both lie before the same one.
    """
    start = add_months(today, -MONTHS_REMEMBERED)
    ahead = [reading.on for reading in readings if reading.on > today]
    known = [reading.on for reading in readings if reading.on <= today]
    first = next((place for place, on in enumerate(known) if place and on >= start), len(known))
    growing_old = known[first:]
    if flown.months:
        counted_from = first_whole_month(known[first - 1])
        growing_old = [on for on in growing_old if first_whole_month(on) != counted_from]
    turns = ahead[:1]
    if growing_old:
        turns.append(max(add_months(growing_old[0], MONTHS_REMEMBERED), today) + timedelta(days=1))
    return min(turns, default=None)


def _landings(facts: DueFacts, today: date) -> int | None:
    counted = [count for read_on, count in facts.landings if read_on <= today]
    return counted[-1] if counted else None


def _due(need: Need, facts: DueFacts) -> Worked[DuePoint]:
    if not need.terminated and need.assembly_id is not None and need.assembly_id not in facts.fitted:
        return _not_due(need, DuePoint(ended="not fitted"), "What it counts on is no longer fitted.")
    if need.interval is None and need.fixed_on is None and not need.terminated:
        return _not_due(need, DuePoint(), "Neither an interval nor a date is written down for it.")
    if need.terminated:
        text = f"It no longer applies: {need.terminated}"
        return _not_due(need, DuePoint(ended="terminated"), text)
    return _through_history(need, _history(need, facts))


def _not_due(need: Need, due: DuePoint, why: str) -> Worked[DuePoint]:
    result = f"nothing more due ({due.ended})" if due.ended else "no record to count from"
    return answer(due, need.title, result, citation=need.citation, steps=[Step(why)])


def _history(need: Need, facts: DueFacts) -> list[Done]:
    """Its doings oldest first, with those of another that count as its own."""
    own = list(facts.done.get(need.requirement_id, ()))
    other = STARTS_ANEW.get(need.key)
    for each in facts.needs:
        if other and each.key == other and each.assembly_id == need.assembly_id:
            own += facts.done.get(each.requirement_id, ())
    return sorted(own, key=lambda done: (done.point.on or date.min, done.point.hours or Decimal(0)))


def _through_history(need: Need, history: Sequence[Done]) -> Worked[DuePoint]:
    """Count from the last doing; from the first on where hours past one limit come off the next."""
    carries = need.interval is not None and need.interval.enroute_excess_hours > 0
    due = _count(need, history[-1] if history and not carries else None, None)
    for done in history if carries else ():
        due = _count(need, done, due.value)
    return due


def _count(need: Need, done: Done | None, previous: DuePoint | None) -> Worked[DuePoint]:
    return next_due(
        need.interval,
        done.point if done else None,
        effective=need.effective,
        previous_due=previous,
        enroute=bool(done and done.enroute),
        ordinary_overrun=_ordinary_overrun(need, done, previous),
        fixed_on=need.fixed_on,
        title=need.title,
        citation=need.citation,
    )


def _ordinary_overrun(need: Need, done: Done | None, previous: DuePoint | None) -> bool:
    """Say whether a doing came some hours late and not on the way to it, so that the careful count is right.

    Far more hours than the allowance are no overrun but flying to which the limit did not apply, or a doing
    that is not on record: it counts from the doing.
    """
    if done is None or done.enroute or previous is None or need.interval is None:
        return False
    if previous.hours is None or done.point.hours is None:
        return False
    return done.point.hours - previous.hours <= need.interval.enroute_excess_hours


def _forecasts(
    needs: Sequence[Need],
    dues: dict[int, Worked[DuePoint]],
    facts: DueFacts,
    readings: Sequence[Reading],
    flown: Usage,
) -> dict[int, Worked[Forecast]]:
    """When each hour limit will be reached; counted from the day the meter was last read."""
    if not readings or not flown.hours_per_month:
        return {}
    foreseen: dict[int, Worked[Forecast]] = {}
    by_assembly: dict[int | None, list[tuple[int, Decimal]]] = {}
    for need in needs:
        limit = dues[need.requirement_id].value.hours
        if limit is not None:
            by_assembly.setdefault(need.assembly_id, []).append((need.requirement_id, limit))
    for assembly_id, limits in by_assembly.items():
        now_hours = _hours_of(facts.fitted.get(assembly_id or 0), readings[-1].hours)
        worked = forecasts([limit for _, limit in limits], now_hours, flown, readings[-1].on)
        foreseen |= {requirement_id: each for (requirement_id, _), each in zip(limits, worked, strict=True)}
    return foreseen


def _hours_of(fitted: Fitted | None, airframe_hours: Decimal) -> Decimal:
    return airframe_hours if fitted is None else fitted.hours_at(airframe_hours)


def _need_due(
    need: Need,
    due: Worked[DuePoint],
    foreseen: Worked[Forecast] | None,
    facts: DueFacts,
    readings: Sequence[Reading],
    airframe_now: Point,
) -> NeedDue:
    fitted = facts.fitted.get(need.assembly_id or 0)
    now = _now_of(fitted, airframe_now)
    history = _history(need, facts)
    passed_on = _passed_on(due.value.hours, readings, fitted)
    foreseen_on = foreseen.value.on if foreseen else None
    return NeedDue(
        need=need,
        counts_on=_counts_on(need, fitted),
        last=history[-1].point if history else None,
        due=due,
        forecast=foreseen,
        hours_left=hours_left(due.value, now),
        cycles_left=cycles_left(due.value, now),
        passed_on=passed_on,
        stands=on_day(due.value, now, need.force, foreseen_on, passed_on),
    )


def _counts_on(need: Need, fitted: Fitted | None) -> str:
    if fitted is not None and fitted.kind != "airframe":
        return f"{fitted.kind} {fitted.position}"
    return "airframe" if need.assembly_id is None or fitted is not None else "not fitted"


def _now_of(fitted: Fitted | None, airframe_now: Point) -> Point:
    """The present of what is counted on; landings are those of the airframe alone."""
    if fitted is None or airframe_now.hours is None:
        return airframe_now
    cycles = airframe_now.cycles if fitted.kind == "airframe" else None
    return Point(airframe_now.on, fitted.hours_at(airframe_now.hours), cycles)


def _passed_on(limit: Decimal | None, readings: Sequence[Reading], fitted: Fitted | None) -> date | None:
    """The day of the first reading beyond an hour limit."""
    if limit is None or not readings or _hours_of(fitted, readings[-1].hours) <= limit:
        return None
    return next((each.on for each in readings if _hours_of(fitted, each.hours) > limit), None)


def due_working(flown: Worked[Usage], worked: NeedDue) -> Working:
    """The whole working of a due line: when due, how it stands, when expected, how the airplane is flown."""
    parts = [worked.stands.state.working]
    if worked.forecast is not None:
        parts += [worked.forecast.working, flown.working]
    return replace(worked.due.working, parts=(*worked.due.working.parts, *parts))
