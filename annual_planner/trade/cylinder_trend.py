"""Where a cylinder's compression is heading over engine hours, held against the rule of its engine type."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from annual_planner.trade.compression import (
    READING_SD_PSI,
    JudgingRule,
    Verdict,
    judged_cylinder,
)
from annual_planner.trade.flow import LEAST_SD_PSI, REGULATED_PSI, area_ratio, ratio_sd, reading_of
from annual_planner.trade.refused import Refused
from annual_planner.trade.said import said_date
from annual_planner.trade.series import ComparedBy, CylinderWork, Series, TimedReading, series_of
from annual_planner.trade.trend_estimates import CONFIDENCE, Limit, Reading, Worse
from annual_planner.trade.trends import Trend, Why, trend
from annual_planner.trade.working import Rule, Step, Worked, Working

JOINED = Rule("common practice, no source", "one restrictor, one tester or its master, no work in between")


UNITS = {ComparedBy.INDEX: "", ComparedBy.LEAK_RATIO: "restrictors", ComparedBy.READING: "psi"}

MASTER_WANDERS_PSI = 2.0
"""A master reading that moves by more between tests tells of the tester. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class CylinderTrend:
    """The trend of the series that goes on today, all series for the picture, and tests left out as cold."""

    trend: Trend
    compared_by: ComparedBy
    series: tuple[Series, ...]
    left_out: tuple[TimedReading, ...]


def cylinder_trend(
    cylinder: int,
    tests: Sequence[TimedReading],
    rule: JudgingRule,
    work: Sequence[CylinderWork] = (),
    *,
    compared_by: ComparedBy | None = None,
    reading_sd_psi: float = READING_SD_PSI,
    confidence: float = CONFIDENCE,
) -> Worked[CylinderTrend]:
    """Hours until a cylinder may reach its limit, or why nothing can be said.

    Compared by the index where all tests have a master reading, else by the leak ratio, unless asked
    otherwise; the leak ratio gives the earlier answer. `reading_sd_psi` counts as at least 1 psi. Refused as
    `leak_ratio`, with the test named.
    """
    series, cold = series_of(tests, work)
    now = series[-1] if series else Series((), "")
    by = compared_by or now.compared_by
    answer = _trend_of(now, rule, by, reading_sd_psi, confidence, f"Trend of cylinder {cylinder} by {by}")
    found = _said(answer.value, now)
    working = answer.working
    shown = Working(
        working.title,
        found.said,
        inputs=working.inputs,
        steps=(*_joining_steps(series, cold), *_wandering(now), *working.steps),
        rules=(Rule(rule.citation, rule.title), JOINED, *working.rules),
        assumptions=working.assumptions,
    )
    return Worked(CylinderTrend(found, by, series, cold), shown)


def _trend_of(
    now: Series, rule: JudgingRule, by: ComparedBy, sd_psi: float, confidence: float, title: str
) -> Worked[Trend]:
    if by is ComparedBy.INDEX and now.compared_by is not ComparedBy.INDEX:
        return _none(title, "not every test of the series has a master reading")
    limit = _limit(now, rule, by, sd_psi)
    if limit is None:
        return _none(title, "the rule is the master's reading, which not every test of the series has")
    readings = [_reading(test, by, sd_psi) for test in now.tests]
    sd_said = f"{max(sd_psi, LEAST_SD_PSI):g} psi"
    assumed = [f"One reading has a standard deviation of {sd_said} (common practice, no source)."]
    if by is ComparedBy.READING:
        assumed.append("The reading goes straight; by leak ratio the limit would come earlier.")
    answer = trend(readings, limit, confidence=confidence, title=title, unit=UNITS[by], assumptions=assumed)
    return _past(answer) if now.tests and _suspect(now.tests[-1], rule) else answer


def _past(answer: Worked[Trend]) -> Worked[Trend]:
    """Let the latest reading as taken go before what was computed."""
    said = f"{Why.PAST}: the latest reading as taken is beyond it; no forecast"
    working = replace(
        answer.working, steps=(*answer.working.steps, Step("the latest reading goes first", said))
    )
    return Worked(Trend(answer.value.estimates, None, Why.PAST, said), working)


def _none(title: str, because: str) -> Worked[Trend]:
    said = f"{Why.NO_LIMIT}: {because}"
    steps = (Step(f"no forecast: {said}"),)
    return Worked(Trend(None, None, Why.NO_LIMIT, said), Working(title, said, steps=steps))


def _suspect(test: TimedReading, rule: JudgingRule) -> bool:
    """Hold the reading as taken against the rule; a floor without its master reading doesn't count here."""
    if test.made.master_psi is None:
        rule = replace(rule, master_floor=False)
    return judged_cylinder(0, test.reading_psi, test.made, rule).value.verdict is Verdict.SUSPECT


def _reading(test: TimedReading, by: ComparedBy, sd_psi: float) -> Reading:
    try:
        value, sd = _compared(test.reading_psi, test, by, sd_psi)
    except Refused as refused:
        raise Refused(f"Test of {said_date(test.on)}: {refused.said}", refused.remedy) from refused
    taken = f"{said_date(test.on)}, {test.reading_psi:g}/{test.made.regulated_psi:g}"
    hours = "hours not known" if test.hours is None else f"at {test.hours} h"
    return Reading(test.hours, value, sd, f"{taken} {hours}")


def _compared(
    reading_psi: float, test: TimedReading, by: ComparedBy, sd_psi: float, regulated_psi: float | None = None
) -> tuple[float, float]:
    """Give the number compared, and its standard deviation, for a reading made as `test` was."""
    regulated, air = regulated_psi or test.made.regulated_psi, test.made.ambient_psi_a
    ratio, sd = area_ratio(reading_psi, regulated, air), ratio_sd(reading_psi, sd_psi, regulated, air)
    if by is ComparedBy.READING:
        return reading_of(ratio), max(sd_psi, LEAST_SD_PSI)
    if by is ComparedBy.LEAK_RATIO or test.made.master_psi is None:
        return ratio, sd
    master = area_ratio(test.made.master_psi, test.made.regulated_psi, air)
    master_sd = ratio_sd(test.made.master_psi, sd_psi, test.made.regulated_psi, air)
    index = ratio / master
    return index, math.hypot(sd, index * master_sd) / master


def _limit(now: Series, rule: JudgingRule, by: ComparedBy, sd_psi: float) -> Limit | None:
    """Give the limit of the rule on the day of the last test: the stricter where the rule has two."""
    if not now.tests:
        return Limit(1.0, Worse.RISING)
    last = now.tests[-1]
    lowest = (
        []
        if rule.max_loss_fraction is None
        else [(REGULATED_PSI * (1 - rule.max_loss_fraction), REGULATED_PSI)]
    )
    if rule.master_floor and last.made.master_psi is not None:
        lowest.append((last.made.master_psi, last.made.regulated_psi))
    if not lowest or (rule.master_floor and now.compared_by is not ComparedBy.INDEX):
        return None
    sign = -1 if by is ComparedBy.READING else 1
    value, sd = min(
        (_compared(psi, last, by, sd_psi, regulated) for psi, regulated in lowest),
        key=lambda found: sign * found[0],
    )
    return Limit(value, Worse.FALLING if sign < 0 else Worse.RISING, sd)


def _said(found: Trend, now: Series) -> Trend:
    """Tell of a new series where it is why there are too few."""
    if found.why_not is Why.TOO_FEW and now.began:
        return replace(found, said=f"{found.said}; new series: {now.began}")
    return found


def _joining_steps(series: Sequence[Series], cold: Sequence[TimedReading]) -> list[Step]:
    steps = [Step(f"test of {said_date(test.on)} left out", "made cold") for test in cold]
    steps += [Step("new series", each.began) for each in series if each.began]
    if len(series) > 1:
        steps.append(Step("tests in the series that goes on", str(len(series[-1].tests))))
    return steps


def _wandering(now: Series) -> list[Step]:
    """Name testers whose master reading moved from test to test."""
    steps = []
    for tester in dict.fromkeys(test.tester for test in now.tests):
        masters = [
            test.made.master_psi
            for test in now.tests
            if test.tester == tester and test.made.master_psi is not None
        ]
        if masters and max(masters) - min(masters) > MASTER_WANDERS_PSI:
            moved = f"master reading between {min(masters):g} and {max(masters):g} psi"
            steps.append(Step(f"look at {tester or 'the tester'}", moved))
    return steps
