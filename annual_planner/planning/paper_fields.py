"""Names of the fields that the paper package can be filled in by: package, plan and card in every one.

A name is `package/plan/card/what`, such as `N012AP-2026-1/3f2a90c1d4e5/7/m0-1`: the second taking of the
first measurement of card 7. The plan's digest holds the cards' ids, numbers, titles and content, not how far
they are done, so that a paper stays good while work goes on and is told from one of another plan.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterable
from dataclasses import dataclass

from annual_planner.store.rows import CardLine
from annual_planner.trade.card_states import DONE, NOT_APPLICABLE

INITIALS, NOTES = "initials", "notes"
WORDS = (DONE, INITIALS, NOT_APPLICABLE, NOTES)
"""What a card's own fields are for, two named by the state they set; measurements: 'm' with two numbers."""
LONGEST = {DONE: 8, INITIALS: 8, NOT_APPLICABLE: 200, NOTES: 1000}
"""Letters that each may hold."""
LONGEST_RESULT = 40
DIGEST_SIGNS = 12

_MEASURE = re.compile(r"m([0-9]{1,3})-([0-9]{1,3})")
_NAME = re.compile(r"([^/]{1,60})/([0-9a-f]{12})/([0-9]{1,5})/([a-z0-9 -]{1,20})")


@dataclass(frozen=True, slots=True)
class FieldName:
    """One field's name taken apart."""

    package: str
    plan: str
    card: int
    what: str

    def __str__(self) -> str:
        return f"{self.package}/{self.plan}/{self.card}/{self.what}"

    @property
    def measure(self) -> tuple[int, int] | None:
        """Which measurement of the card, and which of its takings, from 0; None for the card's own fields."""
        found = _MEASURE.fullmatch(self.what)
        return None if found is None else (int(found.group(1)), int(found.group(2)))

    @property
    def longest(self) -> int:
        """Letters it may hold."""
        return LONGEST.get(self.what, LONGEST_RESULT)


def measure_word(measurement: int, taking: int) -> str:
    """The last part of the name of a blank for a number, both from 0.

    >>> measure_word(0, 2)
    'm0-2'
    """
    return f"m{measurement}-{taking}"


def read_name(text: str) -> FieldName | None:
    """A field's name taken apart; None for one that is none of ours."""
    found = _NAME.fullmatch(text)
    if found is None:
        return None
    name = FieldName(found.group(1), found.group(2), int(found.group(3)), found.group(4))
    return name if name.what in WORDS or name.measure is not None else None


def plan_digest(cards: Iterable[CardLine]) -> str:
    """The first twelve hexadecimal digits of a SHA-256 over what the cards are, by number."""
    ordered = sorted(cards, key=lambda card: (card.number, card.card_id))
    told = [[card.card_id, card.number, card.title, card.content] for card in ordered]
    written = json.dumps(told, sort_keys=True, separators=(",", ":"), default=str)
    return hashlib.sha256(written.encode()).hexdigest()[:DIGEST_SIGNS]
