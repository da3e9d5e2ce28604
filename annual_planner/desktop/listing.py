"""A whole list: search field, filter chips, count, table, and what stands there when it is empty."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, Generic, NamedTuple, TypeVar

from PySide6.QtCore import QPoint, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QAction, QIcon, QPainter, QPixmap
from PySide6.QtWidgets import QLineEdit, QMenu, QPushButton, QStackedLayout, QVBoxLayout, QWidget

from annual_planner.desktop.column_layout import headings
from annual_planner.desktop.columns import Column
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.flow import FlowRow
from annual_planner.desktop.icons import icon
from annual_planner.desktop.paged_table import PagedTable
from annual_planner.desktop.signs import draw_sign
from annual_planner.desktop.sort_keys import SortKey, SortKeys
from annual_planner.desktop.source import Query, Source
from annual_planner.desktop.table_view import ListView
from annual_planner.desktop.widgets import ActionButton, Blank, button, label
from annual_planner.trade.refused import Refused

R = TypeVar("R")
PAUSE_MS = 180


class Words(NamedTuple):
    """What an empty list says: what belongs here, why it is empty, and the next step."""

    what: str
    """Plural, for the count and for a reader: 'airplanes'."""
    empty: str
    why: str
    verb: str = ""


class Listing(QWidget, Generic[R]):
    """A searchable, sortable list. Give it columns, a source and, where rows have one, words of standing."""

    opened = Signal(int)
    pointed = Signal(int)
    answered = Signal()
    """The list now shows the answer to the last question."""

    def __init__(
        self,
        desk: Desk,
        kept_as: str,
        columns: Sequence[Column[R]],
        source: Source[R],
        words: Words,
        *,
        states: Sequence[str] = (),
        next_step: Callable[[], object] | None = None,
    ) -> None:
        super().__init__()
        self.desk = desk
        self.table: PagedTable[R] = PagedTable(columns, source, self)
        self.view = ListView(self.table, desk.theme, desk.settings, kept_as)
        self._words = words
        self._next_step = next_step
        self._wanted = -1
        self._rows_alone = False
        self.search = QLineEdit()
        self.count = label("", faint=True)
        self.more = button("More columns", self._choose_columns, quiet=True)
        self.blank = Blank()
        self._chips: dict[str, QPushButton] = {}
        self._pause = QTimer(self, singleShot=True, interval=PAUSE_MS)
        self._pause.timeout.connect(self._search_now)
        self._lay_out(states)
        self._connect()

    @property
    def fill_menu(self) -> Callable[[QMenu, int], None]:
        """Function that adds to the menu of a row: gets the menu and the row's id."""
        return self.view.fill_menu

    @fill_menu.setter
    def fill_menu(self, fill: Callable[[QMenu, int], None]) -> None:
        self.view.fill_menu = fill

    @property
    def what(self) -> str:
        """What the list holds, in the plural."""
        return self._words.what

    def show_rows_alone(self) -> None:
        """Leave out everything above the rows."""
        self._rows_alone = True
        self._head.hide()

    def say(self, words: Words) -> None:
        """Use other words for an empty list: the person at the window has changed."""
        self._words = words

    def add_buttons(self, *actions: QAction) -> None:
        """Put buttons for what is done with the rows beside the count."""
        before: QWidget = self.more
        for action in actions:
            made = ActionButton(action)
            self._row.add_at_end(made)
            QWidget.setTabOrder(before, made)
            before = made

    def ask(self) -> None:
        """Ask for the rows again; selection and place are kept where the rows still stand."""
        if self._wanted < 0:
            self._wanted = self.view.current_id
        if self.table.rowCount() == 0:
            self.blank.show_state(f"Reading {self._words.what} …")
            self._stack.setCurrentWidget(self.blank)
        self.table.ask()

    def point_to(self, row_id: int) -> None:
        """Make that row the current one, now or when the answer is here."""
        if not self.view.point_to(row_id):
            self._wanted = row_id

    def choose_first(self) -> None:
        """Choose the first row where none is chosen, so that what stands beside the list isn't empty."""
        first = self.table.id_at(max(0, self.view.currentIndex().row()))
        if first is not None and not self.view.selectionModel().hasSelection():
            self.view.point_to(first)

    @property
    def current(self) -> R | None:
        """The current row, once it was fetched."""
        return self.table.row_of(self.view.current_id)

    @property
    def current_id(self) -> int:
        """Id of the current row; -1 for none."""
        return self.view.current_id

    def filter_to(self, state: str) -> None:
        """Show one standing only; empty: all."""
        self.show_query(self.table.query._replace(state=state, search=self.search.text().strip()))

    def show_query(self, query: Query) -> None:
        """Ask this question, and show it in the search field, the chips and the headings."""
        self._pause.stop()
        if query.search != self.search.text().strip():
            self.search.setText(query.search)
            self._pause.stop()
        for word, chip in self._chips.items():
            chip.setChecked(word == query.state)
        self.view.header.show_keys(self._keys(query))
        self._ask(query)

    def _keys(self, query: Query) -> SortKeys:
        wanted = [(query.order, query.descending)]
        wanted += [(query.then.order, query.then.descending)] if query.then is not None else []
        places = {column.sort: place for place, column in enumerate(self.table.columns) if column.sort}
        return tuple(SortKey(places[order], down) for order, down in wanted if order in places)

    # -- inside ---------------------------------------------------------------------------------------

    def _lay_out(self, states: Sequence[str]) -> None:
        what = self._words.what
        self.setAccessibleName(what.capitalize())
        self.view.setAccessibleName(f"List of {what}")
        self.search.setPlaceholderText(f"Search {what}")
        self.search.setAccessibleName(f"Search {what}")
        self.search.setClearButtonEnabled(True)
        self._name_clear_button()
        self._head = QWidget()
        self._head.setAccessibleName(f"Search and filter {what}")
        row = self._row = FlowRow()
        self._head.setLayout(row)
        row.addWidget(self.search)
        for state in states:
            row.addWidget(self._chip(state))
        self._clear = button("Show all", self._show_all, tip="Take search and filter away", quiet=True)
        for quiet in (self._clear, self.more):
            quiet.hide()
            row.addWidget(quiet)
        row.add_at_end(self.count)
        self._without_buttons = row.count()
        holder = QWidget()
        holder.setAccessibleName(f"{what.capitalize()} or why there are none")
        self._stack = QStackedLayout(holder)
        self._stack.addWidget(self.view)
        self._stack.addWidget(self.blank)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 4, 0, 0)
        column.addWidget(self._head)
        column.addWidget(holder, 1)

    def _name_clear_button(self) -> None:
        from PySide6.QtWidgets import QToolButton

        for inner in self.search.findChildren(QToolButton):
            inner.setAccessibleName("Clear the search")

    def _chip(self, state: str) -> QPushButton:
        chip = QPushButton(f" {state}")
        chip.setCheckable(True)
        chip.setProperty("chip", True)
        chip.setAccessibleName(f"Only {state}")
        chip.setToolTip(f"Show only what is {state}")
        chip.clicked.connect(lambda on: self.filter_to(state if on else ""))
        self._chips[state] = chip
        return chip

    def _connect(self) -> None:
        self.search.textChanged.connect(self._pause.start)
        self.search.returnPressed.connect(self._to_table)
        self.view.opened.connect(self.opened)
        self.view.pointed.connect(self.pointed)
        self.view.layout_of_columns.stepped.connect(self._tell_aside)
        self.view.wants_order.connect(lambda keys: self._ask(self._ordered(self.table.query, keys)))
        self.table.found.connect(self._found)
        self.table.failed.connect(self._failed)
        self.desk.theme.changed.connect(self._draw)
        self._draw()

    def _tell_aside(self) -> None:
        """Say that columns stepped aside, and offer the choice of columns."""
        aside = self.view.aside_columns
        self.more.setVisible(bool(aside))
        if not aside:
            return
        self.more.setText(f"+ {counted(len(aside), 'columns')}")
        self.more.setAccessibleName(self.more.text())
        self.more.setToolTip(f"No room for: {headings(aside)}. Widen the window, or choose the columns.")

    def _choose_columns(self) -> None:
        menu = self.view.column_menu()
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        menu.popup(self.more.mapToGlobal(QPoint(0, self.more.height())))

    def _draw(self) -> None:
        inks = self.desk.theme.colours
        side = self.desk.theme.sizes.of(0.75)
        self.search.setMinimumWidth(self.desk.theme.sizes.of(9))
        self.search.setMaximumWidth(self.desk.theme.sizes.of(16))
        for word, chip in self._chips.items():
            chip.setIcon(sign_icon(word, side, self.desk))
            chip.setIconSize(QSize(side, side))
        for action in self.search.actions():
            self.search.removeAction(action)
        glass = self.search.addAction(icon("search", inks.faint), QLineEdit.ActionPosition.LeadingPosition)
        glass.setText("Search")
        from PySide6.QtWidgets import QToolButton

        for inner in self.search.findChildren(QToolButton):
            inner.setAccessibleName(inner.accessibleName() or "Search")

    def _to_table(self) -> None:
        self._search_now()
        self.view.setFocus(Qt.FocusReason.ShortcutFocusReason)
        if self.view.current_id < 0 and self.table.rowCount():
            self.view.point_to(self.table.id_at(0) or 0)

    def _search_now(self) -> None:
        self._pause.stop()
        text = self.search.text().strip()
        if text != self.table.query.search:
            self._ask(self.table.query._replace(search=text))

    def _show_all(self) -> None:
        self.search.clear()
        self._pause.stop()
        for chip in self._chips.values():
            chip.setChecked(False)
        self._ask(self.table.query._replace(search="", state=""))

    def _ordered(self, query: Query, keys: SortKeys) -> Query:
        """The question in another order; without keys, in the list's own."""
        from annual_planner.store.sorting import Then  # late: the store isn't needed for the first painting

        orders = [Then(self.table.columns[key.place].sort, key.down) for key in keys]
        first, then = (*orders, Then(""), Then(""))[:2]
        return query._replace(
            order=first.order, descending=first.descending, then=then if then.order else None
        )

    def _ask(self, query: Query) -> None:
        self._wanted = self.view.current_id if self._wanted < 0 else self._wanted
        self.table.ask(query)

    def _found(self, shown: int, total: int) -> None:
        narrowed = self.table.query.narrows
        self.count.setText(f"{shown} of {total}" if narrowed else counted(total, self._words.what))
        self._clear.setVisible(narrowed)
        has_buttons = self._row.count() > self._without_buttons
        self._head.setVisible(not self._rows_alone and (total > 0 or narrowed or has_buttons))
        if shown:
            self._stack.setCurrentWidget(self.view)
        elif narrowed and total:
            self.blank.show_state(
                "Nothing matches",
                f"Search and filter hide {total} {self._words.what}.",
                "Show all",
                self._show_all,
            )
            self._stack.setCurrentWidget(self.blank)
        else:
            verb = self._words.verb if self._next_step is not None else ""
            self.blank.show_state(self._words.empty, self._words.why, verb, self._next_step)
            self._stack.setCurrentWidget(self.blank)
        self._restore_place()
        self._take_keys()
        self.answered.emit()

    def _take_keys(self) -> None:
        """Let the keys act here where they act on nothing: the rows were not there yet."""
        held = self.window().focusWidget()
        if not self.isVisible() or (held is not None and held.isVisible()):
            return
        around = held.parentWidget() if held is not None else None
        if held is None or self.isAncestorOf(held) or around is None or not around.isVisible():
            rows = self._stack.currentWidget() is self.view
            (self.view if rows else self.blank.next).setFocus(Qt.FocusReason.OtherFocusReason)

    def _restore_place(self) -> None:
        wanted, self._wanted = self._wanted, -1
        if not (wanted >= 0 and self.view.point_to(wanted)) and self.view.current_id < 0:
            self.view.pointed.emit(-1)

    def _failed(self, error: Exception) -> None:
        said = error.said if isinstance(error, Refused) else f"The {self._words.what} could not be read"
        why = error.remedy if isinstance(error, Refused) else "Nothing was lost."
        self.blank.show_state(said, why, "Try again", self.ask)
        self._stack.setCurrentWidget(self.blank)
        self.answered.emit()


def counted(total: int, what: str) -> str:
    """How many there are, in words that fit one as well.

    >>> counted(1, "open discrepancies"), counted(2, "readings")
    ('1 open discrepancy', '2 readings')
    """
    if total == 1 and what.endswith("ies"):
        return f"1 {what.removesuffix('ies')}y"
    return f"1 {what.removesuffix('s')}" if total == 1 else f"{total} {what}"


def sign_icon(word: str, side: int, desk: Desk) -> QIcon:
    """The sign for a word of standing as an icon of that side in pixels."""
    from PySide6.QtCore import QRectF

    pixmap = QPixmap(side * 2, side * 2)
    pixmap.setDevicePixelRatio(2)
    pixmap.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixmap)
    draw_sign(painter, QRectF(1.5, 1.5, side - 3, side - 3), word, desk.theme.colours)
    painter.end()
    return QIcon(pixmap)


AnyListing = Listing[Any]
