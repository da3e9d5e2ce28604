"""The cover: which airplane, its times, what for, the state of the plan, what the paper holds."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from annual_planner.paper.faces import BOLD, REGULAR, broken, fitted, leading
from annual_planner.paper.flow import Block, Group, Section
from annual_planner.paper.look import FIRM, MM, THIN
from annual_planner.paper.notes import notes_to_foot
from annual_planner.paper.pen import Pen
from annual_planner.paper.said import NOT_KNOWN, said_count, said_day, said_key, said_tenths
from annual_planner.paper.signing import boxed_blanks
from annual_planner.paper.tables import Cell, Column, table
from annual_planner.paper.text import gap, labelled, paragraph, size_of, subheading
from annual_planner.planning.package_view import PackageView
from annual_planner.store.rows import AssemblyLine

TITLE = "Cover"
NOTICE = (
    "This plan advises; it approves nothing. The maker’s current instructions, the rules in force and the "
    "certificated person who signs decide. Look every limit, method and interval up in current data "
    "before work begins. A tick or a name on these sheets is no maintenance record entry and no approval "
    "for return to service."
)
USES = {"ifr": "instrument flight"}
"""Uses that are kept under a short word."""
DEMO = "DEMONSTRATION – invented airplane, people and numbers. Not for use on any real airplane."


def cover(view: PackageView, width: float, contents: Sequence[str]) -> Section:
    """Make the cover; page numbers of the contents are filled in when it is drawn."""
    blocks = [
        _name_plate(view, width),
        *([_demo_mark(width), gap(8)] if view.demo else []),
        *_particulars(view, width),
        gap(8),
        *_times(view, width),
        gap(10),
        _promises(width),
        gap(10),
        *_state(view, width),
        gap(6),
        _contents(contents, width),
        gap(6),
        notice(width),
    ]
    filler = notes_to_foot(width, "Notes on arrival")
    return Section(TITLE, (Group(tuple(blocks)),), own_sheet=True, filler=filler)


def notice(width: float) -> Block:
    """Frame the notice that the plan never approves."""
    size = size_of("body")
    lines = broken(NOTICE, REGULAR, size, width - 20)
    high = (len(lines) + 1) * leading(size) + 12

    def draw(pen: Pen, x: float, top: float) -> None:
        pen.box(x, top, width, high, edge=pen.shades.ink, weight=FIRM)
        pen.bold(x + 10, top - 5, "Advises, never approves", size)
        pen.write_lines(x + 10, top - 5 - leading(size), lines, size)

    return Block(high, draw)


def _name_plate(view: PackageView, width: float) -> Block:
    plane, package = view.aircraft, view.package
    title, heading, body = size_of("title"), size_of("heading"), size_of("body")
    model = broken(f"{plane.maker} {plane.model}, serial {plane.serial}", REGULAR, heading, width)
    name = broken(plane.registration, BOLD, title, width)
    purpose = broken(package.title, BOLD, heading, width)
    high = len(name) * leading(title) + (len(model) + len(purpose)) * leading(heading) + leading(body) + 26

    def draw(pen: Pen, x: float, top: float) -> None:
        number = fitted(f"Work package {package.number}", REGULAR, body, width)
        pen.write(x, top, number, body, colour=pen.shades.faint)
        y = top - leading(body) - 2
        pen.write_lines(x, y, name, title, face=BOLD, colour=pen.shades.accent)
        y -= len(name) * leading(title) + 2
        pen.write_lines(x, y, model, heading)
        y -= len(model) * leading(heading) + 4
        pen.accent_rule(x, y, width)
        pen.write_lines(x, y - 4, purpose, heading, face=BOLD)

    return Block(high, draw)


def _demo_mark(width: float) -> Block:
    size = size_of("body")
    high = leading(size) + 10

    def draw(pen: Pen, x: float, top: float) -> None:
        pen.canvas.setDash(4, 2)
        pen.box(x, top, width, high, edge=pen.shades.ink, weight=FIRM)
        pen.canvas.setDash()
        pen.write(x + width / 2, top - 5, DEMO, size, face=BOLD, align="center")

    return Block(high, draw)


def _particulars(view: PackageView, width: float) -> list[Block]:
    plane = view.aircraft
    built = str(plane.year_built) if plane.year_built else NOT_KNOWN
    per_month = (
        f"{said_tenths(plane.hours_per_month)} h a month" if plane.hours_per_month is not None else NOT_KNOWN
    )
    use = ", ".join(USES.get(use, use) for use in plane.uses) or "private"
    visit = f"begins {said_day(view.package.start_on)} · weighed up to {said_day(view.horizon_on)}"
    rows = [
        ("Owner", f"{plane.owner or NOT_KNOWN} · based at {plane.base or NOT_KNOWN}"),
        (
            "Airplane",
            f"{said_key(plane.category)} category, built {built} · use: {use} · flown about {per_month}",
        ),
        ("Visit", visit),
    ]
    return [labelled(label, text, width) for label, text in rows]


def _times(view: PackageView, width: float) -> list[Block]:
    plane = view.aircraft
    columns = (
        Column("Times by assembly", 20),
        Column("Maker, model", 30),
        Column("Serial", 18),
        Column("Hours now", 14, "right"),
        Column("Since overhaul", 16, "right"),
    )
    fitted = [line for line in view.assemblies if line.removed_on is None]
    kinds = Counter(line.kind for line in fitted)
    rows = [_assembly_row(line, several=kinds[line.kind] > 1) for line in fitted]
    if not any(line.kind == "airframe" for line in fitted):
        rows.insert(
            0,
            [
                Cell("Airframe", bold=True),
                f"{plane.maker} {plane.model}",
                plane.serial,
                said_tenths(plane.hours_now),
                NOT_KNOWN,
            ],
        )
    landings = f" · {plane.landings_now:,} landings" if plane.landings_now is not None else ""
    note = f"Read on {said_day(plane.read_on)}{landings}. Write the meters down again on arrival."
    groups = table(columns, rows, width)
    return [block for group in groups for block in group.blocks] + [
        gap(2),
        paragraph(note, width, kind="small", faint=True),
    ]


def _assembly_row(line: AssemblyLine, *, several: bool) -> list[str | Cell]:
    name = said_key(line.kind) + (f" {line.position}" if several else "")
    return [
        Cell(name, bold=True),
        f"{line.maker} {line.model}",
        line.serial,
        said_tenths(line.hours_now),
        said_tenths(line.hours_since_overhaul),
    ]


def _promises(width: float) -> Block:
    fields = (
        ("arrived on", 1.0),
        ("tach on arrival", 1.0),
        ("promised ready on", 1.2),
        ("agreed with owner (name, date)", 1.8),
    )
    return boxed_blanks("Dates and promises, filled in by hand", fields, width)


def _state(view: PackageView, width: float) -> list[Block]:
    now = sum(item.do_now for item in view.items)
    total = sum(hours.likely for hours in view.hours)
    low, high = sum(hours.low for hours in view.hours), sum(hours.high for hours in view.hours)
    opened = sum(1 for each in view.discrepancies if each.closed_on is None)
    plan = f"As it stood on {said_day(view.today)}: {view.package.state}."
    cards = (
        f"{said_count(len(view.cards), 'card')} in, {len(view.left_out)} left out · "
        f"about {total:,.1f} working hours (between {low:,.1f} and {high:,.1f})."
    )
    items = (
        f"{said_count(now, 'requirement')} to be met now, {len(view.items) - now} left for later · "
        f"{said_count(opened, 'open discrepancy', 'open discrepancies')} brought along."
    )
    lines = (plan, cards, items)
    return [subheading("State of the plan", width), *(paragraph(line, width) for line in lines)]


def _contents(titles: Sequence[str], width: float) -> Block:
    size = size_of("body")
    half = (len(titles) + 1) // 2
    row = leading(size) + 3
    column = (width - 8 * MM) / 2

    def draw(pen: Pen, x: float, top: float) -> None:
        pen.bold(x, top, "In this paper", size_of("subheading"))
        for number, title in enumerate(titles):
            left = x + (number // half) * (column + 8 * MM)
            y = top - 18 - (number % half) * row
            pen.write(left, y, title, size)
            pen.write(left + column, y, str(pen.page_of.get(title, "")), size, align="right")
            pen.rule(left, y - row + 1, column, weight=THIN)

    return Block(18 + half * row + 2, draw)
