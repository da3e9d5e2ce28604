"""Published instance formats: what is read is what the files state of themselves, and little ones are solved.

Formats: PSPLIB single-mode (Kolisch and Sprecher 1996) and multi-skill (Young, Feydy and Schutt 2017). The
files here are made up, since the published ones state no licence; bounds beside them show their optima.
The published ones go through the same reader in `tests.benchmarks.project_instances`.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from annual_planner.planning.crew.solve import lay_out
from tests.benchmarks.instance_files import (
    as_problem,
    longest_way,
    multi_skill,
    read_instance,
    single_mode,
)
from tests.benchmarks.project_instances import ours
from tests.planning.crew.checker import broken

FILES = Path(__file__).parent / "instances"
OPTIMA = {
    # 33 units of R 1 at 4 a step are 9 steps; a plan of 9 is easily found.
    "little.sm": 9,
    # 16 person-steps by three people are 6 steps; a plan of 6 is easily found.
    "little.dzn": 6,
}


@pytest.mark.parametrize("file", OPTIMA)
def test_a_little_instance_is_laid_out_best_and_keeps_every_rule(file: str) -> None:
    instance = read_instance(FILES / file)
    assert ours(instance, seconds=5, workers=2) == (OPTIMA[file], True)
    problem = as_problem(instance)
    assert broken(problem, lay_out(problem, seconds=0).value) == []


def test_the_numbers_a_file_states_of_itself_are_those_read() -> None:
    text = (FILES / "little.sm").read_text()
    instance = single_mode(text)
    assert (len(instance.activities), instance.limits, longest_way(instance)) == (7, (4, 2), 6)
    assert instance.activities[3] == type(instance.activities[3])(4, (5,), (1, 0))


@pytest.mark.parametrize(
    ("stated", "said"),
    [
        (("):  7", "):  8"), "jobs: states 8, read 7"),
        (("horizon                       :  14", "horizon : 15"), "horizon: states 15, read 14"),
        (("0       9        0        6", "0       9        0        7"), "MPM-Time: states 7, read 6"),
    ],
)
def test_a_file_that_was_cut_or_changed_is_not_taken(stated: tuple[str, str], said: str) -> None:
    text = (FILES / "little.sm").read_text()
    assert stated[0] in text
    with pytest.raises(ValueError, match=said):
        single_mode(text.replace(*stated))


def test_a_multi_skill_file_states_its_numbers_too() -> None:
    text = (FILES / "little.dzn").read_text()
    assert len(multi_skill(text).mastery) == 3
    with pytest.raises(ValueError, match="needs: states 7, read 6"):
        multi_skill(text.replace("SumOfsreq = 6", "SumOfsreq = 7"))
