"""What was done, and what was flown."""

from __future__ import annotations

from PySide6.QtWidgets import QVBoxLayout, QWidget

from annual_planner.desktop.aircraft.flown import SHOWN_MONTHS, FlownChart, spoken
from annual_planner.desktop.aircraft.lists import DONE, MONTHS, READINGS
from annual_planner.desktop.aircraft.seen import FlownMonth, Seen
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.listing import Listing, Words
from annual_planner.desktop.source import HeldSource
from annual_planner.desktop.split import Split
from annual_planner.desktop.widgets import label
from annual_planner.store.rows import ComplianceLine, ReadingLine

BESIDE_LINES = 48
"""From that width, in lines of text, the months stand beside the readings."""


class Done(QWidget):
    """Every compliance on record, newest first."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self.setAccessibleName("What was done")
        self._held: HeldSource[ComplianceLine] = HeldSource(DONE)
        words = Words(
            "compliances",
            "Nothing is on record yet",
            "When a requirement has been met, choose it under 'What comes due' and record it.",
        )
        self.listing = Listing(desk, "aircraft-done", DONE, self._held, words)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.listing)

    def take(self, seen: Seen) -> None:
        """Show an airplane's compliances."""
        self._held.rows = list(seen.compliances)
        self.listing.ask()


class Flown(QWidget):
    """Readings, and the hours of each month as a drawing and as a table."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self.setAccessibleName("Hours flown")
        self._readings: HeldSource[ReadingLine] = HeldSource(READINGS)
        self._months: HeldSource[FlownMonth] = HeldSource(MONTHS)
        self.listing = Listing(
            desk,
            "aircraft-readings",
            READINGS,
            self._readings,
            Words("readings", "No reading yet", "Record what the meter shows; forecasts follow from it."),
        )
        self.months = Listing(
            desk,
            "aircraft-months",
            MONTHS,
            self._months,
            Words("months", "No whole month yet", "Two readings a month apart give the first one."),
        )
        self._theme = desk.theme
        self.chart = FlownChart(desk.theme)
        self.said = label("", faint=True)
        self.said.setWordWrap(True)
        self._lay_out()

    def _lay_out(self) -> None:
        right = QWidget()
        right.setAccessibleName("Hours flown each month")
        column = QVBoxLayout(right)
        column.setContentsMargins(8, 8, 0, 0)
        column.addWidget(self.said)
        column.addWidget(self.chart, 2)
        column.addWidget(self.months, 3)
        split = Split(
            self._theme, "Readings, and hours of each month", self.listing, right, beside=BESIDE_LINES
        )
        split.share(5, 6)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(split)

    def take(self, seen: Seen) -> None:
        """Show an airplane's readings and months."""
        self._readings.rows = list(seen.readings)
        self._months.rows = list(reversed(seen.months))
        self.chart.take(seen.months)
        self.chart.setVisible(bool(seen.months))
        self.said.setText(spoken(seen.months[-SHOWN_MONTHS:]))
        self.listing.ask()
        self.months.ask()
