"""Opening a fleet and working on it in short transactions."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from sqlalchemy.orm import Session


@dataclass(frozen=True, slots=True)
class Work:
    """One unit of work on the fleet: the session belongs to the store's own modules alone."""

    session: Session
    by: str
    """Name of the person whose work it is."""


class Fleet:
    """An open fleet: a file (SQLite) or a server (PostgreSQL)."""

    @contextmanager
    def reading(self) -> Iterator[Work]:
        """A consistent look at the fleet; nothing can be written."""
        raise NotImplementedError
        yield

    @contextmanager
    def work(self, by: str) -> Iterator[Work]:
        """One short writing transaction: all of it or nothing.

        Raises ChangedMeanwhile when another person changed the same row first.
        """
        raise NotImplementedError
        yield
