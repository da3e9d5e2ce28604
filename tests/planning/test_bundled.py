"""Bundling the items of a stored airplane."""

from __future__ import annotations

from pathlib import Path

import pytest

from annual_planner.library.shelf import Library
from annual_planner.planning.bundled import bundle_of_aircraft, usual_costs
from annual_planner.planning.explain import explain
from annual_planner.trade.bundling import Bundle
from annual_planner.trade.refused import Refused
from tests.planning.fleet import AIRPLANE, FEATURES, START, TODAY, small_fleet, usual_requirements


def bundled(folder: Path, library: Library) -> Bundle:
    with small_fleet(folder) as fleet, fleet.reading() as work:
        return bundle_of_aircraft(work, AIRPLANE, library, START).value


def test_what_every_annual_does_anyway_is_left_out(tmp_path: Path, library: Library) -> None:
    titles = {each.item.title for each in bundled(tmp_path, library).items}
    assert "Annual inspection" not in titles
    assert {"Transponder test", "Look at the widget bracket"} <= titles


def test_a_directive_is_binding_and_advice_is_not(tmp_path: Path, library: Library) -> None:
    binding = {each.item.title: each.item.binding for each in bundled(tmp_path, library).items}
    assert binding["Look at the widget bracket"]
    assert not binding["Engine hoses"]


def test_the_hours_to_open_a_zone_come_from_the_cards_that_open_and_close_it(library: Library) -> None:
    opening = usual_costs(library, frozenset(FEATURES)).opening_hours
    assert opening["engine"] > 0
    assert "office" not in opening


def test_the_working_can_be_asked_for_in_words(tmp_path: Path, library: Library) -> None:
    with small_fleet(tmp_path) as fleet, fleet.reading() as work:
        working = explain(work, "N012AP together", library, TODAY)
    assert any(step.text == "with annuals alone" for step in working.steps)


def test_an_airplane_with_nothing_to_bundle_says_so(tmp_path: Path, library: Library) -> None:
    with (
        small_fleet(tmp_path, requirements=usual_requirements()[:1]) as fleet,
        fleet.reading() as work,
        pytest.raises(Refused, match="nothing to bundle"),
    ):
        bundle_of_aircraft(work, AIRPLANE, library, START)
