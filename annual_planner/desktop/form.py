"""A form on a sheet: fields with their messages beside them, one verb, and a way out."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QEvent, QObject, QSize, Qt
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import (
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QScrollArea,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from annual_planner.desktop.fields import Field, TextField, TicksField
from annual_planner.desktop.least_height import LeastHeight
from annual_planner.desktop.widgets import button, label
from annual_planner.trade.refused import Refused

Values = dict[str, Any]

BESIDE_LINES = 38
"""From that width, in lines of text, messages stand beside their fields."""
MARGINS_PX = 60


class Form(QFrame):
    """Fields in rows: name, what is filled in, and beside it what is wrong or what was understood.

    Enter does what the button says, Escape leaves; nothing typed is lost by an error. Where the form is
    narrow, and with `below` in any case, messages stand under their fields.
    """

    def __init__(
        self,
        title: str,
        verb: str = "",
        done: Callable[[Values], object] | None = None,
        leave: Callable[[], object] | None = None,
        says: str = "",
        *,
        below: bool = False,
    ) -> None:
        super().__init__()
        self._always_below = self._below = below
        self.setProperty("sheet", True)
        self.setAccessibleName(title)
        self.fields: dict[str, Field] = {}
        self._done = done
        self._leave = leave
        self._row = 0
        self._rows: dict[str, int] = {}
        self.title = label(title, section=True)
        self.summary = label("")
        self.summary.setWordWrap(True)
        self.summary.hide()
        self._grid = QGridLayout()
        self._grid.setColumnStretch(2, 1)
        self._grid.setHorizontalSpacing(12)
        self._grid.setVerticalSpacing(6)
        self.submit_button = button(verb or "Save", self.submit, leading=True)
        self._lay_out(says, verb)
        LeastHeight(self)

    def _lay_out(self, says: str, verb: str) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(16, 10, 16, 12)
        column.addWidget(self.title)
        if says:
            text = label(says, faint=True)
            text.setWordWrap(True)
            column.addWidget(text)
        column.addLayout(self._grid)
        column.addWidget(self.summary)
        if verb:
            row = QHBoxLayout()
            row.addWidget(self.submit_button)
            if self._leave is not None:
                row.addWidget(button("Cancel", self._leave))
            row.addStretch(1)
            column.addLayout(row)
        column.addStretch(1)

    def section(self, title: str) -> QLabel:
        """Start a group of fields under a heading."""
        heading = label(title, section=True)
        heading.setContentsMargins(0, 8, 0, 0)
        self._grid.addWidget(heading, self._row, 0, 1, 3)
        self._row += 1
        return heading

    def add(self, field: Field) -> Field:
        """Add a field as the next row; a field of many ticks takes the width."""
        self.fields[field.key] = field
        top = Qt.AlignmentFlag.AlignTop
        if isinstance(field, TicksField):
            field.name.setContentsMargins(0, 4, 0, 0)
            if field.words:
                self._grid.addWidget(field.name, self._row, 0, top)
            first = 1 if field.words else 0
            self._grid.addWidget(field.editor, self._row, first, 1, 3 - first)
            self._row += 1
            self._grid.addWidget(field.message, self._row, 1, 1, 2)
            field.message.setVisible(bool(field.hint))
        else:
            self._grid.addWidget(field.name, self._row, 0, Qt.AlignmentFlag.AlignVCenter)
            # A line is as long as what is typed there; it must not hold its column back.
            line = Qt.AlignmentFlag.AlignLeft if isinstance(field, TextField) else Qt.AlignmentFlag(0)
            self._grid.addWidget(field.editor, self._row, 1, line)
            self._place_message(field)
        self._row += 1
        return field

    def _place_message(self, field: Field) -> None:
        self._rows[field.key] = self._row
        self._put_message(field)
        self._row += 1  # its row below; without anything in it, it takes no height

    def _put_message(self, field: Field) -> None:
        row = self._rows[field.key]
        self._grid.removeWidget(field.message)
        if self._below:
            self._grid.addWidget(field.message, row + 1, 1, 1, 2)
        else:
            self._grid.addWidget(field.message, row, 2)
        field.quiet_when_empty(self._below)

    def minimumSizeHint(self) -> QSize:
        """As narrow as it is with its messages under their fields."""
        usual = super().minimumSizeHint()
        names = [field.name.minimumSizeHint().width() for field in self.fields.values()]
        editors = [field.editor.minimumSizeHint().width() for field in self.fields.values()]
        least = max(names, default=0) + max(editors, default=0) + MARGINS_PX
        return QSize(min(usual.width(), least), usual.height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Put the messages where there is room for them."""
        super().resizeEvent(event)
        below = self._always_below or event.size().width() < self.fontMetrics().height() * BESIDE_LINES
        if below != self._below:
            self._below = below
            for key in self._rows:
                self._put_message(self.fields[key])

    def warn(self, cautions: QLabel) -> None:
        """Put cautions under the heading, above every field."""
        column = self.layout()
        assert isinstance(column, QVBoxLayout), "made by this form"
        column.insertWidget(column.indexOf(self.summary) - 1, cautions)

    def add_widget(self, widget: QWidget) -> None:
        """Add something of its own across the form."""
        self._grid.addWidget(widget, self._row, 0, 1, 3)
        self._row += 1

    def put(self, values: Values) -> None:
        """Show these values."""
        for key, value in values.items():
            self.fields[key].put(value)

    def start(self) -> None:
        """Put the cursor in the first field."""
        first = next(iter(self.fields.values()), None)
        if first is not None:
            first.editor.setFocus(Qt.FocusReason.OtherFocusReason)
            if isinstance(first, TextField):
                first.line.selectAll()

    def clear_faults(self) -> None:
        """Take every complaint away."""
        self.summary.hide()
        for field in self.fields.values():
            field.say(field.hint)

    def values(self) -> Values | None:
        """Every value, or None after saying beside each field what is wrong with it."""
        shown = [field for field in self.fields.values() if not field.editor.isHidden()]
        wrong = [field for field in shown if not field.check()]
        if wrong:
            names = ", ".join(field.words for field in wrong)
            many = "One field needs" if len(wrong) == 1 else f"{len(wrong)} fields need"
            self.tell(f"{many} another look: {names}.")
            wrong[0].editor.setFocus(Qt.FocusReason.OtherFocusReason)
            return None
        self.summary.hide()
        return {field.key: field.value() for field in shown}

    def tell(self, said: str) -> None:
        """Say something about the whole form above its button."""
        self.summary.setText(said)
        self.setAccessibleDescription(said)
        self.summary.show()

    def submit(self) -> None:
        """Check every field; when all are right, hand the values over."""
        values = self.values()
        if values is not None and self._done is not None:
            self._done(values)

    def failed(self, error: Exception) -> None:
        """Say on the form why what it asked for was refused."""
        if isinstance(error, Refused):
            self.tell(f"▲ {error.said} {error.remedy}".strip())
        else:
            self.tell("▲ This could not be saved. What you typed is still here. Try again.")

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter does what the button says; Escape leaves."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self._done is not None:
            self.submit()
        elif event.key() == Qt.Key.Key_Escape and self._leave is not None:
            self._leave()
        else:
            super().keyPressEvent(event)


class Scrolled(QScrollArea):
    """Something tall that scrolls up and down; `snug`: takes no more height than it needs.

    `kept`: nor less, for one that stands in something that scrolls.
    """

    def __init__(self, inner: QWidget, *, snug: bool = False, kept: bool = False) -> None:
        super().__init__()
        self._kept = kept
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAsNeeded)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setAccessibleName(inner.accessibleName())
        self.viewport().setAutoFillBackground(False)
        self.setWidget(inner)
        inner.setAutoFillBackground(False)
        self._snug = snug
        if snug:
            self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Maximum)
            inner.installEventFilter(self)

    def keep_whole(self, whole: bool) -> None:
        """Take all the height that is needed inside, and let what is around scroll; or scroll itself."""
        if whole != self._kept:
            self._kept = whole
            self.updateGeometry()

    def sizeHint(self) -> QSize:
        """As high as what is inside, when snug or kept."""
        inner, usual = self.widget(), super().sizeHint()
        if not (self._snug or self._kept) or inner is None:
            return usual
        # As high as it is beside a bar: else one that came while it grew would wrap its words and so stay.
        bar = self.verticalScrollBar().sizeHint().width()
        wide = self.width() - bar if self.isVisible() else usual.width()
        layout = inner.layout()
        high = layout.totalHeightForWidth(wide) if layout is not None else inner.sizeHint().height()
        return QSize(usual.width(), max(high, inner.minimumSizeHint().height()) + 2)

    def minimumSizeHint(self) -> QSize:
        """All of its height, when that is kept."""
        usual = super().minimumSizeHint()
        return QSize(usual.width(), self.sizeHint().height()) if self._kept else usual

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Narrower may mean higher."""
        super().resizeEvent(event)
        if (self._snug or self._kept) and event.size().width() != event.oldSize().width():
            self.updateGeometry()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Follow what is inside when it grows."""
        if event.type() == QEvent.Type.LayoutRequest:
            self.updateGeometry()
        return super().eventFilter(watched, event)
