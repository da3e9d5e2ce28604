"""How long jobs take by chance, and what may be found on the way.

The draws behind the chances of a finish.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from annual_planner.planning.crew.prepared import Prepared
from annual_planner.planning.crew.problem import Job

if TYPE_CHECKING:
    import numpy as np

DURATIONS = "PERT-beta between low and high with the likely hours as mode and weight 4 (textbook)"


@dataclass(frozen=True, slots=True)
class Finding:
    """Extra work that a job may turn up: with what chance (0 to 1), and how many steps it then takes.

    `source` says where the chance comes from: the shop's history counts, or an assumption.
    """

    job: str
    title: str
    chance: float
    low: int
    likely: int
    high: int
    source: str = "assumed"


def from_history(job: Job, found: int, looks: int, low: int, likely: int, high: int) -> Finding:
    """A finding with its chance from the shop's counts: found so often in so many looks.

    Rule of succession, (found + 1) / (looks + 2), so that a few looks never say never. ValueError for counts
    below 0 or more found than looks.

    >>> from_history(Job("a", "brakes", 4), found=3, looks=18, low=2, likely=4, high=8).chance
    0.2
    """
    if not 0 <= found <= looks:
        raise ValueError(f"found {found} times in {looks} looks")
    source = f"found {found} times in {looks} looks of this shop"
    return Finding(job.key, f"finding on {job.title}", (found + 1) / (looks + 2), low, likely, high, source)


def lowest_and_highest(job: Job) -> tuple[int, int]:
    """Low and high steps of a job; the likely ones where none are given."""
    return (job.likely if job.low is None else job.low), (job.likely if job.high is None else job.high)


def pert_shape(low: int, likely: int, high: int) -> tuple[float, float]:
    """The two shape numbers of the beta distribution over low to high with its mode at the likely steps.

    >>> pert_shape(2, 4, 10)
    (2.0, 4.0)
    """
    return 1 + 4 * (likely - low) / (high - low), 1 + 4 * (high - likely) / (high - low)


def drawn_steps(chance: np.random.Generator, low: int, likely: int, high: int, samples: int) -> Any:
    """Steps by chance, rounded to whole steps, at least 1 where some are likely."""
    import numpy as np

    if high == low:
        return np.full(samples, likely)
    one, two = pert_shape(low, likely, high)
    steps = np.rint(low + (high - low) * chance.beta(one, two, samples)).astype(np.int64)
    return np.maximum(steps, min(likely, 1))


def drawn_jobs(chance: np.random.Generator, ready: Prepared, samples: int) -> Any:
    """Steps of every job (rows) in every sample (columns); work outside the shop has none."""
    import numpy as np

    return np.array(
        [
            drawn_steps(chance, *_three(job), samples)
            if job.outside_min is None
            else np.zeros(samples, np.int64)
            for job in ready.jobs
        ]
    )


def _three(job: Job) -> tuple[int, int, int]:
    low, high = lowest_and_highest(job)
    return low, job.likely, high


def drawn_findings(
    chance: np.random.Generator, ready: Prepared, findings: Sequence[Finding], samples: int
) -> Any:
    """Extra steps by job (rows) and sample (columns): nothing where nothing was found."""
    import numpy as np

    extra = np.zeros((len(ready.jobs), samples), np.int64)
    for finding in findings:
        found = chance.random(samples) < finding.chance
        steps = drawn_steps(chance, finding.low, finding.likely, finding.high, samples)
        extra[ready.number[finding.job]] += np.where(found, steps, 0)
    return extra
