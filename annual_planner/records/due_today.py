"""The due state on a day of its own: days pass without any record being changed."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import fields, replace
from datetime import date
from typing import TYPE_CHECKING

from annual_planner.records.due_on_day import airplane_stands, note_on_day, on_day
from annual_planner.records.due_state import kept_on, refresh
from annual_planner.store.due_days import (
    TurnedLine,
    TurningLine,
    batches,
    keep_to,
    kept_on_another_day,
    lines_of_airplanes,
    lock_airplanes,
    not_before,
    to_work_out_anew,
    turn_lines,
    turn_standings,
    turning_lines,
    with_turning_lines,
)
from annual_planner.store.due_facts import KeptDue
from annual_planner.store.rows import DueLine

if TYPE_CHECKING:
    from annual_planner.store.session import Fleet, Work

AT_ONCE = 40
"""Airplanes brought forward in one transaction: some tenths of a second at most."""
KEPT_AT_ONCE = 1_000
"""Airplanes of which nothing changes but the day."""
_NOW = {each.name for each in fields(DueLine)}
_SHARED = tuple(each.name for each in fields(KeptDue) if each.name in _NOW)
_TURNED = tuple(each.name for each in fields(TurnedLine) if each.name in _NOW)


def bring_forward(
    fleet: Fleet, by: str, today: date, *, go_on: Callable[[], None] = lambda: None, at_once: int = AT_ONCE
) -> int:
    """Bring every airplane whose due state is kept to another day to `today`; gives how many there were.

    Only the lines that the day can change are looked at, and only airplanes whose readings count otherwise
    are worked out anew: see `looks_again_on`. A few airplanes at once in a transaction of their own, so that
    nobody waits for the whole fleet. `go_on` is called before each few and stops the rest by raising.
    """
    if fleet.read_only:
        return 0
    with fleet.reading() as work:
        behind = kept_on_another_day(work, today)
        anew = to_work_out_anew(work, today)
        turning = with_turning_lines(work, today)
    for some in batches(anew, at_once):
        go_on()
        with fleet.work(by) as work:
            lock_airplanes(work, some)
            for aircraft_id in to_work_out_anew(work, today, some):
                refresh(work, aircraft_id, today)
    for some in batches(turning, at_once):
        go_on()
        with fleet.work(by) as work:
            lock_airplanes(work, some)
            _turn(work, some, today)
    for some in batches(behind, KEPT_AT_ONCE):
        go_on()
        with fleet.work(by) as work:
            lock_airplanes(work, some)
            keep_to(work, today, some)
    return len(behind)


def _turn(work: Work, aircraft_ids: Sequence[int], today: date) -> None:
    """Bring the lines that look again by `today` to that day, and their airplanes with them."""
    turning = turning_lines(work, today, aircraft_ids)
    turn_lines(work, [_turned(line, today) for line in turning])
    turned = sorted({line.aircraft_id for line in turning})
    stand = lines_of_airplanes(work, turned)
    turn_standings(work, {each: airplane_stands(lines) for each, lines in stand.items()}, today)


def _turned(line: TurningLine, today: date) -> TurnedLine:
    now = replace(line.last_read, on=today)
    stands = on_day(line.due, now, line.force, line.foreseen_on, line.passed_on)
    return TurnedLine(
        requirement_id=line.requirement_id,
        state=stands.state.value.value,
        first_limit=stands.first_limit,
        comes_first_on=stands.comes_first_on,
        looks_again_on=stands.looks_again_on,
        note=note_on_day(line.note, stands.past_advice),
    )


def lines_on(work: Work, lines: Sequence[DueLine], today: date) -> list[DueLine]:
    """These due lines as they stand on `today`, first things first; nothing is written."""
    older = set(kept_on_another_day(work, today)) & {line.aircraft_id for line in lines}
    if not older:
        return list(lines)
    anew = older & set(to_work_out_anew(work, today))
    now = {kept.requirement_id: kept for each in sorted(anew) for kept in kept_on(work, each, today)}
    turned = {each.requirement_id: each for each in _turned_lines(work, sorted(older - anew), today)}
    told = [_told(line, now.get(line.requirement_id), turned.get(line.requirement_id)) for line in lines]
    shown = [_shown(line, today) if line.aircraft_id in older else line for line in told]
    return sorted(shown, key=lambda line: (line.comes_first_on or date.max, line.requirement_id))


def _turned_lines(work: Work, aircraft_ids: Sequence[int], today: date) -> Iterable[TurnedLine]:
    for some in batches(aircraft_ids, AT_ONCE):
        for line in turning_lines(work, today, some):
            yield _turned(line, today)


def _told(line: DueLine, now: KeptDue | None, turned: TurnedLine | None) -> DueLine:
    if now is not None:
        return replace(line, **{name: getattr(now, name) for name in _SHARED})
    return replace(line, **{name: getattr(turned, name) for name in _TURNED}) if turned is not None else line


def _shown(line: DueLine, today: date) -> DueLine:
    """The line with no day foreseen in the past."""
    on, early_on, late_on = (
        not_before(day, today) for day in (line.forecast_on, line.early_on, line.late_on)
    )
    return replace(line, forecast_on=on, early_on=early_on, late_on=late_on)
