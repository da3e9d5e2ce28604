"""The life of a discrepancy: its steps, the state they lead to, and which step may follow.

The steps are the record; the state is only what they add up to.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date

FOUND, JUDGED, DECIDED, IN_WORK = "found", "judged", "decided", "in work"
CORRECTED, SIGNED = "corrected", "signed"
INSPECTED, REOPENED, ANSWERED, WAITING = "inspected", "reopened", "answered", "waiting"

STATES = (FOUND, JUDGED, DECIDED, IN_WORK, CORRECTED, SIGNED)
STEPS = (FOUND, JUDGED, DECIDED, IN_WORK, CORRECTED, INSPECTED, REOPENED, ANSWERED, WAITING)
CORRECT_NOW, DEFER, WATCH, DECLINED = "correct now", "defer", "watch", "owner declined"
DISPOSITIONS = (CORRECT_NOW, DEFER, WATCH, DECLINED)
STOPS, WORSENS, NUISANCE = "stops the airplane", "gets worse", "nuisance"
RISKS = (STOPS, WORSENS, NUISANCE)
"""How much it matters, in plain words; the worst first."""
WAITS = ("owner", "parts", "outside shop", "mechanic")


@dataclass(frozen=True, slots=True)
class LifeStep:
    """One step: what it was, the day it counts for, and what it settled."""

    step: str
    on: date
    facts: Mapping[str, object]


@dataclass(frozen=True, slots=True)
class Life:
    """Where a discrepancy stands: all of it follows from the steps."""

    state: str = FOUND
    airworthy: bool | None = None
    disposition: str = ""
    deferred_until: date | None = None
    placard: str = ""
    waits_for: str = ""
    waits_since: date | None = None
    owner_answer: str = ""
    owner_answered_on: date | None = None
    owner_answered_how: str = ""
    closed_on: date | None = None


def life_of(steps: Iterable[LifeStep]) -> Life:
    """Add the steps up, oldest first."""
    life = Life()
    for step in steps:
        life = after(life, step)
    return life


def after(life: Life, step: LifeStep) -> Life:
    """Give where it stands after one more step. Every step is taken; `may_follow` says which ought to be."""
    told = step.facts
    if step.step == FOUND:
        return life
    if step.step == JUDGED:
        return _judged(life, told)
    if step.step == DECIDED:
        return _decided(life, told)
    if step.step in (IN_WORK, CORRECTED):
        return replace(life, state=step.step, waits_for="", waits_since=None)
    if step.step == INSPECTED:
        return replace(life, state=SIGNED, closed_on=step.on, waits_for="", waits_since=None)
    if step.step == REOPENED:
        return Life()
    if step.step == ANSWERED:
        return _answered(life, step)
    return replace(
        life, waits_for=str(told.get("for") or ""), waits_since=step.on if told.get("for") else None
    )


def _judged(life: Life, told: Mapping[str, object]) -> Life:
    """A judgement; one that finds it unairworthy takes back a decision to watch or leave it."""
    airworthy = told.get("airworthy")
    judged = replace(life, airworthy=airworthy if isinstance(airworthy, bool) else None)
    undone = life.disposition in (DEFER, WATCH) and airworthy is False
    if undone:
        judged = replace(judged, disposition="", deferred_until=None, placard="")
    return replace(judged, state=JUDGED) if life.state == FOUND or undone else judged


def _decided(life: Life, told: Mapping[str, object]) -> Life:
    until = told.get("until")
    return replace(
        life,
        state=DECIDED,
        disposition=str(told.get("disposition") or ""),
        deferred_until=date.fromisoformat(until) if isinstance(until, str) and until else None,
        placard=str(told.get("placard") or ""),
    )


def _answered(life: Life, step: LifeStep) -> Life:
    waits = ("", None) if life.waits_for == "owner" else (life.waits_for, life.waits_since)
    return replace(
        life,
        owner_answer=str(step.facts.get("answer") or ""),
        owner_answered_on=step.on,
        owner_answered_how=str(step.facts.get("how") or ""),
        waits_for=waits[0],
        waits_since=waits[1],
    )


_FOLLOWS: dict[str, tuple[str, ...]] = {
    JUDGED: (FOUND, JUDGED, DECIDED, IN_WORK),
    DECIDED: (JUDGED, DECIDED, IN_WORK),
    IN_WORK: (DECIDED,),
    CORRECTED: (DECIDED, IN_WORK),
    INSPECTED: (CORRECTED,),
    REOPENED: (CORRECTED, SIGNED),
    ANSWERED: (FOUND, JUDGED, DECIDED, IN_WORK),
    WAITING: (FOUND, JUDGED, DECIDED, IN_WORK),
}
_FIRST = {
    DECIDED: "Judge first whether it is airworthy.",
    IN_WORK: "Decide first what becomes of it.",
    CORRECTED: "Decide first to correct it.",
    INSPECTED: "Write down first that it is corrected.",
    REOPENED: "It is still open.",
}


def may_follow(life: Life, step: str) -> str:
    """Say why this step can't come next; empty when it may."""
    if life.state not in _FOLLOWS.get(step, ()):
        if life.state in (CORRECTED, SIGNED):
            return f"It is {life.state}; reopen it first."
        return _FIRST.get(step, f"It is {life.state}.")
    if step in (IN_WORK, CORRECTED) and life.disposition != CORRECT_NOW:
        return f"It was decided: {life.disposition or 'nothing'}. Decide first to correct it now."
    return ""


def decision_fault(life: Life, disposition: str, *, deferral_says_may: bool | None = None) -> str:
    """Say why this can't be decided; empty when it can.

    What is not airworthy is not watched, and is deferred only with an answer of the deferral rules.
    """
    if disposition not in DISPOSITIONS:
        return f"There is no decision '{disposition}'."
    if disposition == DEFER and deferral_says_may is False:
        return "The deferral rules don't let it be deferred for these flights."
    if life.airworthy is False and disposition == WATCH:
        return "It was judged not airworthy; that can't just be watched."
    if life.airworthy is False and disposition == DEFER and deferral_says_may is None:
        return "It was judged not airworthy; go through the deferral questions first."
    return ""
