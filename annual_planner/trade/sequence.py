"""One order for the cards of a visit: phases, predecessors, panels opened once and closed once."""

from __future__ import annotations

import heapq
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from annual_planner.trade.cards import Phase, WorkKind
from annual_planner.trade.refused import Refused
from annual_planner.trade.working import Input, Rule, Step, Worked, Working


@dataclass(frozen=True, slots=True)
class CardInOrder:
    """What the order of work needs to know of a card."""

    key: str
    title: str
    phase: Phase
    kind: WorkKind
    zone: str
    panels: tuple[str, ...] = ()
    after: tuple[str, ...] = ()
    turns_propeller: bool = False
    makes_propeller_safe: bool = False


@dataclass(frozen=True, slots=True)
class Link:
    """One card that must come before another, and why."""

    before: str
    after: str
    why: str


@dataclass(frozen=True, slots=True)
class PanelOpening:
    """One panel that a visit opens once and closes once."""

    panel: str
    zone: str
    opened_before: tuple[str, ...]
    """Keys of the cards that need it open."""
    closed_after: tuple[str, ...]
    """Keys of the cards that must be done before it is closed."""


_PLACED = "Phase first, then zone, then key; what a card of an earlier phase waits for comes up with it."
_SOURCE = Rule("common practice, no source", "Hot checks while the engine is hot; each panel opened once.")


def order(cards: Sequence[CardInOrder]) -> Worked[tuple[str, ...]]:
    """Put the cards in one order; the same cards always give the same order, however they were listed.

    Links (see `links`) are kept without exception. Otherwise the phase decides, then the zone, then the key.
    A card that an earlier phase waits for comes up to that phase. Refused when cards wait for each other,
    or when two cards have one key.
    """
    wanted = _by_key(cards)
    bound = links(cards)
    keys = _placed(wanted, bound)
    steps = tuple(Step(*_place(n, wanted[key], bound, wanted)) for n, key in enumerate(keys, 1))
    return Worked(
        keys,
        Working(
            title="Order of the cards",
            result=f"{len(keys)} cards",
            inputs=(Input("cards", f"{len(cards)}"), Input("'this before that' among them", f"{len(bound)}")),
            steps=steps,
            rules=(Rule("this program's order", _PLACED), _SOURCE),
            assumptions=tuple(_assumed(cards)),
        ),
    )


def why_here(key: str, cards: Sequence[CardInOrder]) -> Working:
    """Say why one card stands where it does. KeyError when there is no such card; Refused as in `order`."""
    wanted = _by_key(cards)
    bound = links(cards)
    keys = _placed(wanted, bound)
    card, place = wanted[key], keys.index(key)
    held = [link for link in bound if key in (link.before, link.after)]
    ahead = _called_up_by(card, wanted, bound)
    return Working(
        title=f"Why '{card.title}' stands at {place + 1} of {len(keys)}",
        result=f"{_said(card.phase)}, zone {card.zone or 'not given'}" + (f"; {ahead}" if ahead else ""),
        inputs=(
            Input("phase", _said(card.phase)),
            Input("zone", card.zone or "not given"),
            Input("panels", ", ".join(card.panels) or "none"),
        ),
        steps=(
            *(Step(_link_said(link, wanted)) for link in held),
            Step("card just before", wanted[keys[place - 1]].title if place else "none, it is the first"),
            Step("card just after", wanted[keys[place + 1]].title if place + 1 < len(keys) else "none"),
        ),
        rules=(Rule("this program's order", _PLACED), _SOURCE),
    )


def links(cards: Sequence[CardInOrder]) -> tuple[Link, ...]:
    """Every 'this before that' among these cards: what cards ask for, panels, and the propeller.

    Predecessors that are not among the cards count as done elsewhere.
    """
    asked = list(_asked_for(cards))
    return tuple(dict.fromkeys((*asked, *_panel_links(cards), *_propeller_links(cards, asked))))


def panel_cards(cards: Sequence[CardInOrder]) -> tuple[PanelOpening, ...]:
    """Give each panel that these cards need open, once, by zone and name.

    Cards that themselves open or close panels don't count.
    """
    users: dict[str, list[CardInOrder]] = defaultdict(list)
    for card in sorted(cards, key=_rank):
        if card.kind not in (WorkKind.OPEN, WorkKind.CLOSE):
            for panel in dict.fromkeys(card.panels):
                users[panel].append(card)
    found = (_opening(panel, needing) for panel, needing in users.items())
    return tuple(sorted(found, key=lambda opening: (opening.zone, opening.panel)))


def faults(order: Sequence[str], cards: Sequence[CardInOrder]) -> tuple[str, ...]:
    """Say what is wrong with an order of these cards, in words; empty when nothing is."""
    wanted = _by_key(cards)
    place = {key: n for n, key in enumerate(order)}
    return (
        *_missing_or_twice(order, wanted),
        *(_link_said(link, wanted) for link in links(cards) if _broken(link, place)),
        *_opened_twice(cards),
        *_out_of_phase(place, wanted, links(cards)),
    )


# ---- links


def _asked_for(cards: Sequence[CardInOrder]) -> Iterable[Link]:
    here = {card.key for card in cards}
    for card in cards:
        for before in card.after:
            if before in here:
                yield Link(before, card.key, "asked for on the card")


def _panel_links(cards: Sequence[CardInOrder]) -> Iterable[Link]:
    for panel in sorted({panel for card in cards for panel in card.panels}):
        touching = [card for card in cards if panel in card.panels]
        opens = [c.key for c in touching if c.kind is WorkKind.OPEN]
        closes = [c.key for c in touching if c.kind is WorkKind.CLOSE]
        needs = [c.key for c in touching if c.kind not in (WorkKind.OPEN, WorkKind.CLOSE)]
        yield from _all_pairs(opens, needs, f"it opens panel {panel}")
        yield from _all_pairs(needs, closes, f"it needs panel {panel} still open")
        yield from _all_pairs(opens, closes, f"it opens panel {panel}")


def _propeller_links(cards: Sequence[CardInOrder], asked: Sequence[Link]) -> Iterable[Link]:
    """Make the propeller safe before it is turned by hand, and after the run that warms the engine.

    An engine run can't be made with the propeller made safe, so runs do not wait for it; the early one comes
    before, unless the cards themselves say otherwise.
    """
    safe = [card.key for card in cards if card.makes_propeller_safe]
    turned = [c.key for c in cards if c.turns_propeller and c.kind is not WorkKind.RUN_UP]
    runs = [c.key for c in cards if c.kind is WorkKind.RUN_UP and c.phase.order <= Phase.HOT_CHECKS.order]
    yield from _all_pairs(safe, [key for key in turned if key not in safe], "it makes the propeller safe")
    following = _following(asked)
    behind = {key: _reached(key, following) for key in safe}
    for run in runs:
        for key in safe:
            if run not in behind[key] and run != key:
                yield Link(run, key, "an engine run undoes a propeller made safe")


def _all_pairs(before: Iterable[str], after: Sequence[str], why: str) -> Iterable[Link]:
    return (Link(first, second, why) for first in before for second in after)


def _reached(start: str, following: Mapping[str, Sequence[Link]]) -> set[str]:
    """Keys of all cards that wait for this one, directly or through others."""
    found: set[str] = set()
    waiting = [start]
    while waiting:
        for link in following.get(waiting.pop(), ()):
            if link.after not in found:
                found.add(link.after)
                waiting.append(link.after)
    return found


def _following(bound: Iterable[Link]) -> dict[str, list[Link]]:
    following: dict[str, list[Link]] = defaultdict(list)
    for link in bound:
        following[link.before].append(link)
    return following


# ---- placing


def _by_key(cards: Sequence[CardInOrder]) -> dict[str, CardInOrder]:
    wanted = {card.key: card for card in cards}
    if len(wanted) < len(cards):
        keys = [card.key for card in cards]
        twice = sorted({key for key in keys if keys.count(key) > 1})
        raise Refused(
            said=f"These cards are in the list twice: {', '.join(twice)}.",
            remedy="Take one of each out, or give it a key of its own.",
        )
    return wanted


def _rank(card: CardInOrder) -> tuple[int, str, str]:
    return card.phase.order, card.zone, card.key


def _placed(wanted: Mapping[str, CardInOrder], bound: Sequence[Link]) -> tuple[str, ...]:
    own = {key: _rank(card) for key, card in wanted.items()}
    plain = _drawn(own, bound)
    if len(plain) < len(wanted):
        raise _loop(set(wanted) - set(plain), wanted, bound)
    called_up = _called_up(plain, wanted, bound)
    return tuple(_drawn({key: (called_up[key], *own[key]) for key in wanted}, bound))


def _drawn(rank: Mapping[str, tuple[int | str, ...]], bound: Sequence[Link]) -> list[str]:
    """Keys by rank, each as soon as all it waits for is placed; those in or behind a loop are left out."""
    following = _following(bound)
    waits = dict.fromkeys(rank, 0)
    for link in bound:
        waits[link.after] += 1
    ready = [(rank[key], key) for key, count in waits.items() if not count]
    heapq.heapify(ready)
    placed: list[str] = []
    while ready:
        _, key = heapq.heappop(ready)
        placed.append(key)
        for link in following[key]:
            waits[link.after] -= 1
            if not waits[link.after]:
                heapq.heappush(ready, (rank[link.after], link.after))
    return placed


def _called_up(
    plain: Sequence[str], wanted: Mapping[str, CardInOrder], bound: Sequence[Link]
) -> dict[str, int]:
    """Give each card the earliest phase among its own and those of all cards that wait for it."""
    following = _following(bound)
    phase: dict[str, int] = {}
    for key in reversed(plain):
        behind = [phase[link.after] for link in following[key]]
        phase[key] = min([wanted[key].phase.order, *behind])
    return phase


def _called_up_by(card: CardInOrder, wanted: Mapping[str, CardInOrder], bound: Sequence[Link]) -> str:
    waiting = [wanted[key] for key in _reached(card.key, _following(bound))]
    first = min(waiting, key=_rank, default=card)
    if first.phase.order >= card.phase.order:
        return ""
    return f"called up to {_said(first.phase)} because '{first.title}' waits for it"


def _loop(left: set[str], wanted: Mapping[str, CardInOrder], bound: Sequence[Link]) -> Refused:
    """Walk back from one card that can't be placed until a card comes up again: that is the loop."""
    waits_for = {key: next((x for x in bound if x.after == key and x.before in left), None) for key in left}
    trail: list[Link] = []
    key = min(left)
    while key not in [link.after for link in trail]:
        link = waits_for[key]
        assert link is not None, "a card left over always waits for another one"
        trail.append(link)
        key = link.before
    start = [link.after for link in trail].index(key)
    circle = list(reversed(trail[start:]))
    return Refused(
        said="These cards wait for each other: " + "; ".join(_link_said(x, wanted) for x in circle) + ".",
        remedy="Take one of these 'after' links away, or change which panels a card needs.",
    )


# ---- words


def _said(phase: Phase) -> str:
    return phase.value.replace("_", " ")


def _link_said(link: Link, wanted: Mapping[str, CardInOrder]) -> str:
    return f"'{wanted[link.before].title}' comes before '{wanted[link.after].title}': {link.why}"


def _place(
    n: int, card: CardInOrder, bound: Sequence[Link], wanted: Mapping[str, CardInOrder]
) -> tuple[str, str]:
    held = [f"after '{wanted[link.before].title}'" for link in bound if link.after == card.key]
    return f"{n}. {card.title}", ", ".join((_said(card.phase), card.zone or "no zone", *dict.fromkeys(held)))


def _assumed(cards: Sequence[CardInOrder]) -> Iterable[str]:
    here = {card.key for card in cards}
    elsewhere = sorted({key for card in cards for key in card.after if key not in here})
    if elsewhere:
        yield f"Not among these cards, taken as done elsewhere: {', '.join(elsewhere)}"
    if any(c.turns_propeller for c in cards) and not any(c.makes_propeller_safe for c in cards):
        yield "No card makes the propeller safe, yet a card turns it: treat it as live and add that card"
    unopened = sorted(_panels(cards, needing=True) - _panels(cards, WorkKind.OPEN))
    if unopened:
        yield f"No card opens these panels: {', '.join(unopened)}"
    yield from _opened_twice(cards)


def _panels(cards: Sequence[CardInOrder], kind: WorkKind | None = None, needing: bool = False) -> set[str]:
    ends = (WorkKind.OPEN, WorkKind.CLOSE)
    chosen = [card for card in cards if (card.kind not in ends if needing else card.kind is kind)]
    return {panel for card in chosen for panel in card.panels}


def _opening(panel: str, needing: Sequence[CardInOrder]) -> PanelOpening:
    keys = tuple(card.key for card in needing)
    return PanelOpening(panel, min(card.zone for card in needing), opened_before=keys, closed_after=keys)


# ---- faults


def _missing_or_twice(order: Sequence[str], wanted: Mapping[str, CardInOrder]) -> Iterable[str]:
    for key, card in wanted.items():
        if (times := order.count(key)) != 1:
            yield f"'{card.title}' stands in the order {times} times"
    yield from (f"'{key}' is in the order and is no card of this visit" for key in order if key not in wanted)


def _broken(link: Link, place: Mapping[str, int]) -> bool:
    ends = place.get(link.before), place.get(link.after)
    return ends[0] is not None and ends[1] is not None and ends[0] > ends[1]


def _opened_twice(cards: Sequence[CardInOrder]) -> Iterable[str]:
    for kind, done in ((WorkKind.OPEN, "opened"), (WorkKind.CLOSE, "closed")):
        titles: dict[str, list[str]] = defaultdict(list)
        for card in cards:
            if card.kind is kind:
                for panel in dict.fromkeys(card.panels):
                    titles[panel].append(f"'{card.title}'")
        for panel, by in sorted(titles.items()):
            if len(by) > 1:
                yield f"Panel {panel} is {done} more than once: {', '.join(by)}"


def _out_of_phase(
    place: Mapping[str, int], wanted: Mapping[str, CardInOrder], bound: Sequence[Link]
) -> Iterable[str]:
    """Cards that stand before one of an earlier phase though nothing so early waits for them."""
    following = _following(bound)
    standing = sorted((key for key in wanted if key in place), key=place.__getitem__)
    for n, key in enumerate(standing):
        card = wanted[key]
        reached = [wanted[k].phase.order for k in _reached(key, following)]
        called_up = min([card.phase.order, *reached])
        late = [wanted[k] for k in standing[n + 1 :] if wanted[k].phase.order < called_up]
        if late:
            first = late[0]
            early = f"'{card.title}' ({_said(card.phase)})"
            yield f"{early} stands before '{first.title}' ({_said(first.phase)})"
