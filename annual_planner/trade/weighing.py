"""Do it at this visit, or leave it: what is given up if done early against the visit it needs if left."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from annual_planner.trade.answer import answer
from annual_planner.trade.life_left import LifeLeft, hours_left, life_left, months_of, time_said
from annual_planner.trade.periods import DuePoint, DueState, Force, Interval, Logic, add_months
from annual_planner.trade.said import said_date, said_hours
from annual_planner.trade.working import Step, Worked

HALF = Decimal("0.5")
"""Share of an interval: with more life than this left, doing it early is a waste unless it is forced."""

MUCH_DAYS = 182
"""Of advice whose interval isn't known, such as a printed day, so much is taken as more than half."""

SOON_AFTER = timedelta(days=30)
"""Due within this many days after the start: the airplane would hardly be back from the visit."""

LIGHT_HOURS = Decimal(3)
"""Work of no more than this is ordinary at a visit in mid-year: an oil change, a filter, a look."""

HEAVY_HOURS = Decimal(8)
"""Advice that takes more than a day's work, an engine overhaul above all, is the owner's to decide."""


@dataclass(frozen=True, slots=True)
class ToWeigh:
    """One requirement as it stands before a visit.

    `early_on`, `expected_on`: when its hour or cycle limit is expected, at the earliest and in the middle.
    `hours_at_start`: hours, on the first day of the visit, of the assembly it counts on. `by_card`: the
    annual's own card that does it anyway, else empty; `by_visit`: why the visit as a whole does it, in words,
    else empty. `work_hours`: what doing it takes, where known.
    """

    title: str
    force: Force
    interval: Interval | None
    due: DuePoint
    state: DueState
    early_on: date | None = None
    expected_on: date | None = None
    hours_at_start: Decimal | None = None
    work_hours: Decimal | None = None
    by_card: str = ""
    by_visit: str = ""
    citation: str = ""
    last_on: date | None = None
    """The day it was last done; that alone doesn't tell when it is due by hours."""


@dataclass(frozen=True, slots=True)
class Weighed:
    """What is proposed and the life given up by doing it now: hours and days, 0 or more, None where none."""

    do_now: bool
    given_up_hours: Decimal | None
    given_up_days: int | None
    reason: str


def falls_due_by(thing: ToWeigh, horizon_on: date) -> bool:
    """Say whether it is due, by date or by the early bound of its forecast, on or before the horizon.

    Without a record to count from it can't be shown to be in date, so it counts as due.
    """
    if thing.state is DueState.ENDED:
        return False
    if thing.state in (DueState.NEVER_DONE, DueState.OVERDUE):
        return True
    first = _expected(thing, early=True)
    return first is not None and first <= horizon_on


def _expected(thing: ToWeigh, *, early: bool) -> date | None:
    """Find the day it falls due by the limit that governs; None where no limit is in sight."""
    by_meter = thing.early_on if early else thing.expected_on or thing.early_on
    metered = thing.due.hours is not None or thing.due.cycles is not None
    days = [day for day in (thing.due.on, by_meter if metered else None) if day is not None]
    if thing.due.logic is Logic.LAST:
        limits = (thing.due.on is not None) + metered
        return max(days) if days and len(days) == limits else None
    return min(days, default=None)


def weigh(thing: ToWeigh, start_on: date, horizon_on: date) -> Worked[Weighed]:
    """Propose to do it at the visit that starts on `start_on`, or to leave it, with the reason in numbers.

    The horizon is the day on which the next annual would end. Binding work due by then goes in, unless more
    than half of its interval is left and a light visit in mid-year can do it. Recommended work goes in where
    no more than half is left. Common practice, no source.
    """
    life = life_left(thing.due, thing.interval, thing.hours_at_start, start_on)
    do_now, reason, steps = _decided(thing, life, start_on, horizon_on)
    value = Weighed(do_now, life.hours, life.days, reason)
    return answer(
        value,
        f"{thing.title}: now or later",
        ("do now" if do_now else "leave") + f": {reason}",
        citation="common practice, no source",
        says="life given up is weighed against the extra visit",
        inputs=_inputs(thing, start_on, horizon_on),
        steps=[*_life_steps(life), *steps],
        assumptions=_assumptions(thing, life),
    )


def _inputs(thing: ToWeigh, start_on: date, horizon_on: date) -> list[tuple[str, str]]:
    inputs = [("visit starts", said_date(start_on)), ("next annual would end", said_date(horizon_on))]
    inputs.append(("stands behind it", f"{thing.force.value} {thing.citation}".strip()))
    if thing.due.on is not None:
        inputs.append(("due on", said_date(thing.due.on)))
    if thing.due.hours is not None:
        inputs.append(("due at", said_hours(thing.due.hours)))
    if thing.hours_at_start is not None:
        inputs.append(("hours when the visit starts", said_hours(thing.hours_at_start)))
    if thing.early_on is not None:
        inputs.append(("meter limit at the earliest", said_date(thing.early_on)))
    return inputs


def _life_steps(life: LifeLeft) -> list[Step]:
    steps = [Step("life left when the visit starts", life.said)] if life.said else []
    if life.share is not None:
        steps.append(Step("as a share of the interval", f"{life.share * 100:.0f} %"))
    return steps


def _assumptions(thing: ToWeigh, life: LifeLeft) -> list[str]:
    known = life.share is not None or thing.state is DueState.NEVER_DONE
    return [] if known else ["Its whole interval isn't known here: the share of life left isn't counted."]


def _decided(
    thing: ToWeigh, life: LifeLeft, start_on: date, horizon_on: date
) -> tuple[bool, str, list[Step]]:
    expected = _expected(thing, early=False)
    late = thing.state is DueState.OVERDUE or (expected is not None and expected < start_on)
    past = _late(thing, expected, start_on) if late else ""
    if thing.by_card or thing.by_visit:
        return True, _anyway(thing, life, past), []
    if thing.state is DueState.NEVER_DONE:
        return _without_record(thing)
    if _owners_to_decide(thing):
        return False, _heavy_advice(thing, life, expected, past), [Step("advice, and more than a day's work")]
    if late:
        return True, past, []
    if _with_the_next_annual(thing, expected, horizon_on):
        return False, *_same_month(life, expected or horizon_on, horizon_on)
    if expected is not None and expected <= start_on + SOON_AFTER:
        return (
            True,
            f"due {said_date(expected)}, within {SOON_AFTER.days} days of the start{_gives(life)}",
            [],
        )
    return _weighed(thing, life, start_on, horizon_on, expected)


def _anyway(thing: ToWeigh, life: LifeLeft, past: str) -> str:
    """The visit does it, whatever its limit."""
    does = thing.by_visit or f"the annual's own work does it ({thing.by_card})"
    if thing.state is DueState.NEVER_DONE:
        return f"{does}; {_unknown(thing)}"
    return f"{past}; {does}" if past else f"{does}{_gives(life)}"


def _unknown(thing: ToWeigh) -> str:
    """What is missing to count from."""
    if thing.last_on is None:
        return "no record of it"
    return f"last done {said_date(thing.last_on)}, but not written down at how many hours"


def _with_the_next_annual(thing: ToWeigh, expected: date | None, horizon_on: date) -> bool:
    """Say whether its calendar limit ends in the month of the next annual, so that one visit does both."""
    if expected is None or expected != thing.due.on or expected > horizon_on:
        return False
    return (expected.year, expected.month) == (horizon_on.year, horizon_on.month)


def _same_month(life: LifeLeft, expected: date, horizon_on: date) -> tuple[str, list[Step]]:
    ends = f"due {said_date(expected)}, in the month in which the next annual ends"
    now = f"done now it {_gives(life, first=True)}; " if life.said else ""
    return f"{now}{ends}: that visit can do it", [
        Step("the next annual ends", said_date(horizon_on)),
        Step("holds only if the next annual reaches it by then", "book that visit early enough"),
    ]


def _without_record(thing: ToWeigh) -> tuple[bool, str, list[Step]]:
    missing, find = _unknown(thing), "record" if thing.last_on is None else "hours"
    if thing.force.binding:
        return True, f"{missing}: it can't be shown to be in date; find the {find} or do it", []
    write = "when it was last done" if thing.last_on is None else "the hours"
    return False, f"{missing}: write down {write}, then it can be weighed", []


def _owners_to_decide(thing: ToWeigh) -> bool:
    """Say whether it is advice that costs so much that nobody should propose it for the owner."""
    return not thing.force.binding and thing.work_hours is not None and thing.work_hours > HEAVY_HOURS


def _heavy_advice(thing: ToWeigh, life: LifeLeft, expected: date | None, past: str) -> str:
    when = past or (f"due about {said_date(expected)}, only recommended" if expected else "only recommended")
    left = f", {life.said} left" if life.said and not past else ""
    return f"{when}{left}; about {thing.work_hours:f} h of work: condition and trend, and the owner, decide"


def _late(thing: ToWeigh, expected: date | None, start_on: date) -> str:
    means = "binding" if thing.force.binding else "recommended"
    return f"past its limit when the visit starts ({_past_by(thing, expected, start_on)}); {means}"


def _past_by(thing: ToWeigh, expected: date | None, start_on: date) -> str:
    """How it is past: the day of its calendar limit, hours beyond, or the day on which that is expected."""
    if thing.due.on is not None and thing.due.on < start_on:
        return f"since {said_date(thing.due.on)}"
    left = _hours_left(thing)
    if left is not None and left < 0:
        return f"by {-left:f} h"
    return f"about {said_date(expected)}" if expected is not None else "already"


def _weighed(
    thing: ToWeigh, life: LifeLeft, start_on: date, horizon_on: date, expected: date | None
) -> tuple[bool, str, list[Step]]:
    if expected is None or expected > horizon_on:
        return _maybe_due(thing, life, expected)
    left = f"left, it needs its own visit about {said_date(expected)}"
    gives = _gives(life, first=True)
    much_left = _much_left(thing, life)
    ordinary, step = _ordinary_visit(thing, start_on, horizon_on)
    if not much_left:
        return True, f"{gives}; {left}", [step]
    if ordinary:
        instead = f"an ordinary visit about {said_date(expected)} can do it"
        return False, f"done now it {gives}; {instead}", [step]
    if thing.force.binding:
        return True, f"{gives}; {left}, before the next annual ends", [step]
    over = _over(thing, start_on, expected, horizon_on)
    advice = f"only recommended, due about {said_date(expected)}; left to the next annual it runs {over} over"
    return False, f"done now it {gives}; {advice}", [step]


def _much_left(thing: ToWeigh, life: LifeLeft) -> bool:
    if life.share is not None:
        return life.share > HALF
    return not thing.force.binding and life.days is not None and life.days > MUCH_DAYS


def _over(thing: ToWeigh, start_on: date, expected: date, horizon_on: date) -> str:
    """By how much it is past its limit when the next annual ends, if it is left until then."""
    beyond, left = (horizon_on - expected).days, _hours_left(thing)
    by_hours = left is not None and left > 0 and expected == thing.expected_on and expected > start_on
    if by_hours and left is not None:
        return f"about {left * beyond / (expected - start_on).days:.0f} h"
    return time_said(beyond)


def _maybe_due(thing: ToWeigh, life: LifeLeft, expected: date | None) -> tuple[bool, str, list[Step]]:
    """Decide on what is expected after the next annual, and only at the earliest before it."""
    early = _expected(thing, early=True)
    from_on = f"from {said_date(early)} on" if early is not None else "at some time"
    middle = f", expected about {said_date(expected)}" if expected is not None else ""
    said = f"expected about {said_date(expected)}" if expected is not None else "no day can be expected"
    step = Step("due before the next annual only if it is flown more than expected", said)
    gives = _gives(life, first=True)
    if thing.force.binding and not (life.share is not None and life.share > HALF):
        return True, f"{gives}; left, it may fall due {from_on}{middle}", [step]
    after = f"{middle}, after the next annual" if middle else ""
    return False, f"done now it {gives}; it may fall due {from_on}{after}: watch the hours", [step]


def _ordinary_visit(thing: ToWeigh, start_on: date, horizon_on: date) -> tuple[bool, Step]:
    """Say whether a light visit can do it: little work that comes round before the horizon anyway."""
    again = _again_on(thing, start_on)
    comes_round = again is not None and again <= horizon_on
    light = thing.work_hours is None or thing.work_hours <= LIGHT_HOURS
    if comes_round and light:
        return True, Step(
            "done now it would fall due again before the next annual", said_date(again or horizon_on)
        )
    if comes_round:
        return False, Step("comes round before the next annual, but is more than a light visit's work")
    return False, Step("done now it would last beyond the next annual")


def _again_on(thing: ToWeigh, start_on: date) -> date | None:
    """About when it would be due again if done at the start; None where that can't be told."""
    interval = thing.interval
    if interval is None or not interval.recurring:
        return None
    days = [day for day in (_calendar_again(interval, start_on), _hours_again(thing, start_on)) if day]
    if interval.logic is Logic.LAST:
        return max(days, default=None)
    return min(days, default=None)


def _calendar_again(interval: Interval, start_on: date) -> date | None:
    months = months_of(interval)
    if months is not None:
        return add_months(start_on, months)
    return start_on + timedelta(days=interval.days) if interval.days is not None else None


def _hours_again(thing: ToWeigh, start_on: date) -> date | None:
    """Find the hour limit's next day at the pace at which the present one is expected to be reached."""
    left = _hours_left(thing)
    if left is None or left <= 0 or thing.expected_on is None or thing.interval is None:
        return None
    if thing.interval.hours is None:
        return None
    days = Decimal((thing.expected_on - start_on).days)
    return start_on + timedelta(days=int(days * thing.interval.hours / left)) if days > 0 else None


def _hours_left(thing: ToWeigh) -> Decimal | None:
    return hours_left(thing.due, thing.hours_at_start)


def _gives(life: LifeLeft, *, first: bool = False) -> str:
    if not life.said or not (life.hours or life.days):
        return "gives up nothing that is known" if first else ""
    return f"gives up {life.said}" if first else f"; gives up {life.said}"
