"""What a place in the window is built on."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING, ClassVar

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QAction, QKeySequence, QShowEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from annual_planner.desktop.desk import Desk
from annual_planner.desktop.flow import FlowRow, HeadRow
from annual_planner.desktop.icons import icon
from annual_planner.desktop.widgets import ActionButton, Strip, label
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from pathlib import Path

    from annual_planner.store.session import Work
    from annual_planner.trade.working import Working

AskWhy = Callable[["Work"], "Working"]
GROUP = "group"
"""Property of an action: the menu within 'Here' that it stands in."""

KeyLike = str | QKeySequence.StandardKey


class Page(QWidget):
    """One place. Subclasses fill `self.body`, override `ask` and listen to the kinds of change they show."""

    place: ClassVar[str] = ""
    title: ClassVar[str] = ""
    listens: ClassVar[frozenset[str]] = frozenset()
    """Kinds in Changed after which what it shows may be stale."""

    goes = Signal(str, object)
    """Wants another place: its name, and what to show there (an aircraft id, a package id, a word)."""
    wants_working = Signal(object)
    """Wants a working shown: a Working, or a function of Work that gives one."""
    moved = Signal()
    """It now shows another subject, for Back and for the next start."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self.desk = desk
        self.setObjectName(self.place)
        self.setAccessibleName(self.title)
        self.stale = True
        self._page_unread = False
        """What it asked for last could not be had at that moment, as from a server that was away."""
        self._page_actions: list[QAction] = []
        self._page_adopted: list[tuple[QAction, QWidget]] = []
        self._page_edits: list[QAction] = []
        self._page_drawings: list[tuple[QAction, str]] = []
        self.heading = label(self.title, heading=True)
        self.heading.setWordWrap(True)
        self.under = label("", faint=True)
        self.under.setWordWrap(True)
        self.under.hide()
        self.buttons = FlowRow()
        self.strip = Strip()
        self.body = QVBoxLayout()
        self._page_lay_out()
        self.strip.let_go.connect(lambda: self.focus_here())
        desk.jobs.changed.connect(self._page_changed)
        desk.theme.changed.connect(self.draw_actions)
        desk.who.changed.connect(self._page_person)

    def _page_lay_out(self) -> None:
        names = QVBoxLayout()
        names.setSpacing(2)
        names.addWidget(self.heading)
        names.addWidget(self.under)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(18, 12, 18, 8)
        whole.setSpacing(8)
        whole.addLayout(HeadRow(names, self.buttons))
        whole.addWidget(self.strip)
        whole.addLayout(self.body, 1)

    # -- what subclasses override ---------------------------------------------------------------

    def ask(self) -> None:
        """Ask for what the page shows; called when it is first shown, after a change, and by Refresh."""

    def show_subject(self, subject: object) -> None:
        """Show this subject (None: whatever was shown last)."""

    @property
    def subject(self) -> object:
        """What is shown, as plain values that can be kept and given to `show_subject` again."""
        return None

    def why(self) -> AskWhy | Working | None:
        """The working behind what is selected, or None."""
        return None

    def why_not(self) -> tuple[str, str]:
        """What is said where `why` has none, and what to do."""
        return "Nothing is selected that has a working.", "Choose a row, then press F4."

    def glance(self) -> Callable[[Path], object] | None:
        """How to read what is shown from the fleet's file before the fleet is open; None: it waits.

        It runs off the window's thread and gives None where the file isn't what it takes it for.
        """
        return None

    def take_glance(self, seen: object) -> None:
        """Show what `glance` has read, until the fleet itself answers."""

    @property
    def aircraft_here(self) -> int | None:
        """The airplane chosen here, which the place Aircraft then shows; None for none."""
        return None

    def search_here(self) -> None:
        """Put the cursor in this place's search field."""

    def focus_here(self) -> None:
        """Let the keys act on the main thing of this place."""
        self.setFocus()

    # -- for subclasses ---------------------------------------------------------------------------

    def action(
        self,
        text: str,
        done: Callable[[], object],
        *,
        key: KeyLike | None = None,
        tip: str = "",
        drawing: str = "",
        button: bool = False,
        leading: bool = False,
        edits: bool = False,
        group: str = "",
    ) -> QAction:
        """Make an action of this place: menu 'Here', key and, if wanted, a button at the top.

        `edits`: an owner isn't offered it. `group`: the menu within 'Here' that it stands in.
        """
        made = QAction(text, self)
        made.triggered.connect(lambda: done())
        if key is not None:
            made.setShortcut(QKeySequence(key))
            made.setShortcutContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        words = tip or text.replace("&", "").rstrip("…")
        keys = made.shortcut().toString(QKeySequence.SequenceFormat.NativeText)
        made.setToolTip(f"{words} ({keys})" if keys else words)
        made.setStatusTip(words)
        made.setProperty(GROUP, group)
        if drawing:
            self._page_drawings.append((made, drawing))
            if button and not leading:
                self._page_draw(made, drawing)
        if edits:
            self._page_edits.append(made)
            made.setVisible(self.desk.who.person.may_edit)
        self.addAction(made)
        self._page_actions.append(made)
        if button:
            self._add_button(ActionButton(made, leading=leading))
        return made

    def _add_button(self, made: ActionButton) -> None:
        """Add a button at the top; Tab comes to it before all that stands below, as the eye does."""
        last = self.buttons.itemAt(self.buttons.count() - 1)
        before = (last.widget() if last is not None else None) or self.heading
        self.buttons.addWidget(made)
        policy = before.focusPolicy()
        before.setFocusPolicy(Qt.FocusPolicy.TabFocus)  # Qt orders nothing behind what takes no focus
        QWidget.setTabOrder(before, made)
        before.setFocusPolicy(policy)

    def adopt(self, actions: Iterable[QAction], group: str, part: QWidget) -> None:
        """Take actions of a part into the menu 'Here', under that name, while the part is seen."""
        for action in actions:
            action.setProperty(GROUP, group)
            self._page_adopted.append((action, part))

    @property
    def actions_here(self) -> tuple[QAction, ...]:
        """The actions of this place, for the menu and for Ctrl+K."""
        seen = [each for each, part in self._page_adopted if part.isVisible() and each.isVisible()]
        return (*self._page_actions, *seen)

    def failed(self, error: Exception) -> None:
        """Show an error at the top of the page; give it to jobs.read / jobs.write as `failed`."""
        if isinstance(error, Refused):
            self.strip.refuse(error)
            self._page_unread = error.passing
        else:
            self.strip.say("This could not be shown. Nothing was lost.", "Try again with F5.")

    def tell_under(self, text: str) -> None:
        """Say one quiet line under the heading."""
        self.under.setText(text)
        self.under.setVisible(bool(text))

    def refresh(self) -> None:
        """Ask again now."""
        if self._page_unread:
            self.strip.put_away()
        self.stale = self._page_unread = False
        self.ask()

    def showEvent(self, event: QShowEvent) -> None:
        """Ask, if what is shown has become stale while the page was away."""
        super().showEvent(event)
        if self.stale or self._page_unread:
            self.refresh()

    def _page_changed(self, kinds: frozenset[str]) -> None:
        if kinds & self.listens:
            self.stale = True
            if self.isVisible():
                self.refresh()

    def draw_actions(self) -> None:
        """Draw what stands beside the words of its actions; the window asks when it has been painted."""
        for action, drawing in self._page_drawings:
            self._page_draw(action, drawing)

    def _page_draw(self, action: QAction, drawing: str) -> None:
        inks = self.desk.theme.colours
        action.setIcon(icon(drawing, inks.ink, inks.faint))

    def _page_person(self) -> None:
        for action in self._page_edits:
            action.setVisible(self.desk.who.person.may_edit)
        self.stale = True
        if self.isVisible():
            self.refresh()
