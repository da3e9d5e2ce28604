"""The question after a move: what it costs, and whether the card is kept there or put back."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QAccessible, QAccessibleAnnouncementEvent, QKeyEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout

from annual_planner.desktop.widgets import button, label


class Asking(QFrame):
    """Stands above the drawing while a move is only tried. Enter keeps it, Escape puts the card back."""

    kept = Signal()
    put_back = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.setProperty("sheet", True)
        self.setAccessibleName("Keep the card there?")
        self.cost = label("")
        self.cost.setWordWrap(True)
        self.keep_button = button("Keep", self.kept.emit, tip="Hold the card there (Enter)", leading=True)
        self.back_button = button("Put back", self.put_back.emit, tip="The plan as it was (Escape)")
        row = QHBoxLayout(self)
        row.addWidget(self.cost, 1)
        row.addWidget(self.keep_button)
        row.addWidget(self.back_button)
        self.hide()

    def ask(self, said: str) -> None:
        """Ask, with what it costs."""
        self.cost.setText(said)
        self.setAccessibleDescription(said)
        self.show()
        QAccessible.updateAccessibility(QAccessibleAnnouncementEvent(self, said))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter keeps, Escape puts back."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.kept.emit()
        elif event.key() == Qt.Key.Key_Escape:
            self.put_back.emit()
        else:
            super().keyPressEvent(event)
