"""One order for the cards of a visit: phases, predecessors, panels opened once and closed once."""

from __future__ import annotations

from dataclasses import dataclass

from annual_planner.trade.cards import Phase, WorkKind


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
