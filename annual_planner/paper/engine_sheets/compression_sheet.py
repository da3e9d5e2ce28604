"""The sheet for the differential compression test: safety, tester, each cylinder, what to do when low."""

from __future__ import annotations

from annual_planner.paper.engine_sheets.heads import (
    Cautions,
    blank_row,
    brief_cautions,
    full_cautions,
    head,
    title_of,
)
from annual_planner.paper.flow import Block, Group, Section
from annual_planner.paper.notes import notes_to_foot
from annual_planner.paper.said import said_day, said_number
from annual_planner.paper.steps import step_blocks
from annual_planner.paper.tables import Blank, Cell, CellLike, Column, table
from annual_planner.paper.text import gap, paragraph, subheading
from annual_planner.planning.engine_view import CylinderView, EngineView
from annual_planner.trade.compression_safety import SAFETY_STEPS
from annual_planner.trade.flow import REGULATED_PSI
from annual_planner.trade.trends import Why

WHAT = "Compression"
NOTE = "Hot, as soon as the engine has stopped. One low reading is a question, not an answer."
KEYS = ("compressed_air_cylinder", "propeller_live", "hot_engine")
RECHECK_KEYS = ("engine_running", *KEYS, "hydraulic_lock")
TESTER = (("tester", 1.5), ("in date until", 1.0), ("restrictor, in", 0.9), ("20 psi on both gauges?", 1.3))
MADE = (
    ("regulated, psi", 1.0),
    ("master reading, psi", 1.2),
    ("altimeter, inHg", 1.2),
    ("oil, °C or °F", 0.9),
    ("min since stop", 1.0),
    ("at the blade", 1.3),
)
READINGS = (
    Column("Cyl.", 7),
    Column("Last reading", 25),
    Column("Lowest good", 22),
    Column("Today, psi", 14),
    Column("Heard at no.", 15),
    Column("Read again", 14),
    Column("Outlook", 32),
)
RUNGS = (
    Column("", 4),
    Column("Low? In this order", 22),
    Column("How, and what it can show", 54),
    Column("psi, or seen", 14),
)


def compression_sheet(view: EngineView, width: float, cautions: Cautions) -> Section:
    """Make the compression sheet of an engine."""
    title = title_of(view, WHAT)
    safety = (
        subheading("Safety first", width),
        *step_blocks([f"{step.text}." for step in SAFETY_STEPS], width),
        gap(4),
        *full_cautions(cautions, KEYS, width),
    )
    groups = (
        Group((*head(view, title, NOTE, width), *safety)),
        Group(tuple(_tester(view, width))),
        *table(READINGS, _rows(view), width, head=(gap(6),)),
        Group(tuple(_legend(view, width))),
        *table(
            RUNGS,
            _rungs(view),
            width,
            head=(
                gap(4),
                subheading("Before a cylinder is condemned", width),
                *brief_cautions(cautions, RECHECK_KEYS, width),
            ),
        ),
    )
    return Section(title, groups, own_sheet=True, filler=notes_to_foot(width))


def said_rule(view: EngineView) -> str:
    """Say the rule of the engine type in one sentence."""
    rule = view.rule
    parts: list[str] = []
    if rule.max_loss_fraction is not None:
        lowest = REGULATED_PSI * (1 - rule.max_loss_fraction)
        parts.append(f"lowest good reading {lowest:g} psi at {REGULATED_PSI:g} psi put in, itself still good")
    if rule.master_floor:
        parts.append("no reading under that of the master restrictor, read today on the same tester")
    if rule.watch_below_psi is not None:
        parts.append(f"under {rule.watch_below_psi:g} psi look at it sooner")
    if rule.spread is not None:
        parts.append(
            f"more than {rule.spread.investigate_psi:g} psi between cylinders: investigate the weakest"
        )
    return f"{'; '.join(parts)} ({rule.citation})"


def _tester(view: EngineView, width: float) -> list[Block]:
    hole = view.restrictor.value
    wanted = (
        f"Restrictor {hole:.3f} in for a bore of {view.engine_type.bore_in:g} in "
        f"({view.engine_type.restrictor.source or 'engine type'}). Limits: {said_rule(view)}. "
        "The engine maker’s current instructions come first."
    )
    return [
        subheading("Tester and limits", width),
        paragraph(wanted, width),
        gap(2),
        blank_row(TESTER, width),
        gap(3),
        blank_row(MADE, width),
    ]


def _rows(view: EngineView) -> list[list[CellLike]]:
    """A row for each cylinder, in firing order: so the propeller is turned least."""
    rows: list[list[CellLike]] = []
    for number in view.engine_type.firing_order:
        cylinder = view.cylinder(number)
        rows.append(
            [
                Cell(str(number), bold=True),
                said_last(cylinder),
                _lowest(view),
                Blank(),
                Blank(),
                Blank(),
                short_outlook(cylinder),
            ]
        )
    return rows


def _lowest(view: EngineView) -> str:
    if view.rule.max_loss_fraction is not None:
        return f"{REGULATED_PSI * (1 - view.rule.max_loss_fraction):g} psi"
    return "master’s of today"


def said_last(cylinder: CylinderView | None) -> str:
    """Say a cylinder's last reading over the pressure put in, and its day."""
    if cylinder is None or cylinder.latest is None or cylinder.latest_test is None:
        return "none on record"
    test, line = cylinder.latest_test.line, cylinder.latest.line
    first = f" (first {said_number(line.first_psi)})" if line.first_psi is not None else ""
    cold = ", cold" if test.cold else ""
    return f"{line.reading_psi:g}/{test.regulated_psi:g}{first}{cold}, {said_day(test.tested_on)}"


def said_outlook(cylinder: CylinderView | None) -> str:
    """Say where a cylinder is heading, or why that can't be said."""
    if cylinder is None:
        return "no record"
    return cylinder.trend.value.trend.said if cylinder.trend is not None else cylinder.refused


def short_outlook(cylinder: CylinderView | None) -> str:
    """Say the outlook in one short line; the history sheet has the whole of it."""
    said = said_outlook(cylinder)
    trend = cylinder.trend.value.trend if cylinder and cylinder.trend else None
    if trend is None or trend.why_not is Why.TOO_FEW:
        return said.split(";")[0]
    return said.split(";")[0] if trend.outlook else said.split(":")[0]


def _legend(view: EngineView, width: float) -> list[Block]:
    heard = " · ".join(
        f"{number} {path.heard_at}: {path.path}" for number, path in enumerate(view.leak_paths, 1)
    )
    order = "-".join(str(each) for each in view.engine_type.firing_order)
    return [
        gap(3),
        paragraph(
            f"Cylinders in firing order {order}, so that the propeller is turned least.", width, kind="small"
        ),
        paragraph(f"Heard at: {heard}.", width, kind="small"),
    ]


def _rungs(view: EngineView) -> list[list[CellLike]]:
    return [
        [
            Cell(str(number), bold=True),
            Cell(step.title + ("" if step.needed else " (if it helps)"), bold=True),
            f"{step.text} It can show: {step.shows}",
            Blank(),
        ]
        for number, step in enumerate(view.ladder, 1)
    ]
