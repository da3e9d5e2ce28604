"""What comes before a card, and what may not wait."""

from __future__ import annotations

import pytest

from annual_planner.trade.before import CLOSE_LAST, HOT_FIRST, PLANNED, PROPELLER, RUN_CLOSED, comes_first
from annual_planner.trade.cards import Phase, WorkKind
from annual_planner.trade.sequence import CardInOrder


def card(
    key: str, phase: Phase, kind: WorkKind = WorkKind.INSPECT, zone: str = "engine", **more: object
) -> CardInOrder:
    return CardInOrder(key, f"Card {key}", phase, kind, zone, **more)  # type: ignore[arg-type]


HOT = card("hot", Phase.HOT_CHECKS, WorkKind.TEST)
SAFE = card("safe", Phase.OPEN, WorkKind.ADJUST, makes_propeller_safe=True)
TURN = card("turn", Phase.INSPECT, turns_propeller=True)
LOOK = card("look", Phase.INSPECT, panels=("cowl",))
SERVE = card("serve", Phase.SERVICE, WorkKind.SERVICE)
SHUT = card("shut", Phase.CLOSE, WorkKind.CLOSE, panels=("cowl",))
RUN = card("run", Phase.RUN_UP, WorkKind.RUN_UP, turns_propeller=True)
WING = card("wing", Phase.INSPECT, zone="wings")
EVERY = (HOT, SAFE, TURN, LOOK, SERVE, SHUT, RUN, WING)


def ahead(key: str, *finished: str, cards: tuple[CardInOrder, ...] = EVERY) -> dict[str, tuple[str, bool]]:
    found = comes_first(key, cards, finished).value
    return {each.key: (each.rule.citation, each.safe) for each in found}


def test_nothing_is_done_to_an_engine_before_its_hot_checks_are_read() -> None:
    for key in ("look", "serve"):
        assert ahead(key)["hot"] == (HOT_FIRST.citation, False)
        assert "hot" not in ahead(key, "hot")
    assert ahead("wing") == {}, "work elsewhere doesn't wait for them"


def test_the_propeller_is_made_safe_before_it_is_turned() -> None:
    assert ahead("turn")["safe"] == (PROPELLER.citation, False)
    assert "safe" not in ahead("turn", "safe")
    assert "safe" not in ahead("run"), "an engine can't be run with the propeller made safe"


def test_nothing_closes_over_work_that_is_open() -> None:
    assert ahead("shut", "hot") == dict.fromkeys(("turn", "look", "serve"), (CLOSE_LAST.citation, False))
    assert ahead("shut", "hot", "turn", "look", "serve") == {}


def test_the_engine_is_run_with_everything_closed() -> None:
    assert ahead("run", "hot")["shut"] == (RUN_CLOSED.citation, False)
    assert ahead("run", "hot", "shut") == {}


def test_what_a_card_merely_asks_for_may_wait_with_a_reason() -> None:
    later = card("later", Phase.INSPECT, zone="wings", after=("wing",))
    worked = comes_first("later", (*EVERY, later), ())
    assert [(each.key, each.rule, each.safe) for each in worked.value] == [("wing", PLANNED, True)]
    assert "may safely wait" in worked.working.result


def test_each_of_two_engines_waits_for_its_own_hot_checks() -> None:
    pair = tuple(card(f"hot #{n}", Phase.HOT_CHECKS, WorkKind.TEST) for n in (1, 2))
    work = tuple(card(f"serve #{n}", Phase.SERVICE, WorkKind.SERVICE) for n in (1, 2))
    assert list(ahead("serve #1", cards=(*pair, *work))) == ["hot #1"]
    assert list(ahead("serve #2", "hot #1", cards=(*pair, *work))) == ["hot #2"]


def test_a_card_that_waits_for_this_one_never_holds_it_up() -> None:
    first = card("first", Phase.CLOSE, WorkKind.CLOSE)
    second = card("second", Phase.INSPECT, after=("first",))
    assert ahead("first", cards=(first, second)) == {}


def test_there_is_no_answer_for_a_card_that_is_not_here() -> None:
    with pytest.raises(KeyError):
        comes_first("gone", EVERY, ())
