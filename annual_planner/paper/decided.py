"""What was decided for the visit: what is met now or left, each with its reason; cards and defects."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from decimal import Decimal

from annual_planner.library.zone_words import zone_words
from annual_planner.paper.flow import Group, Section
from annual_planner.paper.said import NOT_KNOWN, said_day, said_key, said_tenths
from annual_planner.paper.tables import Cell, CellLike, Column, table
from annual_planner.paper.text import gap, heading, paragraph, subheading
from annual_planner.planning.package_view import PackageView
from annual_planner.store.rows import CardLine, DiscrepancyLine, ItemLine

TITLE = "What was decided"

ITEMS = (
    Column("Requirement", 26),
    Column("Citation", 21),
    Column("Due", 14.5),
    Column("State", 13.5),
    Column("Reason", 37),
)
LEFT = (
    Column("Card", 7, "right"),
    Column("Left out of this visit", 45),
    Column("Phase", 14),
    Column("Why", 34),
)
DEFECTS = (
    Column("Found", 13),
    Column("Zone", 14),
    Column("Discrepancy", 43),
    Column("Airworthy", 12),
    Column("Decision", 18),
)


def decided(view: PackageView, width: float) -> Section:
    """Make the list of everything weighed for the visit."""
    head = heading(
        TITLE, width, note=f"Everything that falls due to {said_day(view.horizon_on)} was weighed."
    )
    now = [item for item in view.items if item.do_now]
    later = [item for item in view.items if not item.do_now]
    groups: list[Group] = [
        *_part("Do now", ITEMS, [_item_row(item) for item in now], width, "Nothing is due now.", head),
        *_part(
            "Leave for later", ITEMS, [_item_row(item) for item in later], width, "Nothing is left for later."
        ),
        *_part(
            "Open discrepancies", DEFECTS, [_defect_row(each) for each in view.discrepancies], width, "None."
        ),
        *_part("Cards left out", LEFT, [_left_row(card, later) for card in view.left_out], width, "None."),
    ]
    return Section(TITLE, tuple(groups))


def _part(
    title: str,
    columns: Sequence[Column],
    rows: Sequence[Sequence[CellLike]],
    width: float,
    none: str,
    *head: object,
) -> tuple[Group, ...]:
    blocks = [block for block in head if block is not None]
    top = (*blocks, subheading(title, width))
    if not rows:
        return (Group((*top, paragraph(none, width, faint=True), gap(6))),)  # type: ignore[arg-type]
    groups = table(columns, rows, width, head=top)  # type: ignore[arg-type]
    return (*groups, Group((gap(8),)))


def _item_row(item: ItemLine) -> list[CellLike]:
    due = item.due
    return [
        Cell(due.title, bold=True),
        "\n".join(text for text in (due.citation, due.force) if text),
        due_text(due.due_on, due.due_hours, due.counts_on),
        Cell(due.state, state=due.state) if due.state else "",
        _reason(item),
    ]


def due_text(on: date | None, hours: Decimal | None, counts_on: str = "") -> str:
    """Say a due point: its date, its hours (and whose, where not the airframe's), or both."""
    whose = f" {counts_on}" if counts_on and counts_on not in ("airframe", "none") else ""
    parts = [said_day(on)] if on else []
    parts += [f"{said_tenths(hours)} h{whose}"] if hours is not None else []
    return "\nor ".join(parts) or NOT_KNOWN


def _reason(item: ItemLine) -> str:
    changed = "Decided otherwise than proposed. " if item.do_now != item.proposed_now else ""
    reason = item.reason or item.due.note
    return changed + said_key(reason) if reason else changed or NOT_KNOWN


def _left_row(card: CardLine, later: Sequence[ItemLine]) -> list[CellLike]:
    return [str(card.number), card.title, said_key(card.phase), card.note or _why_left(card, later)]


def _why_left(card: CardLine, later: Sequence[ItemLine]) -> str:
    """Say why a card without a note stays out: what asked for it was left for later, above on this list."""
    asked = card.content.get("requirements")
    wanted = set(asked) if isinstance(asked, Sequence) and not isinstance(asked, str) else set()
    titles = [item.due.title for item in later if item.due.requirement_id in wanted]
    return f"Left for later: {', '.join(titles)}" if titles else NOT_KNOWN


def _defect_row(each: DiscrepancyLine) -> list[CellLike]:
    words = {True: "yes", False: "NO", None: "not judged"}
    return [
        said_day(each.found_on),
        zone_words(each.zone),
        each.text,
        Cell(words[each.airworthy], bold=each.airworthy is False),
        each.disposition or "open",
    ]
