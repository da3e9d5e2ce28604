"""Parts and tools of the whole package, with boxes for ordered and received."""

from __future__ import annotations

from annual_planner.paper.flow import Section
from annual_planner.paper.said import said_cards, said_number
from annual_planner.paper.tables import Blank, Cell, CellLike, Column, Tick, table
from annual_planner.paper.text import gap, heading, paragraph, subheading
from annual_planner.planning.package_view import PackageView, PartNeed

TITLE = "Parts and tools"
PARTS = (
    Column("Part", 40),
    Column("Quantity", 16, "right"),
    Column("Cards", 18),
    Column("Ordered", 10),
    Column("Received", 10),
    Column("Part no. by the maker’s catalog", 26),
)
TOOLS = (Column("Tool", 52), Column("Cards", 36), Column("At hand", 12), Column("Calibrated until", 20))


def supplies(view: PackageView, width: float) -> Section:
    """Make the list of what to buy and what to have at hand."""
    note = "Quantities are over all cards of the package. Part numbers come from the maker’s current catalog only."
    head = (heading(TITLE, width, note=note),)
    fitted = [_part_row(part) for part in view.parts if not part.consumable]
    used = [_part_row(part) for part in view.parts if part.consumable]
    tools: list[list[CellLike]] = [
        [Cell(tool.name), said_cards(tool.card_numbers), Tick(), Blank()] for tool in view.tools
    ]
    groups = [
        *table(PARTS, fitted or [_none()], width, head=(*head, subheading("Parts", width))),
        *table(PARTS, used or [_none()], width, head=(gap(8), subheading("Consumables", width))),
        *table(TOOLS, tools or [["none", "", "", ""]], width, head=(gap(8), subheading("Tools", width))),
    ]
    last = groups.pop()
    closing = (gap(4), paragraph(
        "A gauge or wrench whose reading decides needs a calibration that is in date.", width, kind="small", faint=True
    ))  # fmt: skip
    groups.append(type(last)((*last.blocks, *closing), running=last.running, continued=last.continued))
    return Section(TITLE, tuple(groups))


def _part_row(part: PartNeed) -> list[CellLike]:
    amount = f"{said_number(part.quantity)} {part.unit}"
    return [Cell(part.name), amount, said_cards(part.card_numbers), Tick(), Tick(), Blank()]


def _none() -> list[CellLike]:
    return ["none", "", "", "", "", ""]
