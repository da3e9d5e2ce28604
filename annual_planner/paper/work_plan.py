"""A laid-out annual on paper, across: bars by person over the working days, the cards, the owner's days."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from itertools import groupby
from pathlib import Path
from typing import BinaryIO

from annual_planner.paper.faces import REGULAR, width_of
from annual_planner.paper.flow import Block, Group, Section
from annual_planner.paper.look import FIRM, HAIR, sheet_of
from annual_planner.paper.owner_days import owner_days_section
from annual_planner.paper.pen import Pen
from annual_planner.paper.running import Running
from annual_planner.paper.said import said_day
from annual_planner.paper.tables import Cell, Column, table
from annual_planner.paper.text import gap, heading, subheading
from annual_planner.paper.writing import About, write_document
from annual_planner.planning.crew.open_time import said_moment
from annual_planner.planning.owner_days import OwnerDay
from annual_planner.planning.timeline import Axis, Bar, axis_of, rows_of

DAYS_ACROSS = 2
"""Working days beside each other on one sheet; more go below."""

BOLD_IS = "Bold: one of the waits that make the finish. Waits for: the card before, and whom or what it has."

ROW, NAMES, SMALL = 22.0, 100.0, 7.0
CARDS = (
    Column("From, to", 1.45), Column("Card", 4.5), Column("Who", 2.05), Column("Zone", 1.9),
    Column("Waits for", 2.4),
)  # fmt: skip


def work_plan_pdf(
    bars: Sequence[Bar],
    target: Path | BinaryIO,
    *,
    registration: str,
    number: str,
    finish: str,
    today: date,
    page_size: str = "letter",
    demo: bool = False,
    owner: str = "",
    owner_days: Sequence[OwnerDay] = (),
) -> int:
    """Write the plan and give its number of pages; `page_size` 'letter' or 'a4', laid across.

    `owner_days`: what the owner, of that name, does on which day; on sheets of their own at the end. Refused
    for another size, or when the path can't be written.
    """
    sheet = sheet_of(page_size, across=True)
    width = sheet.frame_width
    parts = [_drawn(bars, width, finish), _listed(bars, width)]
    if owner_days:
        parts.append(owner_days_section(owner, registration, owner_days, width))
    running = Running(registration, number, said_day(today), demo)
    about = About(f"{registration} work plan", "Who does what and when; advises, never approves")
    return write_document(sheet, parts, running, about, target)


def _drawn(bars: Sequence[Bar], width: float, finish: str) -> Section:
    """The bars of some days at a time."""
    head = heading(
        "Who and when",
        width,
        note=f"Plan: {finish}. A firm line below a bar: one of the waits that make the finish.",
    )
    axis = axis_of(bars)
    if axis is None:
        return Section("Who and when", (Group((head,)),))
    groups = []
    for first in range(0, len(axis.days), DAYS_ACROSS):
        lines = _Strip(tuple(bars), replace(axis, days=axis.days[first : first + DAYS_ACROSS]), width)
        strip = Block(lines.height, lines.draw)
        groups.append(Group((head, strip) if first == 0 else (gap(10), strip)))
    return Section("Who and when", tuple(groups))


def _listed(bars: Sequence[Bar], width: float) -> Section:
    """The cards under the day they begin on."""
    groups: list[Group] = []
    for day, some in groupby(bars, key=lambda bar: bar.starts.date()):
        top = subheading(f"{day:%A} {said_day(day)}", width)
        above = (heading("Day by day", width, note=BOLD_IS), top) if not groups else (gap(8), top)
        groups += table(CARDS, [_row(bar) for bar in some], width, head=above)
    return Section("Day by day", tuple(groups))


def _row(bar: Bar) -> tuple[str | Cell, ...]:
    same = bar.starts.date() == bar.ends.date()
    ends = f"{bar.ends:%H:%M}" if same else said_moment(bar.ends)
    title = Cell(bar.title, bold=bar.critical)
    return (f"{bar.starts:%H:%M}–{ends}", title, ", ".join(bar.people) or "sent out", bar.zone, bar.brief)


@dataclass(frozen=True, slots=True)
class _Strip:
    """Bars of all people over some days."""

    bars: tuple[Bar, ...]
    axis: Axis
    width: float

    @property
    def rows(self) -> list[tuple[str, tuple[Bar, ...]]]:
        """People with what they do."""
        return rows_of(self.bars, "person")

    @property
    def height(self) -> float:
        """Height in points."""
        return 16 + ROW * len(self.rows) + 2

    def draw(self, pen: Pen, x: float, top: float) -> None:
        """Draw days, names and bars, ink on white."""
        wide = (self.width - NAMES) / DAYS_ACROSS
        for place, day in enumerate(self.axis.days):
            left = x + NAMES + place * wide
            pen.upright(left, top, self.height, weight=HAIR)
            pen.write(left + 3, top - 2, f"{day:%a} {day.day} {day:%b}", SMALL + 1)
        for row, (name, bars) in enumerate(self.rows):
            upper = top - 16 - row * ROW
            pen.rule(x, upper, self.width)
            pen.write(x, upper - 5, _fitted(name, NAMES - 6), SMALL + 1)
            for bar in bars:
                self._bar(pen, bar, x + NAMES, upper - 3, wide)

    def _bar(self, pen: Pen, bar: Bar, x: float, top: float, wide: float) -> None:
        reach = self._reach(bar)
        if reach is None:
            return
        left = x + self.axis.at(reach[0]) * wide
        long = max(x + self.axis.at(reach[1]) * wide - left, 1.5)
        pen.box(left, top, long, ROW - 6, edge=pen.shades.ink, weight=HAIR)
        if bar.critical:
            pen.rule(left, top - ROW + 7, long, weight=FIRM, colour=pen.shades.ink)
        pen.write(left + 2, top - 3, _fitted(bar.title, long - 3), SMALL)

    def _reach(self, bar: Bar) -> tuple[datetime, datetime] | None:
        """From when to when a bar lies on these days; work sent out has no hours of people, only an end."""
        days = self.axis.days
        if bar.pieces:
            here = [piece for piece in bar.pieces if piece.start.date() in days]
            return (here[0].start, here[-1].end) if here else None
        beside = bar.starts.date() > days[-1] or bar.ends.date() < days[0]
        return None if beside else (bar.starts, bar.ends)


def _fitted(text: str, room: float) -> str:
    """As much of a title as there is room for; where that is little its number alone, or nothing."""
    number, whole = text.split(" ")[0], text
    if width_of(text, REGULAR, SMALL) <= room:
        return text
    while text and width_of(f"{text}…", REGULAR, SMALL) > room:
        text = text[:-1]
    if len(text) > len(number) + 3:
        return f"{text.rstrip()}…"
    return number if number != whole and width_of(number, REGULAR, SMALL) <= room else ""
