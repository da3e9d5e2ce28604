"""Meter readings pasted from a spreadsheet."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import TYPE_CHECKING

from annual_planner.desktop.aircraft.paste_form import PasteForm, Pasting, cell
from annual_planner.desktop.aircraft.pasted import Kind, PastedRow, pasted_day
from annual_planner.desktop.column_room import LAST_RESORT
from annual_planner.desktop.columns import Column, day_text
from annual_planner.desktop.typed import read_count, read_decimal
from annual_planner.records.many_readings import NewReading, RecordReadings, look_through

if TYPE_CHECKING:
    from annual_planner.desktop.aircraft.page import AircraftPage

Row = PastedRow[NewReading]


def _read(of: Mapping[str, str], today: date) -> NewReading:
    landings = of.get("landings", "")
    return NewReading(
        pasted_day(of.get("read_on", ""), today),
        read_decimal(of.get("meter_hours", "")),
        of.get("meter", ""),
        read_count(landings, "landings") if landings else None,
        of.get("note", ""),
    )


READINGS = Kind(
    what="readings",
    headings={
        "read_on": ("date", "day", "read on", "on"),
        "meter_hours": ("reading", "hours", "meter (h)", "meter hours", "meter shows", "shows"),
        "meter": ("meter", "which meter", "kind"),
        "landings": ("landings", "landings in all"),
        "note": ("note", "notes", "remark", "remarks"),
    },
    needed=frozenset({"read_on", "meter_hours"}),
    without_headings={
        2: ("read_on", "meter_hours"),
        3: ("read_on", "meter", "meter_hours"),
        4: ("read_on", "meter", "meter_hours", "landings"),
        5: ("read_on", "meter", "meter_hours", "landings", "note"),
    },
    ask="Copy the columns date, meter and reading, or copy their headings too.",
    read=_read,
)


def _day(row: Row) -> str:
    return day_text(row.value.read_on) if row.value is not None else row.cells.get("read_on", "")


ROWS: tuple[Column[Row], ...] = (
    Column("line", "Row", lambda row: str(row.line), "line", 5, right=True, by=lambda row: row.line, aside=6),
    Column("word", "Outcome", lambda row: row.word, "word", 14),
    Column("read_on", "Date", _day, "read_on", 13),
    Column("meter", "Meter", cell("meter"), "meter", 11, aside=2),
    Column(
        "meter_hours", "Reading (h)", cell("meter_hours"), "meter_hours", 11, right=True, aside=LAST_RESORT
    ),
    Column("fault", "Why it can't be taken", lambda row: row.fault, "fault", 72),
    Column("landings", "Landings", cell("landings"), "landings", width=9, right=True, aside=3),
    Column("note", "Note", cell("note"), "note", width=18, aside=1),
)
"""'Outcome': refused, new, or stands already."""

PASTING = Pasting(
    kind=READINGS,
    title="Paste meter readings",
    verb="Record readings",
    says=(
        "Copy the rows in the spreadsheet: date, meter, reading; or any columns together with their headings"
        " (date, meter, reading, landings, note). Nothing is recorded until you press the button; then all of"
        " it, and Undo takes it back as one."
    ),
    kept_as="pasted-readings",
    columns=ROWS,
    look=look_through,
    edit=RecordReadings,
)


def start_paste(page: AircraftPage) -> None:
    """Open the form on the airplane that is shown."""
    if page.aircraft_id is not None:
        page.open_form(PasteForm(page, page.aircraft_id, PASTING), whole=True)
