"""Checks of the day and the engine hours that are written down with plugs and tests."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from annual_planner.trade.refused import Refused
from annual_planner.trade.said import said_date, said_hours

if TYPE_CHECKING:
    from annual_planner.store.plug_facts import FittedEngine

DAY_HOURS = 24


def check_day(on: date, today: date, *, not_before: date | None = None, since: str = "") -> None:
    """Raise Refused for a day after today, or before another that must come first."""
    if on > today:
        raise Refused(f"{said_date(on)} is after today.", "Give the day it was done.")
    if not_before is not None and on < not_before:
        raise Refused(
            f"{said_date(on)} is before {since} on {said_date(not_before)}.",
            "Correct one of the two days.",
        )


def check_hours(engine: FittedEngine, hours: Decimal, on: date, *, at_least: Decimal | None) -> None:
    """Raise Refused for engine hours under 0, going backwards, or beyond what can have been flown."""
    if not hours.is_finite() or hours < 0:
        raise Refused(f"{hours} engine hours can't be.", "Give the engine's hours, 0 or more.")
    if at_least is not None and hours < at_least:
        raise Refused(
            f"Engine hours go backwards: {said_hours(hours)} on {said_date(on)}, "
            f"after {said_hours(at_least)} that are already written down.",
            "Read the hours again, or correct the older entry.",
        )
    _check_not_too_far(engine, hours, on)


def _check_not_too_far(engine: FittedEngine, hours: Decimal, on: date) -> None:
    if engine.hours_now is None or engine.read_on is None:
        return
    most = engine.hours_now + DAY_HOURS * (max((on - engine.read_on).days, 0) + 1)
    if hours > most:
        raise Refused(
            f"{said_hours(hours)} can't be: {engine.said} had {said_hours(engine.hours_now)} "
            f"on {said_date(engine.read_on)}.",
            "Read the hours again, or record the airplane's newest meter reading first.",
        )
