"""By what a list is sorted: at most two columns, each up or down, and how a click or a key changes them."""

from __future__ import annotations

import re
from typing import NamedTuple

_NUMBER = re.compile(r"([0-9]+)")


class SortKey(NamedTuple):
    """One column a list is sorted by."""

    place: int
    """Of the column among all columns."""
    down: bool = False

    @property
    def arrow(self) -> str:
        """The way it sorts, as drawn in the heading."""
        return "▼" if self.down else "▲"

    def mark(self, number: int) -> tuple[str, str]:
        """What stands in the heading of the first or second key, and what a reader says."""
        way = "down" if self.down else "up"
        return (self.arrow, f"sorted {way}") if number == 1 else (f"{self.arrow}2", f"then sorted {way}")


SortKeys = tuple[SortKey, ...]
"""The first, and the second where there is one; none for the list's own order."""


def sorted_by(keys: SortKeys, place: int) -> SortKeys:
    """The keys after a plain click: the column alone, up, then down, then the list's own order.

    >>> sorted_by((), 3), sorted_by((SortKey(3),), 3), sorted_by((SortKey(3, True),), 3)
    ((SortKey(place=3, down=False),), (SortKey(place=3, down=True),), ())
    """
    turned = _turned(keys[0] if keys else None, place)
    return (turned,) if turned is not None else ()


def then_by(keys: SortKeys, place: int) -> SortKeys:
    """The keys after a click with Shift: the column second, up, then down, then no second one.

    On the first column it only turns that one; in an unsorted list it is a plain click.

    >>> then_by((SortKey(1),), 3)
    (SortKey(place=1, down=False), SortKey(place=3, down=False))
    """
    if not keys:
        return sorted_by(keys, place)
    first, second = keys[0], keys[1] if len(keys) > 1 else None
    if place == first.place:
        return (SortKey(place, not first.down), *keys[1:])
    turned = _turned(second, place)
    return (first,) if turned is None else (first, turned)


def _turned(key: SortKey | None, place: int) -> SortKey | None:
    if key is None or key.place != place:
        return SortKey(place)
    return None if key.down else SortKey(place, down=True)


def natural(text: str) -> tuple[tuple[bool, int, str], ...]:
    """The key by which words are sorted as people count: case aside, 'row 2' before 'row 10', 9 before 'a'.

    >>> sorted(["Row 10", "row 2", "row", "9", "10"], key=natural)
    ['9', '10', 'row', 'row 2', 'Row 10']
    """
    parts = [part for part in _NUMBER.split(text.casefold()) if part]
    return tuple((False, int(part), "") if part.isdecimal() else (True, 0, part) for part in parts)
