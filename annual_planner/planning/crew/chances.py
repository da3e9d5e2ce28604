"""Courses of the work by chance: how long jobs take, and what is found on the way."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from annual_planner.planning.crew.findings import Findings
from annual_planner.planning.crew.greedy import reached
from annual_planner.planning.crew.prepared import Prepared
from annual_planner.planning.crew.problem import Job

if TYPE_CHECKING:
    import numpy as np

DURATIONS = "PERT-beta between low and high with the likely hours as mode and weight 4 (textbook)"
DAY_MIN = 24 * 60


@dataclass(frozen=True, slots=True)
class Courses:
    """Drawn courses: steps of work (whole or not) and minutes waited for parts, by job and course.

    `closed_by`: for each job the one that waits for the parts of what it found; None where only the finish
    does.
    """

    steps: Any
    part_min: Any
    closed_by: list[int | None]
    found: Any


def drawn_courses(
    chance: np.random.Generator, ready: Prepared, findings: Findings | None, courses: int
) -> Courses:
    """Draw courses; work outside the shop has no steps of its own."""
    import numpy as np

    hours = np.array([_drawn_job(chance, job, courses) for job in ready.jobs]).reshape(-1, courses)
    found = drawn_findings(chance, ready, findings, courses)
    return Courses(hours + found.extra, found.part_min, closing_jobs(ready, findings), found.count)


def _drawn_job(chance: np.random.Generator, job: Job, courses: int) -> Any:
    if job.outside_min is not None:
        return pert(chance, 0, 0, 0, courses)
    low, high = lowest_and_highest(job)
    return pert(chance, low, job.likely, high, courses)


def lowest_and_highest(job: Job) -> tuple[int, int]:
    """Low and high steps of a job; the likely ones where none are given."""
    return (job.likely if job.low is None else job.low), (job.likely if job.high is None else job.high)


@dataclass(frozen=True, slots=True)
class Found:
    """What was drawn: extra steps and minutes of waiting by job (rows) and course (columns)."""

    extra: Any
    part_min: Any
    count: Any


def drawn_findings(
    chance: np.random.Generator, ready: Prepared, findings: Findings | None, courses: int
) -> Found:
    """Draw the number of defects of each course, then the job, hours and part of each."""
    import numpy as np

    rows = (len(ready.jobs), courses)
    found = Found(np.zeros(rows), np.zeros(rows), np.zeros(courses, np.int64))
    on = [ready.number[key] for key in findings.on if key in ready.number] if findings else []
    if findings is None or not on:
        return found
    weights = np.array([findings.on[ready.jobs[n].key] for n in on])
    counted = findings.number.mean * findings.number.visits
    rates = chance.gamma(counted, 1 / findings.number.visits, courses)
    count = chance.poisson(rates)
    for turn in range(int(count.max(initial=0))):
        drawn = np.flatnonzero(count > turn)
        _draw_one(chance, ready, findings, drawn, np.array(on), weights / weights.sum(), found)
    return Found(found.extra, found.part_min, count)


def _draw_one(
    chance: np.random.Generator,
    ready: Prepared,
    findings: Findings,
    drawn: Any,
    on: Any,
    weights: Any,
    found: Found,
) -> None:
    """One defect in each of some courses."""
    import numpy as np

    jobs = chance.choice(on, len(drawn), p=weights)
    steps = pert(chance, findings.low, findings.likely, findings.high, len(drawn))
    waits = chance.random(len(drawn)) < findings.part_chance
    minutes = np.where(waits, pert(chance, *findings.part_days, len(drawn)) * DAY_MIN, 0)
    closed = closing_jobs(ready, findings)
    by = np.array([n if m is None else m for n, m in enumerate(closed)])
    np.add.at(found.extra, (np.where(waits, by[jobs], jobs), drawn), steps)
    np.maximum.at(found.part_min, (jobs, drawn), minutes)


def closing_jobs(ready: Prepared, findings: Findings | None) -> list[int | None]:
    """For each job the number of the one that waits for the parts of what it found.

    None where the finish alone does, and where the one that is named doesn't come after it anyway.
    """
    if findings is None or not findings.closed_by:
        return [None] * len(ready.jobs)
    reach = reached(ready)
    by = [ready.number.get(findings.closed_by.get(job.key, "")) for job in ready.jobs]
    return [m if m in reach[n] else None for n, m in enumerate(by)]


def pert_shape(low: float, likely: float, high: float) -> tuple[float, float]:
    """The two shape numbers of the beta distribution over low to high with its mode at the likely value.

    >>> pert_shape(2, 4, 10)
    (2.0, 4.0)
    """
    return 1 + 4 * (likely - low) / (high - low), 1 + 4 * (high - likely) / (high - low)


def pert(chance: np.random.Generator, low: float, likely: float, high: float, courses: int) -> Any:
    """Values by chance, PERT-beta between low and high."""
    import numpy as np

    if high <= low:
        return np.full(courses, float(likely))
    return low + (high - low) * chance.beta(*pert_shape(low, likely, high), courses)
