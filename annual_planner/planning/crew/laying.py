"""Laying jobs one after another onto people, rooms and tools: who and what is still free, in bits of steps.

A mask is one long whole number with a bit for each step of an axis: set where somebody or something is free.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from annual_planner.planning.crew.prepared import Axis, Prepared, Use, Way, bits, set_bits


@dataclass(frozen=True, slots=True)
class Laid:
    """Where a job lies: which of its ways, start on the way's axis, start and end in common steps, who."""

    way: int
    start: int
    begins: int
    ends: int
    people: tuple[int, ...]


Plan = dict[int, Laid]
"""Every job's place by the job's number."""


class Free:
    """Who and what is free when; laying a job takes it, and a copy keeps what was.

    Of a stock the steps are kept at which enough is left, for each amount that jobs take of it.
    """

    def __init__(self, ready: Prepared) -> None:
        self.ready = ready
        self.people = ready_people(ready)
        steps = ready.common.steps
        limits = [min(each.limit, _taken_at_most(ready, stock)) for stock, each in enumerate(ready.stocks)]
        self.left = [[limit] * steps for limit in limits]
        amounts = [_amounts(ready, stock) for stock in range(len(ready.stocks))]
        self.level = [{amount: n for n, amount in enumerate(asked)} for asked in amounts]
        self.levels_at = [
            [bisect_right(asked, left) for left in range(limit + 1)]
            for asked, limit in zip(amounts, limits, strict=True)
        ]
        self.enough = [[bits(0, steps - 1)] * len(asked) for asked in amounts]

    def copy(self) -> Free:
        """The same again, to be changed apart."""
        twin = object.__new__(Free)
        twin.ready, twin.level, twin.levels_at = self.ready, self.level, self.levels_at
        twin.people = [dict(masks) for masks in self.people]
        twin.left = [list(left) for left in self.left]
        twin.enough = [list(masks) for masks in self.enough]
        return twin

    def has(self, use: Use) -> int:
        """Steps at which as much of a stock is left as a job takes, a bit for each."""
        return self.enough[use.stock][self.level[use.stock][use.amount]]

    def take(self, n: int, way: Way, laid: Laid) -> None:
        """Take what job number `n` holds while it lasts."""
        for person in laid.people:
            masks = self.people[person]
            for axis in masks:
                masks[axis] &= ~self._busy(axis, way, laid)
        for use in self.ready.uses[n]:
            self._take_stock(use.stock, use.amount, laid.begins, laid.ends)

    def _busy(self, axis: int, way: Way, laid: Laid) -> int:
        if axis == way.axis:
            return bits(laid.start, way.end(laid.start) - 1)
        other = self.ready.axes[axis]
        return bits(other.first_from(laid.begins), other.first_from(laid.ends) - 1)

    def _take_stock(self, stock: int, amount: int, begins: int, ends: int) -> None:
        left, enough, levels_at = self.left[stock], self.enough[stock], self.levels_at[stock]
        bit = 1 << begins
        for step in range(begins, ends):
            before = left[step]
            left[step] = after = before - amount
            for level in range(levels_at[after], levels_at[before]):
                enough[level] ^= bit
            bit <<= 1


def _taken_at_most(ready: Prepared, stock: int) -> int:
    """What all jobs together take of a stock: a limit above that, as of a rule given up, is none."""
    return sum(use.amount for uses in ready.uses for use in uses if use.stock == stock)


def _amounts(ready: Prepared, stock: int) -> list[int]:
    """Amounts that jobs take of a stock, each once."""
    return sorted({use.amount for uses in ready.uses for use in uses if use.stock == stock})


def ready_people(ready: Prepared) -> list[dict[int, int]]:
    """For each person the free steps of every axis they may work on, absences taken out."""
    axes: list[set[int]] = [{axis} for axis in ready.person_axis]
    for ways in ready.ways:
        for way in ways:
            for person in {p for seat in way.seats for p in seat}:
                axes[person].add(way.axis)
    return [{axis: _at_work(ready, p, axis) for axis in on} for p, on in enumerate(axes)]


def _at_work(ready: Prepared, person: int, axis: int) -> int:
    calendar = ready.axes[axis].calendar
    mask = bits(0, calendar.steps - 1)
    for span in ready.people[person].away:
        mask &= ~bits(calendar.steps_by(span.start), calendar.step_at(span.end) - 1)
    return mask


def lasting(mask: int, steps: int) -> int:
    """Steps from which so many steps in a row are set.

    >>> bin(lasting(0b1101110, 2))
    '0b100110'
    """
    have = 1
    while have < steps:
        more = min(have, steps - have)
        mask &= mask >> more
        have += more
    return mask


Choose = Callable[[int], Iterator[int]]


def highest_first(mask: int) -> Iterator[int]:
    """Numbers of the bits that are set, highest first."""
    while mask:
        top = mask.bit_length() - 1
        yield top
        mask ^= 1 << top


class Layer:
    """Finds places for jobs, the earliest or (backwards) the latest.

    With people in a given order of liking.
    """

    def __init__(self, ready: Prepared, liking: Sequence[int], backwards: bool = False) -> None:
        self.ready = ready
        self.liking = liking
        self.backwards = backwards
        self.preferring: Sequence[Sequence[Way]] | None = None
        self.each: Choose = highest_first if backwards else set_bits

    def place(
        self, free: Free, n: int, begins_from: int, ends_by: int, barred: frozenset[int]
    ) -> Laid | None:
        """The best place of a job between two common steps, or none. `barred`: people who must not do it."""
        if self.preferring is not None and self.preferring[n]:
            kept = self._best(free, n, self.preferring[n], begins_from, ends_by, barred)
            if kept is not None:
                return kept
        return self._best(free, n, self.ready.ways[n], begins_from, ends_by, barred)

    def _best(
        self,
        free: Free,
        n: int,
        ways: Sequence[Way],
        begins_from: int,
        ends_by: int,
        barred: frozenset[int],
    ) -> Laid | None:
        best: Laid | None = None
        for number, way in enumerate(ways):
            laid = self._place_in(free, n, number, way, begins_from, ends_by, barred)
            if laid is not None and (best is None or self._better(laid, best)):
                best = laid
        return best

    def _better(self, one: Laid, other: Laid) -> bool:
        return one.begins > other.begins if self.backwards else one.ends < other.ends

    def _place_in(
        self,
        free: Free,
        n: int,
        number: int,
        way: Way,
        begins_from: int,
        ends_by: int,
        barred: frozenset[int],
    ) -> Laid | None:
        axis = self.ready.axes[way.axis]
        mask = way.starts & ~bits(0, axis.first_from(begins_from) - 1)
        if ends_by < self.ready.common.steps and way.ends is None:
            mask &= bits(0, axis.first_from(ends_by) - way.steps)
        mask = self._with_stocks(free, n, way, axis, mask)
        if axis.is_common and not way.seats and way.ends is None:
            start = next(self.each(mask), None)  # nothing else can stand in the way
            return None if start is None else Laid(number, start, start, start + way.steps, ())
        fitting = {
            p: lasting(free.people[p][way.axis], way.steps)
            for seat in way.seats
            for p in seat
            if p not in barred
        }
        for seat in way.seats:
            somebody = 0
            for p in seat:
                somebody |= fitting.get(p, 0)
            mask &= somebody
        for start in self.each(mask):
            end = way.end(start)
            begins = axis.start_on_common(start)
            ends = axis.end_on_common(end) if way.steps or way.ends else begins
            if ends > ends_by or not self._stocks_last(free, n, axis, way, begins, ends):
                continue
            people = seated(way.seats, fitting, start, self.liking)
            if people is not None:
                return Laid(number, start, begins, ends, people)
        return None

    def _with_stocks(self, free: Free, n: int, way: Way, axis: Axis, mask: int) -> int:
        """Keep the starts from which rooms and tools last, where the job's axis is the common one."""
        uses = self.ready.uses[n]
        if not uses or not axis.is_common or way.ends is not None or not way.steps:
            return mask
        enough = free.has(uses[0])
        for use in uses[1:]:
            enough &= free.has(use)
        return mask & lasting(enough, way.steps)

    def _stocks_last(self, free: Free, n: int, axis: Axis, way: Way, begins: int, ends: int) -> bool:
        if axis.is_common and way.ends is None:
            return True
        held = bits(begins, ends - 1)
        return all(free.has(use) & held == held for use in self.ready.uses[n])


def seated(
    seats: Sequence[Sequence[int]], fitting: dict[int, int], start: int, liking: Sequence[int]
) -> tuple[int, ...] | None:
    """People for all seats who are free from `start`, those with a low number in `liking` first; or None."""
    if not seats:
        return ()
    holder: dict[int, int] = {}
    for seat in sorted(range(len(seats)), key=lambda s: len(seats[s])):
        if not _sit(seat, seats, fitting, start, liking, holder, set()):
            return None
    by_seat = {seat: person for person, seat in holder.items()}
    return tuple(by_seat[seat] for seat in range(len(seats)))


def _sit(
    seat: int,
    seats: Sequence[Sequence[int]],
    fitting: dict[int, int],
    start: int,
    liking: Sequence[int],
    holder: dict[int, int],
    asked: set[int],
) -> bool:
    """Seat somebody, asking those who sit already to move to another seat where that helps."""
    able = [p for p in seats[seat] if p not in asked and fitting.get(p, 0) >> start & 1]
    for person in sorted(able, key=lambda p: (p in holder, liking[p])):
        asked.add(person)
        if person not in holder or _sit(holder[person], seats, fitting, start, liking, holder, asked):
            holder[person] = seat
            return True
    return False
