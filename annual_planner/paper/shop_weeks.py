"""The placed annuals on paper, across: a year in bays and weeks, then the visits week by week."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import BinaryIO

from annual_planner.paper.flow import Group, Section
from annual_planner.paper.look import sheet_of
from annual_planner.paper.running import Running
from annual_planner.paper.said import NOT_KNOWN, said_day, said_tenths
from annual_planner.paper.tables import Cell, CellLike, Column, table
from annual_planner.paper.text import gap, heading, paragraph, subheading
from annual_planner.paper.weeks_drawing import drawn_groups, legend
from annual_planner.paper.writing import About, Progress, write_document
from annual_planner.planning.shop_weeks.lanes import NO_BAY
from annual_planner.planning.shop_weeks.loads import WeekLoad, week_loads
from annual_planner.planning.shop_weeks.prices import week_price
from annual_planner.planning.shop_weeks.visits import Placed, WeeksAsked, WeeksPlan

TITLE, LISTED, NOWHERE = "Shop weeks", "Week by week", "Not placed"
COLUMNS = (
    Column("Airplane", 1.1), Column("Bay", 2.2), Column("In", 1.2), Column("Out", 1.2),
    Column("Latest day", 1.2), Column("Due", 1.2), Column("Hours", 0.75, "right"), Column("Pinned", 0.8),
    Column("Why there", 3.2),
)  # fmt: skip
LEFT_OUT = (
    Column("Airplane", 1.2),
    Column("Latest day", 1.2),
    Column("Hours", 0.8, "right"),
    Column("Why", 7),
)
SAYS = (
    "Latest day: the last day on which it may be flown in, by the early bound of what is due. Records and "
    "the certificated person decide what is lawful; past its due day it needs a special flight permit to fly."
)


def shop_weeks_pdf(
    asked: WeeksAsked,
    plan: WeeksPlan,
    left_out: Sequence[tuple[str, str]],
    target: Path | BinaryIO,
    *,
    today: date,
    page_size: str = "letter",
    demo: bool = False,
    progress: Progress | None = None,
) -> int:
    """Write the placed annuals and give the number of pages; `page_size` 'letter' or 'a4', laid across.

    `left_out`: airplanes that aren't in the question, each with the reason. Refused for another size, or when
    the path can't be written.
    """
    sheet = sheet_of(page_size, across=True)
    width, loads = sheet.frame_width, week_loads(asked, plan.placed)
    parts = [_drawn(asked, plan, loads, width), _listed(asked, loads, width)]
    if nowhere := _nowhere(plan, left_out):
        parts.append(_left(nowhere, width))
    span = f"{len(asked.weeks)} weeks from {said_day(asked.weeks[0].monday)}"
    running = Running(TITLE, "", said_day(today), demo, span, stands_as="plan")
    about = About(f"{TITLE}, {span}", "Annuals in bays and weeks; advises, never approves")
    return write_document(sheet, parts, running, about, target, progress=progress)


def _drawn(asked: WeeksAsked, plan: WeeksPlan, loads: Sequence[WeekLoad], width: float) -> Section:
    there = [each for each in plan.placed if each.week is not None]
    late = sum(is_late(each) for each in there)
    note = (
        f"{len(there)} of {len(plan.placed)} visits placed, {late} after their latest day; "
        f"{asked.kept_free:.0%} of the hours are kept free for findings (the line). "
        f"{_how_good(plan)}"
    )
    head = heading(TITLE, width, note=note.strip())
    first, *rest = drawn_groups(asked, plan, loads, width)
    return Section(TITLE, (replace(first, blocks=(head, legend(width), *first.blocks)), *rest))


def _how_good(plan: WeeksPlan) -> str:
    if plan.proven:
        return "No plan is cheaper by the shop's prices."
    return "" if plan.gap is None else f"At most {plan.gap:.1%} above the best price."


def is_late(placed: Placed) -> bool:
    """Say whether a visit begins after its latest day."""
    return placed.first_on is not None and placed.first_on > placed.visit.latest_on


def _listed(asked: WeeksAsked, loads: Sequence[WeekLoad], width: float) -> Section:
    """The visits under the week they begin in; weeks in which none begins are left out."""
    head = (heading(LISTED, width), paragraph(SAYS, width, kind="small", faint=True), gap(2))
    groups: list[Group] = []
    for load in loads:
        if load.begin:
            top = subheading(_week_said(asked, load), width)
            above = (*head, top) if not groups else (gap(8), top)
            groups += table(COLUMNS, [_row(asked, each) for each in load.begin], width, head=above)
    nothing = (Group((*head, paragraph("No visit is placed.", width))),)
    return Section(LISTED, tuple(groups) or nothing, needs=0.4)


def _week_said(asked: WeeksAsked, load: WeekLoad) -> str:
    days = len(load.week.open_days) * len(asked.bays)
    closed = ", ".join(day.said for day in load.week.closed)
    return (
        f"Week of {said_day(load.week.monday)}:  {load.hours:.0f} of {load.week.hours:.0f} hours,  "
        f"{load.bay_days} of {days} bay days" + (f",  closed {closed}" if closed else "")
    )


def _row(asked: WeeksAsked, placed: Placed) -> tuple[CellLike, ...]:
    visit, late = placed.visit, is_late(placed)
    why = week_price(asked, visit, asked.weeks[placed.week]).why if placed.week is not None else ()
    return (
        Cell(visit.title, bold=True),
        placed.bay or Cell(NO_BAY, bold=True),
        _said_weekday(placed.first_on),
        _said_weekday(placed.last_on),
        Cell(said_day(visit.latest_on), bold=late),
        said_day(visit.due_on),
        said_tenths(visit.hours),
        "pinned" if visit.pinned_on is not None else "",
        Cell("; ".join(why) or "nothing given up", bold=late),
    )


def _said_weekday(day: date | None) -> str:
    """Say a day below a heading that has its year."""
    return f"{day:%a} {day.day} {day:%b}" if day else NOT_KNOWN


def _nowhere(plan: WeeksPlan, left_out: Sequence[tuple[str, str]]) -> list[tuple[CellLike, ...]]:
    without = [
        (
            Cell(each.visit.title, bold=True),
            said_day(each.visit.latest_on),
            said_tenths(each.visit.hours),
            "no week had room",
        )
        for each in plan.placed
        if each.week is None
    ]
    return [*without, *((Cell(name, bold=True), "", "", why) for name, why in left_out)]


def _left(rows: Sequence[tuple[CellLike, ...]], width: float) -> Section:
    note = "These airplanes have no week; what is due stays due."
    return Section(
        NOWHERE, table(LEFT_OUT, rows, width, head=(heading(NOWHERE, width, note=note),)), needs=0.2
    )
