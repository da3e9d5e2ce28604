"""Help: one bundled page for each place, searchable, offline."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QTextDocument
from PySide6.QtWidgets import (
    QDialog,
    QHBoxLayout,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QTextBrowser,
    QVBoxLayout,
    QWidget,
)

from annual_planner.desktop.resource import resource_text

PAGES = (
    "fleet",
    "aircraft",
    "annual",
    "plugs",
    "history",
    "discrepancies",
    "weeks",
    "records",
    "library",
    "shop",
    "window",
    "working",
    "keys",
    "limits",
)


class HelpWindow(QDialog):
    """Stays open beside the work; Escape closes it."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setWindowTitle("Help")
        self.setAccessibleName("Help")
        self.search = QLineEdit()
        self.search.setPlaceholderText("Search the help")
        self.search.setAccessibleName("Search the help")
        self.pages = QListWidget()
        self.pages.setAccessibleName("Help pages")
        self.text = QTextBrowser()
        self.text.setAccessibleName("Help text")
        self.text.setOpenExternalLinks(False)
        self._fill("")
        self._lay_out()
        self.search.textChanged.connect(self._fill)
        self.pages.currentItemChanged.connect(self._show)
        self._show(self.pages.currentItem())

    def _lay_out(self) -> None:
        left = QVBoxLayout()
        left.addWidget(self.search)
        left.addWidget(self.pages, 1)
        row = QHBoxLayout(self)
        row.addLayout(left, 1)
        row.addWidget(self.text, 3)
        line = self.fontMetrics().height()
        self.resize(line * 50, line * 34)

    def show_page(self, name: str) -> None:
        """Show that page, and the window."""
        self.search.clear()
        for place in range(self.pages.count()):
            if self.pages.item(place).data(Qt.ItemDataRole.UserRole) == name:
                self.pages.setCurrentRow(place)
        self.show()
        self.raise_()

    def _fill(self, words: str) -> None:
        self.pages.clear()
        for name in PAGES:
            text = resource_text("help", f"{name}.md")
            if text and all(word in text.casefold() for word in words.casefold().split()):
                item = QListWidgetItem(text.splitlines()[0].lstrip("# "))
                item.setData(Qt.ItemDataRole.UserRole, name)
                self.pages.addItem(item)
        if self.pages.count():
            self.pages.setCurrentRow(0)

    def _show(self, item: QListWidgetItem | None) -> None:
        if item is None:
            return
        self.text.setMarkdown(resource_text("help", f"{item.data(Qt.ItemDataRole.UserRole)}.md"))
        words = self.search.text().split()
        if words:
            self.text.find(words[0], QTextDocument.FindFlag(0))
