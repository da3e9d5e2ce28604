"""Hours, parts, tools and cautions over the cards that are in."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from decimal import Decimal

from annual_planner.planning.card_content import CardContent
from annual_planner.planning.package_view import HoursFor, PartNeed, ToolNeed
from annual_planner.store.rows import CardLine
from annual_planner.trade.cards import Caution

DOERS = (
    "anyone",
    "owner",
    "helper",
    "mechanic",
    "inspector",
    "repair station",
    "manufacturer",
    "not settled",
)
"""Who must do a card, from the least entitled up."""

LASTING = frozenset({"roll", "tube", "bottle", "can", "bag", "sheet"})
"""Units of what is opened once and used for many jobs; common practice, no source."""

Contents = Mapping[int, CardContent]
"""The content of each card by the card's id."""


def hours_by_doer(cards: Iterable[CardLine]) -> tuple[HoursFor, ...]:
    """Hours for each kind of doer, from the least entitled up; only those who have cards."""
    groups: dict[str, list[CardLine]] = defaultdict(list)
    for card in cards:
        groups[card.doer].append(card)
    ranked = sorted(groups, key=lambda doer: DOERS.index(doer) if doer in DOERS else len(DOERS))
    return tuple(_hours(doer, groups[doer]) for doer in ranked)


def _hours(doer: str, cards: list[CardLine]) -> HoursFor:
    zero = Decimal(0)
    return HoursFor(
        doer=doer,
        cards=len(cards),
        low=sum((card.hours_low for card in cards), zero),
        likely=sum((card.hours_likely for card in cards), zero),
        high=sum((card.hours_high for card in cards), zero),
    )


def parts_needed(cards: Iterable[CardLine], contents: Contents) -> tuple[PartNeed, ...]:
    """Each part once by name and unit, with its quantity over all cards.

    A roll, tube or bottle that lasts for more than one card is counted once, at the most that one card takes.
    """
    found: dict[tuple[str, str], PartNeed] = {}
    for card in cards:
        for part in contents[card.card_id].parts:
            quantity = Decimal(part.quantity)
            before = found.get((part.name, part.unit))
            numbers = (*(before.card_numbers if before else ()), card.number)
            consumable = part.consumable or (before is not None and before.consumable)
            shared = consumable and part.unit in LASTING
            had = before.quantity if before else Decimal(0)
            total = max(quantity, had) if shared else quantity + had
            found[part.name, part.unit] = PartNeed(
                part.name, total, part.unit, consumable, tuple(dict.fromkeys(numbers))
            )
    return parts_first(found.values())


def parts_first(needs: Iterable[PartNeed]) -> tuple[PartNeed, ...]:
    """Parts before consumables, each by name."""
    return tuple(sorted(needs, key=lambda need: (need.consumable, need.name.lower(), need.unit)))


def tools_needed(cards: Iterable[CardLine], contents: Contents) -> tuple[ToolNeed, ...]:
    """Each tool once, with the cards that need it."""
    found: dict[str, list[int]] = defaultdict(list)
    for card in cards:
        for tool in contents[card.card_id].tools:
            found[tool].append(card.number)
    return tuple(ToolNeed(tool, tuple(numbers)) for tool, numbers in sorted(found.items(), key=_by_name))


def _by_name(entry: tuple[str, list[int]]) -> str:
    return entry[0].lower()


def cautions_named(
    cards: Iterable[CardLine], contents: Contents, cautions: Iterable[Caution]
) -> tuple[Caution, ...]:
    """Every caution that a card names, in the library's order."""
    named = {key for card in cards for key in contents[card.card_id].cautions}
    return tuple(caution for caution in cautions if caution.key in named)
