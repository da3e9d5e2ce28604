"""How long maintenance records are kept."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from annual_planner.trade.answer import answer
from annual_planner.trade.entry_text import EntryKind
from annual_planner.trade.periods import add_calendar_months, add_months
from annual_planner.trade.said import said_date
from annual_planner.trade.working import Step, Worked, Working


def work_record_until(done_on: date, *, repeated_on: date | None = None) -> Worked[date]:
    """The first day a record of work may be discarded: when the work is repeated, or after one year.

    Source: 14 CFR 91.417(b)(1).
    """
    year_on = add_months(done_on, 12)
    from_on = year_on + timedelta(days=1)
    steps = [Step(f"one year after {said_date(done_on)}", f"kept through {said_date(year_on)}")]
    if repeated_on is not None:
        steps.append(Step("repeated or superseded", said_date(repeated_on)))
        from_on = min(from_on, repeated_on)
    result = f"may be discarded from {said_date(from_on)}"
    result += "" if repeated_on else ", or as soon as the work is repeated"
    return answer(from_on, "Record of work", result, citation="14 CFR 91.417(b)(1)", steps=steps)


@dataclass(frozen=True, slots=True)
class AnnualRecord:
    """The two dates of an annual's record: the year the rule asks for, and how long it proves something."""

    one_year_on: date
    valid_through: date


def annual_record_until(done_on: date) -> Worked[AnnualRecord]:
    """How long an annual's entry is kept: while it proves the airplane may fly, past the rule's one year.

    Source: 14 CFR 91.417(b)(1), 91.409(a).
    """
    value = AnnualRecord(add_months(done_on, 12), add_calendar_months(done_on, 12))
    steps = [
        Step("one year of 91.417(b)(1)", said_date(value.one_year_on)),
        Step("valid through", said_date(value.valid_through)),
    ]
    result = f"kept until superseded, at least through {said_date(value.valid_through)}"
    citation = "14 CFR 91.417(b)(1); 14 CFR 91.409(a)"
    return answer(value, "Entry of an annual", result, citation=citation, steps=steps)


_STATUS_RECORDS = (
    "total time in service",
    "status of life-limited parts",
    "time since overhaul",
    "inspection status",
    "directive status",
    "major alteration forms",
)


def status_record_until() -> Worked[date | None]:
    """None: status records are never discarded and go with the airplane when it is sold.

    Source: 14 CFR 91.417(a)(2), (b)(2), 91.419(a).
    """
    steps = [Step(", ".join(_STATUS_RECORDS), "kept for good")]
    citation = "14 CFR 91.417(b)(2); 14 CFR 91.419(a)"
    return answer(None, "Status record", "never discarded", citation=citation, steps=steps)


def entry_kept(kind: EntryKind, done_on: date) -> Working:
    """How long the owner keeps an entry of this kind: one of an inspection at least as long as an annual's.

    The entry of a directive is kept with the directive's status, which is never discarded.
    """
    if kind is EntryKind.INSPECTION:
        return annual_record_until(done_on).working
    if kind is EntryKind.DIRECTIVE:
        return status_record_until().working
    return work_record_until(done_on).working


def discrepancy_list_until(listed_on: date, cleared_on: date | None) -> Worked[date | None]:
    """Last day the list of discrepancies is kept: until all is fixed and approved; None while open.

    Source: 14 CFR 91.417(b)(3).
    """
    result = f"kept through {said_date(cleared_on)}" if cleared_on else "kept: not all is cleared"
    inputs = [("list dated", said_date(listed_on))]
    return answer(cleared_on, "List of discrepancies", result, citation="14 CFR 91.417(b)(3)", inputs=inputs)
