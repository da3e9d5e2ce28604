"""What a visit turns up beyond its cards: how many defects, and what each takes in hours and in waiting."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from annual_planner.trade.refused import Refused


@dataclass(frozen=True, slots=True)
class Number:
    """How many defects a visit turns up: on average so many, known as well as from so many visits.

    `source`: the shop's history in figures, or the assumption.
    """

    mean: float
    visits: float
    source: str = "assumed"


def number_from_history(found: int, visits: int, assumed: float, assumed_visits: float = 2.0) -> Number:
    """The number by the shop's count, and before there are many visits by what is assumed, weighed together.

    The assumption counts for so many visits (a gamma prior on a Poisson rate, textbook). ValueError for
    counts below 0.

    >>> number_from_history(found=30, visits=8, assumed=5).mean
    4.0
    """
    if found < 0 or visits < 0:
        raise ValueError(f"{found} found in {visits} visits")
    known = visits + assumed_visits
    source = f"{found} found in {visits} annuals of this shop; {assumed:g} an annual assumed, as if seen in"
    source = f"{source} {assumed_visits:g}" if visits else f"assumed: {assumed:g} an annual"
    return Number((found + assumed * assumed_visits) / known, known, source)


@dataclass(frozen=True, slots=True)
class Findings:
    """Defects that may be found, what putting one right takes, and what it may wait for.

    `on`: jobs that may turn one up, with their weights (hours of looking, say). `low`, `likely`, `high`:
    steps of work, by those who found it. With `part_chance` (0 to 1) a part is waited for, by the clock for
    `part_days` (low, likely, high); then the work is done by those who do the job `closed_by` names for the
    one that found it, which can't begin before; without such a job the finish waits.
    """

    number: Number
    on: Mapping[str, float] = field(default_factory=dict)
    low: int = 1
    likely: int = 4
    high: int = 16
    part_chance: float = 0.0
    part_days: tuple[float, float, float] = (1, 3, 10)
    closed_by: Mapping[str, str] = field(default_factory=dict)
    source: str = "assumed"

    def __post_init__(self) -> None:
        days = self.part_days
        if not (0 <= self.part_chance <= 1 and 0 <= self.low <= self.likely <= self.high):
            raise Refused("Findings have a chance or hours that can't be.", "Chance is 0 to 1.")
        if not 0 <= days[0] <= days[1] <= days[2] or self.number.mean < 0 or self.number.visits <= 0:
            raise Refused("Findings have days or a number that can't be.", "Let days rise from 0.")
