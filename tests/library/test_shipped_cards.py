"""Shipped cards as a mechanic reads them: warned, in an order that can be worked, with what is needed."""

from __future__ import annotations

from pathlib import Path

import pytest

from annual_planner.library.shelf import Library, load_library
from annual_planner.trade.cards import Phase, WorkKind
from annual_planner.trade.coverage import coverage
from annual_planner.trade.sequence import order
from tests.library.test_shipped_library import in_order


@pytest.fixture(scope="module")
def library() -> Library:
    return load_library()


@pytest.mark.parametrize(
    "key",
    ["hot_run", "hot_compression", "inspect_weak_cylinder", "run_up_check", "run_up_systems", "adjust_idle",
     "service_compass"],
)  # fmt: skip
def test_where_the_engine_runs_the_card_warns_of_it(library: Library, key: str) -> None:
    card = next(card for card in library.cards if card.key == key)
    assert {"engine_running", "propeller_live"} <= set(card.cautions)


def test_the_compass_is_swung_when_the_engine_may_run_again(library: Library) -> None:
    cards = [in_order(card) for card in library.cards]
    place = {key: n for n, key in enumerate(order(cards).value)}
    assert place["run_up_leak_check"] < place["close_cowling"] < place["service_compass"]


def test_an_engine_without_oil_is_not_run_to_read_a_weak_cylinder_again(library: Library) -> None:
    place = {key: n for n, key in enumerate(order([in_order(card) for card in library.cards]).value)}
    card = next(card for card in library.cards if card.key == "inspect_weak_cylinder")
    assert place["hot_oil_drain"] < place[card.key]
    assert card.steps[0].startswith("Oil in, plugs and leads on")


HANDS_AND_EYES = {Phase.HOT_CHECKS, Phase.INSPECT, Phase.OPEN, Phase.CLEAN, Phase.CLOSE, Phase.RUN_UP}
"""Phases with cards that need no more than that."""


def test_every_one_of_the_many_templates_for_work_at_the_airplane_says_with_what(library: Library) -> None:
    assert len(library.cards) >= 90
    desk = (WorkKind.RECORD, WorkKind.RESEARCH)
    work = [card for card in library.cards if card.zone != "office" and card.kind not in desk]
    assert [c.key for c in work if not (c.tools or c.parts) and c.phase not in HANDS_AND_EYES] == []


def test_the_card_that_developers_are_shown_is_a_good_one(tmp_path: Path) -> None:
    told = (Path(__file__).parents[2] / "DEVELOPERS.md").read_text("utf-8")
    (tmp_path / "cards").mkdir()
    (tmp_path / "cards" / "ours.toml").write_text(told.partition("```toml\n")[2].partition("```")[0], "utf-8")
    assert load_library(tmp_path).cards[-1].key == "service_window_polish"


@pytest.mark.parametrize(
    ("absorber", "card"), [("oleo", "inspect_oleo"), ("bungee", "inspect_bungee"), ("spring_gear", None)]
)
def test_whatever_takes_up_a_landing_answers_for_the_shock_absorbers(
    library: Library, absorber: str, card: str | None
) -> None:
    features = frozenset({"fabric", "fixed_gear", "wheels", absorber})
    item = next(c for c in coverage(library.items, library.cards, features) if c.item.id == "D-e-2")
    assert item.cards == ((card,) if card else ())
    assert bool(item.not_applicable) == (card is None)
