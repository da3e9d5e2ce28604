"""A list and, beside it, everything about the chosen row; where the room is narrow, below it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Generic, TypeVar

from PySide6.QtWidgets import QTextBrowser

from annual_planner.desktop.columns import Column
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.listing import Listing, Words
from annual_planner.desktop.source import HeldSource
from annual_planner.desktop.split import Split
from annual_planner.trade.refused import Refused

R = TypeVar("R")
BESIDE_LINES = 40
"""From that width, in lines of text, the details stand beside the list."""
LOWEST_LINES = 8
"""Of the details, where they stand below it."""


class WithDetails(Split, Generic[R]):
    """A list whose first row is chosen once it is answered; subclasses write what is told of a chosen one."""

    def __init__(self, desk: Desk, listing: Listing[R]) -> None:
        what = listing.what
        self.listing = listing
        self.text = QTextBrowser()
        self.text.setOpenLinks(False)
        self.text.setAccessibleName(f"Details of the chosen row of {what}")
        super().__init__(
            desk.theme, f"{what.capitalize()} and details", listing, self.text,
            beside=BESIDE_LINES, lowest=LOWEST_LINES,
        )  # fmt: skip
        self.share(3, 2)
        listing.answered.connect(listing.choose_first)
        listing.pointed.connect(lambda _id: self.draw())
        listing.table.dataChanged.connect(lambda *_: self.draw())
        desk.theme.changed.connect(self.draw)

    def draw(self) -> None:
        """Write the details of the chosen row."""
        raise NotImplementedError


class HeldPart(WithDetails[R]):
    """Rows held in memory. `detail`: all about one row, as HTML."""

    def __init__(
        self,
        desk: Desk,
        what: str,
        of: Sequence[Column[R]],
        detail: Callable[[R], str],
        *,
        states: Sequence[str] = (),
        state_of: Callable[[R], str] | None = None,
        nothing: str = "The library's files hold none; a shop can add files of its own.",
    ) -> None:
        """`what`: the rows in the plural; `nothing`: what is said where there are none."""
        self._detail = detail
        self.source: HeldSource[R] = HeldSource(of, state_of=state_of)
        said = Words(what, f"No {what}", nothing)
        super().__init__(desk, Listing(desk, f"library {what}", of, self.source, said, states=states))

    def take(self, rows: Sequence[R]) -> None:
        """Show these rows, the first of them chosen."""
        self.source.rows = list(rows)
        self.listing.ask()

    def say(
        self, title: str, why: str = "", verb: str = "", action: Callable[[], object] | None = None
    ) -> None:
        """Say in the place of the rows why there are none yet, and offer a way on."""
        self.listing.table.failed.emit(Refused(title, why))
        self.listing.blank.show_state(title, why, verb, action)
        self.draw()

    def draw(self) -> None:
        """Write the details of the chosen row."""
        row = self.listing.current
        self.text.setHtml(self._detail(row) if row is not None else "")
        self.text.setVisible(bool(self.source.rows))
