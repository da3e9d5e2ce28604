from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from annual_planner.planning.card_content import from_stored
from annual_planner.planning.in_order import line_in_order
from annual_planner.planning.package_view import PackageView
from annual_planner.planning.start import SetStart
from annual_planner.planning.take_up import TakeUp
from annual_planner.trade.periods import Force, Interval
from annual_planner.trade.refused import Refused
from annual_planner.trade.sequence import faults
from tests.planning.conftest import Planned
from tests.planning.fleet import START, add_discrepancy, add_requirement

YEARLY = Interval(calendar_months=12)


def _something_new(planned: Planned) -> None:
    with planned.fleet.work("a test") as work:
        add_discrepancy(work, 50, "Muffler cracked at the outlet")
        add_requirement(
            work, id=60, key="", title="New directive", every=YEARLY, done_on=date(2025, 6, 1),
            force=Force.DIRECTIVE,
        )  # fmt: skip
        add_requirement(
            work, id=61, key="vacuum_pump", title="Second pump", every=YEARLY, done_on=date(2025, 6, 1)
        )


def _plain(view: PackageView) -> PackageView:
    return replace(
        view,
        items=tuple(replace(item, version=0) for item in view.items),
        cards=tuple(replace(card, version=0) for card in view.cards),
        left_out=tuple(replace(card, version=0) for card in view.left_out),
    )


def test_what_is_new_comes_behind_the_last_number_and_into_the_order(planned: Planned) -> None:
    before = planned.view()
    _something_new(planned)
    planned.apply(TakeUp(planned.package_id, planned.library))
    after = planned.view()
    old = {card.card_id: card.number for card in (*before.cards, *before.left_out)}
    new = [card for card in after.cards if card.card_id not in old]
    assert {card.title for card in new} == {"New directive", "Repair: Muffler cracked at the outlet"}
    assert min(card.number for card in new) == max(old.values()) + 1
    assert all(old.get(card.card_id, card.number) == card.number for card in after.cards)
    cards = [line_in_order(card) for card in after.cards]
    assert faults([card.key for card in cards], cards) == ()


def test_a_card_that_is_there_serves_the_new_requirement_too(planned: Planned) -> None:
    _something_new(planned)
    planned.apply(TakeUp(planned.package_id, planned.library))
    serving = [card for card in planned.view().cards if 61 in from_stored(card.content).requirements]
    assert serving
    assert all(6 in from_stored(card.content).requirements for card in serving)


def test_undo_takes_all_of_it_away_and_redo_brings_it_back(planned: Planned) -> None:
    _something_new(planned)
    before = _plain(planned.view())
    taken = planned.apply(TakeUp(planned.package_id, planned.library))
    after = _plain(planned.view())
    assert taken.back is not None
    undone = planned.apply(taken.back)
    assert _plain(planned.view()) == before
    assert undone.back is not None
    redone = planned.apply(undone.back)
    assert _plain(planned.view()) == after
    assert redone.back is not None
    planned.apply(redone.back)
    assert _plain(planned.view()) == before


def test_where_nothing_is_new_it_says_so(planned: Planned) -> None:
    with pytest.raises(Refused, match="Nothing is new"):
        planned.apply(TakeUp(planned.package_id, planned.library))


def test_a_later_start_lets_more_come_in(planned: Planned) -> None:
    with planned.fleet.work("a test") as work:
        add_requirement(
            work, id=60, key="", title="Due in July 2027", every=Interval(calendar_months=24),
            done_on=date(2025, 7, 1),
        )  # fmt: skip
    with pytest.raises(Refused, match="Nothing is new"):
        planned.apply(TakeUp(planned.package_id, planned.library))
    planned.apply(SetStart(planned.package_id, START, date(2026, 7, 6), planned.library))
    planned.apply(TakeUp(planned.package_id, planned.library))
    assert "Due in July 2027" in {item.due.title for item in planned.view().items}
