"""Pasting records from a spreadsheet: seen first, each refused row named; then all or nothing."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Generic, Protocol, TypeVar

from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication

from annual_planner.desktop.aircraft.pasted import Kind, PastedRow, pasted_rows
from annual_planner.desktop.annual.held import HeldList
from annual_planner.desktop.columns import Column
from annual_planner.desktop.form import Form
from annual_planner.desktop.listing import Words, counted
from annual_planner.desktop.widgets import button
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.desktop.aircraft.page import AircraftPage
    from annual_planner.records.edits import Changed, Edit
    from annual_planner.store.session import Work

T = TypeVar("T")


class Looked(Protocol):
    """What the fleet says of one record."""

    @property
    def refused(self) -> str:
        """Why it can't be taken; empty when it can."""

    @property
    def stands(self) -> bool:
        """The same is in the fleet already."""


@dataclass(frozen=True, slots=True)
class Pasting(Generic[T]):
    """How records of one kind are pasted: how they are read, shown, looked at and written down."""

    kind: Kind[T]
    title: str
    verb: str
    says: str
    kept_as: str
    columns: Sequence[Column[PastedRow[T]]]
    look: Callable[[Work, int, Sequence[T], date], Sequence[Looked]]
    """What would become of each record of the airplane with that id."""
    edit: Callable[[int, tuple[T, ...]], Edit]


class PasteForm(Form, Generic[T]):
    """The rows on the clipboard as they were read, and a button that records them."""

    def __init__(self, page: AircraftPage, aircraft_id: int, pasting: Pasting[T]) -> None:
        super().__init__(
            pasting.title, pasting.verb, lambda _v: self._record(), page.close_form, pasting.says
        )
        self._desk, self._page, self._aircraft_id, self._pasting = page.desk, page, aircraft_id, pasting
        words = Words("rows", "Nothing was pasted", "Copy the rows first.", "Paste what is on the clipboard")
        self.rows: HeldList[PastedRow[T]] = HeldList(
            page.desk, pasting.kept_as, pasting.columns, words, next_step=self.paste
        )
        self.rows.setMinimumHeight(page.desk.theme.sizes.of(20))
        self.again = button("Paste again", self.paste, tip="Read the clipboard once more")
        self.add_widget(self.rows)
        self.add_widget(self.again)
        self._grid.setAlignment(self.again, Qt.AlignmentFlag.AlignLeft)
        self.submit_button.setEnabled(False)

    def start(self) -> None:
        """Read the clipboard at once; the list has the keys."""
        self.paste()
        self.rows.view.setFocus()

    def paste(self) -> None:
        """Read the rows on the clipboard and look at them against the fleet."""
        self.summary.hide()
        self.submit_button.setEnabled(False)
        kind, today = self._pasting.kind, self._desk.today
        try:
            rows = pasted_rows(QGuiApplication.clipboard().text(), today, kind)
        except Refused as refused:
            self.rows.take(())
            self.failed(refused)
            return
        self._desk.jobs.read(
            lambda work: self._against_fleet(work, rows, today), self, self._show, self.failed
        )

    def _against_fleet(
        self, work: Work, rows: Sequence[PastedRow[T]], today: date
    ) -> tuple[PastedRow[T], ...]:
        """Each row with what the fleet says of it; one that couldn't be read keeps its fault."""
        read = [row.value for row in rows if row.value is not None]
        looked = iter(self._pasting.look(work, self._aircraft_id, read, today))
        return tuple(row if row.value is None else _told(row, next(looked)) for row in rows)

    def _show(self, rows: tuple[PastedRow[T], ...]) -> None:
        self.rows.take(sorted(rows, key=lambda row: row.word != "refused"))
        refused = sum(row.word == "refused" for row in rows)
        new = sum(row.word == "new" for row in rows)
        there = len(rows) - refused - new
        said = [f"{new} to record"] + ([f"{there} stand already"] if there else [])
        if refused:
            verb = "row is" if refused == 1 else "rows are"
            self.tell(
                f"▲ {refused} {verb} refused ({', '.join(said)}). Correct the spreadsheet, copy, paste again."
            )
        else:
            self.tell(f"{', '.join(said)}.".capitalize())
        self.submit_button.setEnabled(bool(new) and not refused)

    def _record(self) -> None:
        if self.submit_button.isEnabled():
            edit = self._pasting.edit(self._aircraft_id, _new(self.rows.held.rows))
            self._desk.jobs.write(edit, self, self._recorded, self.failed)

    def _recorded(self, _changed: Changed) -> None:
        count = len(_new(self.rows.held.rows))
        self._page.close_form()
        self._page.strip.say(
            f"{counted(count, self._pasting.kind.what)} {'was' if count == 1 else 'were'} recorded.",
            "What is due follows from them. Undo takes them back as one.",
        )


def cell(field: str) -> Callable[[PastedRow[T]], str]:
    """What was typed into that field of a row."""
    return lambda row: row.cells.get(field, "")


def _new(rows: Sequence[PastedRow[T]]) -> tuple[T, ...]:
    return tuple(row.value for row in rows if row.value is not None and row.word == "new")


def _told(row: PastedRow[T], looked: Looked) -> PastedRow[T]:
    return row.looked_at(looked.refused, looked.stands)
