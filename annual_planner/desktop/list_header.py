"""The heading of a list: a click sorts, a click with Shift sorts by a second column as well."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QItemSelectionModel, Qt, Signal
from PySide6.QtGui import QMouseEvent
from PySide6.QtWidgets import QHeaderView, QMenu, QWidget

from annual_planner.desktop.paged_table import PagedTable
from annual_planner.desktop.sort_keys import SortKeys, sorted_by, then_by


class ListHeader(QHeaderView):
    """Headings that can be moved and pulled wide; they show by which columns a list is sorted."""

    wants_order = Signal(object)
    """A person wants the list sorted by these keys."""

    def __init__(self, model: PagedTable[object], parent: QWidget) -> None:
        super().__init__(Qt.Orientation.Horizontal, parent)
        self._model = model
        self._with_shift = False
        self.under_hand = False
        """True while a mouse button is down on it: what changes then is a person's doing."""
        self.keys: SortKeys = ()
        self.sortable: Callable[[int], bool] = lambda place: not self.isSectionHidden(place)
        """Says whether the column in that place is offered."""
        self.setModel(model)
        # Without a selection model of its own the header asks for each selected row of each column.
        self.setSelectionModel(QItemSelectionModel(model, self))
        self.setHighlightSections(False)
        self.setSectionsMovable(True)
        self.setSectionsClickable(True)
        self.setContextMenuPolicy(Qt.ContextMenuPolicy.CustomContextMenu)
        self.sectionClicked.connect(self._clicked)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Note that a person has hold of it."""
        self.under_hand = True
        super().mousePressEvent(event)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Note that a person has hold of it: between two headings this fits a column to its words."""
        self.under_hand = True
        super().mouseDoubleClickEvent(event)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Note whether Shift is held: the click that follows doesn't say."""
        self._with_shift = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        super().mouseReleaseEvent(event)
        self._with_shift = self.under_hand = False

    def _clicked(self, place: int) -> None:
        self.sort_by(place, second=self._with_shift)

    def sort_by(self, place: int, *, second: bool = False) -> None:
        """Sort by that column, or by it as the second one; again turns it, a third time lets it go."""
        if self._model.columns[place].sort:
            keys = (then_by if second else sorted_by)(self.keys, place)
            self.show_keys(keys)
            self.wants_order.emit(keys)

    def show_keys(self, keys: SortKeys) -> None:
        """Show by what the list is sorted."""
        self.keys = keys
        self._model.mark_order(keys)

    def sort_menu(self, parent: QWidget) -> QMenu:
        """What the list can be sorted by, first and then, for the keys and for the menu of the headings."""
        menu = QMenu("Sort by", parent)
        self._offer(menu, second=False)
        then = menu.addMenu("Then by")
        then.setEnabled(bool(self.keys))
        self._offer(then, second=True)
        own = menu.addAction("The list's own order")
        own.setEnabled(bool(self.keys))
        own.triggered.connect(self._own_order)
        return menu

    def _offer(self, menu: QMenu, *, second: bool) -> None:
        key = self.keys[second] if len(self.keys) > second else None
        for visual in range(self.count()):
            place = self.logicalIndex(visual)
            column = self._model.columns[place]
            if not column.sort or not self.sortable(place):
                continue
            if second and self.keys and place == self.keys[0].place:
                continue
            here = key is not None and key.place == place
            choice = menu.addAction(f"{column.heading} {key.arrow}" if key and here else column.heading)
            choice.setCheckable(True)
            choice.setChecked(here)
            choice.triggered.connect(lambda _on, place=place: self.sort_by(place, second=second))
        if not second:
            menu.addSeparator()

    def _own_order(self) -> None:
        self.show_keys(())
        self.wants_order.emit(())
