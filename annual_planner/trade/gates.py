"""Points that work passes as a whole: what must all be done before anything beyond may begin.

The order of one person keeps the phases anyway; where several work at once, these keep them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field

from annual_planner.trade.cards import ENGINE_ZONES, Phase
from annual_planner.trade.sequence import CardInOrder, Link

RECORDS_READ = "gate: records read"
"""Key of the gate before hands-on work."""

GROUND_RUN = (Phase.RUN_UP,)
HANDS_ON = (Phase.OPEN, Phase.CLEAN, Phase.INSPECT, Phase.SERVICE, Phase.REPAIR, Phase.CLOSE)


@dataclass(frozen=True, slots=True)
class Gate:
    """All of `before` must be done before any of `beyond` begins; keys of cards."""

    key: str
    title: str
    before: tuple[str, ...]
    beyond: tuple[str, ...]
    why: str


def _plainly(zone: str) -> str:
    return zone.replace("_", " ")


def gates(
    cards: Sequence[CardInOrder], links: Iterable[Link], words: Callable[[str], str] = _plainly
) -> tuple[Gate, ...]:
    """The gates among these cards. A card that something before the gate waits for is never held by it.

    Common practice, no source: the records looked through before hands-on work begins, except for the hot
    checks and what they wait for, since heat doesn't wait; hot checks before other work on the engine; a zone
    inspected before it is repaired; everything closed before the engine is run; the records after the run.
    Research that is done or left out is not among the cards, and holds nothing.
    """
    known = list(links)
    found: list[Gate] = []
    for rule in _rules(cards, words):
        gate = _gate(rule, cards, _reaches(known))
        if gate.before and gate.beyond:
            found.append(gate)
            known += [Link(before, gate.key, gate.why) for before in gate.before]
            known += [Link(gate.key, beyond, gate.why) for beyond in gate.beyond]
    return tuple(found)


@dataclass(frozen=True, slots=True)
class _Rule:
    key: str
    title: str
    why: str
    before: Callable[[CardInOrder], bool]
    beyond: Callable[[CardInOrder], bool]
    never: Callable[[CardInOrder], bool] = field(default=lambda _: False)
    """What must not wait for the gate, not even by a card that it waits for itself."""


def _rules(cards: Sequence[CardInOrder], words: Callable[[str], str]) -> Iterable[_Rule]:
    yield _Rule(
        "records read",
        "Records looked through",
        "the records are looked through before hands-on work begins",
        lambda card: card.phase is Phase.RESEARCH,
        lambda card: card.phase in HANDS_ON,
        never=lambda card: card.phase is Phase.HOT_CHECKS,
    )
    yield _Rule(
        "hot checks",
        "Hot checks done",
        "the engine is checked while it is hot",
        lambda card: card.phase is Phase.HOT_CHECKS and card.zone in ENGINE_ZONES,
        lambda card: card.phase in HANDS_ON and card.zone in ENGINE_ZONES,
    )
    for zone in sorted({card.zone for card in cards}):
        yield _inspected(zone, words(zone))
    yield _Rule(
        "ready to run",
        "Closed and ready to run",
        "everything is done and closed before the engine is run",
        lambda card: card.phase in HANDS_ON,
        lambda card: card.phase in GROUND_RUN,
    )
    yield _Rule(
        "run",
        "Engine run made",
        "the records are closed after the work and the run",
        lambda card: card.phase in (*HANDS_ON, *GROUND_RUN),
        lambda card: card.phase is Phase.RECORDS,
    )


def _inspected(zone: str, said: str) -> _Rule:
    return _Rule(
        f"inspected {zone}",
        f"Inspected: {said}",
        "a zone is inspected before it is repaired",
        lambda card: card.phase is Phase.INSPECT and card.zone == zone,
        lambda card: card.phase is Phase.REPAIR and card.zone == zone,
    )


def _gate(rule: _Rule, cards: Sequence[CardInOrder], reach: dict[str, set[str]]) -> Gate:
    before = {card.key for card in cards if rule.before(card)}
    beyond = {card.key for card in cards if rule.beyond(card) and card.key not in before}
    kept_free = before | {card.key for card in cards if rule.never(card)}
    free = {each for each in beyond if not reach.get(each, set()) & kept_free}
    return Gate(f"gate: {rule.key}", rule.title, tuple(sorted(before)), tuple(sorted(free)), rule.why)


def _reaches(links: Iterable[Link]) -> dict[str, set[str]]:
    """Every card that waits for each card, directly or through others."""
    following: dict[str, set[str]] = {}
    for link in links:
        following.setdefault(link.before, set()).add(link.after)
    found: dict[str, set[str]] = {}
    for start in following:
        waiting, seen = [start], set[str]()
        while waiting:
            for after in following.get(waiting.pop(), ()):
                if after not in seen:
                    seen.add(after)
                    waiting.append(after)
        found[start] = seen
    return found
