from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from annual_planner.library.shelf import Library
from annual_planner.planning.explain import explain
from annual_planner.store.opening import open_fleet
from annual_planner.store.session import Work
from annual_planner.trade.refused import Refused
from demo_fleet.loader import DEMO_TODAY


@pytest.fixture(scope="module")
def work(sample: Path) -> Iterator[Work]:
    with open_fleet(sample, read_only=True) as fleet, fleet.reading() as reading:
        yield reading


def test_a_discrepancy_is_explained_by_its_life_and_what_was_found_before(
    work: Work, library: Library
) -> None:
    working = explain(work, "N081YA discrepancy autopilot", library, DEMO_TODAY)
    assert working.title == "N081YA: Autopilot hunts in height"
    assert "defer until" in working.result
    assert [step.result for step in working.steps][:2] == ["found", "judged"]
    assert {each.name: each.unit for each in working.inputs}["age"] == "days"
    assert [part.title for part in working.parts] == ["Found before?"]


def test_one_that_stops_the_airplane_names_the_list_for_the_owner(work: Work, library: Library) -> None:
    [rule] = explain(work, "N051QF discrepancy shock cord", library, DEMO_TODAY).rules
    assert rule.citation == "14 CFR 43.11(b)"


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("zebra", "No open discrepancy of this airplane says 'zebra'"),
        ("", "Which discrepancy"),
        ("e", "may mean several"),
    ],
)
def test_where_none_or_several_are_meant_the_choices_are_named(
    words: str, said: str, work: Work, library: Library
) -> None:
    with pytest.raises(Refused, match=said) as refused:
        explain(work, f"N012MH discrepancy {words}", library, DEMO_TODAY)
    assert "'Left door latch needs a slam to catch'" in refused.value.remedy
