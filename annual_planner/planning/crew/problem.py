"""What is to be laid out: people, zones, equipment, open time, and the jobs with everything they ask for."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from enum import Enum
from typing import TypeVar

from annual_planner.planning.crew.findings import Findings
from annual_planner.planning.crew.open_time import Calendar, ClosedDay, Span
from annual_planner.trade.refused import Refused

Keyed = TypeVar("Keyed", "Person", "Room", "Tool", "Job")


class Pauses(Enum):
    """Over which closed time a job may be left lying and taken up again."""

    ANY = "over breaks and nights"
    BREAKS = "over breaks of the same day"
    NONE = "not at all"


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody who works: what they may do, when, and what an hour costs.

    `hours`: regular hours; None for the shop's. A job may pause while they are closed. Every other set of
    hours than the shop's makes the search harder, so give absences as `away`. `away`: days off and the like;
    a job of theirs is done before or after, never around them.
    """

    key: str
    name: str
    skills: frozenset[str] = frozenset()
    hours: Calendar | None = None
    away: tuple[Span, ...] = ()
    cost_per_hour: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True)
class Room:
    """A zone of the airplane or a place in the shop, and how many people can work in it at a time."""

    key: str
    name: str
    holds: int


@dataclass(frozen=True, slots=True)
class Tool:
    """Equipment that is shared (jacks, test sets, bays), and how many there are."""

    key: str
    name: str
    count: int = 1


@dataclass(frozen=True, slots=True)
class Seat:
    """One person's part in a job: who has all `skills` may take it, and only one of `people` where given."""

    skills: frozenset[str] = frozenset()
    people: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class After:
    """A job that must be done before, and the time between, elapsed by the clock whether open or closed.

    `least_min`: wait at least so many minutes after its end (sealant, paint). `most_min`: begin at most so
    many minutes after its end (cylinders still hot). `why` completes 'because'.
    """

    job: str
    least_min: int = 0
    most_min: int | None = None
    why: str = ""


@dataclass(frozen=True, slots=True)
class Pinned:
    """A job held where it is: begun already, or fixed by a person. People in the order of the seats.

    `start` None: only the people are held; `people` empty: only the start is held.
    """

    start: datetime | None = None
    people: tuple[str, ...] = ()
    why: str = "fixed"


@dataclass(frozen=True, slots=True)
class Job:
    """One card as work to lay out. Durations in steps of a quarter-hour of open time.

    `seats`: one for each person who works on it at the same time; none for what needs no hands, which runs in
    the shop's open time or, where it takes no time either, is a gate (see `is_gate`). The inspector is a seat
    too, or a short job of their own after this one (see `inspection`). `outside_min`: minutes that pass by
    the clock instead of open time (sent away); then no seats. `not_before` needs `arrives`, the reason in
    words ('the gasket set comes'). `other_hands_than`: jobs whose people must not work on this one. Jobs
    named in `after` that are not there count as done.
    """

    key: str
    title: str
    likely: int
    low: int | None = None
    high: int | None = None
    seats: tuple[Seat, ...] = (Seat(),)
    room: str | None = None
    tools: tuple[tuple[str, int], ...] = ()
    after: tuple[After, ...] = ()
    pauses: Pauses = Pauses.ANY
    not_before: datetime | None = None
    arrives: str = ""
    not_after: datetime | None = None
    cures_min: int = 0
    outside_min: int | None = None
    other_hands_than: tuple[str, ...] = ()
    pinned: Pinned | None = None

    @property
    def is_gate(self) -> bool:
        """Whether it is a point that work only passes.

        It takes neither time nor hands, so it lies on the open time of the shop and of everybody.
        """
        return not self.seats and not self.likely and self.outside_min is None


@dataclass(frozen=True, slots=True)
class Promise:
    """A date to keep, for all jobs or for some; `weight` says how much a step late counts beside others."""

    name: str
    by: datetime
    jobs: frozenset[str] = frozenset()
    weight: int = 1


@dataclass(frozen=True, slots=True)
class Problem:
    """Everything to lay out at once. Refused with every fault that is found, one line each.

    `shop`: the shop's open time, from the first moment work may be laid on to the last that is looked at.
    `findings`: what the work may turn up; it counts for the chances of the finish, not for the plan.
    `closed`: days that `shop` leaves out though they would be open by its week, to be named.
    """

    shop: Calendar
    people: tuple[Person, ...]
    jobs: tuple[Job, ...]
    rooms: tuple[Room, ...] = ()
    tools: tuple[Tool, ...] = ()
    promises: tuple[Promise, ...] = ()
    findings: Findings | None = None
    closed: tuple[ClosedDay, ...] = ()

    def __post_init__(self) -> None:
        from annual_planner.planning.crew.faults import faults  # it reads this module's classes

        found = tuple(faults(self))
        if found:
            raise FaultyProblem(found)

    def job(self, key: str) -> Job:
        """The job with a key; KeyError when there is none."""
        return next_by_key(self.jobs, key)

    def person(self, key: str) -> Person:
        """The person with a key; KeyError when there is none."""
        return next_by_key(self.people, key)

    def hours_of(self, person: Person) -> Calendar:
        """Regular hours of a person."""
        return self.shop if person.hours is None else person.hours

    def may_take(self, seat: Seat, person: Person) -> bool:
        """Whether a person may take a seat, by skills and by name."""
        return seat.skills <= person.skills and (not seat.people or person.key in seat.people)


NO_OPEN_DAY = "The shop's calendar has no open day."


class FaultyProblem(Refused):
    """All that keeps the work from being laid out at all, a line each."""

    def __init__(self, faults: tuple[str, ...]) -> None:
        self.faults = faults
        about = "shop" if NO_OPEN_DAY in faults else ""
        super().__init__("\n".join(faults), "Correct these, then lay out the work again.", about=about)


def inspection(job: Job, seat: Seat, steps: int, within_min: int | None = None) -> Job:
    """A short job of the inspector after this one, by other hands; its key ends in ':inspection'."""
    return Job(
        key=f"{job.key}:inspection",
        title=f"Inspection of {job.title}",
        likely=steps,
        seats=(seat,),
        room=job.room,
        after=(After(job.key, most_min=within_min, why="it looks at that work"),),
        other_hands_than=(job.key,),
    )


def next_by_key(things: tuple[Keyed, ...], key: str) -> Keyed:
    """The thing with a key; KeyError when there is none."""
    for thing in things:
        if thing.key == key:
            return thing
    raise KeyError(key)
