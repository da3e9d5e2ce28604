"""A table model that holds ids and builds rows as they are looked at."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, Generic, TypeVar

from PySide6.QtCore import (
    QAbstractTableModel,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    Qt,
    QTimer,
    Signal,
)

from annual_planner.desktop.columns import Column
from annual_planner.desktop.sort_keys import SortKeys
from annual_planner.desktop.source import Batches, Found, Query, Source

R = TypeVar("R")
Index = QModelIndex | QPersistentModelIndex
ROWS_AT_ONCE = 200
KEPT_ROWS = 4000
SIGN_ROLE = int(Qt.ItemDataRole.UserRole) + 1
ROLE = Qt.ItemDataRole
NOWHERE = QModelIndex()


class PagedTable(QAbstractTableModel, Generic[R]):
    """Ids from one query; rows asked for once per turn of the event loop, whatever the number of cells."""

    found = Signal(int, int)
    """Answered: rows that match, and rows in all."""
    failed = Signal(object)

    def __init__(
        self, columns: Sequence[Column[R]], source: Source[R], parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self.columns = tuple(columns)
        self.query = Query()
        self._source = source
        self._ids: list[int] = []
        self._rows: dict[int, R] = {}
        self._missing: set[int] = set()
        self._marks: dict[int, tuple[str, str]] = {}
        self._turn = QTimer(self, singleShot=True, interval=0)
        self._turn.timeout.connect(self._ask_rows)

    # -- asking -------------------------------------------------------------------------------------

    def ask(self, query: Query | None = None) -> None:
        """Ask again, for another query if one is given. What is shown stays until the answer is here."""
        self.query = query or self.query
        self._source.ask_ids(self.query, self._take_ids, self.failed.emit)

    def _take_ids(self, found: Found) -> None:
        self._missing.clear()
        if found.ids == self._ids:
            self._refresh_rows()
        else:
            self.beginResetModel()
            self._ids = found.ids
            self._rows.clear()
            self.endResetModel()
        self.found.emit(len(self._ids), found.total)

    def show_early(self, ids: list[int], rows: dict[int, R]) -> None:
        """Show these rows until the answer to what was asked is here."""
        self._missing.clear()
        self.beginResetModel()
        self._ids, self._rows = ids, rows
        self.endResetModel()
        self.found.emit(len(ids), len(ids))

    def _refresh_rows(self) -> None:
        """Same rows in the same order: fetch their content again and keep selection and scroll."""
        held = [row_id for row_id in self._ids if row_id in self._rows][:KEPT_ROWS]
        if held:
            self._source.ask_rows(held, "again", self._take_rows)

    def _ask_rows(self) -> None:
        wanted = sorted(self._missing)
        self._missing.clear()
        if not wanted:
            return
        middle = wanted[len(wanted) // 2]
        first = max(0, min(wanted[0], middle - ROWS_AT_ONCE // 2))
        last = max(wanted[-1] + 1, first + ROWS_AT_ONCE)
        near = [row_id for row_id in self._ids[first:last] if row_id not in self._rows]
        if len(self._rows) > KEPT_ROWS:
            self._rows.clear()
            near = self._ids[first:last]
        if near:
            self._source.ask_rows(near, "rows", self._take_rows)

    def _take_rows(self, rows: dict[int, R]) -> None:
        self._rows.update(rows)
        if self._ids:
            self.dataChanged.emit(self.index(0, 0), self.index(len(self._ids) - 1, len(self.columns) - 1))

    # -- what views read --------------------------------------------------------------------------

    def rowCount(self, parent: Index = NOWHERE) -> int:
        """How many rows match."""
        return 0 if parent.isValid() else len(self._ids)

    def columnCount(self, parent: Index = NOWHERE) -> int:
        """How many columns there are, hidden ones too."""
        return 0 if parent.isValid() else len(self.columns)

    def data(self, index: Index, role: int = ROLE.DisplayRole) -> Any:
        """What a cell shows; touches memory only and notes rows still to be fetched."""
        if not index.isValid() or index.row() >= len(self._ids):
            return None
        column = self.columns[index.column()]
        if role == ROLE.TextAlignmentRole:
            side = Qt.AlignmentFlag.AlignRight if column.right else Qt.AlignmentFlag.AlignLeft
            return side | Qt.AlignmentFlag.AlignVCenter
        if role not in READ_ROLES:
            return None
        row = self._rows.get(self._ids[index.row()])
        if row is None:
            self._missing.add(index.row())
            self._turn.start()
            return "…" if role == ROLE.DisplayRole else None
        return cell(column, row, role)

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = ROLE.DisplayRole) -> Any:
        """Headings; those of numbers stand right like their numbers."""
        if orientation != Qt.Orientation.Horizontal or section >= len(self.columns):
            return None
        column = self.columns[section]
        if role == ROLE.DisplayRole:
            return f"{column.heading} {self._marks[section][0]}" if section in self._marks else column.heading
        if role == ROLE.AccessibleTextRole:
            return (
                f"{column.heading}, {self._marks[section][1]}" if section in self._marks else column.heading
            )
        if role == ROLE.TextAlignmentRole:
            side = Qt.AlignmentFlag.AlignRight if column.right else Qt.AlignmentFlag.AlignLeft
            return side | Qt.AlignmentFlag.AlignVCenter
        if role == ROLE.ToolTipRole and column.sort:
            return f"Sort by {column.heading.lower()}; with Shift: then by it"
        return None

    def mark_order(self, keys: SortKeys) -> None:
        """Mark the headings of the columns sorted by: '▲', and '▼2' for the second one."""
        marked = set(self._marks)
        self._marks = {key.place: key.mark(number) for number, key in enumerate(keys, 1)}
        for place in marked | set(self._marks):
            self.headerDataChanged.emit(Qt.Orientation.Horizontal, place, place)

    # -- what pages read ----------------------------------------------------------------------------

    def id_at(self, row: int) -> int | None:
        """Id of the row in that place."""
        return self._ids[row] if 0 <= row < len(self._ids) else None

    def row_at(self, row: int) -> R | None:
        """The row in that place, once it was fetched."""
        row_id = self.id_at(row)
        return None if row_id is None else self._rows.get(row_id)

    def row_of(self, row_id: int) -> R | None:
        """The row with that id, once it was fetched."""
        return self._rows.get(row_id)

    def with_rows(self, places: Sequence[int], done: Callable[[list[R]], None]) -> None:
        """Hand over the rows in these places, fetching first those that were never looked at."""
        ids = [row_id for row_id in (self.id_at(place) for place in places) if row_id is not None]
        got = {row_id: self._rows[row_id] for row_id in ids if row_id in self._rows}
        missing = [row_id for row_id in ids if row_id not in got]
        self._gather(missing, got, lambda: done([got[row_id] for row_id in ids if row_id in got]))

    def _gather(self, missing: list[int], got: dict[int, R], done: Callable[[], None]) -> None:
        if not missing:
            done()
            return

        def take(rows: dict[int, R]) -> None:
            got.update(rows)
            self._gather(missing[KEPT_ROWS:], got, done)

        self._source.ask_rows(missing[:KEPT_ROWS], "copy", take)

    def batches(self) -> Batches:
        """All rows that the list shows or would show further down; gone through on a job's thread."""
        return self._source.batches(self.query)

    def place_of(self, row_id: int) -> int:
        """Where the row with that id stands; -1 when it isn't shown."""
        try:
            return self._ids.index(row_id)
        except ValueError:
            return -1


READ_ROLES = frozenset(
    int(role) for role in (ROLE.DisplayRole, ROLE.ToolTipRole, ROLE.AccessibleTextRole)
) | {SIGN_ROLE}


def cell(column: Column[R], row: R, role: int) -> str | None:
    """What one cell gives for one of the roles that read the row."""
    if role == SIGN_ROLE:
        return column.sign(row) if column.sign else None
    if role == ROLE.AccessibleTextRole:
        said = (column.spoken or column.text)(row)
        return f"{column.heading}: {said or 'empty'}"
    if role == ROLE.ToolTipRole:
        return column.tip(row) if column.tip else (column.text(row) or None)
    return column.text(row)
