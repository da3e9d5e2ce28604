"""The line of figures at the head of the place: how it stands, hours, how it is flown, what comes first."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QFrame, QGridLayout, QHBoxLayout, QLabel, QSizePolicy, QWidget

from annual_planner.desktop.aircraft.seen import Seen
from annual_planner.desktop.columns import day_text, days_from, hours_text
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.listing import sign_icon
from annual_planner.desktop.widgets import label

NONE = "–"
BETWEEN_PX = 22


class Elided(QLabel):
    """Text that ends in … where there is less room than it needs."""

    def __init__(self, **marks: bool) -> None:
        super().__init__()
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        for mark, on in marks.items():
            self.setProperty(mark, on)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw as much as fits."""
        painter = QPainter(self)
        room = self.contentsRect()
        text = self.fontMetrics().elidedText(self.text(), Qt.TextElideMode.ElideRight, room.width())
        painter.setPen(self.palette().color(self.foregroundRole()))
        painter.drawText(room, int(Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft), text)
        painter.end()


class Figure(QWidget):
    """A small heading, a value under it, and a quiet line; or all of it in a row of words that wrap."""

    def __init__(self, name: str) -> None:
        super().__init__()
        self._name = name
        self.heading = label(name, faint=True)
        self._value = Elided(number=True)
        self._more = Elided(faint=True)
        self._words = label("")
        self._words.setWordWrap(True)
        self.sign = QLabel()
        self.sign.setAccessibleName(f"{name}, drawn")
        self.sign.hide()
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(6)
        self._grid.setVerticalSpacing(1)
        self._said = QWidget()
        row = self._row = QHBoxLayout(self._said)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(6)
        row.addWidget(self.sign)
        row.addWidget(self._value, 1)
        row.addWidget(self._words, 1)
        self.stand(heading_width=0)

    def take(self, value: str, more: str) -> None:
        """Show a value and what goes with it."""
        self._value.setText(value)
        self._more.setText(more)
        self._words.setText(f"{value}, {more}" if value != NONE else more)
        self.setToolTip(f"{value}\n{more}")
        self.setAccessibleName(f"{self._name}: {value}. {more}")

    @property
    def needed(self) -> int:
        """Width in pixels at which none of its words is cut."""
        sign = 0 if self.sign.isHidden() else self.sign.sizeHint().width() + 6
        widths = (part.fontMetrics().horizontalAdvance(part.text()) for part in (self.heading, self._more))
        return max(sign + self._value.fontMetrics().horizontalAdvance(self._value.text()), *widths) + 2

    def stand(self, *, heading_width: int) -> None:
        """Stand upright (0), or as a row of words beside a heading of that width."""
        flat = heading_width > 0
        for part in (self.heading, self._said, self._more):
            self._grid.removeWidget(part)
        self.heading.setMinimumWidth(heading_width)
        self._row.setAlignment(
            self.sign, Qt.AlignmentFlag.AlignTop if flat else Qt.AlignmentFlag.AlignVCenter
        )
        if flat:
            self._grid.addWidget(self.heading, 0, 0, Qt.AlignmentFlag.AlignTop)
            self._grid.addWidget(self._said, 0, 1)
        else:
            self._grid.addWidget(self.heading, 0, 0, 1, 2)
            self._grid.addWidget(self._said, 1, 0, 1, 2)
            self._grid.addWidget(self._more, 2, 0, 1, 2)
        self._grid.setColumnStretch(1, 1)
        self._words.setVisible(flat)
        for part in (self._value, self._more):
            part.setVisible(not flat)


class Facts(QFrame):
    """Four figures on one sheet: side by side, or in rows where their words would be cut."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self.setProperty("sheet", True)
        self.setAccessibleName("Standing and times")
        self._desk = desk
        self._state = ""
        self.stands = Figure("Standing")
        self.hours = Figure("Airframe hours")
        self.flown = Figure("Flown")
        self.first = Figure("Comes first")
        self._figures = (self.stands, self.hours, self.flown, self.first)
        self._row = QBoxLayout(QBoxLayout.Direction.LeftToRight, self)
        self._row.setContentsMargins(16, 8, 16, 8)
        self._row.setSpacing(BETWEEN_PX)
        for figure, share in zip(self._figures, (3, 3, 3, 5), strict=True):
            self._row.addWidget(figure, share)
        desk.theme.changed.connect(self._draw)

    def minimumSizeHint(self) -> QSize:
        """As narrow as the window may be: then it stands in rows."""
        return QSize(0, super().minimumSizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Stand as the width allows."""
        super().resizeEvent(event)
        self._arrange()

    def changeEvent(self, event: QEvent) -> None:
        """Stand as the size of the text allows."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._arrange()

    def _arrange(self) -> None:
        needed = [figure.needed for figure in self._figures]
        flat = sum(needed) + BETWEEN_PX * 3 + 32 > self.width()
        heading = max(figure.heading.sizeHint().width() for figure in self._figures) + 8 if flat else 0
        way = QBoxLayout.Direction.TopToBottom if flat else QBoxLayout.Direction.LeftToRight
        self._row.setDirection(way)
        self._row.setSpacing(1 if flat else BETWEEN_PX)
        for figure, width in zip(self._figures, needed, strict=True):
            figure.stand(heading_width=heading)
            figure.setMinimumWidth(0 if flat else width)

    def take(self, seen: Seen) -> None:
        """Show one airplane's figures."""
        sheet, first, today = seen.sheet, seen.first, self._desk.today
        self._state = sheet.state
        open_ = len(seen.discrepancies)
        self.stands.take(sheet.state or "nothing required yet", _discrepancies(open_))
        landings = "" if sheet.landings_now is None else f", {sheet.landings_now} landings"
        read = f"read {day_text(sheet.read_on)}{landings}" if sheet.read_on else "no reading yet"
        self.hours.take(hours_text(sheet.hours_now) or NONE, read)
        rate = sheet.hours_per_month
        stated = not seen.months and sheet.stated_hours_per_month is not None
        how = "as stated" if stated else f"mean of {len(seen.months)} whole months" if seen.months else ""
        self.flown.take(NONE if rate is None else f"{rate:.1f} h a month", how or "too few readings")
        if first is None:
            self.first.take(NONE, "no requirement yet")
        else:
            on = first.comes_first_on
            when = f"{day_text(on)}, {days_from(today, on)}" if on else "no date: never done"
            self.first.take(first.title, when)
        self._draw()

    def _draw(self) -> None:
        side = self._desk.theme.sizes.of(1.1)
        self.stands.sign.setVisible(bool(self._state))
        if self._state:
            pixmap = sign_icon(self._state, side, self._desk).pixmap(QSize(side, side))
            self.stands.sign.setPixmap(pixmap)
        self._arrange()


def _discrepancies(count: int) -> str:
    return "no open discrepancy" if not count else f"{count} open discrepanc{'y' if count == 1 else 'ies'}"
