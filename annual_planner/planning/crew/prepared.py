"""A problem made ready for searching: numbers for keys, axes of open time, the ways each job can be done."""

from __future__ import annotations

from bisect import bisect_left
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cached_property
from itertools import combinations

from annual_planner.planning.crew.open_time import Calendar, any_open, both_open
from annual_planner.planning.crew.problem import Job, Pauses, Problem

MOST_HOURS_TOGETHER = 3
"""Sets of different hours that may meet in one job; more is not looked at."""


class Axis:
    """Open time of some people, squeezed; and where each of its steps lies on the axis all have in common."""

    def __init__(self, calendar: Calendar, common: Calendar) -> None:
        self.calendar = calendar
        self.steps = calendar.steps
        self.is_common = calendar == common
        self.on_common: Sequence[int] = (
            range(self.steps)
            if self.is_common
            else tuple(
                step
                for span in calendar.spans
                for step in range(common.step_at(span.start), common.steps_by(span.end))
            )
        )

    def start_on_common(self, start: int) -> int:
        """Common step of a start on this axis."""
        return self.on_common[start]

    def end_on_common(self, end: int) -> int:
        """Common step of an end on this axis; an end at 0 stands at the first start."""
        return self.on_common[end - 1] + 1 if end else self.on_common[0]

    def first_from(self, common: int) -> int:
        """First step of this axis at or after a common step; the number of steps when there is none."""
        return min(common, self.steps) if self.is_common else bisect_left(self.on_common, common)

    @cached_property
    def runs(self) -> tuple[tuple[int, int, int], ...]:
        """Stretches of this axis without a jump on the common one: first, last, and what to add."""
        found: list[tuple[int, int, int]] = []
        for step, common in enumerate(self.on_common):
            if found and common - step == found[-1][2]:
                found[-1] = (found[-1][0], step, found[-1][2])
            else:
                found.append((step, step, common - step))
        return tuple(found)


@dataclass(frozen=True, slots=True)
class Way:
    """One way to do a job: on which axis, how long, where it may start (a bit for each step), and by whom.

    `seats`: for each seat the numbers of the people who may take it. `ends`: the end for each start, where
    time by the clock passes; otherwise the end is `start + steps`.
    """

    axis: int
    steps: int
    starts: int
    seats: tuple[tuple[int, ...], ...]
    ends: tuple[int, ...] | None = None

    def end(self, start: int) -> int:
        """End on the way's axis."""
        return start + self.steps if self.ends is None else self.ends[start]


@dataclass(frozen=True, slots=True)
class Link:
    """One job after another by their numbers, with the least and most minutes between by the clock."""

    before: int
    after: int
    least_min: int
    most_min: int | None
    why: str


@dataclass(frozen=True, slots=True)
class Use:
    """What a job takes of a room or tool while it lasts."""

    stock: int
    amount: int


@dataclass(frozen=True, slots=True)
class Stock:
    """A room or tool with its limit."""

    key: str
    name: str
    limit: int
    is_room: bool


class Prepared:
    """A problem in numbers. Jobs, people and stocks are numbered in the order they were given."""

    def __init__(self, problem: Problem, durations: Sequence[int] | None = None) -> None:
        self.problem = problem
        self.jobs = problem.jobs
        self.people = problem.people
        self.steps = list(durations) if durations is not None else [job.likely for job in problem.jobs]
        self.number = {job.key: n for n, job in enumerate(problem.jobs)}
        self.person_number = {person.key: n for n, person in enumerate(problem.people)}
        self.common = any_open([problem.shop, *(problem.hours_of(person) for person in problem.people)])
        self.axes: list[Axis] = []
        self._axis_of: dict[Calendar, int] = {}
        self.shop_axis = self.axis_number(problem.shop)
        self.person_axis = [self.axis_number(problem.hours_of(person)) for person in problem.people]
        self.common_axis = self.axis_number(self.common)
        self._minutes: dict[tuple[int, int, bool, bool], tuple[int, ...]] = {}
        self.stocks = tuple(_stocks(problem))
        self.uses = tuple(tuple(self._uses(job)) for job in problem.jobs)
        self.links = tuple(self._links())
        self.before: list[list[Link]] = [[] for _ in self.jobs]
        self.following: list[list[Link]] = [[] for _ in self.jobs]
        for link in self.links:
            self.before[link.after].append(link)
            self.following[link.before].append(link)
        self.ways = tuple(tuple(self._ways(n)) for n in range(len(self.jobs)))
        self.strangers = self._strangers()

    def axis_number(self, calendar: Calendar) -> int:
        """Number of the axis of a calendar, made when it is new."""
        if calendar not in self._axis_of:
            self._axis_of[calendar] = len(self.axes)
            self.axes.append(Axis(calendar, self.common))
        return self._axis_of[calendar]

    def earliest(self, axis: int, minutes: int, of_nothing: bool = False) -> tuple[int, ...]:
        """For each end on an axis, the first start so many minutes or more after it.

        `of_nothing`: what ends took no time, so that it ends where a step begins.
        """
        return self._by_clock(axis, minutes, of_nothing, latest=False)

    def latest(self, axis: int, minutes: int, of_nothing: bool = False) -> tuple[int, ...]:
        """For each end on an axis, the last start at most so many minutes after it; -1 for none."""
        return self._by_clock(axis, minutes, of_nothing, latest=True)

    def _by_clock(self, axis: int, minutes: int, of_nothing: bool, latest: bool) -> tuple[int, ...]:
        key = (axis, minutes, of_nothing, latest)
        if key not in self._minutes:
            calendar, wait = self.axes[axis].calendar, timedelta(minutes=minutes)
            moments = (_moment(calendar, end, of_nothing) + wait for end in range(calendar.steps + 1))
            just = timedelta(minutes=1) if latest else timedelta()
            self._minutes[key] = tuple(calendar.step_at(moment + just) - latest for moment in moments)
        return self._minutes[key]

    def _uses(self, job: Job) -> Iterator[Use]:
        places = {(stock.is_room, stock.key): n for n, stock in enumerate(self.stocks)}
        if job.room is not None:
            yield Use(places[True, job.room], max(len(job.seats), 1))
        counts = Counter[str]()
        for key, count in job.tools:
            counts[key] += count
        yield from (Use(places[False, key], count) for key, count in counts.items())

    def _links(self) -> Iterator[Link]:
        for n, job in enumerate(self.jobs):
            for after in job.after:
                if (before := self.number.get(after.job)) is not None:
                    least = after.least_min + self.jobs[before].cures_min
                    yield Link(before, n, least, after.most_min, after.why)

    def _strangers(self) -> list[tuple[int, int]]:
        """Pairs of jobs that no person may both work on."""
        return [
            (self.number[other], n)
            for n, job in enumerate(self.jobs)
            for other in job.other_hands_than
            if other in self.number and self.number[other] != n
        ]

    def _ways(self, n: int) -> Iterator[Way]:
        job = self.jobs[n]
        if not job.seats:
            yield self._way(n, self.common_axis if job.is_gate else self.shop_axis, ())
            return
        seats = [
            tuple(p for p, person in enumerate(self.people) if self.problem.may_take(seat, person))
            for seat in job.seats
        ]
        if job.pinned and job.pinned.people:
            seats = [(self.person_number[key],) for key in job.pinned.people]
        for hours in self._hours_together(seats):
            sitting = tuple(tuple(p for p in seat if self.person_axis[p] in hours) for seat in seats)
            calendar = both_open([self.axes[axis].calendar for axis in hours])
            if calendar.steps >= self.steps[n]:
                way = self._way(n, self.axis_number(calendar), sitting)
                if way.starts:
                    yield way

    def _hours_together(self, seats: Sequence[Sequence[int]]) -> Iterator[tuple[int, ...]]:
        """Sets of hours out of which every seat can be filled, the fewest first."""
        present = sorted({self.person_axis[p] for seat in seats for p in seat})
        for size in range(1, min(len(seats), len(present), MOST_HOURS_TOGETHER) + 1):
            for hours in combinations(present, size):
                if all(any(self.person_axis[p] in hours for p in seat) for seat in seats):
                    yield hours

    def _way(self, n: int, axis: int, seats: tuple[tuple[int, ...], ...]) -> Way:
        job, calendar, steps = self.jobs[n], self.axes[axis].calendar, self.steps[n]
        if job.outside_min is not None:
            ends = _ends_by_clock(calendar, job.outside_min)
            return Way(axis, 0, _starts(job, calendar, ends), seats, ends)
        plain = tuple(range(steps, calendar.steps + (steps > 0)))
        return Way(axis, steps, _starts(job, calendar, plain), seats)


def bits(first: int, last: int) -> int:
    """A bit for each step from first to last, both counted in; none when last is before first.

    >>> bin(bits(2, 4))
    '0b11100'
    """
    return ((1 << (last - first + 1)) - 1) << first if last >= first else 0


def set_bits(mask: int) -> Iterator[int]:
    """Numbers of the bits that are set, lowest first."""
    while mask:
        low = mask & -mask
        yield low.bit_length() - 1
        mask ^= low


def stretches(mask: int) -> Iterator[tuple[int, int]]:
    """Stretches of set bits: first and last of each.

    >>> list(stretches(0b1101110))
    [(1, 3), (5, 6)]
    """
    place = 0
    while mask:
        skip = (mask & -mask).bit_length() - 1
        mask >>= skip
        length = (~mask & (mask + 1)).bit_length() - 1
        yield place + skip, place + skip + length - 1
        mask >>= length
        place += skip + length


def _stocks(problem: Problem) -> Iterator[Stock]:
    for room in problem.rooms:
        yield Stock(room.key, room.name, room.holds, is_room=True)
    for tool in problem.tools:
        yield Stock(tool.key, tool.name, tool.count, is_room=False)


def _moment(calendar: Calendar, end: int, of_nothing: bool) -> datetime:
    return calendar.when(end) if of_nothing and end < calendar.steps else calendar.until(end)


def _ends_by_clock(calendar: Calendar, minutes: int) -> tuple[int, ...]:
    """For each start the step at which what was sent away is there again.

    Beyond the calendar its starts end.
    """
    wait = timedelta(minutes=minutes)
    ends = (calendar.step_at(calendar.when(start) + wait) for start in range(calendar.steps))
    return tuple(end for end in ends if end < calendar.steps)


def _starts(job: Job, calendar: Calendar, ends: Sequence[int]) -> int:
    """Where a job may start on an axis, a bit for each step, by all that doesn't depend on other jobs."""
    starts = bits(0, len(ends) - 1)
    steps = ends[0] if ends else 0
    if job.outside_min is None and job.pauses is not Pauses.ANY:
        for closed in calendar.breaks(nights_only=job.pauses is Pauses.BREAKS):
            starts &= ~bits(max(closed - steps + 1, 0), closed - 1)
    if job.not_before is not None:
        starts &= ~bits(0, calendar.step_at(job.not_before) - 1)
    if job.not_after is not None:
        starts &= bits(0, _last_start_for(calendar, job, ends))
    if job.pinned is not None and job.pinned.start is not None:
        starts &= _exactly(calendar, job.pinned.start)
    return starts


def _last_start_for(calendar: Calendar, job: Job, ends: Sequence[int]) -> int:
    assert job.not_after is not None
    if job.outside_min is not None:
        sent_by = job.not_after - timedelta(minutes=job.outside_min)
        return calendar.step_at(sent_by + timedelta(minutes=1)) - 1
    last_end = calendar.steps_by(job.not_after)
    return last_end - ends[0] if ends else -1


def _exactly(calendar: Calendar, moment: datetime) -> int:
    step = calendar.step_at(moment)
    return 1 << step if step < calendar.steps and calendar.when(step) == moment else 0
