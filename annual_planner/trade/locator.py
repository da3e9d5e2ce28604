"""The emergency locator transmitter: its battery, and flying without it."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from annual_planner.trade.periods import LONGEST_MONTHS, add_months
from annual_planner.trade.refused import Refused
from annual_planner.trade.rule_facts import Fact, plain, question, told, yes
from annual_planner.trade.said import said_date
from annual_planner.trade.working import Rule, Step, Worked

ABOUT = "Locator transmitter"
USE_LIMIT_MINUTES = Decimal(60)
"""Total use after which the battery is replaced: more than an hour. 14 CFR 91.207(c)(1)."""
REMOVED_DAYS = 90
"""14 CFR 91.207(f)(10)."""
TRAINING_RADIUS_NM = Decimal(50)
"""14 CFR 91.207(f)(3)."""

_USE = Rule(
    "14 CFR 91.207(c)(1)",
    "the battery is replaced or recharged once the transmitter was used more than one hour in all",
)
_AGE = Rule(
    "14 CFR 91.207(c)(2)",
    "the battery is replaced or recharged when half of the useful life that its maker set has run out",
)


def battery_use(*, use_minutes: tuple[Decimal, ...]) -> Worked[bool]:
    """Whether the battery is to be replaced for its use, in minutes: more than one hour in all.

    Source: 14 CFR 91.207(c)(1).
    """
    total = sum(use_minutes, Decimal(0))
    used_up = total > USE_LIMIT_MINUTES
    sentence = "Replace or recharge the battery now." if used_up else "Its use asks for no new battery."
    return told(
        used_up,
        sentence,
        Step(" + ".join(f"{plain(each)} min" for each in use_minutes), f"{plain(total)} min"),
        Step(f"more than {USE_LIMIT_MINUTES} min", yes(used_up)),
        rules=[_USE],
        assumptions=["Every use since the battery was new is among the minutes, tests included."],
    )


def battery_age(
    *, marked_on: date | None = None, life_from: date | None = None, life_months: Decimal | None = None
) -> Worked[date]:
    """When the battery is to be replaced for its age.

    A date marked on the unit is the half-life date already and is not halved again. Without one it is half of
    the useful life after its beginning; an odd number of months is rounded down, the cautious way. Raises
    Refused when neither is given. Source: 14 CFR 91.207(c)(2).
    """
    if marked_on is not None:
        return _age_told(marked_on, Step("The date marked on the unit stands as it is", said_date(marked_on)))
    if life_from is None or life_months is None:
        raise Refused(
            "Neither a marked replacement date nor the battery's useful life is stated.",
            "Read the date off the unit, or state the day the life begins and its months.",
        )
    half, odd = divmod(int(life_months), 2)
    due = add_months(life_from, half)
    step = Step(f"{said_date(life_from)} + half of {int(life_months)} months", said_date(due))
    return _age_told(due, step, *(["Half a month is left off, the cautious way."] if odd else []))


def _age_told(due: date, step: Step, *assumptions: str) -> Worked[date]:
    water = "It is no battery that water activates: 91.207(c)(2) does not reach those."
    return told(
        due,
        f"Replace or recharge the battery by {said_date(due)}.",
        step,
        rules=[_AGE],
        assumptions=[*assumptions, water],
    )


QUESTIONS = (
    question(
        "locator-battery-use",
        "Must the locator battery be replaced for its use?",
        ABOUT,
        _USE.citation,
        battery_use,
        Fact("use_minutes", "Minutes used", "numbers", "min", tip="Each use since the battery was new."),
    ),
    question(
        "locator-battery-age",
        "By when must the locator battery be replaced for its age?",
        ABOUT,
        _AGE.citation,
        battery_age,
        Fact(
            "marked_on",
            "Date marked on the unit",
            "day",
            needed=False,
            tip="Month and year alone: state the first day of that month. It stands as it is.",
        ),
        Fact("life_from", "Useful life begins", "day", needed=False, tip="Without a marked date."),
        Fact(
            "life_months",
            "Useful life",
            "number",
            "months",
            needed=False,
            tip="As the transmitter's maker set it, in full.",
            least=Decimal(1),
            most=Decimal(LONGEST_MONTHS),
            whole=True,
        ),
    ),
)
