"""Parts and tools of the whole package, with boxes for ordered and received."""

from __future__ import annotations

from collections.abc import Sequence

from annual_planner.paper.flow import Section
from annual_planner.paper.notes import notes_to_foot
from annual_planner.paper.said import said_cards, said_number
from annual_planner.paper.tables import Blank, Cell, CellLike, Column, Tick, table
from annual_planner.paper.text import gap, heading, paragraph, subheading
from annual_planner.planning.package_view import PackageView, PartNeed, ToolNeed

TITLE = "Parts and tools"
NOTE = "Quantities are over all cards. Part numbers come from the maker’s current catalog only."
GAUGES = "A gauge or wrench whose reading decides needs a calibration that is in date."
PARTS = (
    Column("Part", 38),
    Column("Quantity", 14, "right"),
    Column("Cards", 18),
    Column("Ordered", 10),
    Column("Received", 10),
    Column("Part no. by catalog", 26),
)
ABREAST = 4
"""Tools beside one another: an annual needs many, and each is a word or two."""
MOST_NAMED = 6
TOOLS = (Column("Here", 8), Column("Tool, cards", 27)) * ABREAST


def supplies(view: PackageView, width: float) -> Section:
    """Make the list of what to buy and what to have at hand."""
    head = (heading(TITLE, width, note=NOTE),)
    needed = [part for part in view.parts if part.quantity]  # an airplane without plugs wants 0 gaskets
    fitted = [_part_row(part) for part in needed if not part.consumable]
    used = [_part_row(part) for part in needed if part.consumable]
    tools = [_tool_row(view.tools[place : place + ABREAST]) for place in range(0, len(view.tools), ABREAST)]
    groups = [
        *table(PARTS, fitted or [_none()], width, head=(*head, subheading("Parts", width))),
        *table(PARTS, used or [_none()], width, head=(gap(8), subheading("Consumables", width))),
        *table(
            TOOLS,
            tools or [["", "none", *[""] * (len(TOOLS) - 2)]],
            width,
            head=(gap(8), subheading("Tools", width)),
        ),
    ]
    last = groups.pop().followed_by(gap(4), paragraph(GAUGES, width, kind="small", faint=True))
    return Section(TITLE, (*groups, last), filler=notes_to_foot(width, "More parts and tools"))


def _tool_row(abreast: Sequence[ToolNeed]) -> list[CellLike]:
    cells: list[CellLike] = []
    for tool in abreast:
        cells += [Tick(), Cell(tool.name, quiet=_wanted_on(tool))]
    return cells + [""] * (len(TOOLS) - len(cells))


def _wanted_on(tool: ToolNeed) -> str:
    """Say the cards that want a tool; of one wanted everywhere only how many, each card names it anyway."""
    many = len(set(tool.card_numbers))
    if many > MOST_NAMED:
        return f"{many} cards"
    return f"card{'' if many == 1 else 's'} {said_cards(tool.card_numbers)}"


def _part_row(part: PartNeed) -> list[CellLike]:
    amount = f"{said_number(part.quantity)} {part.unit}"
    return [
        Cell(part.name, quiet=part.reason),
        amount,
        said_cards(part.card_numbers, most=9),
        Tick(),
        Tick(),
        Blank(),
    ]


def _none() -> list[CellLike]:
    return ["none", "", "", "", "", ""]
