"""The list of discrepancies on paper, across: by airplane, with room for what is said in the meeting."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from itertools import groupby
from pathlib import Path
from typing import BinaryIO

from annual_planner.library.zone_words import zone_words
from annual_planner.paper.flow import Group, Section
from annual_planner.paper.look import sheet_of
from annual_planner.paper.running import Running
from annual_planner.paper.said import said_count, said_day, said_number
from annual_planner.paper.tables import Blank, Cell, CellLike, Column, table
from annual_planner.paper.text import gap, heading, paragraph, subheading
from annual_planner.paper.writing import About, write_document
from annual_planner.store.review_rows import ReviewLine

TITLE = "Open discrepancies"
COLUMNS = (
    Column("Found, age", 1.1), Column("Place", 1.0), Column("What", 3.2), Column("Airworthy", 0.9),
    Column("Risk", 1.1), Column("Decided, state", 1.2), Column("Waits for", 1.1),
    Column("Hours", 0.75, "right"), Column("Cost", 0.7, "right"), Column("Note", 1.6),
)  # fmt: skip
_AIRWORTHY = {True: "yes", False: "NO", None: "not judged"}


def review_pdf(
    lines: Sequence[ReviewLine],
    target: Path | BinaryIO,
    *,
    today: date,
    page_size: str = "letter",
    demo: bool = False,
) -> int:
    """Write the list and give its number of pages; `page_size` 'letter' or 'a4', laid across.

    Refused for another size, or when the path can't be written.
    """
    sheet = sheet_of(page_size, across=True)
    running = Running(TITLE, "", said_day(today), demo, "By airplane")
    about = About(f"{TITLE}, {said_day(today)}", "Review of discrepancies; advises, never approves")
    return write_document(sheet, (review_section(lines, sheet.frame_width, today),), running, about, target)


def review_section(lines: Sequence[ReviewLine], width: float, today: date) -> Section:
    """Lay the list out, each airplane under its registration."""
    unfit = sum(line.airworthy is False for line in lines)
    airplanes = len({line.aircraft_id for line in lines})
    note = f"{len(lines)} on {said_count(airplanes, 'airplane')}; {unfit} judged not airworthy."
    head = heading(TITLE, width, note=note)
    if not lines:
        return Section(TITLE, (Group((head, paragraph("Nothing is open.", width))),))
    in_order = sorted(lines, key=lambda line: (line.registration, line.found_on, line.discrepancy_id))
    groups: list[Group] = []
    for registration, some in groupby(in_order, key=lambda line: line.registration):
        here = list(some)
        top = subheading(
            f"{registration}  {here[0].model}, {here[0].owner or 'owner not written down'}", width
        )
        above = (head, top) if not groups else (gap(8), top)
        groups += table(COLUMNS, [_row(line, today) for line in here], width, head=above)
    return Section(TITLE, tuple(groups))


def _row(line: ReviewLine, today: date) -> tuple[CellLike, ...]:
    decided = ", ".join(each for each in (line.disposition, line.state) if each)
    waits = line.waits_for + (f" since {said_day(line.waits_since)}" if line.waits_since else "")
    return (
        f"{said_day(line.found_on)}, {line.age_days(today)} d",
        zone_words(line.zone),
        line.text,
        Cell(_AIRWORTHY[line.airworthy], bold=line.airworthy is False),
        line.risk,
        decided,
        waits,
        said_number(line.hours_estimate),
        said_number(line.cost_estimate),
        Blank(),
    )
