"""The history of an engine on paper: compression of each cylinder, gap of each plug, where they head."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from annual_planner.paper.engine_sheets.chart import Chart, Mark, chart_block, lines_needed
from annual_planner.paper.engine_sheets.compression_sheet import said_outlook, said_rule
from annual_planner.paper.engine_sheets.heads import title_of
from annual_planner.paper.flow import Block, Group, Section
from annual_planner.paper.said import said_day, said_tenths
from annual_planner.paper.tables import Cell, CellLike, Column, table
from annual_planner.paper.text import gap, heading, paragraph, subheading
from annual_planner.planning.engine_view import CylinderView, EngineView, LookView, PlaceView, PlugView
from annual_planner.trade.engines import Place
from annual_planner.trade.flow import REGULATED_PSI

WHAT = "History"
GAP_ABREAST = 4
BETWEEN = 10.0
PRESSURE_HIGH, GAP_HIGH = 74.0, 56.0
NO_RECORD = "No readings on record: nothing can be said."
HOW = (
    "Dots are readings as taken, joined where they belong to one series; hollow: an earlier series; crossed: "
    "cold, left out. Dashed: the limit. Grey wedge: where the next reading may meet the limit, two-sided "
    "90 %, no further than the readings carry. A trend says when to look again; limit and maker decide."
)
HOW_GAPS = (
    "Black: gap as found, hollow: as set. Grey strip: the limits of the plug type. A gap can be closed; "
    "the electrode ends a plug."
)
CHANGES = (
    Column("Date", 17),
    Column("Engine hours", 16, "right"),
    Column("Cylinder", 10),
    Column("Work", 40),
    Column("Serial", 20),
)
ROTATIONS = (
    Column("Date", 17),
    Column("Engine hours", 16, "right"),
    Column("Scheme", 40),
    Column("New gaskets", 12),
    Column("Note", 30),
)


def history_sheet(view: EngineView, width: float) -> Section:
    """Make the history sheet of an engine."""
    title = title_of(view, WHAT)
    hours = said_tenths(view.engine_hours)
    facts = f"{view.registration} · {view.engine_title} · {hours} h as of {said_day(view.today)}"
    pressures = [pressure_chart(view, each) for each in view.cylinders]
    gaps = [gap_chart(each.place, _plug(view, each)) for each in view.places]
    top = (
        heading(title, width, note=facts),
        subheading("Compression by cylinder, psi over engine hours", width),
        paragraph(f"{HOW} Rule: {said_rule(view)}.", width, kind="small"),
        gap(4),
    )
    between = (
        subheading("Gap by place, inch over the plug’s own hours", width),
        paragraph(HOW_GAPS, width, kind="small"),
        gap(4),
    )
    groups = [
        *_grid(pressures, width, pressures_abreast(len(pressures)), PRESSURE_HIGH, top),
        *_grid(gaps, width, GAP_ABREAST, GAP_HIGH, between),
        Group(tuple(_outlook(view, width))),
        *_changes(view, width),
        *_rotations(view, width),
    ]
    return Section(title, tuple(groups), own_sheet=True)


def pressures_abreast(count: int) -> int:
    """How many cylinders stand side by side: four where that fills the rows, else three.

    >>> pressures_abreast(4), pressures_abreast(6), pressures_abreast(9)
    (4, 3, 3)
    """
    return 4 if count % 4 == 0 and count % 3 else 3


def _grid(
    charts: Sequence[Chart], width: float, abreast: int, high: float, top: tuple[Block, ...]
) -> list[Group]:
    """Set charts in rows; the words above stay with the first row."""
    if not charts:
        return [Group((*top, paragraph(NO_RECORD, width)))]
    wide = (width - BETWEEN * (abreast - 1)) / abreast
    groups: list[Group] = []
    for start in range(0, len(charts), abreast):
        row = charts[start : start + abreast]
        lines = lines_needed(row, wide)
        groups.append(
            Group((_abreast([chart_block(each, wide, high, lines) for each in row], wide + BETWEEN),))
        )
    return [replace(groups[0], blocks=(*top, *groups[0].blocks)), *groups[1:]]


def _abreast(blocks: Sequence[Block], step: float) -> Block:
    from annual_planner.paper.pen import Pen

    def draw(pen: Pen, x: float, top: float) -> None:
        for number, block in enumerate(blocks):
            block.draw(pen, x + number * step, top)

    return Block(max(block.height for block in blocks), draw)


def pressure_chart(view: EngineView, cylinder: CylinderView) -> Chart:
    """The chart of one cylinder's readings."""
    series = cylinder.trend.value.series if cylinder.trend else ()
    cold = cylinder.trend.value.left_out if cylinder.trend else ()
    runs = [
        tuple(
            Mark(float(test.hours), test.reading_psi, hollow=number < len(series) - 1)
            for test in each.tests
            if test.hours is not None
        )
        for number, each in enumerate(series)
    ]
    crossed = [
        (Mark(float(test.hours), test.reading_psi, crossed=True),) for test in cold if test.hours is not None
    ]
    trend = cylinder.trend.value.trend if cylinder.trend else None
    lowest = lowest_good(view, cylinder)
    return Chart(
        title=f"Cylinder {cylinder.cylinder}",
        runs=(*crossed, *(run for run in runs if run)),
        low=lowest,
        high=None,
        heads_for=lowest,
        outlook=trend.outlook if trend else None,
        said=said_outlook(cylinder) or NO_RECORD,
        least=50.0,
        most=REGULATED_PSI,
        spell=lambda value: f"{value:g}",
    )


def lowest_good(view: EngineView, cylinder: CylinderView) -> float | None:
    """The lowest good reading of the latest test, or the rule's own at 80 psi; None where neither says."""
    if cylinder.latest_test is not None and cylinder.latest_test.lowest_good is not None:
        return cylinder.latest_test.lowest_good.value
    loss = view.rule.max_loss_fraction
    return None if loss is None else REGULATED_PSI * (1 - loss)


def _plug(view: EngineView, seat: PlaceView) -> PlugView | None:
    """The plug that came out of a place and lies in the tray, else the one that sits in it."""
    slot = view.tray.slot(seat.place) if view.tray else None
    return slot.plug if slot else seat.plug


def gap_chart(at: Place, plug: PlugView | None) -> Chart:
    """The chart of the gap of the plug of one place."""
    if plug is None:
        return _bare(str(at), "No plug on record.")
    kind = plug.plug_type
    wear = plug.wear.value.gap.trend if plug.wear else None
    said = wear.said if wear else f"{plug.type_title} is not in the library: no limits, no forecast"
    return Chart(
        title=f"{at}  {plug.tag}",
        runs=gap_runs(plug.looks),
        low=kind.gap_low_in if kind else None,
        high=kind.gap_high_in if kind else None,
        heads_for=kind.gap_high_in if kind else None,
        outlook=wear.outlook if wear else None,
        said=said,
        least=0.014,
        most=0.024,
        spell=lambda value: f"{value:.3f}",
    )


def gap_runs(looks: Sequence[LookView]) -> tuple[tuple[Mark, ...], ...]:
    """The gaps of a plug, oldest first, cut wherever one was set."""
    runs: list[list[Mark]] = [[]]
    for look in reversed(looks):
        if look.life_hours is None:
            continue
        hours = float(look.life_hours)
        if look.largest_gap_in is not None:
            runs[-1].append(Mark(hours, look.largest_gap_in))
        if look.line.set_gap_in is not None:
            runs.append([Mark(hours, look.line.set_gap_in, hollow=True)])
    return tuple(tuple(run) for run in runs if run)


def _bare(title: str, said: str) -> Chart:
    return Chart(title, (), None, None, None, None, said, 0.014, 0.024, lambda value: f"{value:.3f}")


def _outlook(view: EngineView, width: float) -> list[Block]:
    """Which plugs won't reach the next annual, and the cost of changing them now or later."""
    worked = view.outlook
    lines = [subheading("Plugs until the next annual", width)]
    if worked is None:
        lines.append(paragraph(view.outlook_refused, width))
    else:
        lines += [
            paragraph(f"{way[:1].upper()}{way[1:]}: {', '.join(places)}.", width)
            for way, places in worked.value.places.items()
            if places
        ]
    if worked and worked.value.cost_later:
        value = worked.value
        costs = (
            f"Changed now: {value.cost_now}, life given up {value.given_up}; at a visit of their own: "
            f"{value.cost_later} (shop’s money; common practice, no source)."
        )
        lines.append(paragraph(costs, width))
    return lines


def _changes(view: EngineView, width: float) -> list[Group]:
    changes = sorted(
        (change for each in view.cylinders for change in each.changes),
        key=lambda change: (change.changed_on, change.cylinder),
        reverse=True,
    )
    rows: list[list[CellLike]] = [
        [
            Cell(said_day(each.changed_on), bold=True),
            said_tenths(each.engine_hours),
            str(each.cylinder),
            each.what,
            each.serial,
        ]
        for each in changes
    ]
    if not rows:
        return []
    return list(table(CHANGES, rows, width, head=(subheading("Work on cylinders", width),)))


def _rotations(view: EngineView, width: float) -> list[Group]:
    titles = {each.value.scheme.key: each.value.scheme.title for each in view.schemes}
    rows: list[list[CellLike]] = [
        [
            Cell(said_day(each.rotated_on), bold=True),
            said_tenths(each.engine_hours),
            titles.get(each.scheme_key, each.scheme_key.replace("_", " ")),
            "" if each.new_gaskets is None else str(each.new_gaskets),
            "plugs are out" if each.state == "out" else each.note,
        ]
        for each in view.rotations
    ]
    if not rows:
        return []
    return list(table(ROTATIONS, rows, width, head=(subheading("Rotations", width),)))
