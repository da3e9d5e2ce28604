"""The emergency locator transmitter: its inspection, its battery, and flying without it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from annual_planner.trade.answer import answer
from annual_planner.trade.periods import Interval, add_months
from annual_planner.trade.refused import Refused
from annual_planner.trade.said import said_date
from annual_planner.trade.working import Step, Worked

INSPECTION = Interval(calendar_months=12)
"""14 CFR 91.207(d)."""
USE_LIMIT_MINUTES = 60
"""Total use after which the battery is replaced: more than an hour. 14 CFR 91.207(c)(1)."""
REMOVED_DAYS = 90
"""14 CFR 91.207(f)(10)."""
TRAINING_RADIUS_NM = 50
"""14 CFR 91.207(f)(3)."""


def battery_due(
    *,
    marked_on: date | None = None,
    life_start: date | None = None,
    useful_life_months: int | None = None,
) -> Worked[date]:
    """When the battery is to be replaced or recharged by its age.

    A date marked on the unit is the half-life date already and is not halved again. Without one it is half of
    the useful life after its beginning; an odd number of months is rounded down, the cautious way. Raises
    Refused when neither is given. Source: 14 CFR 91.207(c)(2).
    """
    if marked_on is not None:
        steps = [Step("The date marked on the unit stands as it is", said_date(marked_on))]
        return _battery_answer(marked_on, steps, [])
    if life_start is None or useful_life_months is None or useful_life_months <= 0:
        raise Refused(
            "Neither a marked replacement date nor the battery's life is given.",
            "Read the date off the unit, or give the life's beginning and its months.",
        )
    half, odd = divmod(useful_life_months, 2)
    due = add_months(life_start, half)
    steps = [Step(f"{said_date(life_start)} + half of {useful_life_months} months", said_date(due))]
    return _battery_answer(due, steps, ["Half a month is left off."] if odd else [])


def _battery_answer(due: date, steps: list[Step], assumptions: list[str]) -> Worked[date]:
    return answer(
        due,
        "Locator transmitter battery",
        f"replace by {said_date(due)}",
        citation="14 CFR 91.207(c)",
        steps=steps,
        assumptions=assumptions,
    )


def battery_used_up(use_minutes: Sequence[int]) -> Worked[bool]:
    """Whether the battery is to be replaced for its use: more than one hour in all.

    Source: 14 CFR 91.207(c)(1).
    """
    total = sum(use_minutes)
    used_up = total > USE_LIMIT_MINUTES
    steps = [Step(" + ".join(f"{n} min" for n in use_minutes) or "no use recorded", f"{total} min")]
    result = "replace the battery now" if used_up else "not for its use"
    citation = "14 CFR 91.207(c)(1)"
    return answer(used_up, "Locator transmitter battery, use", result, citation=citation, steps=steps)


def battery_entry_missing(*, on_unit: bool, in_records: bool) -> Worked[tuple[str, ...]]:
    """Where the new battery's date still has to be written: on the outside of the unit and in the records.

    Source: 14 CFR 91.207(c), closing text.
    """
    places = (("on the unit", on_unit), ("in the records", in_records))
    missing = tuple(place for place, written in places if not written)
    result = f"missing {' and '.join(missing)}" if missing else "complete"
    steps = [Step(f"date written {place}", "yes" if written else "no") for place, written in places]
    citation = "14 CFR 91.207(c)"
    return answer(missing, "New battery's date", result, citation=citation, steps=steps)


def removed_until(first_removed_on: date) -> Worked[date]:
    """Last day to fly with the transmitter taken out for work: 90 days after the first removal.

    It needs the record entry and the placard. Source: 14 CFR 91.207(f)(10).
    """
    last = first_removed_on + timedelta(days=REMOVED_DAYS)
    return answer(
        last,
        "Flying with the locator transmitter out",
        f"through {said_date(last)}",
        citation="14 CFR 91.207(f)(10)",
        steps=[Step(f"{said_date(first_removed_on)} + {REMOVED_DAYS} days", said_date(last))],
        assumptions=[
            "The entry names date, make, model, serial and reason; a placard in the pilot's view tells of it."
        ],
    )


@dataclass(frozen=True, slots=True)
class LocatorFlight:
    """What the rule asks about a flight without a working transmitter."""

    training_within_nm: int | None = None
    """Radius of a training flight about the place it started from; None for another flight."""
    one_person_aircraft: bool = False
    aerial_application: bool = False
    design_and_test: bool = False


def locator_required(flight: LocatorFlight) -> Worked[bool]:
    """Whether a flight needs a working transmitter. Source: 14 CFR 91.207(a), (f)."""
    radius = flight.training_within_nm
    excused = (
        ("(f)(3) training near its starting place", radius is not None and radius <= TRAINING_RADIUS_NM),
        ("(f)(4) design and test", flight.design_and_test),
        ("(f)(6) aerial application", flight.aerial_application),
        ("(f)(9) one-person aircraft", flight.one_person_aircraft),
    )
    required = not any(fits for _, fits in excused)
    steps = [Step(text, "yes" if fits else "no") for text, fits in excused]
    result = "required" if required else "not required on this flight"
    return answer(required, "Locator transmitter", result, citation="14 CFR 91.207(f)", steps=steps)
