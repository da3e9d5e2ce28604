"""Where a few readings over hours are heading: hours to a limit with a band, or why nothing can be said.

Published limits and the maker's instructions decide; a trend only says when to look again.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from itertools import pairwise

from annual_planner.trade.chance import one_way_chance
from annual_planner.trade.lines import fitted_line
from annual_planner.trade.trend_estimates import CONFIDENCE, Estimates, Limit, Reading, columns_of, estimated
from annual_planner.trade.working import Input, Rule, Step, Worked, Working

LARGEST_CHANCE = 0.10
"""Kendall's chance above which no steady direction is seen. Common practice, no source."""

JUMP_SDS = 3.0
"""Standard deviations by which a last reading is a jump and not wear. Common practice, no source."""

LEAST_READINGS = 4

RULES = (
    Rule("least squares and Theil-Sen lines (textbook)", "two lines that fail in different ways"),
    Rule("Kendall's rank correlation, exact chance (textbook)", "whether there is a direction at all"),
    Rule("Fieller's bounds (textbook)", "hours at which the next reading could stand at the limit"),
    Rule("ICH Q1E, by analogy", "a claim ends where the worse bound meets the limit"),
)


class Why(StrEnum):
    """Why there is no forecast."""

    HOURS = "mend the record first"
    PAST = "the limit is here"
    TOO_FEW = "too few readings"
    JUMP = "a jump, not wear"
    BETTER = "no limit in sight"
    NO_DIRECTION = "no steady direction"
    NO_LIMIT = "nothing to hold it against"
    UNBOUNDED = "the readings do not show a direction; the band has no end"


@dataclass(frozen=True, slots=True)
class Outlook:
    """Hours from the last reading until the limit: early edge, most likely, late edge; and the span seen.

    Nothing beyond `span_hours` more is promised.
    """

    early_hours: float
    likely_hours: float
    late_hours: float
    span_hours: float

    def __str__(self) -> str:
        span = f"{said_about(self.span_hours, down=True)} h"
        if self.early_hours > self.span_hours:
            return f"not within the next {span}"
        early = said_about(self.early_hours, down=True)
        start = (
            f"could be reached from about {early} h on" if self.early_hours >= 10 else "could be reached now"
        )
        if self.likely_hours > self.span_hours:
            return f"{start}; the likeliest hour lies beyond the next {span}, further than the readings reach"
        return f"{start}, most likely about {said_about(self.likely_hours)} h; not promised beyond that"


@dataclass(frozen=True, slots=True)
class Trend:
    """The estimates and either an outlook or the reason why there is none."""

    estimates: Estimates | None
    outlook: Outlook | None = None
    why_not: Why | None = None
    said: str = ""


def said_about(hours: float, *, down: bool = False) -> str:
    """Hours rounded to what they are worth: to 10 under 200, to 50 above; an early edge always down.

    >>> said_about(459.5), said_about(329.2, down=True), said_about(87)
    ('450', '300', '90')
    """
    to = 10 if hours < 200 else 50
    return f"{(math.floor(hours / to) if down else round(hours / to)) * to:,}"


def least_readings(confidence: float) -> int:
    """Fewest readings that can carry a two-sided interval of this confidence; never under 4.

    >>> least_readings(0.9), least_readings(0.95)
    (4, 5)
    """
    count = LEAST_READINGS
    while 1 - one_way_chance(count) < confidence:
        count += 1
    return count


def trend(
    readings: Sequence[Reading],
    limit: Limit,
    *,
    confidence: float = CONFIDENCE,
    title: str = "Trend",
    unit: str = "",
    assumptions: Sequence[str] = (),
) -> Worked[Trend]:
    """Hours until the limit with a band, or the reason why there is none.

    Readings in the order they were taken, one installation, all made alike. Confidence two-sided, 0 to 1.
    Where every reading states a standard deviation, they weigh by it and the larger of stated and scattered
    uncertainty counts. Sources: see `RULES`.

    >>> from annual_planner.trade.trend_estimates import Worse
    >>> shown = [Reading(Decimal(h), v) for h, v in ((0, 76), (100, 75), (200, 72))]
    >>> trend(shown, Limit(60, Worse.FALLING)).value.said
    'too few readings: 1 more needed'
    """
    kept, wrong = _last_at_each_hour(readings), _hours_wrong(readings)
    estimates = estimated(kept, limit, confidence) if len(kept) >= 3 and not wrong else None
    found = Trend(None, None, Why.HOURS, wrong) if wrong else _decided(kept, limit, confidence, estimates)
    inputs = _inputs(readings if wrong else kept, limit, confidence, unit)
    steps = _steps(estimates, kept, limit, confidence) if estimates is not None else []
    assumed = ("The value goes on along a straight line over hours; no law says so.", *assumptions)
    return Worked(found, Working(title, found.said, inputs, (*steps, Step(_verdict(found))), RULES, assumed))


def _hours_wrong(readings: Sequence[Reading]) -> str:
    hours = [each.hours for each in readings]
    known = [each for each in hours if each is not None]
    if len(known) < len(hours):
        return f"{Why.HOURS}: hours are missing at {len(hours) - len(known)} of {len(hours)} readings"
    back = next(((a, b) for a, b in pairwise(known) if b < a), None)
    return f"{Why.HOURS}: hours run backwards from {back[0]} to {back[1]}" if back else ""


def _last_at_each_hour(readings: Sequence[Reading]) -> list[Reading]:
    """Of readings at the same hours the last one counts, as after a re-run."""
    return list({each.hours: each for each in readings}.values())


def _decided(
    readings: Sequence[Reading], limit: Limit, confidence: float, estimates: Estimates | None
) -> Trend:
    if readings and limit.past(readings[-1].value):
        return Trend(estimates, None, Why.PAST, f"{Why.PAST}: the latest reading is beyond it; no forecast")
    missing = least_readings(confidence) - len(readings)
    if missing > 0 or estimates is None:
        return Trend(estimates, None, Why.TOO_FEW, f"{Why.TOO_FEW}: {missing} more needed")
    if said := _jump(readings, limit):
        return Trend(estimates, None, Why.JUMP, said)
    if why := _no_direction(estimates, limit):
        return Trend(estimates, None, why, _said_of(why, estimates))
    outlook = _outlook(readings, estimates)
    return Trend(estimates, outlook, None, str(outlook))


def _no_direction(estimates: Estimates, limit: Limit) -> Why | None:
    if estimates.order.chance > LARGEST_CHANCE:
        return Why.NO_DIRECTION
    if estimates.line.slope * limit.worse.sign <= 0:
        return Why.BETTER
    return Why.UNBOUNDED if estimates.reading_band is None else None


def _said_of(why: Why, estimates: Estimates) -> str:
    if why is Why.BETTER:
        return f"{why}: the readings improve, which is usually a change of method"
    if why is Why.NO_DIRECTION:
        return f"{why}: such an order comes by chance in {estimates.order.chance * 100:.0f} of 100"
    return str(why)


def _jump(readings: Sequence[Reading], limit: Limit) -> str:
    """Hold the last reading against the line of those before it; needs stated uncertainties."""
    hours, values, sds = columns_of(readings)
    if sds is None or len(readings) < LEAST_READINGS:
        return ""
    line = fitted_line(hours[:-1], values[:-1], sds[:-1])
    sd = line.sd * math.sqrt(sds[-1] ** 2 + 1 / line.weight + (hours[-1] - line.middle) ** 2 / line.spread)
    off = (values[-1] - line.at(hours[-1])) * limit.worse.sign
    if off <= JUMP_SDS * sd:
        return ""
    return f"{Why.JUMP}: the last reading is {off / sd:.1f} sd worse than those before it led to; inspect"


def _outlook(readings: Sequence[Reading], estimates: Estimates) -> Outlook:
    first, last = float(readings[0].hours or 0), float(readings[-1].hours or 0)
    likely = estimates.hours_at_limit if estimates.hours_at_limit is not None else math.inf
    band = estimates.reading_band or (last, math.inf)
    early, late = min(band[0], likely), max(band[1], likely)  # equal but for rounding when nothing scatters
    return Outlook(max(early - last, 0.0), max(likely - last, 0.0), max(late - last, 0.0), last - first)


def _inputs(readings: Sequence[Reading], limit: Limit, confidence: float, unit: str) -> tuple[Input, ...]:
    return (
        *(Input(each.name or f"at {each.hours} h", _valued(each), unit) for each in readings),
        Input("limit", f"{limit.value:.5g}", unit, f"{limit.worse} is worse"),
        Input("confidence", f"{confidence * 100:g}", "%", "both sides together"),
    )


def _verdict(found: Trend) -> str:
    return f"{'no forecast' if found.outlook is None else 'the limit'}: {found.said}"


def _valued(reading: Reading) -> str:
    return plain(reading.value, 4) + (f" ± {plain(reading.sd, 2)}" if reading.sd is not None else "")


def _sum(intercept: float, slope: float) -> str:
    return f"{plain(intercept, 5)} {'-' if slope < 0 else '+'} {plain(abs(slope) * 100, 4)} for each 100 h"


def plain(number: float, digits: int) -> str:
    """A number with so many digits that count, never with an exponent.

    >>> plain(0.000082664, 3), plain(1234.5, 2), plain(0.0, 3)
    ('0.0000827', '1200', '0')
    """
    return f"{Decimal(f'{number:.{digits}g}'):f}"


def _steps(estimates: Estimates, readings: Sequence[Reading], limit: Limit, confidence: float) -> list[Step]:
    line, medians = estimates.line, estimates.medians
    steps = [
        Step("least-squares line", _sum(line.intercept, line.slope)),
        Step(
            "sd of its slope for each 100 h: from scatter",
            f"{plain(line.slope_sd_from_scatter * 100, 2)}; used {plain(line.slope_sd * 100, 2)}",
        ),
        Step(
            "Theil-Sen line (median of value - slope × hours)",
            _sum(medians.intercept, medians.slope),
        ),
        Step(
            "Kendall's S and its exact chance, two-sided",
            f"{estimates.order.steps}, {estimates.order.chance:.2g}",
        ),
        Step(f"Student's t at {confidence * 100:g} %, Fieller's g", f"{estimates.t:.4g}, {estimates.g:.3g}"),
    ]
    if estimates.hours_at_limit is not None and estimates.reading_band is not None:
        early, late = estimates.reading_band
        sums = f"s {line.sd:.3g}, W {line.weight:.4g}, m {line.middle:.4g} h, S {line.spread:.4g}"
        steps += [
            Step("hours x at the limit: line", f"{estimates.hours_at_limit:.0f} h"),
            Step("band: (line(x) - limit)² = t² s² (variance of a reading + 1/W + (x - m)²/S)", sums),
            Step("hours x at the limit: next reading, early to late", f"{early:.0f} to {late:.0f} h"),
            *_disagreement(estimates, readings, limit.value),
        ]
    return steps


def _disagreement(estimates: Estimates, readings: Sequence[Reading], limit: float) -> list[Step]:
    """Where the medians meet the limit outside the band: say so and name the reading that causes it."""
    medians, band = estimates.medians, estimates.reading_band
    crossing = (limit - medians.intercept) / medians.slope if medians.slope else math.inf
    if band is None or band[0] <= crossing <= band[1]:
        return []
    odd = max(readings, key=lambda each: abs(each.value - medians.at(float(each.hours or 0))))
    said = (
        f"{crossing:.0f} h, outside the band; {odd.name or 'the reading'} at {odd.hours} h pulls them apart"
    )
    return [Step("the two lines disagree: Theil-Sen meets the limit at", said)]
