"""`entries`: the draft or signed entries of a package, as text, values or paper."""

from __future__ import annotations

import argparse
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

from annual_planner.commands.opened import check_paper, fleet_today, give, opened, paper_said, tell
from annual_planner.commands.options import (
    DONE,
    a_count,
    add_command,
    fleet_options,
    form_option,
    package_option,
    words,
)

if TYPE_CHECKING:
    from annual_planner.commands.options import Commands


def add(commands: Commands) -> None:
    """Add the command."""
    text = "show the draft or signed entries of a package, or print them"
    entries = add_command(commands, "entries", text, _entries)
    fleet_options(entries)
    package_option(entries)
    form_option(entries, "text", "json")
    text = "write it to this new file instead of showing it"
    entries.add_argument("--out", type=Path, metavar="FILE", help=text)
    entries.add_argument("--pdf", type=Path, metavar="OUT.pdf", help="write them on paper here too")
    entries.add_argument(
        "--paper",
        type=words,
        help="with --pdf: letter, a4, or a label sheet such as letter_2x5 or a4_2x4 (default: letter)",
    )
    text = "first free label, from 1 along the rows (default: 1)"
    entries.add_argument("--first-label", type=a_count, metavar="N", help=text)


def _entries(asked: argparse.Namespace) -> int:
    from annual_planner.exchange.entries import entries_text, entries_values
    from annual_planner.exchange.tables import as_json
    from annual_planner.planning.entries_read import read_entries
    from annual_planner.store.packages import find_package

    check_paper(asked, first_label=asked.first_label)
    with closing(opened(asked.fleet, read_only=True)) as fleet, fleet.reading() as work:
        package_id = find_package(work, asked.package)
        read = read_entries(work, asked.today or fleet_today(work), package_id=package_id)
    text = entries_text(read) if asked.form == "text" else f"{as_json(entries_values(read))}\n"
    if asked.out:
        give(text.encode(), asked.out, "entries")
    if asked.pdf:
        from annual_planner.paper.entries import print_entries

        pages = print_entries(read, asked.pdf, paper=asked.paper, first_label=asked.first_label or 1)
        tell(paper_said("entries on paper", asked.pdf, pages))
    if not asked.out:
        give(text.encode(), None, "entries")
    return DONE
