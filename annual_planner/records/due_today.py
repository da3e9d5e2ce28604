"""The due state on a day of its own: days pass without any record being changed."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import fields, replace
from datetime import date
from typing import TYPE_CHECKING

from annual_planner.records.due_state import kept_on, refresh
from annual_planner.store.due_facts import KeptDue, kept_on_another_day
from annual_planner.store.rows import DueLine

if TYPE_CHECKING:
    from annual_planner.store.session import Fleet, Work

_SHARED = tuple({each.name for each in fields(KeptDue)} & {each.name for each in fields(DueLine)})


def bring_forward(fleet: Fleet, by: str, today: date, *, go_on: Callable[[], None] = lambda: None) -> int:
    """Work out again every airplane whose kept due state is of another day; gives how many there were.

    Each in a transaction of its own, so that nobody waits for the whole fleet. `go_on` is called before each
    and stops the rest by raising.
    """
    with fleet.reading() as work:
        older = kept_on_another_day(work, today)
    for aircraft_id in older:
        go_on()
        with fleet.work(by) as work:
            refresh(work, aircraft_id, today)
    return len(older)


def lines_on(work: Work, lines: Sequence[DueLine], today: date) -> list[DueLine]:
    """These due lines as they stand on `today`, first things first; nothing is written."""
    asked = {line.aircraft_id for line in lines}
    older = [each for each in kept_on_another_day(work, today) if each in asked]
    if not older:
        return list(lines)
    now = {kept.requirement_id: kept for each in older for kept in kept_on(work, each, today)}
    told = [_told(line, now.get(line.requirement_id)) for line in lines]
    return sorted(told, key=lambda line: (line.comes_first_on or date.max, line.requirement_id))


def _told(line: DueLine, now: KeptDue | None) -> DueLine:
    return replace(line, **{name: getattr(now, name) for name in _SHARED}) if now else line
