from __future__ import annotations

from decimal import Decimal

from annual_planner.planning.sums_working import (
    hours_working,
    package_scope_working,
    part_working,
    share_working,
)
from annual_planner.trade.working import Step
from tests.planning.conftest import Planned


def figures(steps: tuple[Step, ...]) -> list[Decimal]:
    return [Decimal(step.result.split(" ")[0]) for step in steps]


def test_the_hours_of_each_kind_of_person_add_up_from_their_cards(settled: Planned) -> None:
    view = settled.view()
    for group in view.hours:
        working = hours_working(view, group.doer)
        assert len(working.steps) == group.cards
        assert sum(figures(working.steps)) == group.likely
        assert working.result.startswith(f"{group.likely:.1f} h")
    whole = hours_working(view)
    assert sum(figures(whole.steps)) == sum(group.likely for group in view.hours)
    assert share_working(view, "").result == whole.result, "nothing was given to anybody yet"


def test_a_quantity_adds_up_from_its_cards_unless_it_is_opened_once(settled: Planned) -> None:
    view = settled.view()
    from_cards = [need for need in view.parts if part_working(view, need).steps and need.card_numbers]
    assert from_cards
    for need in from_cards:
        working = part_working(view, need)
        figured = figures(working.steps)
        assert need.quantity == (max(figured) if working.assumptions else sum(figured)), need.name
        assert working.result.endswith(need.unit)


def test_the_scope_names_the_card_that_answers_each_item(settled: Planned) -> None:
    view = settled.view()
    working = package_scope_working(view)
    assert len(working.steps) == len(view.coverage)
    assert working.result == f"all {len(view.coverage)} items"
    first = next(each for each in view.coverage if each.cards)
    card = next(card for card in view.cards if card.key == first.cards[0])
    step = next(step for step in working.steps if step.text == f"{first.item.ref}: {first.item.subject}")
    assert step.result.startswith(f"{card.number} {card.title}")
