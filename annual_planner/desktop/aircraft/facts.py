"""The line of figures at the head of the place: how it stands, hours, how it is flown, what comes first."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QSizePolicy, QVBoxLayout, QWidget

from annual_planner.desktop.aircraft.seen import Seen
from annual_planner.desktop.columns import day_text, days_from, hours_text
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.listing import sign_icon
from annual_planner.desktop.widgets import label


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
    """A small heading, a value under it, and a quiet line."""

    def __init__(self, name: str) -> None:
        super().__init__()
        self._name = name
        self._value = Elided(number=True)
        self._more = Elided(faint=True)
        self.sign = QLabel()
        self.sign.setAccessibleName(f"{name}, drawn")
        self.sign.hide()
        row = QHBoxLayout()
        row.setSpacing(6)
        row.addWidget(self.sign)
        row.addWidget(self._value, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(1)
        column.addWidget(label(name, faint=True))
        column.addLayout(row)
        column.addWidget(self._more)

    def take(self, value: str, more: str) -> None:
        """Show a value and what goes with it."""
        self._value.setText(value)
        self._more.setText(more)
        self.setToolTip(f"{value}\n{more}")
        self.setAccessibleName(f"{self._name}: {value}. {more}")


class Facts(QFrame):
    """Four figures on one sheet."""

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
        row = QHBoxLayout(self)
        row.setContentsMargins(16, 8, 16, 8)
        row.setSpacing(22)
        for figure, share in ((self.stands, 3), (self.hours, 3), (self.flown, 3), (self.first, 5)):
            row.addWidget(figure, share)
        desk.theme.changed.connect(self._draw)

    def take(self, seen: Seen) -> None:
        """Show one airplane's figures."""
        sheet, first, today = seen.sheet, seen.first, self._desk.today
        self._state = sheet.state
        open_ = len(seen.discrepancies)
        self.stands.take(sheet.state or "nothing required yet", _discrepancies(open_))
        landings = "" if sheet.landings_now is None else f", {sheet.landings_now} landings"
        read = f"read {day_text(sheet.read_on)}{landings}" if sheet.read_on else "no reading yet"
        self.hours.take(hours_text(sheet.hours_now) or "–", read)
        rate = sheet.hours_per_month
        stated = not seen.months and sheet.stated_hours_per_month is not None
        how = "as stated" if stated else f"mean of {len(seen.months)} whole months" if seen.months else ""
        self.flown.take("–" if rate is None else f"{rate:.1f} h a month", how or "too few readings")
        if first is None:
            self.first.take("–", "no requirement yet")
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


def _discrepancies(count: int) -> str:
    return "no open discrepancy" if not count else f"{count} open discrepanc{'y' if count == 1 else 'ies'}"
