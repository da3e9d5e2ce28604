"""Finding one row of the library by its key."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Protocol, TypeVar

from annual_planner.trade.refused import Refused

MOST_NEAR = 3


class Keyed(Protocol):
    """Anything with a key."""

    @property
    def key(self) -> str:
        """Its key."""
        ...


K = TypeVar("K", bound=Keyed)


def by_key(rows: Sequence[K], key: str, what: str) -> K:
    """The row of that key. Raises Refused, with the near keys or else all of them, where there is none."""
    found = next((each for each in rows if each.key == key), None)
    if found is None:
        close = near(key, (each.key for each in rows)) or [each.key for each in rows]
        said = f"Choose one of {', '.join(close)}, or add it."
        raise Refused(f"The library has no {what} '{key}'.", said)
    return found


def near(key: str, known: Iterable[str]) -> list[str]:
    """Up to three known keys that look like this one, the nearest first."""
    from difflib import get_close_matches

    return get_close_matches(key, list(known), n=MOST_NEAR, cutoff=0.4)


def nearest(key: str, known: Iterable[str]) -> str:
    """Known keys that look like this one, in words: what is said of a key that leads nowhere."""
    close = near(key, known)
    return "such as " + ", ".join(close) if close else "none is near"
