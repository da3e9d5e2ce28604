"""What is sent to a database while a test looks on."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from sqlalchemy import event

from annual_planner.store.session import Fleet


class Statements(list[tuple[str, Any]]):
    """Statements in the order in which they were sent, each with its parameters."""

    @property
    def selects(self) -> list[tuple[str, Any]]:
        """Those that only read."""
        return [each for each in self if each[0].lstrip().upper().startswith("SELECT")]


@contextmanager
def statements(fleet: Fleet) -> Iterator[Statements]:
    """Every statement that is sent meanwhile."""
    sent = Statements()

    def note(connection: object, cursor: object, statement: str, parameters: Any, *_: object) -> None:
        sent.append((statement, parameters))

    event.listen(fleet.engine, "before_cursor_execute", note)
    try:
        yield sent
    finally:
        event.remove(fleet.engine, "before_cursor_execute", note)
