"""The view of a list: sorting by heading, kept widths and order, copying to a spreadsheet, column chooser."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QEvent, QPoint, QSettings, Qt, Signal
from PySide6.QtGui import (
    QContextMenuEvent,
    QGuiApplication,
    QKeyEvent,
    QKeySequence,
    QResizeEvent,
    QShowEvent,
)
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QMenu, QTableView

from annual_planner.desktop.column_layout import ColumnLayout
from annual_planner.desktop.columns import Column
from annual_planner.desktop.list_header import ListHeader
from annual_planner.desktop.paged_table import PagedTable
from annual_planner.desktop.signs import SignDelegate
from annual_planner.desktop.theme import Theme

if TYPE_CHECKING:
    from PySide6.QtCore import QMimeData


class ListView(QTableView):
    """A table of rows. Enter or a double click opens a row; the menu acts on the row under the pointer."""

    opened = Signal(int)
    pointed = Signal(int)
    """The current row changed: its id, -1 for none."""
    wants_order = Signal(object)
    """A person wants the list sorted by these SortKeys."""

    def __init__(self, model: PagedTable[Any], theme: Theme, settings: QSettings, kept_as: str) -> None:
        super().__init__()
        self._model = model
        self._theme = theme
        self.fill_menu: Callable[[QMenu, int], None] = lambda _menu, _row_id: None
        self.setModel(model)
        self.header = ListHeader(model, self)
        self.setHorizontalHeader(self.header)
        self.setItemDelegate(SignDelegate(theme, self))
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setShowGrid(False)
        self.setAlternatingRowColors(False)
        self.setWordWrap(False)
        self.setTabKeyNavigation(False)
        self.setCornerButtonEnabled(False)
        self.verticalHeader().hide()
        self.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.header.customContextMenuRequested.connect(self._header_menu)
        self.header.wants_order.connect(self.wants_order)
        self.layout_of_columns = ColumnLayout(self, self.header, model, settings, kept_as)
        model.dataChanged.connect(lambda *_: self.layout_of_columns.fit())
        self.selectionModel().currentRowChanged.connect(self._point)
        self.doubleClicked.connect(lambda index: self._open(index.row()))
        theme.changed.connect(self._fit_text)
        self._fit_text()

    # -- layout ------------------------------------------------------------------------------------

    def showEvent(self, event: QShowEvent) -> None:
        """Bring the kept widths and order back when it is first seen."""
        super().showEvent(event)
        self.layout_of_columns.begin()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Share another room out."""
        super().resizeEvent(event)
        self.layout_of_columns.fit(same_rows=True)

    def changeEvent(self, event: QEvent) -> None:
        """Follow another size of text once it has reached this view."""
        super().changeEvent(event)
        layout: ColumnLayout | None = getattr(self, "layout_of_columns", None)
        if event.type() == QEvent.Type.FontChange and layout is not None and layout.outgrown:
            self._fit_text()

    def _fit_text(self) -> None:
        sizes = self._theme.sizes
        self.verticalHeader().setMinimumSectionSize(1)
        self.verticalHeader().setDefaultSectionSize(max(sizes.of(1.65), round(sizes.target)))
        self.layout_of_columns.begin_again()

    def _header_menu(self, at: QPoint) -> None:
        menu = self.column_menu()
        menu.insertMenu(menu.actions()[0], self.header.sort_menu(menu))
        menu.exec(self.header.mapToGlobal(at))

    def open_sort_menu(self) -> None:
        """Offer what the list can be sorted by, under its headings."""
        menu = self.header.sort_menu(self)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        menu.popup(self.header.mapToGlobal(QPoint(0, self.header.height())))

    def column_menu(self) -> QMenu:
        """Which columns are shown; the last one shown can't be taken away."""
        return self.layout_of_columns.menu(self)

    @property
    def shown_columns(self) -> list[Column[Any]]:
        """The columns that are wanted, as they stand; those without room too."""
        return [self._model.columns[place] for place in self.layout_of_columns.wanted]

    @property
    def aside_columns(self) -> list[Column[Any]]:
        """The columns that are wanted and have no room."""
        return [self._model.columns[place] for place in sorted(self.layout_of_columns.aside)]

    # -- rows ----------------------------------------------------------------------------------------

    @property
    def current_id(self) -> int:
        """Id of the current row; -1 for none."""
        row_id = self._model.id_at(self.currentIndex().row())
        return -1 if row_id is None else row_id

    def point_to(self, row_id: int) -> bool:
        """Make that row the current one; False when it isn't shown."""
        place = self._model.place_of(row_id)
        if place < 0:
            return False
        first = next((c for c in range(len(self._model.columns)) if not self.isColumnHidden(c)), 0)
        self.selectRow(place)
        self.setCurrentIndex(self._model.index(place, first))
        return True

    def selected_places(self) -> list[int]:
        """Places of the selected rows, from the ranges (a list of indexes would take seconds)."""
        chosen = self.selectionModel().selection()
        ranges = [chosen.at(place) for place in range(chosen.count())]
        return sorted({place for one in ranges for place in range(one.top(), one.bottom() + 1)})

    def _point(self) -> None:
        self.pointed.emit(self.current_id)

    def _open(self, place: int) -> None:
        row_id = self._model.id_at(place)
        if row_id is not None:
            self.opened.emit(row_id)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter opens, Ctrl+C copies; the rest is the table's own."""
        if event.matches(QKeySequence.StandardKey.Copy):
            self.copy()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.currentIndex().isValid():
            self._open(self.currentIndex().row())
        else:
            super().keyPressEvent(event)

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        """Open the menu for the row under the pointer, which becomes the current one."""
        under = self.indexAt(event.pos())
        row_id = self._model.id_at(under.row()) if under.isValid() else self.current_id
        if row_id is None or row_id < 0:
            return
        if under.isValid() and not self.selectionModel().isSelected(under):
            self.point_to(row_id)
        self.row_menu(row_id).exec(event.globalPos())

    def row_menu(self, row_id: int) -> QMenu:
        """What can be done with that row."""
        menu = QMenu(self)
        self.fill_menu(menu, row_id)
        if menu.actions():
            menu.addSeparator()
        copies = menu.addAction("Copy rows")
        copies.setShortcut(QKeySequence.StandardKey.Copy)
        copies.triggered.connect(self.copy)
        return menu

    # -- copying -------------------------------------------------------------------------------------

    def copy(self) -> None:
        """Put the selected rows, as shown and with headings, on the clipboard for a spreadsheet."""
        self._model.with_rows(self.selected_places(), self._put_on_clipboard)

    def _put_on_clipboard(self, rows: Sequence[Any]) -> None:
        from annual_planner.desktop.cells import copied

        shown = self.shown_columns
        lines = [[column.heading for column in shown]]
        lines += [[copied(column, row) for column in shown] for row in rows]
        if rows:
            QGuiApplication.clipboard().setMimeData(spreadsheet(lines))


def spreadsheet(lines: Sequence[Sequence[str]]) -> QMimeData:
    """Lines, the first one headings, as tab-separated text and as an HTML table."""
    import html

    data = made_by_qt()
    lines = [[" ".join(text.split()) for text in cells] for cells in lines]
    data.setText("\n".join("\t".join(cells) for cells in lines) + "\n")
    rows = [
        "<tr>" + "".join(f"<{tag}>{html.escape(text)}</{tag}>" for text in cells) + "</tr>"
        for tag, cells in zip(["th"] + ["td"] * len(lines), lines, strict=False)
    ]
    data.setHtml(f"<table>{''.join(rows)}</table>")
    return data


def made_by_qt() -> QMimeData:
    """Empty data that Qt itself made.

    Where the platform has no clipboard of its own (offscreen, a bare screen), what lies on it is destroyed
    after Python has ended; data that Python made asks Python once more, and the process dies as it ends.
    """
    from PySide6.QtCore import QStringListModel

    model = QStringListModel([""])
    data = model.mimeData([model.index(0)])
    for kind in data.formats():
        data.removeFormat(kind)
    return data
