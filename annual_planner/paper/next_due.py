"""What is due next after this visit if all of it is done, and lines for ink signatures."""

from __future__ import annotations

from annual_planner.paper.decided import due_text
from annual_planner.paper.flow import Group, Section
from annual_planner.paper.look import MM
from annual_planner.paper.notes import notes_to_foot
from annual_planner.paper.signing import boxed_blanks
from annual_planner.paper.tables import Cell, CellLike, Column, table
from annual_planner.paper.text import gap, heading, paragraph, subheading
from annual_planner.planning.package_view import DueAfter, PackageView

TITLE = "Next due, and signatures"
COLUMNS = (
    Column("Requirement", 36),
    Column("Citation", 26),
    Column("Counts on", 14),
    Column("At this visit", 14),
    Column("Next due", 20),
    Column("State then", 16),
)
SIGNERS = (
    "Mechanic in charge of the work",
    "Person who made the inspection",
    "Owner or operator, papers received",
)


def next_due(view: PackageView, width: float) -> Section:
    """Make the due list after the visit with the signature lines under it."""
    note = (
        "True only if everything on this package is done and entered; the hours counted at the plan’s date."
    )
    rows = [_row(each) for each in view.due_after]
    head = (heading(TITLE, width, note=note),)
    listed = (
        table(COLUMNS, rows, width, head=head)
        if rows
        else (Group((*head, paragraph("No requirements.", width))),)
    )
    return Section(TITLE, (*listed, _signatures(width)), filler=notes_to_foot(width, "Remarks"))


def _row(each: DueAfter) -> list[CellLike]:
    return [
        Cell(each.title, bold=each.done_now),
        each.citation,
        each.counts_on,
        Cell("to do", bold=True) if each.done_now else "left",
        due_text(each.due_on, each.due_hours),
        Cell(each.state, state=each.state) if each.state else "",
    ]


def _signatures(width: float) -> Group:
    fields = (("name in print", 1.5), ("certificate no., kind", 1.3), ("date", 0.8), ("signature", 1.6))
    blanks = [block for who in SIGNERS for block in (boxed_blanks(who, fields, width), gap(2 * MM))]
    text = (
        "These lines are for the shop’s file and witness that the sheets were gone through. The entries "
        "owed under 14 CFR 43.9 and 43.11 stand in the maintenance records of airframe, engine and "
        "propeller."
    )
    return Group((gap(8), subheading("Signatures in ink", width), paragraph(text, width), gap(4), *blanks))
