"""Cards in work as jobs: each goes on at once, by those who are on it, whatever should have come before."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime

from annual_planner.planning.crew.open_time import Calendar, Span, both_open
from annual_planner.planning.crew.problem import Job, Pauses, Person, Pinned, Room, Tool

BEGUN = "begun"


@dataclass
class InWork:
    """Holds cards in work where they are, as far as people, zones and equipment go round.

    What can't go on at once, for its part is still to come, say, or its people are on another card, is laid
    like any other. `workers`: people with their open time that is left, by their keys.
    """

    workers: Mapping[str, tuple[Person, Calendar]]
    shop: Calendar
    rooms: Iterable[Room]
    tools: Iterable[Tool]
    _taken: set[str] = field(default_factory=set)

    def __post_init__(self) -> None:
        self._left = Counter({("room", room.key): room.holds for room in self.rooms})
        self._left.update({("tool", tool.key): tool.count for tool in self.tools})

    def going_on(self, job: Job, on_it: Sequence[str], *, followed_hot: bool = False) -> Job:
        """The job of a card in work. It waits for no other card or gate, for it has begun all the same.

        `followed_hot`: others must begin soon after its end, so it is laid where they can, made again if it
        must be.
        """
        held = self._seated(job, on_it) if on_it else ()
        if followed_hot:
            return replace(job, after=(), pinned=Pinned(None, held, BEGUN) if held else None)
        begun = replace(job, after=(), pauses=Pauses.ANY)
        team = held or self._somebody(job)
        start = self._start(job, team)
        if start is None or not self._has_stocks(job):
            return replace(begun, pinned=Pinned(None, held, BEGUN) if held else None)
        self._take(job, team)
        return replace(begun, pinned=Pinned(start, held, BEGUN))

    def _seated(self, job: Job, people: Iterable[str], start: datetime | None = None) -> tuple[str, ...]:
        """People for all seats, the first who may take each; none where a seat is left."""
        found: list[str] = []
        for seat in job.seats:
            able = (
                p for p in people if p in seat.people and p not in found and self._is_there(job, p, start)
            )
            who = next(able, None)
            if who is None:
                return ()
            found.append(who)
        return tuple(found)

    def _somebody(self, job: Job) -> tuple[str, ...]:
        """Somebody for each seat who could go on when the shop opens; they are not held to it.

        The dearest, who may do most, are kept for what the others may not do.
        """
        if not self.shop.steps:
            return ()
        free = [key for key in self.workers if key not in self._taken]
        free.sort(key=lambda key: self.workers[key][0].cost_per_hour)
        return self._seated(job, free, self.shop.when(0))

    def _is_there(self, job: Job, who: str, start: datetime | None) -> bool:
        return start is None or self._stays(job, (who,), start)

    def _start(self, job: Job, team: tuple[str, ...]) -> datetime | None:
        """The first moment all of a team are there; None where they are busy, or the job can't begin then."""
        if (job.seats and not team) or self._taken & set(team):
            return None
        both = both_open([self.workers[who][1] for who in team]) if team else self.shop
        if not both.steps:
            return None
        start = both.when(0)
        early = job.not_before is not None and start < job.not_before
        return None if early or not self._stays(job, team, start) else start

    def _stays(self, job: Job, team: tuple[str, ...], start: datetime) -> bool:
        """Whether a team is there from a moment on until the job is done."""
        if not team:
            return True
        both = both_open([self.workers[who][1] for who in team])
        first = both.step_at(start)
        if first + job.likely > both.steps or both.when(first) != start:
            return False
        away = [span for who in team for span in self.workers[who][0].away]
        return not any(
            _meet(piece, span) for piece in both.pieces(first, first + job.likely) for span in away
        )

    def _has_stocks(self, job: Job) -> bool:
        return all(self._left[key] >= amount for key, amount in _stocks(job).items())

    def _take(self, job: Job, team: tuple[str, ...]) -> None:
        self._taken.update(team)
        self._left.subtract(_stocks(job))


def _stocks(job: Job) -> Counter[tuple[str, str]]:
    taken = Counter[tuple[str, str]]()
    for key, count in job.tools:
        taken["tool", key] += count
    if job.room is not None:
        taken["room", job.room] += max(len(job.seats), 1)
    return taken


def _meet(one: Span, other: Span) -> bool:
    return one.start < other.end and other.start < one.end
