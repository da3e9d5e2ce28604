"""The measurements of the open card: one row each, its limits beside it, 'out' said while it is typed."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QFrame, QGridLayout, QLabel, QLineEdit, QVBoxLayout

from annual_planner.desktop.annual.in_work.pad import NumberPad
from annual_planner.desktop.fields import FAULT, Line
from annual_planner.desktop.theme import Theme
from annual_planner.desktop.widgets import label
from annual_planner.trade.refused import Refused
from annual_planner.trade.results import read_result

if TYPE_CHECKING:
    from annual_planner.planning.card_in_work import Measure

OUT = "▲ OUT of limits"


class Measures(QFrame):
    """Enter saves a row and goes to the next; an empty field takes the result away."""

    given = Signal(str, str)
    """Title of the measurement, and what was typed."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self.setAccessibleName("Measurements")
        self._theme = theme
        self.lines: dict[str, QLineEdit] = {}
        self.said: dict[str, QLabel] = {}
        self._measures: dict[str, Measure] = {}
        self._may = True
        self.heading = label("Measurements", section=True)
        self._grid = QGridLayout()
        self._grid.setColumnStretch(3, 1)
        self.pad = NumberPad(theme)
        self.pad.typed.connect(self._type)
        self.pad.back.connect(self._take_back)
        self.pad.following.connect(self._next_here)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.heading)
        column.addWidget(self.pad, 0, Qt.AlignmentFlag.AlignLeft)
        column.addLayout(self._grid)
        theme.changed.connect(self._follow_size)
        self._follow_size()

    def _follow_size(self) -> None:
        self.pad.setVisible(self._theme.bench and bool(self.lines))

    def take(self, measures: Sequence[Measure], may: bool) -> None:
        """Show these; what is being typed stays where the same measurement is still asked for."""
        titles = [each.title for each in measures]
        if titles != list(self._measures):
            self._build(measures)
        self._measures = {each.title: each for each in measures}
        self._may = may
        self.setVisible(bool(measures))
        self._follow_size()
        for each in measures:
            line = self.lines[each.title]
            line.setReadOnly(not may)
            if not (line.hasFocus() and line.isModified()):
                line.setText(each.result.typed if each.result is not None else "")
                line.setModified(False)
            self._say(each.title)

    def _build(self, measures: Sequence[Measure]) -> None:
        while (item := self._grid.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        self.lines, self.said = {}, {}
        for row, each in enumerate(measures):
            self._add_row(row, each)

    def _add_row(self, row: int, each: Measure) -> None:
        name, line = label(each.title), Line(8)
        name.setWordWrap(True)
        name.setBuddy(line)
        line.setAccessibleName(each.title)
        line.setToolTip(each.note)
        line.installEventFilter(self)
        line.textEdited.connect(lambda _text, title=each.title: self._say(title))
        line.editingFinished.connect(lambda title=each.title: self._left(title))
        said = label("", faint=True)
        said.setWordWrap(True)
        self.lines[each.title], self.said[each.title] = line, said
        top = Qt.AlignmentFlag.AlignVCenter
        self._grid.addWidget(name, row, 0, top)
        self._grid.addWidget(line, row, 1)
        self._grid.addWidget(label(each.unit, faint=True), row, 2, top)
        self._grid.addWidget(said, row, 3, top)

    # -- saying ----------------------------------------------------------------------------------------

    def verdict(self, title: str) -> str:
        """What is said beside a measurement."""
        return self.said[title].text()

    def _say(self, title: str) -> None:
        each, line = self._measures.get(title), self.lines[title]
        if each is None:
            return
        words, bad = self._judged(each, line.text())
        said = self.said[title]
        said.setText(words)
        line.setAccessibleDescription(words)
        if bool(line.property("fault")) != bad:
            line.setProperty("fault", bad)
            said.setProperty("faint", not bad)
            for part in (line, said):
                part.style().unpolish(part)
                part.style().polish(part)

    def _judged(self, each: Measure, text: str) -> tuple[str, bool]:
        limits = each.limits or "no limits on the card"
        if not text.strip():
            return f"{limits}; not read yet", False
        try:
            reading = read_result(text, each.unit, each.low, each.high).value
        except Refused as refused:
            return f"{FAULT}{refused.said} {refused.remedy}", True
        if reading.within is False:
            return f"{OUT}: {limits}. Ctrl+D writes a discrepancy.", True
        within = "within" if reading.within else "written down"
        value = "" if reading.value is None else f"{reading.value:f} {reading.unit}: ".lstrip()
        return f"{value}{within} ({limits})", False

    # -- keys --------------------------------------------------------------------------------------------

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Enter goes on to the next measurement; leaving the field saves it."""
        pressed = isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress
        if pressed and isinstance(event, QKeyEvent) and event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            title = next((name for name, line in self.lines.items() if line is watched), "")
            self._left(title)
            self._on(title)
            return True
        return super().eventFilter(watched, event)

    def _left(self, title: str) -> None:
        line = self.lines.get(title)
        if line is None or not line.isModified() or not self._may:
            return
        each = self._measures[title]
        kept = each.result.typed if each.result is not None else ""
        line.setModified(False)
        if line.text().strip() == kept:
            return
        if line.text().strip():
            try:
                read_result(line.text(), each.unit, each.low, each.high)
            except Refused:
                return  # said beside the field; what was typed stays
        self.given.emit(title, line.text().strip())

    def _on(self, title: str) -> None:
        titles = list(self.lines)
        place = titles.index(title) + 1
        if place < len(titles):
            self.focus(titles[place])

    def focus(self, title: str = "") -> None:
        """Put the cursor into a measurement; the first one that isn't read where none is named."""
        unread = (name for name, each in self._measures.items() if each.result is None)
        title = title or next(unread, next(iter(self.lines), ""))
        if title:
            self.lines[title].setFocus(Qt.FocusReason.OtherFocusReason)
            self.lines[title].selectAll()

    # -- the pad -------------------------------------------------------------------------------------------

    @property
    def _here(self) -> QLineEdit | None:
        return next((line for line in self.lines.values() if line.hasFocus()), None)

    def _type(self, key: str) -> None:
        if self._here is None:
            self.focus()
        line = self._here
        if line is not None and not line.isReadOnly():
            line.insert(key)
            self._edited(line)

    def _take_back(self) -> None:
        line = self._here
        if line is not None and not line.isReadOnly():
            line.backspace()
            self._edited(line)

    def _edited(self, line: QLineEdit) -> None:
        line.setModified(True)
        self._say(next(title for title, each in self.lines.items() if each is line))

    def _next_here(self) -> None:
        title = next((name for name, line in self.lines.items() if line.hasFocus()), "")
        if not title:
            self.focus()
            return
        self._left(title)
        self._on(title)
