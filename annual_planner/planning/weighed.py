"""What a visit weighs for one airplane: everything due before the next annual would end."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from annual_planner.library.shelf import Library
from annual_planner.planning.drafts import settling
from annual_planner.store.rows import AircraftSheet
from annual_planner.store.weighable import Weighable
from annual_planner.trade.answer import answer
from annual_planner.trade.periods import DAYS_A_MONTH, DueState, Force, add_calendar_months
from annual_planner.trade.refused import Refused
from annual_planner.trade.said import said_date, said_hours
from annual_planner.trade.weighing import ToWeigh, Weighed, falls_due_by, weigh
from annual_planner.trade.working import Step, Worked

DONE_BY_THE_WHOLE = {
    "annual": "this visit is the annual itself",
    "hundred_hour": "an annual stands for the 100-hour inspection (14 CFR 91.409(b))",
}
"""Requirements that the inspection as a whole meets, without a card of their own."""


@dataclass(frozen=True, slots=True)
class Visit:
    """The day a visit starts and the day the annual after it would end."""

    start_on: date
    horizon_on: date


FIRST_START, LAST_START = date(1900, 1, 1), date(2197, 12, 31)


def visit_from(start_on: date) -> Visit:
    """The visit and its horizon: the end of the month twelve calendar months on (14 CFR 91.409(a)).

    Refused for a day that nobody means: what follows from it would lie outside the years that records hold.
    """
    if not FIRST_START <= start_on <= LAST_START:
        raise Refused(
            f"No visit begins on {said_date(start_on)}.",
            f"Give a day from {FIRST_START.year} to {LAST_START.year}.",
        )
    return Visit(start_on, add_calendar_months(start_on, 12))


def hours_on(now: Decimal | None, sheet: AircraftSheet, day: date) -> Worked[Decimal | None]:
    """Hours expected on a day: those now and what is flown a month since the last reading."""
    rate, read_on = sheet.hours_per_month, sheet.read_on
    if now is None or rate is None or read_on is None or day <= read_on:
        said = said_hours(now) if now is not None else "not known"
        return answer(
            now,
            "Hours expected",
            said,
            inputs=[("now", said)],
            steps=[Step("no use of it known, or the day is not after the last reading", said)],
            assumptions=["Nothing more is flown until then."],
        )
    flown = (rate * (day - read_on).days / DAYS_A_MONTH).quantize(Decimal("0.1"))
    return answer(
        now + flown,
        f"Hours expected on {said_date(day)}",
        said_hours(now + flown),
        inputs=[("flown", f"{rate}", "h a month"), ("last read", said_date(read_on))],
        steps=[
            Step(f"read {said_date(read_on)}", said_hours(now)),
            Step(f"{rate} h a month for {(day - read_on).days} days", said_hours(flown)),
        ],
        citation="common practice, no source",
        says="it goes on being flown as before",
    )


def to_weigh(thing: Weighable, visit: Visit, sheet: AircraftSheet, library: Library) -> ToWeigh:
    """One requirement with what the library's cards say of the work."""
    line = thing.line
    fitting = settling(library.cards, thing, sheet)
    own = [each.title for each in fitting if not each.on_condition]
    hours = sum((each.hours.likely for each in fitting), Decimal(0))
    return ToWeigh(
        title=line.title,
        force=Force(line.force),
        interval=thing.interval,
        due=thing.due,
        state=DueState(line.state),
        early_on=line.early_on,
        expected_on=line.forecast_on,
        hours_at_start=hours_on(thing.hours_now, sheet, visit.start_on).value,
        work_hours=hours if fitting else None,
        by_card=own[0] if own else "",
        by_visit=DONE_BY_THE_WHOLE.get(line.key, ""),
        citation=line.citation,
        last_on=line.last_on,
    )


def weighed_items(
    things: list[Weighable], visit: Visit, sheet: AircraftSheet, library: Library
) -> list[tuple[Weighable, Worked[Weighed]]]:
    """Everything due by the horizon with the proposal for it, in the order given."""
    found = []
    for thing in things:
        asked = to_weigh(thing, visit, sheet, library)
        if not thing.terminated and falls_due_by(asked, visit.horizon_on):
            found.append((thing, weigh(asked, visit.start_on, visit.horizon_on)))
    return found
