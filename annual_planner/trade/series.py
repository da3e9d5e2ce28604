"""Which compression tests of one cylinder may share a line, and by what number they are compared.

Tests with different restrictors never share a line. Another tester joins only through its master reading.
Work on the cylinder, or a stay without flying, starts anew; a cold test is left out by name.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum

from annual_planner.trade.compression import Conditions
from annual_planner.trade.said import said_date

STORAGE_DAYS, STORAGE_HOURS = 180, Decimal(5)
"""So long between tests with fewer hours than that is a stay without flying. Common practice, no source."""


class ComparedBy(StrEnum):
    """The number a series is compared by."""

    INDEX = "index to the master"
    LEAK_RATIO = "leak ratio"
    READING = "reading as it would be at 80 psi and sea level"


@dataclass(frozen=True, slots=True)
class TimedReading:
    """One cylinder's reading in one test: psi, day, engine hours (None where not known), how it was made.

    `tester`: the shop's name for the tester. `after_work`: work done on the cylinder just before it.
    """

    on: date
    hours: Decimal | None
    reading_psi: float
    made: Conditions
    tester: str = ""
    cold: bool = False
    after_work: str = ""


@dataclass(frozen=True, slots=True)
class CylinderWork:
    """Cylinder, ring or valve work or a plug-hole repair; on the day of a test it counts as done after it."""

    on: date
    what: str


@dataclass(frozen=True, slots=True)
class Series:
    """Tests that may share a line, in order, and why they begin where they do (empty for the first)."""

    tests: tuple[TimedReading, ...]
    began: str

    @property
    def compared_by(self) -> ComparedBy:
        """The index where every test has a master reading, else the leak ratio."""
        mastered = all(test.made.master_psi is not None for test in self.tests)
        return ComparedBy.INDEX if mastered else ComparedBy.LEAK_RATIO


def series_of(
    tests: Sequence[TimedReading], work: Sequence[CylinderWork] = ()
) -> tuple[tuple[Series, ...], tuple[TimedReading, ...]]:
    """Series in order, the one that goes on today last; and the cold tests left out.

    Tests are taken in order of their days; those of one day in the order given.
    """
    in_order = sorted(tests, key=lambda test: test.on)
    runs: list[list[TimedReading]] = []
    reasons: list[str] = []
    for test in (each for each in in_order if not each.cold):
        reason = _break(runs[-1], test, work) if runs else ""
        if runs and not reason:
            runs[-1].append(test)
        else:
            runs.append([test])
            reasons.append(reason)
    series = tuple(Series(tuple(run), why) for run, why in zip(runs, reasons, strict=True))
    return series, tuple(test for test in in_order if test.cold)


def _break(run: Sequence[TimedReading], test: TimedReading, work: Sequence[CylinderWork]) -> str:
    """Say why a test can't go on a run, or nothing."""
    before = run[-1]
    if test.after_work:
        return f"{test.after_work} before the test of {said_date(test.on)}"
    done = next((each for each in work if before.on <= each.on < test.on), None)
    if done is not None:
        return f"{done.what} on {said_date(done.on)}"
    return _other_restrictor(before, test) or _other_tester(run, test) or _storage(before, test)


def _other_restrictor(before: TimedReading, test: TimedReading) -> str:
    was, now = before.made.restrictor_in, test.made.restrictor_in
    if was is None or now is None:
        return f"restrictor not known at the test of {said_date((before if was is None else test).on)}"
    return f"restrictor changed from {was:.3f} in to {now:.3f} in" if was != now else ""


def _other_tester(run: Sequence[TimedReading], test: TimedReading) -> str:
    """Name a change of tester that no master reading carries across the whole run."""
    if all(each.tester == test.tester for each in run):
        return ""
    if all(each.made.master_psi is not None for each in (*run, test)):
        return ""
    was, now = (each.tester or "a tester without a name" for each in (run[-1], test))
    return f"tester changed from {was} to {now} without master readings"


def _storage(before: TimedReading, test: TimedReading) -> str:
    if before.hours is None or test.hours is None:
        return ""
    days, hours = (test.on - before.on).days, test.hours - before.hours
    if days < STORAGE_DAYS or not 0 <= hours < STORAGE_HOURS:
        return ""
    return f"{days} days with {hours} h flown: what calendar does is not seen over hours"
