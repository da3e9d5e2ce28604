"""What is said of a plan, in sentences."""

from __future__ import annotations

from datetime import date, timedelta

from annual_planner.planning.crew.laid_out import LaidOut
from annual_planner.planning.crew.likely import Finish, LikelyFinish, said_half_day
from annual_planner.planning.crew.open_time import STEPS_AN_HOUR, said_moment
from annual_planner.trade.said import said_date

NO_END = timedelta(weeks=8)
"""Re-planning can't be so much later than not re-planning; then the courses ran out of the calendar."""


def plan_said(laid: LaidOut | None, promised_on: date | None) -> str:
    """When all is done, what was promised, and by how much a promise is missed."""
    said = []
    if laid is not None:
        said.append(f"{laid.said[:1].upper()}{laid.said[1:]}.")
    if promised_on is not None:
        said.append(f"Promised: {promised_on:%a} {said_date(promised_on)}.")
    if laid is not None:
        said += [
            f"{name} missed by {steps / STEPS_AN_HOUR:g} h of work."
            for name, steps in laid.late_steps.items()
            if steps
        ]
    return " ".join(said)


def chance_said(likely: LikelyFinish) -> str:
    """The likely days, without and with daily re-planning."""
    alone, swapped = likely.nobody_replans, likely.with_replanning
    return (
        f"Likely finish if nobody re-plans: even chance by {said_half_day(alone.p50)}, four in five by"
        f" {said_half_day(alone.p80)}. With daily re-planning: {_swapped(swapped, alone)}."
    )


def _swapped(swapped: Finish, alone: Finish) -> str:
    """Chances with re-planning; a course that found no end by the calendar's is no date to tell an owner."""
    if swapped.p50 > alone.p80 + NO_END:
        return "no end was found within the calendar"
    return f"even chance by {said_half_day(swapped.p50)}, four in five by {said_half_day(swapped.p80)}"


def replanned_said(before: LaidOut | None, after: LaidOut, moves: int) -> str:
    """What a search has changed."""
    if before is None:
        return "The plan is kept."
    was, now = said_moment(before.finish), said_moment(after.finish)
    done = f"done {now} as before" if was == now else f"done {now} instead of {was}"
    return f"The plan is kept: {done}; {moves} {'card' if moves == 1 else 'cards'} moved."


def cost_said(title: str, starts: str, before: LaidOut, after: LaidOut, others: int) -> str:
    """What a card at another moment costs: the finish, promises, and how many other cards move."""
    finish, was = said_moment(after.finish), said_moment(before.finish)
    done = f"the finish stays, {was}" if finish == was else f"done {finish} instead of {was}"
    moves = {0: "No other card moves", 1: "1 other card moves"}.get(others, f"{others} other cards move")
    promises = (
        _promise_said(name, before.late_steps.get(name, 0), late) for name, late in after.late_steps.items()
    )
    return " ".join((f"{title} at {starts}: {done}.", *promises, f"{moves}."))


def _promise_said(name: str, before: int, after: int) -> str:
    """How a promise fares."""
    if not after:
        return f"{name.capitalize()}: kept again." if before else f"{name.capitalize()}: kept."
    missed = f"{name.capitalize()}: missed by {after / STEPS_AN_HOUR:g} h of work"
    if before == after:
        return f"{missed}, as before."
    return f"{missed} instead of {before / STEPS_AN_HOUR:g} h." if before else f"{missed}, kept before."
