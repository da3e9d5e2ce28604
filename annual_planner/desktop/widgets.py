"""Small parts that every page is put together from."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QRect, QSize, Qt, Signal
from PySide6.QtGui import QAction, QResizeEvent
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QLayout,
    QPushButton,
    QScrollArea,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from annual_planner.trade.refused import Refused


def label(text: str, **marks: bool) -> QLabel:
    """Text with marks the style sheet knows: heading, section, faint, number."""
    made = QLabel(text)
    made.setTextFormat(Qt.TextFormat.PlainText)
    for mark, on in marks.items():
        made.setProperty(mark, on)
    return made


def button(text: str, pressed: Callable[[], object], *, tip: str = "", **marks: bool) -> QPushButton:
    """A push button that says the verb; marks: leading, quiet, chip."""
    made = QPushButton(text)
    made.setAccessibleName(text.replace("&", ""))
    made.setToolTip(tip)
    made.clicked.connect(lambda: pressed())
    for mark, on in marks.items():
        made.setProperty(mark, on)
    return made


def show_in_place(part: QWidget, *, on: bool) -> None:
    """Show or hide a part. One without a place yet is left alone: it would become a window."""
    if part.parent() is not None or not on:
        part.setVisible(on)


def lead(part: QPushButton, *, on: bool) -> None:
    """Let a button stand out as the next step, or no longer."""
    if bool(part.property("leading")) != on:
        part.setProperty("leading", on)
        part.style().unpolish(part)
        part.style().polish(part)


class ActionButton(QPushButton):
    """A button for an action: same words, same key, same moment of being allowed."""

    def __init__(self, action: QAction, *, leading: bool = False) -> None:
        super().__init__()
        self._action = action
        self.setProperty("leading", leading)
        self.clicked.connect(action.trigger)
        action.changed.connect(self._follow)
        self._follow()

    def _follow(self) -> None:
        action = self._action
        words = action.text().replace("&", "").rstrip("…")
        drawn = not self.property("leading") and not action.icon().isNull()
        self.setText((" " if drawn else "") + action.text().rstrip("…"))
        self.setAccessibleName(words)
        if drawn:
            self.setIcon(action.icon())
        self.setToolTip(action.toolTip())
        self.setEnabled(action.isEnabled())
        self.follow_sight()

    def follow_sight(self) -> None:
        """Be there while the action is offered."""
        show_in_place(self, on=self._action.isVisible())


def line() -> QFrame:
    """A hairline across."""
    made = QFrame()
    made.setProperty("line", True)
    made.setFixedHeight(1)
    return made


def scrolled(content: QLayout, name: str) -> QScrollArea:
    """A layout that scrolls when there is less room than it needs."""
    inner = QWidget()
    inner.setObjectName("scrolled")
    inner.setAccessibleName(name)
    column = QVBoxLayout(inner)
    column.setContentsMargins(0, 0, 0, 0)
    column.addLayout(content)
    column.addStretch(1)
    area = QScrollArea()
    area.setAccessibleName(name)
    area.setWidgetResizable(True)
    area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    area.setWidget(inner)
    return area


class Strip(QFrame):
    """A calm message beside its cause: what happened and what to do. Escape or Close puts it away."""

    closed = Signal()
    let_go = Signal()
    """It was put away while the keys acted on it: somebody else has to take them."""

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("strip")
        self.setAccessibleName("Message")
        self._said = label("", section=True)
        self._remedy = label("")
        self._more = button("Report", self._tell, tip="See what happened, to copy it", quiet=True)
        self._report: Callable[[], None] | None = None
        self._about = ""
        self._set_up = button(
            "Set up the shop", self._open_set_up, tip="Write down what is missing", quiet=True
        )
        for text in (self._said, self._remedy):
            text.setWordWrap(True)
            text.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
            text.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        texts = QVBoxLayout()
        texts.addWidget(self._said)
        texts.addWidget(self._remedy)
        row = QHBoxLayout(self)
        row.addLayout(texts, 1)
        for each in (self._set_up, self._more):
            row.addWidget(each, 0, Qt.AlignmentFlag.AlignTop)
        close = button("Close", self.put_away, tip="Put the message away (Esc)", quiet=True)
        row.addWidget(close, 0, Qt.AlignmentFlag.AlignTop)
        self.hide()

    def refuse(self, refused: Refused) -> None:
        """Say why an input wasn't taken."""
        self.say(refused.said, refused.remedy, about=refused.about)

    def say(
        self, said: str, remedy: str = "", report: Callable[[], None] | None = None, *, about: str = ""
    ) -> None:
        """Show a message; with `report`, a button that opens it; with `about`, one to what it is about."""
        self._said.setText(said)
        self._remedy.setText(remedy)
        self._remedy.setVisible(bool(remedy))
        self._report = report
        self._more.setVisible(report is not None)
        self._about = about
        self._set_up.setVisible(self._action() is not None)
        self.setAccessibleDescription(f"{said} {remedy}".strip())
        self.show()

    @property
    def text(self) -> str:
        """What stands on it, empty when it is put away."""
        return f"{self._said.text()} {self._remedy.text()}".strip() if not self.isHidden() else ""

    def put_away(self) -> None:
        """Hide the message."""
        held = self.window().focusWidget()
        had_keys = held is not None and self.isAncestorOf(held)
        self.hide()
        self.closed.emit()
        if had_keys:
            self.let_go.emit()

    def _action(self) -> QAction | None:
        """The window's action that opens what has to be set up first."""
        return self.window().findChild(QAction, self._about) if self._about else None

    def _open_set_up(self) -> None:
        action = self._action()
        if action is not None:
            action.trigger()

    def _tell(self) -> None:
        if self._report is not None:
            self._report()


TALLEST = 10_000
"""Pixels; no text of a few sentences is as high."""


class Blank(QWidget):
    """What stands where a list would: loading, empty or failed, why, and the one thing to do next."""

    def __init__(self) -> None:
        super().__init__()
        self.setAccessibleName("Nothing to show")
        self._title = label("", section=True)
        self._why = label("", faint=True)
        for text in (self._title, self._why):
            text.setWordWrap(True)
            text.setAlignment(Qt.AlignmentFlag.AlignHCenter)
        self.next = button("Next", self._go, leading=True)
        """The one thing to do; hidden where there is none."""
        self._action: Callable[[], object] | None = None
        column = QVBoxLayout(self)
        column.addStretch(2)
        column.addWidget(self._title)
        for part in (self._why, self.next):
            column.addWidget(part, 0, Qt.AlignmentFlag.AlignHCenter)
        column.addStretch(3)

    def minimumSizeHint(self) -> QSize:
        """As wide as its button: its words wrap."""
        return QSize(self.next.sizeHint().width() + 24, super().minimumSizeHint().height())

    def show_state(
        self, title: str, why: str = "", verb: str = "", action: Callable[[], object] | None = None
    ) -> None:
        """Say what is the case; with a verb, offer the next step."""
        self._title.setText(title)
        self._why.setText(why)
        self._why.setVisible(bool(why))
        self._fit_why()
        self.next.setText(verb or "Next")
        self.next.setAccessibleName(verb or "Next")
        self.next.setVisible(bool(verb))
        self._action = action
        self.setAccessibleDescription(f"{title}. {why}")

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the reason readable: at most some 60 letters wide, as high as it needs."""
        super().resizeEvent(event)
        self._fit_why()

    def _fit_why(self) -> None:
        if not self._why.text():
            return
        letter = self._why.fontMetrics().averageCharWidth()
        width = min(max(100, self.width() - 40), letter * 64)
        height = self._height_of_why(width)
        while width > 100 and self._height_of_why(width - letter) == height:
            width -= letter  # as narrow as the same lines allow, so that none holds a word alone
        self._why.setFixedSize(width, max(1, height))

    def _height_of_why(self, width: int) -> int:
        box = QRect(0, 0, width, TALLEST)
        return self._why.fontMetrics().boundingRect(box, Qt.TextFlag.TextWordWrap, self._why.text()).height()

    def _go(self) -> None:
        if self._action is not None:
            self._action()
