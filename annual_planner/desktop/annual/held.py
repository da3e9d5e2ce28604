"""A list of rows that came with the package, and the keys that act on its rows."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Generic, TypeVar

from PySide6.QtCore import QEvent, QModelIndex, QObject, Qt
from PySide6.QtGui import QKeyEvent

from annual_planner.desktop.columns import Column
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.listing import Listing, Words
from annual_planner.desktop.source import HeldSource

R = TypeVar("R")


class HeldList(Listing[R], Generic[R]):
    """Rows held in memory; `take` shows others. `small`: a handful, that needs no search field.

    `held`: another way to find them.
    """

    def __init__(
        self,
        desk: Desk,
        kept_as: str,
        columns: Sequence[Column[R]],
        words: Words,
        *,
        states: Sequence[str] = (),
        state_of: Callable[[R], str] | None = None,
        next_step: Callable[[], object] | None = None,
        small: bool = False,
        held: HeldSource[R] | None = None,
    ) -> None:
        self.held: HeldSource[R] = held or HeldSource(columns, state_of=state_of)
        super().__init__(desk, kept_as, columns, self.held, words, states=states, next_step=next_step)
        if small:
            self.show_rows_alone()

    def point_next(self, place: int) -> None:
        """Make that row the current one when the rows are there."""
        self._wanted = place

    def take(self, rows: Sequence[R]) -> None:
        """Show these rows."""
        self.held.rows = list(rows)
        self.ask()


class Switch(QObject):
    """The drawn box in the first column: Space on a row, or a click on the box, turns it."""

    def __init__(self, listing: Listing[R], pressed: Callable[[], object]) -> None:
        super().__init__(listing)
        self._pressed = pressed
        listing.view.installEventFilter(self)
        listing.view.clicked.connect(self._clicked)

    def _clicked(self, index: QModelIndex) -> None:
        if index.column() == 0:
            self._pressed()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Take the space bar; leave everything else."""
        down = isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress
        if down and isinstance(event, QKeyEvent) and event.key() == Qt.Key.Key_Space:
            self._pressed()
            return True
        return super().eventFilter(watched, event)
