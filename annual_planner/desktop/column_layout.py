"""Which columns of a list are shown, how wide, and what is kept of that from one start to the next."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import QByteArray, QObject, QSettings, Signal
from PySide6.QtWidgets import QMenu, QTableView, QWidget

from annual_planner.desktop.column_room import shared_room, stepping_aside
from annual_planner.desktop.list_header import ListHeader
from annual_planner.desktop.paged_table import PagedTable

LAYOUT_VERSION = 2
"""Raised when columns change so that a kept layout no longer fits."""
LEAST_WORDS = 14
"""Letters that a column of words keeps where it gives way."""
SMALL_REST = 0.12
"""Part of a list's room that would look like a fault if it stayed empty at the edge."""


class ColumnLayout(QObject):
    """Shares the room of a list out among its columns, until a person pulls one to a width of their own."""

    stepped = Signal()
    """Other columns than before are without room."""

    def __init__(
        self,
        view: QTableView,
        header: ListHeader,
        model: PagedTable[Any],
        settings: QSettings,
        kept_as: str,
    ) -> None:
        super().__init__(view)
        self._view, self._header, self._model = view, header, model
        self._settings = settings
        self._kept_as = f"lists/{kept_as}/v{LAYOUT_VERSION}-{len(model.columns)}"
        self._ready = False
        self._own_widths = False
        self._text_height = 0
        self._needs: list[int] = []
        self._headings: list[int] = []
        """Widths of the headings in pixels: Qt says 0 of one that is hidden."""
        self._asked_for: set[int] = set()
        self.aside: set[int] = set()
        """Places of the columns that are wanted and have no room."""
        header.sortable = lambda place: place in self.aside or not header.isSectionHidden(place)
        header.setResizeContentsPrecision(0)  # the rows in sight say how wide their words are
        header.sectionMoved.connect(self._keep)
        header.sectionResized.connect(lambda *_: self._pulled())

    # -- beginning -------------------------------------------------------------------------------------

    def begin(self) -> None:
        """Lay the columns out as they were kept, the first time the list is seen; fit them each time."""
        if not self._ready:
            self._widths()
            self._bring_back()
            self._ready = True
        self.fit()

    def begin_again(self) -> None:
        """Lay the columns out for another size of text."""
        if self._ready:
            self._ready = False
            self._widths()
            self._ready = True
            self.fit()

    @property
    def outgrown(self) -> bool:
        """True when the text has another size than the columns were laid out for."""
        return self._text_height not in (0, self._view.fontMetrics().height())

    @property
    def wanted(self) -> list[int]:
        """Places of the columns that a person has not put away, as they stand from the left."""
        places = (self._header.logicalIndex(visual) for visual in range(self._header.count()))
        return [place for place in places if place in self.aside or not self._view.isColumnHidden(place)]

    def _widths(self) -> None:
        self._text_height = self._view.fontMetrics().height()
        self._own_widths, self._needs, self.aside = False, [0] * len(self._model.columns), set()
        self._headings = [0] * len(self._model.columns)
        for place, column in enumerate(self._model.columns):
            self._view.setColumnHidden(place, column.hidden and place not in self._asked_for)
            self._view.setColumnWidth(place, self._wished(place))

    def _bring_back(self) -> None:
        kept = self._settings.value(self._kept_as)
        if isinstance(kept, QByteArray):
            self._header.restoreState(kept)
            self._header.setSortIndicatorShown(False)
            more = json.loads(str(self._settings.value(f"{self._kept_as}-more", "{}")))
            self._own_widths = bool(more.get("own_widths"))
            self.aside, self._asked_for = set(more.get("aside", ())), set(more.get("asked_for", ()))

    def _keep(self) -> None:
        if self._ready:
            self._settings.setValue(self._kept_as, self._header.saveState())
            more = {
                "own_widths": self._own_widths,
                "aside": sorted(self.aside),
                "asked_for": sorted(self._asked_for),
            }
            self._settings.setValue(f"{self._kept_as}-more", json.dumps(more))

    def _pulled(self) -> None:
        if self._ready and self._header.under_hand:
            self._own_widths = True
            self._keep()

    # -- sharing the room ------------------------------------------------------------------------------

    def fit(self, *, same_rows: bool = False) -> None:
        """Share the room out, as long as nobody pulled a column to a width of their own.

        A list out of sight has no rows in sight to go by, so Qt would measure all of them: it waits.
        `same_rows`: only the room has changed, and what was measured holds.
        """
        if not self._ready or self._own_widths or not self._model.rowCount() or not self._view.isVisible():
            return
        self._ready = False
        before = self.aside
        for place in self.wanted:
            if not (same_rows and self._needs[place]):
                self._measure(place)
        self._header.setStretchLastSection(
            False
        )  # a stretched section that is hidden leaves its length behind
        self._step_aside()
        shown = [place for place in self.wanted if place not in self.aside]
        words_last = not self._model.columns[shown[-1]].right
        room = self._room
        widths = shared_room(
            [self._wished(place) for place in shown],
            [self._needs[place] for place in shown],
            room,
            least=[self._least(place) for place in shown],
        )
        self._fill_edge(shown, widths, room)
        for place, width in zip(shown, widths, strict=True):
            self._view.setColumnWidth(place, width)
        self._header.setStretchLastSection(words_last)
        self._ready = True
        if self.aside != before:
            self.stepped.emit()

    def _fill_edge(self, shown: Sequence[int], widths: list[int], room: int) -> None:
        """Give the widest column of words a little room that is left, so that the rows end at the edge."""
        words = [at for at, place in enumerate(shown) if not self._model.columns[place].right]
        left = room - sum(widths)
        if words and 0 < left < room * SMALL_REST:
            widths[max(words, key=lambda at: widths[at])] += left

    def _step_aside(self) -> None:
        wanted = self.wanted
        usual = {place: min(self._wished(place), self._needs[place]) for place in wanted}
        least = {place: self._least(place) for place in wanted}
        stays = self._asked_for | {key.place for key in self._header.keys}
        orders = {place: self._model.columns[place].aside for place in wanted if place not in stays}
        may_go = {place: order for place, order in orders.items() if order}
        aside = set(stepping_aside(usual, least, may_go, self._room))
        for place in aside ^ self.aside:
            self._view.setColumnHidden(place, place in aside)
        self.aside = aside

    @property
    def _room(self) -> int:
        """Width of the rows in pixels. The headings are as wide; the first wrap of a viewport takes 10 ms."""
        return self._header.width()

    def _wished(self, place: int) -> int:
        letter = self._view.fontMetrics().averageCharWidth()
        wished = round(self._model.columns[place].width * letter * 1.15) + letter * 2
        return max(wished, self._heading(place))

    def _measure(self, place: int) -> None:
        """Note the most that heading and rows seen so far take; it never shrinks, so that nothing jumps."""
        sign = self._view.fontMetrics().height() * 1.3 if self._model.columns[place].sign else 0
        words = self._view.sizeHintForColumn(place) + round(sign)
        self._needs[place] = max(self._needs[place], words, self._heading(place))

    def _heading(self, place: int) -> int:
        self._headings[place] = max(self._headings[place], self._header.sectionSizeHint(place))
        return self._headings[place]

    def _least(self, place: int) -> int:
        """How far a column may give way: words to some letters, numbers and standings not at all."""
        usual, column = min(self._wished(place), self._needs[place]), self._model.columns[place]
        if column.right or column.sign:
            return usual
        letters = self._view.fontMetrics().averageCharWidth() * LEAST_WORDS
        return min(usual, max(letters, self._heading(place)))

    # -- a person's choice -----------------------------------------------------------------------------

    def menu(self, parent: QWidget) -> QMenu:
        """Which columns are shown; the last one shown can't be taken away."""
        menu = QMenu("Columns", parent)
        shown = sum(not self._view.isColumnHidden(place) for place in range(len(self._model.columns)))
        for place, column in enumerate(self._model.columns):
            words = column.heading or column.key
            choice = menu.addAction(f"{words} (no room)" if place in self.aside else words)
            hidden = self._view.isColumnHidden(place)
            choice.setCheckable(True)
            choice.setChecked(not hidden)
            choice.setEnabled(hidden or shown > 1)
            choice.triggered.connect(lambda on, place=place: self._show(place, on))
        menu.addSeparator()
        menu.addAction("Usual columns").triggered.connect(self._usual)
        return menu

    def _show(self, place: int, on: bool) -> None:
        (self._asked_for.add if on else self._asked_for.discard)(place)
        self.aside.discard(place)
        self._view.setColumnHidden(place, not on)
        self._changed()

    def _usual(self) -> None:
        for place in range(len(self._model.columns)):
            self._header.moveSection(self._header.visualIndex(place), place)
        self._asked_for = set()
        self._widths()
        self._changed()

    def _changed(self) -> None:
        self.fit()
        self._keep()
        self.stepped.emit()


def headings(columns: Sequence[Any]) -> str:
    """Headings in a row, for a sentence."""
    return ", ".join(column.heading or column.key for column in columns)
