"""The emergency locator transmitter: its battery, and flying without it."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from typing import NamedTuple

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

_DATED = Rule(
    "14 CFR 91.207(c)", "the new date is marked on the outside of the transmitter and entered in the record"
)
_NEEDED = Rule("14 CFR 91.207(a)", "an airplane carries a transmitter that works")
_EXCUSED = Rule(
    "14 CFR 91.207(e), (f)", "some flights are excused from it, and the ferry that gets one fitted"
)
_REMOVED = Rule(
    "14 CFR 91.207(f)(10)",
    "taken out for work it may be missing for 90 days, with an entry of the first removal's date, the make, "
    "model, serial number and reason, and a placard in the pilot's view",
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


def battery_dated(*, on_unit: bool, in_records: bool) -> Worked[tuple[str, ...]]:
    """Where a new battery's date still has to be written: outside on the unit and in the records.

    Source: 14 CFR 91.207(c), closing text.
    """
    places = (("on the outside of the unit", on_unit), ("in the maintenance record", in_records))
    missing = tuple(place for place, written in places if not written)
    sentence = f"It still has to be written {' and '.join(missing)}." if missing else "Nothing is missing."
    return told(
        missing, sentence, *(Step(f"written {place}", yes(done)) for place, done in places), rules=[_DATED]
    )


def needed_on_flight(
    *,
    training_within_nm: Decimal | None = None,
    ferry: bool = False,
    design_test: bool = False,
    application: bool = False,
    one_person: bool = False,
) -> Worked[bool]:
    """Whether a flight needs a working transmitter. Source: 14 CFR 91.207(a), (e), (f)."""
    near = training_within_nm is not None and training_within_nm <= TRAINING_RADIUS_NM
    excused = (
        (f"(f)(3) training within {TRAINING_RADIUS_NM} nm of where it began", near),
        ("(e) ferry to have one fitted or repaired, with the required crew alone", ferry),
        ("(f)(4) flight for design and test", design_test),
        ("(f)(6) aerial application", application),
        ("(f)(9) airplane made for one person", one_person),
    )
    needed = not any(fits for _, fits in excused)
    return told(
        needed,
        "The flight needs a working transmitter." if needed else "The flight may be made without one.",
        *(Step(text, yes(fits)) for text, fits in excused),
        rules=[_NEEDED, _EXCUSED],
        assumptions=[
            "What was not stated counts as no.",
            "91.207(f) names more flights than are asked for here.",
            "A transmitter taken out for work is a question of its own.",
        ],
    )


class Removed(NamedTuple):
    """Flying with the transmitter out: the last day on which it may be, and whether this flight may."""

    last_on: date
    may_fly: bool


def removed(*, removed_on: date, flight_on: date, entry: bool, placard: bool) -> Worked[Removed]:
    """Whether it may be flown with the transmitter taken out for work: 90 days from the first removal.

    Raises Refused for a flight before the removal. Source: 14 CFR 91.207(f)(10).
    """
    if flight_on < removed_on:
        raise Refused("The flight lies before the removal.", "Correct one of the two days.")
    last = removed_on + timedelta(days=REMOVED_DAYS)
    in_time = flight_on <= last
    may_fly = in_time and entry and placard
    sentence = f"It may be flown without the transmitter through {said_date(last)}."
    if not in_time:
        sentence = f"It may not be flown: the days without the transmitter ended on {said_date(last)}."
    elif not may_fly:
        missing = [text for text, there in (("the entry", entry), ("the placard", placard)) if not there]
        sentence = f"It may not be flown: {' and '.join(missing)} must be made first."
    return told(
        Removed(last, may_fly),
        sentence,
        Step(f"{said_date(removed_on)} + {REMOVED_DAYS} days", said_date(last)),
        Step(f"flown on {said_date(flight_on)}, by then", yes(in_time)),
        Step("entry and placard made", yes(entry and placard)),
        rules=[_REMOVED],
        assumptions=["The days count from the first removal, whatever was put in and taken out since."],
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
    question(
        "locator-battery-dated",
        "Is a new locator battery's date written everywhere it has to be?",
        ABOUT,
        _DATED.citation,
        battery_dated,
        Fact("on_unit", "On the outside of the unit", "yes or no"),
        Fact("in_records", "In the maintenance record", "yes or no"),
    ),
    question(
        "locator-on-flight",
        "Does this flight need a working locator transmitter?",
        ABOUT,
        f"{_NEEDED.citation}; {_EXCUSED.citation}",
        needed_on_flight,
        Fact(
            "training_within_nm",
            "Training, all of it within",
            "number",
            "nm",
            needed=False,
            tip="Of the place where it begins; leave it out for another flight.",
        ),
        Fact(
            "ferry",
            "Ferry to have one fitted or repaired",
            "yes or no",
            needed=False,
            tip="With nobody but the required crew aboard.",
        ),
        Fact("design_test", "Flight for design and test", "yes or no", needed=False),
        Fact("application", "Aerial application", "yes or no", needed=False),
        Fact("one_person", "Airplane made for one person", "yes or no", needed=False),
    ),
    question(
        "locator-removed",
        "May it be flown with the locator transmitter taken out for work?",
        ABOUT,
        _REMOVED.citation,
        removed,
        Fact("removed_on", "First taken out", "day"),
        Fact("flight_on", "Day of the flight", "day"),
        Fact(
            "entry",
            "Entry made",
            "yes or no",
            tip="Date of the first removal, make, model, serial number and reason.",
        ),
        Fact("placard", "Placard in the pilot's view", "yes or no"),
    ),
)
