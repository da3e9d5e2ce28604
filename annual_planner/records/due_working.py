"""Working out when an airplane's requirements are due, from the facts on record: no database, no clock."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal

from annual_planner.records.due_on_day import OnDay, on_day
from annual_planner.store.due_facts import Done, DueFacts, Fitted, Need
from annual_planner.trade import registration
from annual_planner.trade.answer import answer
from annual_planner.trade.assemblies import due_on_airframe
from annual_planner.trade.flying import MONTHS_REMEMBERED
from annual_planner.trade.intervals import next_due, overrun_within_allowance
from annual_planner.trade.periods import DuePoint, Point, add_months
from annual_planner.trade.said import said_date, said_hours
from annual_planner.trade.standing import cycles_left, hours_left
from annual_planner.trade.usage import Forecast, Reading, Usage, first_whole_month, forecasts, usage
from annual_planner.trade.working import Step, Worked, Working

ANNUAL = "annual"
ENTITLED = "The doing on record was entered as it was, by someone entitled to it on that day."
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
    now: Point
    """The present of what it counts on."""
    airframe_hours: Decimal | None
    """The airframe's, where it counts on an engine or a propeller."""


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
    dues = {need.requirement_id: _due(need, facts, today) for need in chosen}
    foreseen = _forecasts(chosen, dues, facts, readings, flown.value)
    needs = tuple(
        _need_due(need, dues[need.requirement_id], foreseen.get(need.requirement_id), facts, readings, now)
        for need in chosen
    )
    read_on = readings[-1].on if readings else None
    return AircraftDue(flown, now, read_on, _counts_until(facts, flown.value, today), needs)


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


def _counts_until(facts: DueFacts, flown: Usage, today: date) -> date | None:
    """The first day after today on which readings count otherwise: one is no longer ahead, or grows too old.

    The newest of the old ones is counted still, so the oldest of all is left out when the next grows old.
    Where whole months are counted that changes nothing while both lie before the same one. A day from which
    something counts without its hours has those last read when it comes.
    """
    readings, start = facts.readings, add_months(today, -MONTHS_REMEMBERED)
    ahead = [reading.on for reading in readings if reading.on > today]
    known = [reading.on for reading in readings if reading.on <= today]
    first = next((place for place, on in enumerate(known) if place and on >= start), len(known))
    growing_old = known[first:]
    if flown.months:
        counted_from = first_whole_month(known[first - 1])
        growing_old = [on for on in growing_old if first_whole_month(on) != counted_from]
    turns = [*ahead[:1], *_takes_effect(facts.needs, today)]
    if growing_old:
        turns.append(max(add_months(growing_old[0], MONTHS_REMEMBERED), today) + timedelta(days=1))
    return min(turns, default=None)


def _takes_effect(needs: Sequence[Need], today: date) -> list[date]:
    """The days still to come from which something counts."""
    return [
        need.effective.on
        for need in needs
        if need.effective is not None and need.effective.on is not None and need.effective.on > today
    ]


def _landings(facts: DueFacts, day: date) -> int | None:
    counted = [count for read_on, count in facts.landings if read_on <= day]
    return counted[-1] if counted else None


def _due(need: Need, facts: DueFacts, today: date) -> Worked[DuePoint]:
    if not need.terminated and need.assembly_id is not None and need.assembly_id not in facts.fitted:
        return _not_due(need, DuePoint(ended="not fitted"), "What it counts on is no longer fitted.")
    if need.interval is None and need.fixed_on is None and not need.terminated:
        return _not_due(need, DuePoint(), "Neither an interval nor a date is written down for it.")
    if need.terminated:
        texts = f"It no longer applies: {need.terminated}", "The record of it stays in the status list."
        return _not_due(need, DuePoint(ended="terminated"), *texts)
    return _through_history(need, _history(need, facts), facts, today)


def _not_due(need: Need, due: DuePoint, *why: str) -> Worked[DuePoint]:
    result = f"nothing more due ({due.ended})" if due.ended else "no record to count from"
    return answer(due, need.title, result, citation=need.citation, steps=[Step(each) for each in why])


def _history(need: Need, facts: DueFacts) -> list[Done]:
    """Its doings oldest first, with those of another that count as its own."""
    own = list(facts.done.get(need.requirement_id, ()))
    other = STARTS_ANEW.get(need.key)
    for each in facts.needs:
        if other and each.key == other and each.assembly_id == need.assembly_id:
            own += facts.done.get(each.requirement_id, ())
    return sorted(own, key=lambda done: (done.point.on or date.min, done.point.hours or Decimal(0)))


def _through_history(need: Need, history: Sequence[Done], facts: DueFacts, today: date) -> Worked[DuePoint]:
    """Count from the last doing; from the first on where hours past one limit come off the next."""
    if need.key == registration.KEY and need.interval == registration.INTERVAL and not need.fixed_on:
        issued = [done.point.on for done in history if done.point.on is not None]
        return registration.registration_due(issued[-1]) if issued else _count(need, None, None, facts, today)
    carries = need.interval is not None and need.interval.enroute_excess_hours > 0
    due = _count(need, history[-1] if history and not carries else None, None, facts, today)
    for done in history if carries else ():
        due = _count(need, done, due.value, facts, today)
    return due


def _count(
    need: Need, done: Done | None, previous: DuePoint | None, facts: DueFacts, today: date
) -> Worked[DuePoint]:
    start, said = _as_read(done.point if done else need.effective, need, facts, today)
    counted = next_due(
        need.interval,
        start if done else None,
        effective=None if done else start,
        previous_due=previous,
        enroute=bool(done and done.enroute),
        ordinary_overrun=overrun_within_allowance(need.interval, start, previous),
        fixed_on=need.fixed_on,
        title=need.title,
        citation=need.citation,
    )
    assumptions = (*said, *counted.working.assumptions, *((ENTITLED,) if done else ()))
    return Worked(counted.value, replace(counted.working, assumptions=assumptions))


def _as_read(
    start: Point | None, need: Need, facts: DueFacts, today: date
) -> tuple[Point | None, tuple[str, ...]]:
    """What is counted from, with the hours and landings last read by its day where it came without; and that.

    They can only be too few, so nothing falls due too late by them.
    """
    if start is None or start.on is None or start.on > today or need.interval is None:
        return start, ()
    hours, cycles = start.hours, start.cycles
    said: list[tuple[str, str]] = []
    if hours is None and need.interval.hours is not None:
        hours = _hours_read_by(start.on, need, facts)
        said += [("hours", said_hours(hours))] if hours is not None else []
    if cycles is None and need.interval.cycles is not None and _on_airframe(need, facts):
        cycles = _landings(facts, start.on)
        said += [("landings", str(cycles))] if cycles is not None else []
    day = said_date(start.on)
    told = tuple(f"No {what} written down for {day}: those last read by then, {n}." for what, n in said)
    return Point(start.on, hours, cycles), told


def _hours_read_by(day: date, need: Need, facts: DueFacts) -> Decimal | None:
    """Hours of what it counts on as last read by a day; None before the first reading and its fitting."""
    read = next((reading.hours for reading in reversed(facts.readings) if reading.on <= day), None)
    fitted = facts.fitted.get(need.assembly_id or 0)
    if read is None or (fitted is not None and read < fitted.airframe_hours_at_fitting):
        return None
    return _hours_of(fitted, read)


def _on_airframe(need: Need, facts: DueFacts) -> bool:
    fitted = facts.fitted.get(need.assembly_id or 0)
    return fitted is None or fitted.kind == "airframe"


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
        now=now,
        airframe_hours=airframe_now.hours if fitted is not None and fitted.kind != "airframe" else None,
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
    limit, own = worked.due.value.hours, worked.now.hours
    if limit is not None and own is not None and worked.airframe_hours is not None:
        parts.append(due_on_airframe(limit, own, worked.airframe_hours).working)
    if worked.forecast is not None:
        parts += [worked.forecast.working, flown.working]
    return replace(worked.due.working, parts=(*worked.due.working.parts, *parts))
