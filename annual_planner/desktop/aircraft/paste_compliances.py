"""Compliances pasted from a spreadsheet."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import TYPE_CHECKING

from annual_planner.desktop.aircraft.paste_form import PasteForm, Pasting, cell
from annual_planner.desktop.aircraft.pasted import Kind, PastedRow, pasted_day
from annual_planner.desktop.column_room import LAST_RESORT
from annual_planner.desktop.columns import Column, day_text
from annual_planner.desktop.typed import read_decimal
from annual_planner.records.many_compliances import NewDoing, RecordCompliances, look_through
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.desktop.aircraft.page import AircraftPage

Row = PastedRow[NewDoing]
ORDER = ("done_on", "requirement", "done_hours", "method", "entry", "done_by")


def _read(of: Mapping[str, str], today: date) -> NewDoing:
    requirement, hours = of.get("requirement", ""), of.get("done_hours", "")
    if not requirement:
        raise Refused("It isn't said what was done.", "Give the requirement's title or directive number.")
    return NewDoing(
        pasted_day(of.get("done_on", ""), today),
        requirement,
        read_decimal(hours) if hours else None,
        method=of.get("method", ""),
        entry=of.get("entry", ""),
        done_by=of.get("done_by", ""),
        counts_on=of.get("counts_on", ""),
    )


COMPLIANCES = Kind(
    what="compliances",
    headings={
        "done_on": ("done on", "date", "day", "on"),
        "requirement": ("requirement", "what", "title", "item", "directive"),
        "done_hours": ("at (h)", "hours", "at", "done at (h)"),
        "method": ("how", "method"),
        "entry": ("entry", "entered"),
        "done_by": ("by", "done by", "who"),
        "counts_on": ("counts on", "on which"),
    },
    needed=frozenset({"done_on", "requirement"}),
    without_headings={wide: ORDER[:wide] for wide in range(2, len(ORDER) + 1)},
    ask="Copy the columns date, requirement and hours, or copy their headings too.",
    read=_read,
)


def _day(row: Row) -> str:
    return day_text(row.value.done_on) if row.value is not None else row.cells.get("done_on", "")


ROWS: tuple[Column[Row], ...] = (
    Column("line", "Row", lambda row: str(row.line), "line", 5, right=True, by=lambda row: row.line, aside=6),
    Column("word", "Outcome", lambda row: row.word, "word", 14),
    Column("done_on", "Done on", _day, "done_on", 13, aside=LAST_RESORT),
    Column("requirement", "Requirement", cell("requirement"), "requirement", 34),
    Column("done_hours", "At (h)", cell("done_hours"), "done_hours", 9, right=True, aside=5),
    Column("fault", "Why it can't be taken", lambda row: row.fault, "fault", 60),
    Column("counts_on", "Counts on", cell("counts_on"), "counts_on", 11, aside=1),
    Column("method", "How", cell("method"), "method", 16, aside=4),
    Column("entry", "Entry", cell("entry"), "entry", 16, aside=3),
    Column("done_by", "By", cell("done_by"), "done_by", 16, aside=2),
)
"""'Outcome': refused, new, or stands already."""

PASTING = Pasting(
    kind=COMPLIANCES,
    title="Paste compliances",
    verb="Record compliances",
    says=(
        "Copy the rows in the spreadsheet: date, requirement, hours; or any columns together with their"
        " headings (done on, requirement, at (h), how, entry, by, counts on). A requirement is known by its"
        " title or the number of its directive; hours are those of what it counts on. Nothing is recorded"
        " until you press the button; then all of it, and Undo takes it back as one."
    ),
    kept_as="pasted-compliances",
    columns=ROWS,
    look=look_through,
    edit=RecordCompliances,
)


def start_paste(page: AircraftPage) -> None:
    """Open the form on the airplane that is shown."""
    if page.aircraft_id is not None:
        page.open_form(PasteForm(page, page.aircraft_id, PASTING), whole=True)
