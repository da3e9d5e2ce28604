from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annual_planner.trade.plug_set import PlugStanding, Prices, Reach, reach, set_outlook
from annual_planner.trade.refused import Refused
from annual_planner.trade.trends import Outlook, Trend, Why
from annual_planner.trade.working import as_lines

D = Decimal
PRICES = Prices(plug=D(40), work_hour=D(90), visit_hours=D(1), hours_per_plug=D("0.25"))
hours = st.floats(0, 900)


def plug(place: str, early: float, likely: float, span: float = 400) -> PlugStanding:
    return PlugStanding(place, D(400), Trend(None, Outlook(early, likely, likely + 50, span), None, "a band"))


def without(place: str, why: Why) -> PlugStanding:
    return PlugStanding(place, D(400), Trend(None, None, why, str(why)))


@pytest.mark.parametrize(
    ("standing", "way"),
    [
        (plug("1T", 40, 90), Reach.SHORT),
        (plug("1T", 40, 100), Reach.SHORT),
        (plug("1T", 90, 140), Reach.DOUBT),
        (plug("1T", 150, 200), Reach.ENOUGH),
        (plug("1T", 150, 200, span=60), Reach.UNKNOWN),
        (plug("1T", 40, 90, span=30), Reach.UNKNOWN),
        (plug("1T", 40, 90, span=50), Reach.DOUBT),
        (without("1T", Why.PAST), Reach.WORN),
        (without("1T", Why.TOO_FEW), Reach.UNKNOWN),
    ],
)
def test_a_plug_stands_to_the_next_annual_as_its_band_says(standing: PlugStanding, way: Reach) -> None:
    assert reach(standing, D(100)) is way


@given(st.lists(st.tuples(hours, hours, st.floats(50, 900)), max_size=12), st.integers(1, 500))
def test_every_plug_stands_in_one_place_and_less_to_fly_never_worsens_it(
    bands: list[tuple[float, float, float]], to_fly: int
) -> None:
    plugs = [
        plug(str(n), min(one, other), max(one, other), span) for n, (one, other, span) in enumerate(bands)
    ]
    value = set_outlook(plugs, D(to_fly), PRICES).value
    assert sorted(name for names in value.places.values() for name in names) == sorted(
        each.place for each in plugs
    )
    for each in plugs:
        if reach(each, D(to_fly)) is Reach.ENOUGH:
            assert reach(each, D(to_fly) / 2) is Reach.ENOUGH


def test_now_costs_plugs_and_later_the_visit_too() -> None:
    plugs = [plug("1T", 40, 90), plug("2B", 90, 140), plug("3T", 200, 300), without("4T", Why.PAST)]
    value = set_outlook(plugs, D(100), PRICES).value
    assert value.cost_now == D("80.00")
    assert value.cost_later == D("80.00") + D("1.5") * 90
    assert value.given_up == (D(40) * 90 / 490 + D(40) * 140 / 540).quantize(D("0.01"))
    assert value.now_is_cheaper
    dear = replace(PRICES, plug=D(4000))
    assert not set_outlook(plugs, D(100), dear).value.now_is_cheaper


def test_where_all_plugs_reach_it_nothing_is_spent() -> None:
    value = set_outlook([plug("1T", 200, 300)], D(100), PRICES).value
    assert value.cost_now == value.cost_later == value.given_up == 0
    assert not value.now_is_cheaper


@given(st.integers(0, 12))
def test_costs_rise_with_every_plug_in_doubt(count: int) -> None:
    plugs = [plug(str(n), 40, 90) for n in range(count)]
    fewer, more = (set_outlook(each, D(100), PRICES).value for each in (plugs, [*plugs, plug("x", 40, 90)]))
    assert more.cost_now > fewer.cost_now
    assert more.cost_later > fewer.cost_later


def test_the_working_gives_every_plug_its_reason_and_the_sums() -> None:
    answer = set_outlook([plug("1T", 40, 90), without("2B", Why.TOO_FEW)], D(100), PRICES)
    lines = "\n".join(as_lines(answer.working))
    for words in (
        "1T: won't reach",
        "2B: can't be said → too few",
        "1.25 h × 90",
        "life given up",
        "more work",
    ):
        assert words in lines


def test_no_hours_to_fly_and_prices_below_nothing_are_refused() -> None:
    with pytest.raises(Refused, match="no hours away"):
        set_outlook([], D(0), PRICES)
    with pytest.raises(Refused, match="below 0"):
        set_outlook([], D(100), replace(PRICES, plug=D(-1)))
