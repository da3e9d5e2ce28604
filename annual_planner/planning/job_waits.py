"""What a card waits for when many work at once: other cards, gates, hot windows, parts."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from datetime import date

from annual_planner.library.zone_words import zone_words
from annual_planner.planning.card_content import CardContent
from annual_planner.planning.crew.problem import After, Job
from annual_planner.planning.in_order import line_in_order
from annual_planner.store.rows import CardLine
from annual_planner.store.shop_reads import PartAwaited
from annual_planner.trade.cards import Phase
from annual_planner.trade.gates import Gate, gates
from annual_planner.trade.refused import Refused
from annual_planner.trade.sequence import links
from annual_planner.trade.shop_floor import HotWindow

NO_WINDOW = 10**9
OF_ENGINE = "#"
"""In a card's key, before the number of its engine where there are several."""


def waits(
    cards: Sequence[CardLine], hot: Iterable[HotWindow]
) -> tuple[tuple[Job, ...], dict[str, tuple[After, ...]]]:
    """The gates as jobs without hands, and what each card waits for, by its key."""
    in_order = [line_in_order(card) for card in cards]
    bound = links(in_order)
    passing = gates(in_order, bound, zone_words)
    found: dict[str, list[After]] = {}
    for link in bound:
        found.setdefault(link.after, []).append(After(link.before, why=link.why))
    for key, after in _held_hot({card.key for card in in_order}, hot):
        found.setdefault(key, []).append(after)
    for gate in passing:
        for key in gate.beyond:
            found.setdefault(key, []).append(After(gate.key, why=gate.why))
    return tuple(map(_gate_job, passing)), {key: _once(each) for key, each in found.items()}


def _held_hot(keys: Collection[str], hot: Iterable[HotWindow]) -> Iterable[tuple[str, After]]:
    """The keys of cards that begin while things are hot, and what heats them; other cards may lie between.

    Several engines are run before one of them is made safe, and checked one after the other: each is given
    the time of all.
    """
    for window in hot:
        heated = [key for key in sorted(keys) if key.split(OF_ENGINE)[0] == window.card]
        for key in heated:
            heats = key.replace(window.card, window.after, 1)
            if heats in keys:
                yield key, After(heats, most_min=window.within_min * len(heated), why=window.why)


def _once(found: Iterable[After]) -> tuple[After, ...]:
    """One wait for each card waited for; of several the one with the tightest window."""
    return tuple({each.job: each for each in sorted(found, key=_tightest)}.values())


def _tightest(after: After) -> int:
    return -(after.most_min if after.most_min is not None else NO_WINDOW)


def _gate_job(gate: Gate) -> Job:
    before = tuple(After(key, why=gate.why) for key in gate.before)
    return Job(gate.key, gate.title, 0, seats=(), after=before)


def check_parts(parts: Iterable[PartAwaited]) -> None:
    """Raise Refused, naming them, for parts of which nobody knows when they come."""
    dateless = [each.name for each in parts if each.arrived_on is None and each.arrives_on is None]
    if dateless:
        raise Refused(
            f"No day is known for: {', '.join(dateless)}.", "Say when the part comes, or that it is here."
        )


def arrival(card: CardLine, content: CardContent, parts: Iterable[PartAwaited]) -> tuple[date | None, str]:
    """The day the last part comes that a card waits for, and which it is; None and nothing without one."""
    coming = [
        (each.arrives_on, each.name)
        for each in parts
        if each.arrived_on is None and each.arrives_on is not None and _waits_for(card, content, each)
    ]
    last = max(coming, default=None)
    return (last[0], f"{last[1]} comes") if last is not None else (None, "")


def _waits_for(card: CardLine, content: CardContent, part: PartAwaited) -> bool:
    """A part of one card holds that card; one that cards list by name, those; another, the closing."""
    if part.card_id is not None:
        return part.card_id == card.card_id
    return part.name in {each.name for each in content.parts} or card.phase == Phase.CLOSE
