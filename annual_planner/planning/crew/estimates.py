"""Hours of a card learned from the hours it took.

The template's estimate, moved by what the shop has seen.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from math import exp, log

from annual_planner.trade.answer import answer
from annual_planner.trade.refused import Refused
from annual_planner.trade.working import Step, Worked

PRIOR_DOINGS = 4
"""How many doings the template's estimate counts for. Common practice, no source."""

QUARTER = Decimal("0.25")


@dataclass(frozen=True, slots=True)
class Hours:
    """Low, likely and high hours of a card."""

    low: Decimal
    likely: Decimal
    high: Decimal


def learned_hours(template: Hours, used_hours: Sequence[Decimal]) -> Worked[Hours]:
    """Hours of a card, shrunk from what it took in this shop towards what its template says.

    All three are multiplied by one factor: the geometric mean of used ÷ likely hours, to the power n ÷ (n +
    4) for n doings; so no doing leaves the template as it is, and many move it all the way. Rounded to
    quarter-hours, at least one. Hours above 0, else Refused. Source: shrinkage of a mean of logarithms
    (textbook); the weight is common practice, no source.

    >>> learned_hours(Hours(Decimal(1), Decimal(2), Decimal(4)), [Decimal(4)] * 4).value.likely
    Decimal('2.75')
    """
    _check(template, used_hours)
    count = len(used_hours)
    ratios = [log(float(used / template.likely)) for used in used_hours]
    weight = count / (count + PRIOR_DOINGS)
    seen = exp(sum(ratios) / count) if count else 1.0
    factor = Decimal(str(seen**weight))
    hours = Hours(*(_rounded(part * factor) for part in (template.low, template.likely, template.high)))
    ratio = f"{seen:.3f}" if count else "nothing used yet"
    steps = [
        Step("used ÷ likely hours of the template, geometric mean", ratio),
        Step(f"weight of {count} doings against {PRIOR_DOINGS} for the template", f"{weight:.2f}"),
        Step("factor on low, likely and high hours", f"{factor:.3f}"),
    ]
    return answer(
        hours,
        "Hours learned",
        f"{hours.low} / {hours.likely} / {hours.high} h",
        citation="common practice, no source",
        says=f"the template counts for {PRIOR_DOINGS} doings",
        inputs=[
            ("template", f"{template.low} / {template.likely} / {template.high}", "h"),
            ("used", ", ".join(str(used) for used in used_hours) or "never", "h"),
        ],
        steps=steps,
        assumptions=("What slows or speeds a card up does so for its low, likely and high hours alike.",),
    )


def _check(template: Hours, used_hours: Sequence[Decimal]) -> None:
    if not 0 < template.low <= template.likely <= template.high:
        raise Refused("A template's hours must rise from low over likely to high, above 0.", "Correct it.")
    if any(used <= 0 for used in used_hours):
        raise Refused("Hours used must be above 0.", "Take out the doings without hours.")


def _rounded(hours: Decimal) -> Decimal:
    return max(QUARTER, (hours / QUARTER).quantize(Decimal(1)) * QUARTER)
