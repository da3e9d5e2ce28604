"""The second order of a list; plain values, so that a window can name one before the store is loaded."""

from __future__ import annotations

from typing import NamedTuple


class Then(NamedTuple):
    """A second order, for the rows that the first one leaves equal."""

    order: str
    descending: bool = False
