"""The order of a visit's cards."""

from __future__ import annotations

import dataclasses
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annual_planner.trade.cards import Phase, WorkKind
from annual_planner.trade.refused import Refused
from annual_planner.trade.sequence import (
    CardInOrder,
    faults,
    links,
    order,
    panel_cards,
    why_here,
)
from annual_planner.trade.working import as_lines

PANELS = ("P1", "P2", "P3", "P4")
WORK = [kind for kind in WorkKind if kind not in (WorkKind.OPEN, WorkKind.CLOSE)]


def card(
    key: str, phase: Phase = Phase.INSPECT, kind: WorkKind = WorkKind.INSPECT, **more: object
) -> CardInOrder:
    facts = {"title": f"Card {key}", "zone": "wing", **more}
    return CardInOrder(key, phase=phase, kind=kind, **facts)  # type: ignore[arg-type]


@st.composite
def visits(draw: st.DrawFn) -> list[CardInOrder]:
    """Cards with predecessors that form no loop, and one opening and closing card for each panel."""
    count = draw(st.integers(0, 12))
    cards: list[CardInOrder] = []
    for n in range(count):
        before = [c.key for c in cards]
        after = draw(st.lists(st.sampled_from(before), unique=True, max_size=2)) if before else []
        cards.append(
            card(
                f"C{n:02}",
                draw(st.sampled_from(Phase)),
                draw(st.sampled_from(WORK)),
                zone=draw(st.sampled_from(["nose", "wing", "tail"])),
                panels=tuple(draw(st.lists(st.sampled_from(PANELS), unique=True, max_size=2))),
                after=(*after, *draw(st.sampled_from([(), ("ELSEWHERE",)]))),
            )
        )
    for opening in panel_cards(cards):
        where = {"zone": opening.zone, "panels": (opening.panel,)}
        cards.append(card(f"O-{opening.panel}", Phase.OPEN, WorkKind.OPEN, **where))
        cards.append(card(f"X-{opening.panel}", Phase.CLOSE, WorkKind.CLOSE, **where))
    return draw(st.permutations(cards))


@given(visits())
def test_the_order_holds_every_card_once_and_breaks_nothing(cards: list[CardInOrder]) -> None:
    keys = order(cards).value
    assert sorted(keys) == sorted(c.key for c in cards)
    assert faults(keys, cards) == ()


@given(visits())
def test_each_panel_is_open_while_anyone_needs_it(cards: list[CardInOrder]) -> None:
    place = {key: n for n, key in enumerate(order(cards).value)}
    for opening in panel_cards(cards):
        used = [place[key] for key in opening.opened_before]
        assert place[f"O-{opening.panel}"] < min(used)
        assert max(used) < place[f"X-{opening.panel}"]


@given(visits(), st.randoms(use_true_random=False))
def test_how_the_cards_were_listed_does_not_matter(cards: list[CardInOrder], chance: random.Random) -> None:
    mixed = list(cards)
    chance.shuffle(mixed)
    assert order(mixed).value == order(cards).value


@given(visits())
def test_a_card_stands_before_its_phase_only_for_one_that_waits_for_it(cards: list[CardInOrder]) -> None:
    """Checked against the plain definition, by walking the links, not by the program's own check."""
    by_key = {c.key: c for c in cards}
    waiting: dict[str, set[str]] = {key: set() for key in by_key}
    for link in links(cards):
        waiting[link.before].add(link.after)

    def earliest(key: str) -> int:
        return min([by_key[key].phase.order, *(earliest(k) for k in waiting[key])])

    keys = order(cards).value
    for n, key in enumerate(keys):
        assert all(by_key[later].phase.order >= earliest(key) for later in keys[n + 1 :])


@given(visits(), st.data())
def test_faults_tells_of_every_link_that_a_dragged_card_breaks(
    cards: list[CardInOrder], data: st.DataObject
) -> None:
    dragged = data.draw(st.permutations([c.key for c in cards]))
    place = {key: n for n, key in enumerate(dragged)}
    titles = {c.key: c.title for c in cards}
    told = faults(dragged, cards)
    for link in links(cards):
        said = f"'{titles[link.before]}' comes before '{titles[link.after]}': {link.why}"
        assert (said in told) == (place[link.before] > place[link.after])


def test_phase_then_zone_then_key() -> None:
    cards = [
        card("b", Phase.INSPECT, zone="wing"),
        card("a", Phase.INSPECT, zone="wing"),
        card("c", Phase.INSPECT, zone="nose"),
        card("z", Phase.HOT_CHECKS, WorkKind.TEST),
        card("y", Phase.RESEARCH, WorkKind.RESEARCH),
        card("x", Phase.OPEN, WorkKind.OPEN),
    ]
    assert order(cards).value == ("y", "z", "x", "c", "a", "b")


def test_what_a_hot_check_waits_for_comes_up_while_the_engine_is_hot() -> None:
    cards = [
        card("cowl off", Phase.OPEN, WorkKind.OPEN, panels=("cowl",), zone="nose"),
        card("a panel", Phase.OPEN, WorkKind.OPEN, panels=("P1",), zone="a"),
        card("compression", Phase.HOT_CHECKS, WorkKind.TEST, panels=("cowl",)),
    ]
    assert order(cards).value == ("cowl off", "compression", "a panel")
    assert "called up to hot checks" in why_here("cowl off", cards).result


def test_propeller_is_made_safe_before_anyone_turns_it_and_after_the_warming_run() -> None:
    cards = [
        card("compression", Phase.HOT_CHECKS, WorkKind.TEST, zone="a", turns_propeller=True),
        card("safe", Phase.OPEN, WorkKind.ADJUST, zone="z", makes_propeller_safe=True),
        card("warm", Phase.HOT_CHECKS, WorkKind.RUN_UP, zone="y", turns_propeller=True),
        card("final run", Phase.RUN_UP, WorkKind.RUN_UP, zone="a", turns_propeller=True),
    ]
    assert order(cards).value == ("warm", "safe", "compression", "final run")
    assert any("makes the propeller safe" in text for text in faults(["compression", "safe"], cards))


def test_the_run_that_warms_the_engine_comes_before_the_propeller_is_made_safe_wherever_it_stands() -> None:
    cards = [
        card("a safe", Phase.RESEARCH, WorkKind.ADJUST, zone="a", makes_propeller_safe=True),
        card("warm", Phase.HOT_CHECKS, WorkKind.RUN_UP, zone="z", turns_propeller=True),
    ]
    assert order(cards).value == ("warm", "a safe")
    assert faults(["a safe", "warm"], cards)


def test_a_panel_is_opened_before_it_is_closed_though_nobody_needs_it_and_closing_is_called_up() -> None:
    cards = [
        card("open", Phase.OPEN, WorkKind.OPEN, panels=("P1",)),
        card("close", Phase.CLOSE, WorkKind.CLOSE, panels=("P1",)),
        card("hot", Phase.HOT_CHECKS, WorkKind.TEST, after=("close",)),
    ]
    assert order(cards).value == ("open", "close", "hot")


def test_a_run_placed_behind_the_safe_propeller_by_its_card_is_kept_there() -> None:
    cards = [
        card("safe", Phase.HOT_CHECKS, WorkKind.ADJUST, makes_propeller_safe=True),
        card("run", Phase.HOT_CHECKS, WorkKind.RUN_UP, after=("safe",)),
    ]
    assert order(cards).value == ("safe", "run")


def test_a_turned_propeller_that_no_card_makes_safe_is_told() -> None:
    cards = [card("compression", Phase.HOT_CHECKS, WorkKind.TEST, turns_propeller=True)]
    assert any("treat it as live" in text for text in order(cards).working.assumptions)


def test_a_leak_check_after_the_run_keeps_the_cowl_off_until_then() -> None:
    cards = [
        card("off", Phase.OPEN, WorkKind.OPEN, panels=("cowl",)),
        card("on", Phase.CLOSE, WorkKind.CLOSE, panels=("cowl",)),
        card("leaks", Phase.RUN_UP, panels=("cowl",)),
        card("other", Phase.CLOSE, WorkKind.CLOSE, panels=("P1",)),
    ]
    assert order(cards).value == ("off", "other", "leaks", "on")


def test_a_loop_is_refused_naming_its_cards_only() -> None:
    cards = [
        card("a", title="Grease the hinges", after=("b",)),
        card("b", title="Rig the flaps", after=("c",)),
        card("c", title="Fit the fairing", after=("a",)),
        card("d", title="Wipe the belly", after=("a",)),
    ]
    with pytest.raises(Refused) as refused:
        order(cards)
    assert all(
        title in refused.value.said for title in ("Grease the hinges", "Rig the flaps", "Fit the fairing")
    )
    assert "Wipe the belly" not in refused.value.said
    assert refused.value.remedy


def test_a_loop_through_a_panel_says_so() -> None:
    cards = [
        card("open", kind=WorkKind.OPEN, panels=("P1",), after=("look",), title="Open the belly"),
        card("look", panels=("P1",), title="Look at the cables"),
    ]
    with pytest.raises(Refused, match="opens panel P1"):
        order(cards)


def test_a_card_that_waits_for_itself_is_refused() -> None:
    with pytest.raises(Refused, match="Card a"):
        order([card("a", after=("a",))])


def test_a_key_given_twice_is_refused() -> None:
    with pytest.raises(Refused, match="twice"):
        order([card("a"), card("a")])


def test_a_predecessor_that_is_not_here_is_left_out_and_told() -> None:
    answer = order([card("a", after=("gone",))])
    assert answer.value == ("a",)
    assert any("gone" in text for text in answer.working.assumptions)


def test_no_cards_have_an_empty_order() -> None:
    assert order([]).value == ()
    assert faults([], []) == ()


def test_a_panel_opened_by_two_cards_is_a_fault() -> None:
    cards = [card(key, Phase.OPEN, WorkKind.OPEN, panels=("P1",)) for key in ("a", "b")]
    assert any("Panel P1 is opened more than once" in text for text in faults(["a", "b"], cards))


def test_a_panel_that_no_card_opens_is_told() -> None:
    assert any("P9" in text for text in order([card("a", panels=("P9",))]).working.assumptions)


def test_missing_doubled_and_strange_cards_are_faults() -> None:
    told = faults(["a", "a", "q"], [card("a"), card("b")])
    assert "'Card a' stands in the order 2 times" in told
    assert "'Card b' stands in the order 0 times" in told
    assert "'q' is in the order and is no card of this visit" in told


def test_a_card_dragged_before_an_earlier_phase_is_a_fault() -> None:
    cards = [card("a", Phase.OPEN, WorkKind.OPEN), card("b", Phase.INSPECT)]
    assert faults(["b", "a"], cards) == ("'Card b' (inspect) stands before 'Card a' (open)",)


def test_panels_are_opened_once_for_all_who_need_them() -> None:
    cards = [
        card("late", Phase.SERVICE, WorkKind.SERVICE, panels=("P1", "P2")),
        card("early", Phase.INSPECT, panels=("P1", "P1")),
        card("opener", Phase.OPEN, WorkKind.OPEN, panels=("P7",)),
    ]
    found = panel_cards(cards)
    assert [(o.panel, o.opened_before) for o in found] == [("P1", ("early", "late")), ("P2", ("late",))]
    assert all(o.closed_after == o.opened_before for o in found)


def test_every_card_is_placed_in_the_working_with_what_it_waits_for() -> None:
    cards = [
        card("a", title="Look at the spar"),
        card("b", title="Close up", phase=Phase.CLOSE, after=("a",)),
    ]
    steps = order(cards).working.steps
    assert [step.text for step in steps] == ["1. Look at the spar", "2. Close up"]
    assert "after 'Look at the spar'" in steps[1].result
    assert "asked for on the card" in "\n".join(as_lines(why_here("b", cards)))


def test_why_here_tells_the_neighbours() -> None:
    cards = [card("a"), card("b"), card("c")]
    results = [step.result for step in why_here("b", cards).steps]
    assert results == ["Card a", "Card c"]
    with pytest.raises(KeyError):
        why_here("nowhere", cards)


def test_cards_are_not_changed_by_ordering() -> None:
    cards = [card("b"), card("a")]
    before = [dataclasses.replace(c) for c in cards]
    order(cards)
    assert cards == before
