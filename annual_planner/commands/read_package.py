"""`read-package`: what stands in a filled copy of a work package."""

from __future__ import annotations

import argparse
from contextlib import closing
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from annual_planner.commands.opened import counted_from, opened
from annual_planner.commands.options import ANSWER_IS_NO, DONE, add_command, fleet_options, words

if TYPE_CHECKING:
    from annual_planner.commands.options import Commands


def add(commands: Commands) -> None:
    """Add the command."""
    text = "show, or with --write record, what stands in a filled copy of a work package"
    read = add_command(commands, "read-package", text, _read_package)
    fleet_options(read)
    text = "a copy of a printed package that was filled in"
    read.add_argument("filled", type=Path, metavar="FILLED.pdf", help=text)
    text = "who did what bears no initials"
    read.add_argument("--person", type=words, required=True, metavar="NAME", help=text)
    read.add_argument("--write", action="store_true", help="record it, all or nothing")


def _read_package(asked: argparse.Namespace) -> int:
    from annual_planner.exchange.filled_package import preview, read_filled
    from annual_planner.records.apply import apply
    from annual_planner.store.people_reads import person_named

    fields = read_filled(asked.filled)
    with closing(opened(asked.fleet, read_only=not asked.write)) as fleet:
        with fleet.reading() as work:
            person = person_named(work, asked.person)
            found = preview(work, fields, person.person_id, datetime.now().astimezone())
        if asked.write and not found.faults:  # before anything is said: whoever reads it may go away
            apply(fleet, found.edit(), person.name, counted_from(fleet, asked.today))
    for line in (*found.lines, *(f"refused: {fault}" for fault in found.faults)):
        print(line)
    done = "recorded" if asked.write and not found.faults else "nothing was recorded"
    print(f"{found.package}: {len(found.lines)} to record, {found.same} as they stand; {done}")
    return ANSWER_IS_NO if found.faults else DONE
