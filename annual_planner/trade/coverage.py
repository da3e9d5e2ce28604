"""Which items of an annual a set of cards leaves out, and which panels nobody opens or closes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from annual_planner.trade.cards import CardTemplate, InspectionItem, WorkKind, Zone
from annual_planner.trade.working import Input, Rule, Step, Worked, Working

_CHECKLIST = Rule(
    "14 CFR 43.15(c)(1)", "a checklist with the scope and detail of Appendix D to Part 43 is used"
)
_ENGINE_RUN = Rule("14 CFR 43.15(c)(2)", "the piston engine is run before approval")


@dataclass(frozen=True, slots=True)
class Covered:
    """One item, the cards that look at it, and why it doesn't apply, where it doesn't.

    An item may have both: a card on which 'not applicable' is answered.
    """

    item: InspectionItem
    cards: tuple[str, ...]
    not_applicable: str = ""

    @property
    def met(self) -> bool:
        """True when a card looks at the item or a reason stands against it."""
        return bool(self.cards or self.not_applicable)


def coverage(
    items: Iterable[InspectionItem], cards: Iterable[CardTemplate], features: frozenset[str]
) -> tuple[Covered, ...]:
    """Match each item with the cards that fit an airplane with these features and go into every annual.

    Cards that only come in when something asks for them don't count.
    """
    every_year = [card for card in cards if card.fits(features) and not card.on_condition]
    return tuple(
        Covered(
            item,
            tuple(card.key for card in every_year if item.id in card.covers),
            why_not_applicable(item, features),
        )
        for item in items
    )


def why_not_applicable(
    item: InspectionItem, features: frozenset[str], titles: Mapping[str, str] | None = None
) -> str:
    """Give the reason why an item doesn't apply to the airplane, or an empty text when it does.

    `titles`: the words for features by key, where the reason is for people to read.
    """
    if item.never_because:
        return item.never_because
    if not item.applies_to or features.intersection(item.applies_to):
        return ""
    words = ", ".join(_said(key, titles or {}) for key in item.applies_to)
    return f"The airplane has {'no' if len(item.applies_to) == 1 else 'none of:'} {words}."


def _said(key: str, titles: Mapping[str, str]) -> str:
    title = titles.get(key, key.replace("_", " "))
    return title if title[:2].isupper() else title[:1].lower() + title[1:]


def scope_checked(
    items: Iterable[InspectionItem], cards: Iterable[CardTemplate], features: frozenset[str]
) -> Worked[tuple[InspectionItem, ...]]:
    """Return the items that no card looks at and no reason excuses, with the working."""
    covered = coverage(items, cards, features)
    given = Input("features", ", ".join(sorted(features)) or "none", source="the airplane's particulars")
    assumed = "Cards that come in only when something asks for them don't count."
    missing = tuple(each.item for each in covered if not each.met)
    return Worked(missing, scope_working(covered, (given,), (assumed,)))


def scope_working(
    covered: Sequence[Covered], inputs: tuple[Input, ...], assumptions: tuple[str, ...]
) -> Working:
    """The working of the scope: each item, and what answers it."""
    missing = sum(not each.met for each in covered)
    return Working(
        title="Scope of the inspection",
        result=f"{missing} of {len(covered)} items missing" if missing else f"all {len(covered)} items",
        inputs=inputs,
        steps=tuple(Step(f"{each.item.ref}: {each.item.subject}", _answer(each)) for each in covered),
        rules=(_CHECKLIST, _ENGINE_RUN),
        assumptions=assumptions,
    )


def _answer(each: Covered) -> str:
    parts = [", ".join(each.cards)] if each.cards else []
    if each.not_applicable:
        parts.append(f"not applicable: {each.not_applicable}")
    return "; ".join(parts) or "no card"


def panels_on(zones: Iterable[Zone], features: frozenset[str]) -> frozenset[str]:
    """Return the panels an airplane with these features has."""
    return frozenset(panel.key for zone in zones for panel in zone.panels if features.issuperset(panel.needs))


@dataclass(frozen=True, slots=True)
class Panels:
    """Panels that some work needs open but no card opens, and panels opened but never closed."""

    not_opened: tuple[str, ...]
    not_closed: tuple[str, ...]


def panels_astray(cards: Iterable[CardTemplate], zones: Iterable[Zone], features: frozenset[str]) -> Panels:
    """Find panels of the airplane that nobody opens or nobody closes."""
    has = panels_on(zones, features)
    opened: set[str] = set()
    closed: set[str] = set()
    needed: set[str] = set()
    for card in cards:
        if card.fits(features):
            group = {WorkKind.OPEN: opened, WorkKind.CLOSE: closed}.get(card.kind, needed)
            group.update(has.intersection(card.panels))
    return Panels(tuple(sorted(needed - opened)), tuple(sorted((opened | needed) - closed)))
