"""`review`: the open discrepancies of the fleet."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from contextlib import closing
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from annual_planner.commands.opened import check_paper, fleet_today, give, opened, paper_said, tell
from annual_planner.commands.options import (
    DONE,
    add_command,
    airplane_option,
    fleet_options,
    form_option,
    paper_option,
)
from annual_planner.trade.discrepancy_life import WAITS
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.commands.options import Commands
    from annual_planner.store.review_rows import ReviewLine


def add(commands: Commands) -> None:
    """Add the command."""
    review = add_command(commands, "review", "list the open discrepancies of the fleet", _review)
    fleet_options(review)
    airplane_option(review, required=False)
    waits, text = (*WAITS, "nobody"), "only those that wait for them"
    review.add_argument("--waits-for", dest="waits_for", choices=waits, default="", help=text)
    form_option(review, "table", "csv", "json", "xlsx")
    text = "write it to this new file instead of showing it; --as xlsx needs it"
    review.add_argument("--out", type=Path, metavar="FILE", help=text)
    review.add_argument("--pdf", type=Path, metavar="OUT.pdf", help="write the list on paper here too")
    paper_option(review)


def _review(asked: argparse.Namespace) -> int:
    from annual_planner.store.discrepancy_reads import review_ids, review_lines
    from annual_planner.store.fleet_reads import find_aircraft, fleet_fact
    from annual_planner.store.review_rows import Filter

    if asked.form == "xlsx" and asked.out is None:
        raise Refused("A workbook can't be shown here.", "Name a file with --out.")
    check_paper(asked)
    with closing(opened(asked.fleet, read_only=True)) as fleet, fleet.reading() as work:
        aircraft_id = find_aircraft(work, asked.aircraft) if asked.aircraft is not None else None
        which = Filter(aircraft_id=aircraft_id, waits_for=asked.waits_for)
        lines = review_lines(work, review_ids(work, which))
        demo = fleet_fact(work, "demo") == "yes"
        today = asked.today or fleet_today(work)
    answer = _review_as(asked.form, lines, today)
    if asked.out:
        give(answer, asked.out, "list")
    if asked.pdf:
        from annual_planner.paper.review import review_pdf

        pages = review_pdf(lines, asked.pdf, today=today, page_size=asked.paper, demo=demo)
        tell(paper_said("paper list", asked.pdf, pages))
    if not asked.out:
        give(answer, None, "list")
    return DONE


def _review_as(form: str, lines: Sequence[ReviewLine], today: date) -> bytes:
    from annual_planner.exchange import review, tables

    if form == "xlsx":
        return review.review_xlsx(lines, today)
    if form == "csv":
        return review.review_csv(lines, today).encode()
    if form == "json":
        return f"{tables.as_json(review.review_values(lines, today))}\n".encode()
    if not lines:
        return b"No discrepancy is open.\n"
    return f"{tables.as_table(review.REVIEW_HEADINGS, review.review_rows(lines, today))}\n".encode()
