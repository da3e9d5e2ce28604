"""The summary of one airplane beside the fleet list."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QVBoxLayout, QWidget

from annual_planner.desktop.columns import day_text, days_from, hours_text
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.listing import sign_icon
from annual_planner.desktop.widgets import button, label, line, scrolled

if TYPE_CHECKING:
    from datetime import date

    from annual_planner.store.rows import FleetLine

LINES = (
    "Comes first", "Expected", "Annual due", "Overdue", "Due soon", "Hours now", "Meter read", "Flies",
    "Owner", "Base", "Visit",
)  # fmt: skip


UNBROKEN = "\N{NO-BREAK SPACE}"


class AirplaneSummary(QFrame):
    """Particulars and standing at a glance, with the next steps."""

    wants_open = Signal()
    wants_plan = Signal()
    wants_why = Signal()

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self._line: FleetLine | None = None
        self.setProperty("sheet", True)
        self.setAccessibleName("Chosen airplane")
        self.registration = label("", heading=True)
        self.type = label("", faint=True)
        self.type.setWordWrap(True)
        self._details: _Details | None = None
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(14, 12, 14, 12)
        self._column.addWidget(self.registration)
        self._column.addWidget(self.type)
        self._column.addStretch(0)
        desk.theme.changed.connect(self._draw)
        desk.who.changed.connect(self._draw)
        self._draw()

    def show_line(self, shown: FleetLine | None) -> None:
        """Show that airplane; None: say that none is chosen."""
        self._line = shown
        self._draw()

    def _draw(self) -> None:
        shown, sizes = self._line, self._desk.theme.sizes
        self.setMinimumWidth(sizes.of(15))
        self.setMaximumWidth(sizes.of(22))
        self.registration.setText(shown.registration if shown else "No airplane chosen")
        self.type.setText(f"{shown.maker} {shown.model}" if shown else "Choose one in the list.")
        if shown is not None:
            self._shown_details().take(shown, self._texts(shown))
        if self._details is not None:
            self._details.setVisible(shown is not None)
        self._column.setStretch(2, 0 if shown is not None else 1)

    def _shown_details(self) -> _Details:
        """What is told of an airplane, made when there is the first one to tell of."""
        if self._details is None:
            self._details = _Details(self._desk, self)
            self._column.addWidget(self._details, 1)
        return self._details

    def _texts(self, shown: FleetLine) -> dict[str, str]:
        today = self._desk.today
        far = days_from(today, shown.comes_first_on)
        return {
            "Comes first": shown.first_title or "nothing",
            "Expected": _when(shown.comes_first_on, far) if far else "no forecast",
            "Annual due": day_text(shown.annual_due_on) or "no annual on record",
            "Overdue": str(shown.overdue),
            "Due soon": str(shown.due_soon),
            "Hours now": f"{hours_text(shown.hours_now)} h" if shown.hours_now is not None else "no reading",
            "Meter read": day_text(shown.read_on) or "never",
            "Flies": _flies(shown),
            "Owner": shown.owner or "not named",
            "Base": shown.base or "not named",
            "Visit": "being planned" if shown.open_package_id is not None else "none planned",
        }


class _Details(QWidget):
    """Standing, particulars and the next steps."""

    def __init__(self, desk: Desk, of: AirplaneSummary) -> None:
        super().__init__()
        self._desk = desk
        self._sign = QLabel()
        self._sign.setAccessibleName("Sign of standing")
        self._standing = label("", section=True)
        self._values: dict[str, QLabel] = {}
        self._open = button("Open airplane", of.wants_open.emit, tip="All that is known of it (Enter)")
        self._plan = button("Plan annual", of.wants_plan.emit, tip="Go to its annual (Ctrl+P)")
        self._why = button("Why?", of.wants_why.emit, tip="Show how this was worked out (F4)", quiet=True)
        self._lay_out()

    def _lay_out(self) -> None:
        from PySide6.QtWidgets import QGridLayout  # a QFormLayout cuts words that wrap anew

        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(line())
        row = QHBoxLayout()
        row.addWidget(self._sign)
        row.addWidget(self._standing, 1)
        row.addWidget(self._why)
        column.addLayout(row)
        rows = QGridLayout()
        rows.setHorizontalSpacing(12)
        rows.setColumnStretch(1, 1)
        for place, name in enumerate(LINES):
            value = label("")
            value.setWordWrap(True)
            value.setAccessibleName(name)
            value.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
            self._values[name] = value
            named = label(name, faint=True)
            named.setAlignment(Qt.AlignmentFlag.AlignTop)
            rows.addWidget(named, place, 0)
            rows.addWidget(value, place, 1)
        column.addWidget(scrolled(rows, "Particulars"), 1)
        column.addWidget(self._plan)
        column.addWidget(self._open)

    def take(self, shown: FleetLine, texts: dict[str, str]) -> None:
        """Show an airplane."""
        size = self._desk.theme.sizes.of(0.9)
        self._standing.setText(shown.state)
        self._sign.setPixmap(sign_icon(shown.state, size, self._desk).pixmap(size))
        for name, text in texts.items():
            self._values[name].setText(text)
        planned, owner = shown.open_package_id is not None, not self._desk.who.person.may_edit
        plan = "Open the planned annual" if planned else "Plan annual"
        self._plan.setText("What to prepare" if owner else plan)
        self._plan.setAccessibleName(self._plan.text())
        self._plan.setVisible(planned or not owner)


def _when(day: date | None, far: str) -> str:
    """A day and how far away it is, which stays whole on its line."""
    return f"{day_text(day)} ({far.replace(' ', UNBROKEN)})"


def _flies(shown: FleetLine) -> str:
    if shown.hours_per_month is None:
        return "not known"
    return f"{hours_text(shown.hours_per_month)} h a month"
