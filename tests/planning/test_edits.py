from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from annual_planner.library.shelf import Library, load_library
from annual_planner.planning.assigning import AssignCard, check_assignment
from annual_planner.planning.edits import IncludeCard, SetCardHours, SetDoNow
from annual_planner.planning.explain import explain_card
from annual_planner.planning.own_cards import AddOwnCard, RemoveCard
from annual_planner.planning.package_view import PackageView
from annual_planner.planning.start import SetStart
from annual_planner.records.edits import Edit
from annual_planner.store.refusals import ChangedMeanwhile
from annual_planner.store.rows import CardLine, ItemLine
from annual_planner.trade.refused import Refused
from annual_planner.trade.working import as_lines
from tests.planning.conftest import Planned, plan
from tests.planning.fleet import AIRPLANE, HELPER, INSPECTOR, MECHANIC, START, small_fleet
from tests.trail import newest_lines


def _item(view: PackageView, title: str) -> ItemLine:
    return next(item for item in view.items if item.due.title == title)


def _card(view: PackageView, title: str) -> CardLine:
    return next(card for card in (*view.cards, *view.left_out) if card.title == title)


def _hours(card: CardLine) -> tuple[Decimal, Decimal, Decimal]:
    return card.hours_low, card.hours_likely, card.hours_high


def test_leaving_a_requirement_takes_its_cards_out_and_numbers_stay(planned: Planned) -> None:
    before = planned.view()
    item = _item(before, "Vacuum pump")
    planned.apply(SetDoNow(item.item_id, True, False))
    after = planned.view()
    gone = {card.card_id for card in before.cards} - {card.card_id for card in after.cards}
    assert {c.requirement_id for c in before.cards if c.card_id in gone} == {item.due.requirement_id}
    numbers = {card.card_id: card.number for card in before.cards}
    assert all(numbers[card.card_id] == card.number for card in after.cards)


def test_doing_a_left_requirement_brings_its_cards_in(planned: Planned) -> None:
    item = _item(planned.view(), "Look at the widget bracket")
    planned.apply(SetDoNow(item.item_id, False, True))
    assert "Look at the widget bracket" in {card.title for card in planned.view().cards}
    assert planned.view().left_out == ()


def test_leaving_what_the_annual_does_anyway_keeps_its_cards(planned: Planned) -> None:
    before = planned.view()
    planned.apply(SetDoNow(_item(before, "Oil and filter change").item_id, True, False))
    assert {card.card_id for card in planned.view().cards} == {card.card_id for card in before.cards}


def test_a_card_left_out_by_hand_comes_back_as_it_was_by_undo(planned: Planned) -> None:
    view = planned.view()
    card = next(card for card in view.cards if card.requirement_id == 6 and card.origin == "due")
    planned.apply(IncludeCard(card.card_id, True, False))
    item = _item(view, "Vacuum pump")
    left = planned.apply(SetDoNow(item.item_id, True, False))
    assert left.back is not None
    planned.apply(left.back)
    assert card.card_id in {each.card_id for each in planned.view().left_out}


def test_an_edit_of_what_somebody_else_changed_is_refused_with_both_values(planned: Planned) -> None:
    item = _item(planned.view(), "Vacuum pump")
    planned.apply(SetDoNow(item.item_id, True, False))
    with pytest.raises(ChangedMeanwhile, match="a test"):
        planned.apply(SetDoNow(item.item_id, True, False))


def test_hours_out_of_order_are_refused(planned: Planned) -> None:
    card = planned.view().cards[0]
    with pytest.raises(Refused, match="can't be a card's hours"):
        planned.apply(SetCardHours(card.card_id, _hours(card), (Decimal(3), Decimal(2), Decimal(4))))


def test_new_hours_count_in_the_sum(planned: Planned) -> None:
    before = planned.view()
    card = before.cards[0]
    wants = (Decimal(10), Decimal(11), Decimal(12))
    planned.apply(SetCardHours(card.card_id, _hours(card), wants))
    gained = Decimal(11) - card.hours_likely
    assert planned.view().package.hours_likely == before.package.hours_likely + gained


def test_a_helper_may_not_inspect_and_the_refusal_says_who_may(planned: Planned) -> None:
    card = _card(planned.view(), "Engine mount")
    with pytest.raises(Refused, match="inspector"):
        planned.apply(AssignCard(card.card_id, None, HELPER))
    planned.apply(AssignCard(card.card_id, None, INSPECTOR))
    assert _card(planned.view(), "Engine mount").assigned_name == "Ina Marsh"


def test_a_helper_is_taken_for_opening_with_a_warning_of_supervision(planned: Planned) -> None:
    card = _card(planned.view(), "Seats, carpet and floor panels out")
    with planned.fleet.reading() as work:
        assert any("supervision" in text for text in check_assignment(work, card.card_id, HELPER))
        assert check_assignment(work, card.card_id, MECHANIC) == ()
    planned.apply(AssignCard(card.card_id, None, HELPER))


def test_an_own_card_goes_behind_the_last_number_and_can_be_taken_away(planned: Planned) -> None:
    before = planned.view()
    last = max(card.number for card in (*before.cards, *before.left_out))
    hours = (Decimal(1), Decimal(2), Decimal(3))
    made = planned.apply(
        AddOwnCard(planned.package_id, "Polish the spinner", "propeller", "clean", "clean", hours)
    )
    own = _card(planned.view(), "Polish the spinner")
    assert (own.number, own.origin, own.card_id) == (last + 1, "own", made.made_id)
    assert made.back == RemoveCard(own.card_id)
    planned.apply(RemoveCard(own.card_id))
    assert planned.view() == before


def test_a_major_repair_on_an_own_card_is_signed_by_an_inspector_with_its_form(
    planned: Planned, library: Library
) -> None:
    hours = (Decimal(1), Decimal(2), Decimal(3))
    add = AddOwnCard(planned.package_id, "Splice the rear spar", "wings", "repair", "repair", hours)
    planned.apply(add)
    planned.apply(replace(add, title="Splice the front spar", major=True))
    minor, major = (_card(planned.view(), f"Splice the {which} spar") for which in ("rear", "front"))
    assert (minor.signer, major.signer) == ("mechanic", "inspector")
    with planned.fleet.reading() as work:
        told = "\n".join(as_lines(explain_card(work, major.card_id, library)))
        assert "entry of 43.9 and Form 337" in told
        assert "and Form 337" not in "\n".join(as_lines(explain_card(work, minor.card_id, library)))


def test_a_card_of_the_package_is_left_out_and_not_removed(planned: Planned) -> None:
    with pytest.raises(Refused, match="came with the package"):
        planned.apply(RemoveCard(planned.view().cards[0].card_id))


def test_an_own_card_with_faults_is_refused_with_all_of_them(planned: Planned) -> None:
    hours = (Decimal(1), Decimal(2), Decimal(3))
    with pytest.raises(Refused) as caught:
        planned.apply(AddOwnCard(planned.package_id, "", "engine", "later", "polish", hours))
    assert "no title" in caught.value.said
    assert "no phase 'later'" in caught.value.said
    assert "no kind of work 'polish'" in caught.value.said


def test_a_later_start_weighs_again_and_undo_restores_every_reason(planned: Planned) -> None:
    before = planned.view()
    later = START.replace(month=7)
    moved = planned.apply(SetStart(planned.package_id, START, later, planned.library))
    after = planned.view()
    assert after.horizon_on.isoformat() == "2027-07-31"
    assert _item(after, "Transponder test").reason != _item(before, "Transponder test").reason
    assert moved.back is not None
    planned.apply(moved.back)
    assert _plain(planned.view()) == _plain(before)


def test_each_edit_leaves_one_line_in_the_trail(planned: Planned) -> None:
    item = _item(planned.view(), "Vacuum pump")
    planned.apply(SetDoNow(item.item_id, True, False))
    with planned.fleet.reading() as work:
        newest = newest_lines(work, AIRPLANE, 1)[0]
    assert newest.what == "changed decision on 'Vacuum pump'"
    assert (newest.before, newest.after) == ({"do_now": True}, {"do_now": False})


def _plain(view: PackageView) -> PackageView:
    """The view without the counters of changes."""
    return replace(
        view,
        items=tuple(replace(item, version=0) for item in view.items),
        cards=tuple(replace(card, version=0) for card in view.cards),
        left_out=tuple(replace(card, version=0) for card in view.left_out),
    )


@pytest.fixture(scope="module")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Any:
    library: Library = load_library()
    with small_fleet(Path(tmp_path_factory.mktemp("shared"))) as fleet:
        yield plan(fleet, library)


choices = st.lists(
    st.tuples(st.sampled_from(["item", "card", "hours", "own", "person", "start"]), st.integers(0, 10**6)),
    max_size=6,
)


@settings(max_examples=8, suppress_health_check=[HealthCheck.too_slow])
@given(choices)
def test_as_many_undos_as_edits_give_back_the_start_and_redos_the_end(
    shared: Planned, wanted: list[tuple[str, int]]
) -> None:
    start = _plain(shared.view())
    undo = [shared.apply(_edit(shared, *each)).back for each in wanted]
    end = _plain(shared.view())
    redo = [shared.apply(back).back for back in reversed(undo) if back is not None]
    assert _plain(shared.view()) == start
    undo = [shared.apply(edit).back for edit in reversed(redo) if edit is not None]
    assert _plain(shared.view()) == end
    for back in reversed(undo):
        assert back is not None
        shared.apply(back)
    assert _plain(shared.view()) == start


def _edit(planned: Planned, kind: str, pick: int) -> Edit:
    view = planned.view()
    every = sorted((*view.cards, *view.left_out), key=lambda card: card.card_id)
    card = every[pick % len(every)]
    if kind == "item":
        item = view.items[pick % len(view.items)]
        return SetDoNow(item.item_id, item.do_now, not item.do_now)
    if kind == "card":
        return IncludeCard(card.card_id, card.included, not card.included)
    if kind == "hours":
        wants = Decimal(pick % 50)
        return SetCardHours(card.card_id, _hours(card), (wants, wants, wants))
    if kind == "person":
        inspecting = [each for each in every if each.doer == "inspector"]
        card = inspecting[pick % len(inspecting)]
        wanted = None if card.assigned_person_id else INSPECTOR
        return AssignCard(card.card_id, card.assigned_person_id, wanted)
    if kind == "start":
        seen = view.package.start_on
        return SetStart(planned.package_id, seen, seen + timedelta(days=pick % 60), planned.library)
    hours = (Decimal(1), Decimal(1), Decimal(1))
    return AddOwnCard(planned.package_id, f"Own {pick}", "engine", "service", "service", hours)
