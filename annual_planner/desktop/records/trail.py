"""The audit trail: who changed what, when, and beside it from what to what, field by field."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date
from html import escape
from typing import TYPE_CHECKING

from annual_planner.desktop.column_room import LAST_RESORT
from annual_planner.desktop.columns import Column, day_text
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.listing import Words
from annual_planner.desktop.moment import moment_with_zone
from annual_planner.desktop.records.stored_part import Reads, StoredPart, Whose
from annual_planner.desktop.source import Query
from annual_planner.store.trail_reads import TrailLine, trail_ids, trail_lines

if TYPE_CHECKING:
    from annual_planner.store.session import Work

COLUMNS: tuple[Column[TrailLine], ...] = (
    Column(
        "changed_at",
        "When",
        lambda each: moment_with_zone(each.changed_at),
        "changed_at",
        21,
        aside=LAST_RESORT,
    ),
    Column("what", "What", lambda each: each.what, width=40),
    Column("changed_by", "By", lambda each: each.changed_by, width=18, aside=1),
    Column("registration", "Airplane", lambda each: each.registration, width=10, aside=2),
    Column("table", "Kept in", lambda each: _kept_in(each), width=22, hidden=True),
)
WORDS = Words("changes", "Nothing was changed yet", "Every change that is saved is written here.")
NOTHING = "nothing"
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", re.ASCII)


class TrailPart(StoredPart[TrailLine]):
    """The trail of the fleet or of one airplane; nothing here can be changed."""

    def __init__(self, desk: Desk) -> None:
        reads = Reads(_ids, trail_lines, lambda line: line.audit_id, lambda _work, line: change_html(line))
        super().__init__(desk, "records trail", COLUMNS, reads, WORDS)
        self.text.setAccessibleName("The chosen change, field by field")
        desk.jobs.changed.connect(lambda _kinds: self.ask_again())


def _ids(work: Work, query: Query, whose: Whose) -> list[int]:
    oldest_first = query.order == "changed_at" and not query.descending
    return trail_ids(
        work,
        aircraft_id=whose.aircraft_id,
        owner_id=whose.owner_id,
        search=query.search,
        oldest_first=oldest_first,
    )


def change_html(line: TrailLine) -> str:
    """One change: its words, who and when, and each field before and after."""
    when = moment_with_zone(line.changed_at)
    head = f"<p><b>{escape(line.what)}</b></p><p>{escape(line.changed_by)}, {when}</p>"
    rows = "".join(_row(name, line.before, line.after) for name in _names(line))
    headings = "".join(f"<th align='left'>{each}</th>" for each in ("Field", "Before", "After"))
    table = f"<table cellpadding='4'><tr>{headings}</tr>{rows}</table>"
    foot = f"<p>{escape(_kept_in(line))}, line {line.audit_id} of the trail</p>"
    return head + (table if rows else "") + foot


def _kept_in(line: TrailLine) -> str:
    return f"{line.table.replace('_', ' ')} {line.row_id}"


def _names(line: TrailLine) -> Sequence[str]:
    """Fields that the change touched, in one order."""
    return sorted({*line.before, *line.after})


def _row(name: str, before: dict[str, object], after: dict[str, object]) -> str:
    cells = (name.replace("_", " "), _said(before.get(name)), _said(after.get(name)))
    return f"<tr>{''.join(f'<td>{escape(cell)}</td>' for cell in cells)}</tr>"


def _said(value: object) -> str:
    if value is None or value == "" or value == []:
        return NOTHING
    if isinstance(value, bool):
        return "yes" if value else "no"
    return day_text(date.fromisoformat(str(value))) if _DAY.fullmatch(str(value)) else str(value)
