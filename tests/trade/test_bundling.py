from __future__ import annotations

from decimal import Decimal
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from annual_planner.trade.bundling import BundleCosts, BundleItem, bundle, chance_before, usual_visits
from annual_planner.trade.refused import Refused

COSTS = BundleCosts(Decimal(90), Decimal(300), Decimal(600), {"engine": Decimal("0.5"), "wing": Decimal(4)})
VISITS = usual_visits()


def item(title: str = "thing", **given: object) -> BundleItem:
    values: dict[str, object] = {
        "zone": "engine", "due_day": 200.0, "early_day": 200.0, "late_day": 200.0, "lasts_days": 365.0,
        "binding": True, "work_hours": Decimal(1),
    }  # fmt: skip
    return BundleItem(title, **{**values, **given})  # type: ignore[arg-type]


def when(*items: BundleItem) -> list[list[str]]:
    return [[visit.title for visit in each.done_at] for each in bundle(items, COSTS, VISITS).value.items]


def test_what_is_due_between_annuals_is_done_at_the_annual_when_it_lasts_a_year() -> None:
    assert when(item()) == [["this annual", "annual in 1 year"]]


def test_an_oil_change_that_lasts_half_a_year_brings_its_own_visits() -> None:
    oil = item("oil", due_day=0.0, early_day=0.0, late_day=0.0, lasts_days=190.0)
    found = bundle([oil], COSTS, VISITS).value
    assert [visit.title for visit in found.visits] == ["mid-year visit 1", "mid-year visit 2"]


def test_dear_work_with_much_life_left_waits() -> None:
    overhaul = item(
        "overhaul", due_day=900.0, early_day=900.0, late_day=900.0, lasts_days=4000.0, work_hours=Decimal(80)
    )
    assert when(overhaul) == [[]]


def test_advice_may_run_over_where_a_visit_would_cost_more() -> None:
    hoses = item("hoses", binding=False, due_day=170.0, early_day=170.0, late_day=170.0, lasts_days=2000.0)
    found = bundle([hoses], COSTS, VISITS).value
    assert found.visits == ()


def test_opening_a_dear_zone_keeps_work_with_the_annual() -> None:
    """The same thing goes to a visit that is made anyway when its zone is cheap, and not when it is dear."""
    oil = item("oil", due_day=0.0, early_day=0.0, late_day=0.0, lasts_days=190.0)
    life = {"due_day": 190.0, "early_day": 190.0, "late_day": 190.0, "lasts_days": 700.0}
    cheap = item("cheap", work_hours=Decimal(4), **life)
    dear = item("dear", work_hours=Decimal(4), zone="wing", **life)
    by_title = {
        each.item.title: each.done_at for each in bundle([oil, cheap, dear], COSTS, VISITS).value.items
    }
    assert any(not visit.annual for visit in by_title["cheap"])
    assert all(visit.annual for visit in by_title["dear"])


def test_a_wide_forecast_is_done_earlier_than_a_sure_one() -> None:
    sure = item("sure", due_day=400.0, early_day=400.0, late_day=400.0, lasts_days=1200.0)
    wide = item("wide", due_day=400.0, early_day=250.0, late_day=550.0, lasts_days=1200.0)
    done = {each.item.title: each.done_at for each in bundle([sure, wide], COSTS, VISITS).value.items}
    assert done["sure"][0].day == 365
    assert done["wide"][0].day < 365


def test_the_working_names_every_choice_that_was_tried() -> None:
    working = bundle([item("magneto timing")], COSTS, VISITS).working
    said = [step.text for step in working.steps]
    assert {"with annuals alone", "with mid-year visit 1, mid-year visit 2", "magneto timing"} <= set(said)


@pytest.mark.parametrize("wrong", [{"lasts_days": 0.0}, {"early_day": 300.0}, {"late_day": 100.0}])
def test_what_can_not_be_is_refused_by_name(wrong: dict[str, object]) -> None:
    with pytest.raises(Refused, match="thing"):
        bundle([item(**wrong)], COSTS, VISITS)


@given(st.floats(-100, 900), st.floats(0, 200))
def test_the_chance_of_running_out_grows_with_time(due: float, spread: float) -> None:
    chances = [chance_before(day, due, spread) for day in range(0, 800, 50)]
    assert all(0 <= chance <= 1 for chance in chances)
    assert chances == sorted(chances)


ITEMS = st.builds(
    lambda due, early, late, lasts, binding, hours, zone: BundleItem(
        "x", zone, due, due - early, due + late, lasts, binding, Decimal(hours)
    ),
    st.floats(-50, 900), st.floats(0, 100), st.floats(0, 100), st.floats(30, 2000), st.booleans(),
    st.integers(1, 20), st.sampled_from(["engine", "wing", "tail"]),
)  # fmt: skip


@settings(max_examples=40, deadline=None)
@given(st.lists(ITEMS, min_size=1, max_size=3))
def test_no_smaller_choice_of_visits_is_cheaper(items: list[BundleItem]) -> None:
    """Against plans found by allowing only some of the visits: the whole search is never dearer."""
    best = bundle(items, COSTS, VISITS).value.total_cost
    between = [visit for visit in VISITS if not visit.annual]
    for count in range(len(between) + 1):
        for left_out in combinations(between, count):
            fewer = [visit for visit in VISITS if visit not in left_out]
            assert best <= bundle(items, COSTS, fewer).value.total_cost + 1e-6
