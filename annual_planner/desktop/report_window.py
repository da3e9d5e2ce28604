"""A fault of the program, shown as text that can be read first and copied then."""

from __future__ import annotations

import platform

from PySide6.QtCore import qVersion
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QDialog, QHBoxLayout, QPlainTextEdit, QVBoxLayout, QWidget

from annual_planner.desktop.widgets import button, label


class ReportWindow(QDialog):
    """Nothing is sent anywhere: the text is for the person to copy."""

    def __init__(self, report: str, parent: QWidget) -> None:
        super().__init__(parent)
        self.setWindowTitle("Report")
        self.setAccessibleName("Report")
        machine = f"Python {platform.python_version()}, Qt {qVersion()}, {platform.system()}"
        self._text = QPlainTextEdit(f"{machine}\n\n{report}")
        self._text.setReadOnly(True)
        self._text.setAccessibleName("Text of the report")
        said = label(
            "Nothing was lost and nothing is sent. Copy this text for whoever looks after the program."
        )
        said.setWordWrap(True)
        row = QHBoxLayout()
        row.addStretch(1)
        row.addWidget(button("Copy the text", self._copy, leading=True))
        row.addWidget(button("Close", self.accept))
        column = QVBoxLayout(self)
        column.addWidget(said)
        column.addWidget(self._text, 1)
        column.addLayout(row)
        line = self.fontMetrics().height()
        self.resize(line * 44, line * 26)

    def _copy(self) -> None:
        QGuiApplication.clipboard().setText(self._text.toPlainText())
