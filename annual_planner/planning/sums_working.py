"""The workings behind the sums of a package: hours, parts, and the scope that its cards cover."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal

from annual_planner.planning.card_content import from_stored
from annual_planner.planning.package_view import PackageView, PartNeed
from annual_planner.planning.sums import LASTING
from annual_planner.store.rows import CardLine
from annual_planner.trade.coverage import Covered, scope_working
from annual_planner.trade.working import Input, Step, Working

ON_CARDS = "Hours are those written on the cards, one after the other; who works side by side is the plan's."


def hours_working(view: PackageView, doer: str = "") -> Working:
    """The hours of the cards that are in; with a doer, of those that at least such a person must do."""
    cards = [card for card in view.cards if doer in ("", card.doer)]
    title = f"Hours of package {view.package.number}" + (f", at least by: {doer}" if doer else "")
    return _hours(title, cards)


def share_working(view: PackageView, name: str) -> Working:
    """The hours of the cards that one person has been given; without a name, of those that nobody has."""
    cards = [card for card in view.cards if card.assigned_name == name]
    return _hours(f"Hours given to {name or 'nobody yet'}", cards)


def _hours(title: str, cards: Sequence[CardLine]) -> Working:
    low, likely, high = (
        sum(each, Decimal(0))
        for each in (
            (card.hours_low for card in cards),
            (card.hours_likely for card in cards),
            (card.hours_high for card in cards),
        )
    )
    return Working(
        title=title,
        result=f"{likely:.1f} h as a rule, {low:.1f} at best, {high:.1f} at worst",
        inputs=(Input("cards", str(len(cards))),),
        steps=tuple(
            Step(
                f"card {card.number}, {card.title}",
                f"{card.hours_likely} h ({card.hours_low} to {card.hours_high})",
            )
            for card in cards
        ),
        assumptions=(ON_CARDS,),
    )


def part_working(view: PackageView, need: PartNeed) -> Working:
    """The quantity of one part or consumable, card by card."""
    steps = tuple(_quantities(view.cards, need))
    opened_once = need.consumable and need.unit in LASTING and len(steps) > 1
    once = f"A {need.unit} that is opened lasts for more than one card: the most that one takes is counted."
    return Working(
        title=need.name,
        result=f"{need.quantity.normalize():f} {need.unit}",
        steps=steps or ((Step(need.reason),) if need.reason else ()),
        assumptions=(f"{once} Common practice, no source.",) if opened_once else (),
    )


def _quantities(cards: Iterable[CardLine], need: PartNeed) -> Iterable[Step]:
    for card in cards:
        for part in from_stored(card.content).parts:
            if (part.name, part.unit) == (need.name, need.unit):
                yield Step(f"card {card.number}, {card.title}", f"{Decimal(part.quantity):f} {part.unit}")


def package_scope_working(view: PackageView) -> Working:
    """Each item of the scope of an annual, and the cards of this package that look at it."""
    said = {card.key: f"{card.number} {card.title}" for card in (*view.cards, *view.left_out)}
    named = tuple(
        Covered(each.item, tuple(said.get(key, key) for key in each.cards), each.not_applicable)
        for each in view.coverage
    )
    return scope_working(
        named, (Input("package", view.package.number),), ("Cards that are left out don't count.",)
    )
