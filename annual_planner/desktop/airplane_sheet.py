"""The summary of one airplane beside the fleet list."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFormLayout, QFrame, QHBoxLayout, QLabel, QVBoxLayout

from annual_planner.desktop.columns import day_text, days_from, hours_text
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.listing import sign_icon
from annual_planner.desktop.widgets import button, label, line, scrolled

if TYPE_CHECKING:
    from annual_planner.store.rows import FleetLine

LINES = (
    "Comes first", "Expected", "Annual due", "Overdue", "Due soon", "Hours now", "Meter read", "Flies",
    "Owner", "Base", "Visit",
)  # fmt: skip


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
        self._sign = QLabel()
        self._sign.setAccessibleName("Sign of standing")
        self.standing = label("", section=True)
        self._values: dict[str, QLabel] = {}
        self._open = button("Open airplane", self.wants_open.emit)
        self._plan = button("Plan annual", self.wants_plan.emit, leading=True)
        self._why = button("Why?", self.wants_why.emit, tip="Show how this was worked out (F4)", quiet=True)
        self._lay_out()
        desk.theme.changed.connect(self._draw)
        desk.who.changed.connect(self._draw)
        self.show_line(None)

    def _lay_out(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(14, 12, 14, 12)
        column.addWidget(self.registration)
        column.addWidget(self.type)
        column.addWidget(line())
        row = QHBoxLayout()
        row.addWidget(self._sign)
        row.addWidget(self.standing, 1)
        row.addWidget(self._why)
        column.addLayout(row)
        form = QFormLayout()
        form.setLabelAlignment(Qt.AlignmentFlag.AlignLeft)
        form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)
        form.setHorizontalSpacing(12)
        for name in LINES:
            value = label("")
            value.setWordWrap(True)
            value.setAccessibleName(name)
            value.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
            self._values[name] = value
            form.addRow(label(name, faint=True), value)
        column.addWidget(scrolled(form, "Particulars"), 1)
        column.addWidget(self._plan)
        column.addWidget(self._open)

    def show_line(self, shown: FleetLine | None) -> None:
        """Show that airplane; None: say that none is chosen."""
        self._line = shown
        self._draw()

    def _draw(self) -> None:
        shown, sizes = self._line, self._desk.theme.sizes
        self.setMinimumWidth(sizes.of(15))
        self.setMaximumWidth(sizes.of(22))
        some = shown is not None
        for part in (self._open, self._plan, self._why):
            part.setEnabled(some)
        self._plan.setVisible(self._desk.who.person.may_edit)
        self.registration.setText(shown.registration if shown else "No airplane chosen")
        self.type.setText(f"{shown.maker} {shown.model}" if shown else "Choose one in the list.")
        self.standing.setText(shown.state if shown else "")
        self._sign.setPixmap(
            sign_icon(shown.state, sizes.of(0.9), self._desk).pixmap(sizes.of(0.9))
            if shown
            else self._sign.pixmap()
        )
        self._sign.setVisible(some)
        for name, text in self._texts(shown).items():
            self._values[name].setText(text)
        if shown is not None and shown.open_package_id is not None:
            self._plan.setText("Open the planned annual")
        else:
            self._plan.setText("Plan annual")
        self._plan.setAccessibleName(self._plan.text())

    def _texts(self, shown: FleetLine | None) -> dict[str, str]:
        if shown is None:
            return dict.fromkeys(LINES, "")
        today = self._desk.today
        far = days_from(today, shown.comes_first_on)
        return {
            "Comes first": shown.first_title or "nothing",
            "Expected": f"{day_text(shown.comes_first_on)} ({far})" if far else "no forecast",
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


def _flies(shown: FleetLine) -> str:
    if shown.hours_per_month is None:
        return "not known"
    return f"{hours_text(shown.hours_per_month)} h a month"
