"""Pasting meter readings from a spreadsheet: seen first, each refused row named; then all or nothing."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication

from annual_planner.desktop.aircraft.pasted import PastedRow, pasted_rows
from annual_planner.desktop.annual.held import HeldList
from annual_planner.desktop.columns import Column, day_text
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.form import Form
from annual_planner.desktop.listing import Words
from annual_planner.desktop.widgets import button
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.desktop.aircraft.page import AircraftPage
    from annual_planner.records.edits import Changed
    from annual_planner.records.many_readings import Looked, NewReading
    from annual_planner.store.session import Work

SAYS = (
    "Copy the rows in the spreadsheet: date, meter, reading; or any columns together with their headings"
    " (date, meter, reading, landings, note). Nothing is recorded until you press the button; then all of it,"
    " and Undo takes it back as one."
)


def _typed(field: str, row: PastedRow) -> str:
    return row.cells.get(field, "")


def _day(row: PastedRow) -> str:
    return day_text(row.reading.read_on) if row.reading is not None else _typed("read_on", row)


ROWS: tuple[Column[PastedRow], ...] = (
    Column("line", "Row", lambda row: str(row.line), "line", 5, right=True, by=lambda row: row.line),
    Column("word", "Outcome", lambda row: row.word, "word", 14),
    Column("read_on", "Date", _day, "read_on", 13),
    Column("meter", "Meter", lambda row: _typed("meter", row), "meter", 11),
    Column("meter_hours", "Reading (h)", lambda row: _typed("meter_hours", row), width=11, right=True),
    Column("fault", "Why it can't be taken", lambda row: row.fault, "fault", 72),
    Column("landings", "Landings", lambda row: _typed("landings", row), width=9, right=True),
    Column("note", "Note", lambda row: _typed("note", row), width=18),
)
"""'Outcome': refused, new, or stands already."""


class PasteForm(Form):
    """The rows on the clipboard as they were read, and a button that records them."""

    def __init__(self, desk: Desk, page: AircraftPage, aircraft_id: int) -> None:
        super().__init__(
            "Paste meter readings", "Record readings", lambda _v: self._record(), page.close_form, SAYS
        )
        self._desk, self._page, self._aircraft_id = desk, page, aircraft_id
        words = Words("rows", "Nothing was pasted", "Copy the rows first.", "Paste what is on the clipboard")
        self.rows: HeldList[PastedRow] = HeldList(desk, "pasted-readings", ROWS, words, next_step=self.paste)
        self.rows.setMinimumHeight(desk.theme.sizes.of(20))
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
        try:
            rows = pasted_rows(QGuiApplication.clipboard().text(), self._desk.today)
        except Refused as refused:
            self.rows.take(())
            self.failed(refused)
            return
        aircraft_id, today = self._aircraft_id, self._desk.today
        self._desk.jobs.read(
            lambda work: _against_fleet(work, aircraft_id, rows, today), self, self._show, self.failed
        )

    def _show(self, rows: tuple[PastedRow, ...]) -> None:
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
        from annual_planner.records.many_readings import RecordReadings

        if not self.submit_button.isEnabled():
            return
        edit = RecordReadings(self._aircraft_id, _new(self.rows.held.rows))
        self._desk.jobs.write(edit, self, self._recorded, self.failed)

    def _recorded(self, _changed: Changed) -> None:
        count = len(_new(self.rows.held.rows))
        self._page.close_form()
        self._page.strip.say(
            f"{count} reading was recorded." if count == 1 else f"{count} readings were recorded.",
            "What is due follows from them. Undo takes them back as one.",
        )


def start_paste(page: AircraftPage) -> None:
    """Open the form on the airplane that is shown."""
    if page.aircraft_id is not None:
        page.open_form(PasteForm(page.desk, page, page.aircraft_id), whole=True)


def _new(rows: Sequence[PastedRow]) -> tuple[NewReading, ...]:
    return tuple(row.reading for row in rows if row.reading is not None and row.word == "new")


def _against_fleet(
    work: Work, aircraft_id: int, rows: Sequence[PastedRow], today: date
) -> tuple[PastedRow, ...]:
    """Each row with what the fleet says of it; one that couldn't be read keeps its fault."""
    from annual_planner.records.many_readings import look_through

    read = [row.reading for row in rows if row.reading is not None]
    looked = iter(look_through(work, aircraft_id, read, today))
    return tuple(row if row.reading is None else _told(row, next(looked)) for row in rows)


def _told(row: PastedRow, looked: Looked) -> PastedRow:
    return row.looked_at(looked.refused, looked.stands)
