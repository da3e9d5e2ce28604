"""The actions of one page as a table, and the piece that builds them and says which are allowed."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from PySide6.QtCore import QObject
from PySide6.QtGui import QAction

from annual_planner.desktop.page import Page

D = TypeVar("D", bound="PageDoings")


def subject_here(doings: PageDoings) -> bool:
    """Allowed while the page shows its subject and no form stands in its place."""
    return doings.on


def always(_doings: PageDoings) -> bool:
    """Allowed whatever the page shows."""
    return True


@dataclass(frozen=True, slots=True)
class PageAction(Generic[D]):
    """One action of a page: what it is called, what it does and when it is allowed. See `Page.action`."""

    name: str
    """The attribute of the doings under which the action is found."""
    text: str
    does: Callable[[D], object]
    tip: str = ""
    key: str | None = None
    drawing: str = ""
    button: bool = False
    leading: bool = False
    edits: bool = False
    group: str = ""
    when: Callable[[D], bool] = subject_here

    def made(self, page: Page, doings: D) -> QAction:
        """Build it on the page."""
        return page.action(
            self.text,
            lambda: self.does(doings),
            key=self.key,
            tip=self.tip,
            drawing=self.drawing,
            button=self.button,
            leading=self.leading,
            edits=self.edits,
            group=self.group,
        )


class PageDoings(QObject):
    """What can be done on a page. Subclasses name their actions as attributes and give the table of them."""

    def __init__(self, page: Page, table: Sequence[PageAction[Any]]) -> None:
        super().__init__(page)
        self.on = False
        """The page shows its subject."""
        self._table = table
        for each in table:
            setattr(self, each.name, each.made(page, self))

    def enable(self, on: bool) -> None:
        """Allow what needs the page's subject, or forbid it."""
        self.on = on
        self.follow()

    def follow(self, _any: object = None) -> None:
        """Allow each action by what the page now shows and what is chosen on it."""
        for each in self._table:
            action: QAction = getattr(self, each.name)
            action.setEnabled(each.when(self))
