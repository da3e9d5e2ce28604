"""Open time: the quarter-hours somebody works, counted without the closed time between them."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from itertools import pairwise

from annual_planner.trade.refused import Refused

STEP_MIN = 15
"""Minutes in one step."""
STEPS_AN_HOUR = 60 // STEP_MIN

STEP = timedelta(minutes=STEP_MIN)
_MIDNIGHT = time(0)


@dataclass(frozen=True, slots=True, order=True)
class Span:
    """A stretch of wall-clock time: local, without a time zone, whole quarter-hours, `end` not counted in."""

    start: datetime
    end: datetime

    def __post_init__(self) -> None:
        if self.end <= self.start:
            raise Refused(
                f"A time from {said_moment(self.start)} to {said_moment(self.end)} ends before it begins.",
                "Give an end after the start.",
            )
        if any(_off_quarter(moment) for moment in (self.start, self.end)):
            raise Refused(
                f"{said_moment(self.start)} to {said_moment(self.end)} is not in whole quarter-hours.",
                "Round the hours to quarter-hours.",
            )

    @property
    def steps(self) -> int:
        """Length in steps."""
        return (self.end - self.start) // STEP


@dataclass(frozen=True, slots=True)
class ClosedDay:
    """A day on which the shop is closed though it isn't by its week, and why; empty where nobody said."""

    on: date
    why: str = ""

    @property
    def said(self) -> str:
        """The day with its reason.

        >>> ClosedDay(date(2026, 5, 25), "Memorial Day").said
        'Mon 25 May (Memorial Day)'
        """
        return f"{self.on:%a} {self.on.day} {self.on:%b}" + (f" ({self.why})" if self.why else "")


@dataclass(frozen=True, slots=True)
class Calendar:
    """Open time as stretches in order; step 0 is the first open quarter-hour.

    Stretches that touch or overlap become one. A calendar may be empty; a shop's may not (see `Problem`).
    """

    spans: tuple[Span, ...]
    _firsts: tuple[int, ...] = field(init=False, repr=False, compare=False)
    """Step that each stretch begins with, and behind them the number of all steps."""

    def __post_init__(self) -> None:
        spans = _joined(self.spans)
        firsts = [0]
        for span in spans:
            firsts.append(firsts[-1] + span.steps)
        object.__setattr__(self, "spans", spans)
        object.__setattr__(self, "_firsts", tuple(firsts))

    @property
    def steps(self) -> int:
        """Number of open steps."""
        return self._firsts[-1]

    def when(self, step: int) -> datetime:
        """Wall-clock start of a step. IndexError outside the calendar."""
        if not 0 <= step < self.steps:
            raise IndexError(f"step {step} is outside a calendar of {self.steps}")
        place = bisect_right(self._firsts, step) - 1
        return self.spans[place].start + (step - self._firsts[place]) * STEP

    def until(self, step: int) -> datetime:
        """Wall-clock end of what ends with so many steps gone by; the calendar's opening for 0."""
        return self.when(step - 1) + STEP if step > 0 else self.spans[0].start

    def step_at(self, moment: datetime) -> int:
        """First step that starts at or after a moment; the number of steps when there is none."""
        place = bisect_right([span.end for span in self.spans], moment)
        if place == len(self.spans):
            return self.steps
        into = moment - self.spans[place].start
        return self._firsts[place] + (-(-into // STEP) if into > timedelta() else 0)

    def steps_by(self, moment: datetime) -> int:
        """Number of steps that have ended at a moment."""
        place = bisect_left([span.start for span in self.spans], moment)
        if place == 0:
            return 0
        span = self.spans[place - 1]
        return self._firsts[place - 1] + (min(moment, span.end) - span.start) // STEP

    def pieces(self, start: int, end: int) -> tuple[Span, ...]:
        """The stretches of wall-clock time from step `start` to before step `end`."""
        found = []
        for place, span in enumerate(self.spans):
            first = max(start, self._firsts[place])
            last = min(end, self._firsts[place + 1])
            if first < last:
                begins = span.start + (first - self._firsts[place]) * STEP
                found.append(Span(begins, begins + (last - first) * STEP))
        return tuple(found)

    def breaks(self, nights_only: bool = False) -> tuple[int, ...]:
        """Steps that begin after a closed time; with `nights_only` those that begin on another day."""
        return tuple(
            first
            for first, (one, two) in zip(self._firsts[1:], pairwise(self.spans), strict=False)
            if not nights_only or one.end.date() != two.start.date()
        )

    def minutes_by_day(self) -> dict[date, int]:
        """Open minutes of each day that has any."""
        found: dict[date, int] = {}
        for span in self.spans:
            begins = span.start
            while begins < span.end:
                ends = min(span.end, datetime.combine(begins.date() + timedelta(days=1), _MIDNIGHT))
                found[begins.date()] = found.get(begins.date(), 0) + (ends - begins) // timedelta(minutes=1)
                begins = ends
        return found

    def longest(self) -> int:
        """Steps of the longest stretch."""
        return max((span.steps for span in self.spans), default=0)


def weekly(
    first: date,
    last: date,
    hours: Mapping[int, Sequence[tuple[time, time]]],
    closed: Iterable[date] = (),
) -> Calendar:
    """Open time from one day to another, both counted in, by hours for each weekday (Monday is 0).

    >>> morning = [(time(8), time(12))]
    >>> weekly(date(2026, 5, 4), date(2026, 5, 10), {0: morning, 2: morning}).steps
    32
    """
    shut = set(closed)
    days = (first + timedelta(days=n) for n in range((last - first).days + 1))
    return Calendar(
        tuple(
            Span(datetime.combine(day, opens), _closing(day, closes))
            for day in days
            if day not in shut
            for opens, closes in hours.get(day.weekday(), ())
        )
    )


def unbroken(start: datetime, steps: int) -> Calendar:
    """So many steps of open time without any break."""
    return Calendar((Span(start, start + steps * STEP),))


def both_open(calendars: Sequence[Calendar]) -> Calendar:
    """Time that is open in all of them; at least one calendar."""
    spans: Sequence[Span] = calendars[0].spans
    for calendar in calendars[1:]:
        spans = list(_overlaps(spans, calendar.spans))
    return Calendar(tuple(spans))


def any_open(calendars: Iterable[Calendar]) -> Calendar:
    """Time that is open in at least one of them."""
    return Calendar(tuple(span for calendar in calendars for span in calendar.spans))


def said_moment(moment: datetime) -> str:
    """A moment as people read it.

    >>> said_moment(datetime(2026, 5, 12, 9, 30))
    'Tue 12 May 09:30'
    """
    return f"{moment:%a} {moment.day} {moment:%b %H:%M}"


def said_span(span: Span) -> str:
    """A stretch of time as people read it: whole days without hours.

    >>> said_span(Span(datetime(2026, 5, 12), datetime(2026, 5, 14)))
    '12–13 May 2026'
    """
    if span.start.time() != _MIDNIGHT or span.end.time() != _MIDNIGHT:
        return f"{said_moment(span.start)} to {said_moment(span.end)}"
    last = span.end - timedelta(days=1)
    if span.start.date() == last.date():
        return f"{last.day} {last:%b %Y}"
    if (span.start.year, span.start.month) == (last.year, last.month):
        return f"{span.start.day}–{last.day} {last:%b %Y}"
    return f"{span.start.day} {span.start:%b} – {last.day} {last:%b %Y}"


def said_steps(steps: float) -> str:
    """A number of steps as hours.

    >>> said_steps(6), said_steps(5)
    ('1.5 h', '1.25 h')
    """
    return f"{steps * STEP_MIN / 60:.4g} h"


def _off_quarter(moment: datetime) -> bool:
    return bool(moment.minute % STEP_MIN or moment.second or moment.microsecond)


def _closing(day: date, closes: time) -> datetime:
    """Midnight as a closing hour is the midnight that ends the day."""
    return datetime.combine(day + timedelta(days=closes == _MIDNIGHT), closes)


def _joined(spans: Iterable[Span]) -> tuple[Span, ...]:
    joined: list[Span] = []
    for span in sorted(spans):
        if joined and span.start <= joined[-1].end:
            joined[-1] = Span(joined[-1].start, max(joined[-1].end, span.end))
        else:
            joined.append(span)
    return tuple(joined)


def _overlaps(ones: Sequence[Span], twos: Sequence[Span]) -> Iterable[Span]:
    place = 0
    for one in ones:
        while place < len(twos) and twos[place].end <= one.start:
            place += 1
        for two in twos[place:]:
            if two.start >= one.end:
                break
            yield Span(max(one.start, two.start), min(one.end, two.end))
