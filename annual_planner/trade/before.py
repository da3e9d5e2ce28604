"""Which cards should come before one, and whether it may safely be worked before they are finished."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from annual_planner.trade.cards import ENGINE_ZONES, Phase, WorkKind
from annual_planner.trade.sequence import CardInOrder, Link, links
from annual_planner.trade.working import Rule, Step, Worked, Working

PROPELLER = Rule(
    "the propeller is always treated as live",
    "It is made safe before anybody turns it; a run undoes that. Maker's instructions; common practice.",
)
HOT_FIRST = Rule(
    "hot checks while the engine is hot",
    "What is read cold doesn't count, and a hot engine burns whoever works on it. 14 CFR 43.15(c)(2).",
)
CLOSE_LAST = Rule(
    "nothing is closed over work that isn't looked at",
    "What is covered up is not inspected. Common practice, no source.",
)
RUN_CLOSED = Rule(
    "the engine runs with its cowls on and everyone clear",
    "Closing comes before a run. Common practice, no source.",
)
PLANNED = Rule(
    "the order of the plan", "It may be worked earlier where it is safe; the reason is written down."
)

_LOOKING = (Phase.INSPECT, Phase.SERVICE, Phase.REPAIR)


@dataclass(frozen=True, slots=True)
class Ahead:
    """A card that isn't finished and should come first, why, and whether this one may safely go before it."""

    key: str
    title: str
    why: str
    rule: Rule
    safe: bool


def comes_first(
    key: str, cards: Sequence[CardInOrder], finished: Collection[str]
) -> Worked[tuple[Ahead, ...]]:
    """Give what isn't finished and should come before this card; the unsafe ones first. KeyError for no card.

    Unsafe without exception: a propeller that isn't made safe, hot checks still to be read, closing before
    what is inside was inspected, and a run before the cowls are on.
    """
    wanted = {card.key: card for card in cards}
    card = wanted[key]
    bound = links(cards)
    waiting = _waiting_for(key, bound)
    found = [
        *(_of_link(link, wanted) for link in bound if link.after == key),
        *_hot_checks(card, cards),
        *_closing(card, cards),
        *_running(card, cards),
    ]
    open_ones: dict[str, Ahead] = {}
    for each in sorted(found, key=lambda ahead: ahead.safe):
        if each.key not in finished and each.key not in waiting:
            open_ones.setdefault(each.key, each)
    ahead = tuple(open_ones.values())
    return Worked(ahead, _working(card, ahead, len({each.key for each in found} - waiting)))


def _waiting_for(key: str, bound: Sequence[Link]) -> set[str]:
    """Cards that wait for this one, directly or through others: they can't come before it."""
    waiting: set[str] = set()
    look = [key]
    while look:
        before = look.pop()
        fresh = [link.after for link in bound if link.before == before and link.after not in waiting]
        waiting.update(fresh)
        look += fresh
    return waiting


def _of_link(link: Link, wanted: dict[str, CardInOrder]) -> Ahead:
    before, card = wanted[link.before], wanted[link.after]
    rule = PLANNED
    if "propeller" in link.why or (before.makes_propeller_safe and card.turns_propeller):
        rule = PROPELLER
    elif before.phase is Phase.HOT_CHECKS:
        rule = HOT_FIRST
    elif "still open" in link.why or (card.kind is WorkKind.CLOSE and before.phase in _LOOKING):
        rule = CLOSE_LAST
    return Ahead(before.key, before.title, link.why, rule, safe=rule is PLANNED)


def _hot_checks(card: CardInOrder, cards: Sequence[CardInOrder]) -> list[Ahead]:
    """Work on an engine or propeller waits until its hot checks are read."""
    if card.zone not in ENGINE_ZONES or card.phase.order <= Phase.HOT_CHECKS.order:
        return []
    hot = [c for c in cards if c.phase is Phase.HOT_CHECKS and c.zone in ENGINE_ZONES]
    return [
        Ahead(c.key, c.title, "it is read while the engine is hot", HOT_FIRST, safe=False)
        for c in hot
        if _same_engine(c.key, card.key) and c.key != card.key
    ]


def _same_engine(first: str, second: str) -> bool:
    """Cards of one engine of several end in '#1', '#2' …; a card without belongs to every engine."""
    ends = [key.rpartition("#")[2] if "#" in key else "" for key in (first, second)]
    return "" in ends or ends[0] == ends[1]


def _closing(card: CardInOrder, cards: Sequence[CardInOrder]) -> list[Ahead]:
    """A card that closes panels waits for what is looked at, serviced or repaired behind them in its zone."""
    if card.kind is not WorkKind.CLOSE:
        return []
    inside = [c for c in cards if c.zone == card.zone and c.phase in _LOOKING and c.key != card.key]
    return [
        Ahead(c.key, c.title, f"it is worked behind what closes in zone {card.zone}", CLOSE_LAST, safe=False)
        for c in inside
        if _same_engine(c.key, card.key)
    ]


def _running(card: CardInOrder, cards: Sequence[CardInOrder]) -> list[Ahead]:
    """The run after the work waits until engine and propeller are closed up."""
    if card.kind is not WorkKind.RUN_UP or card.phase is not Phase.RUN_UP:
        return []
    closes = [c for c in cards if c.kind is WorkKind.CLOSE and c.zone in ENGINE_ZONES]
    return [
        Ahead(c.key, c.title, "it closes up before the engine is run", RUN_CLOSED, safe=False)
        for c in closes
        if _same_engine(c.key, card.key)
    ]


def _working(card: CardInOrder, ahead: tuple[Ahead, ...], looked_at: int) -> Working:
    unsafe = sum(not each.safe for each in ahead)
    result = f"{len(ahead)} of {looked_at} still open" if ahead else "nothing is in the way"
    if ahead:
        result += f"; {unsafe} of them can't wait" if unsafe else "; all may safely wait, with a reason"
    return Working(
        title=f"What comes before '{card.title}'",
        result=result,
        steps=tuple(
            Step(f"'{each.title}': {each.why}", "may wait" if each.safe else "can't wait") for each in ahead
        ),
        rules=tuple(dict.fromkeys(each.rule for each in ahead)),
        assumptions=("Cards that were left out, not applicable or carried over don't hold this one up",),
    )
