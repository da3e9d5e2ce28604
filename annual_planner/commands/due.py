"""`due`: what falls due, first things first."""

from __future__ import annotations

import argparse
from contextlib import closing
from typing import TYPE_CHECKING

from annual_planner.commands.opened import counted_from, opened
from annual_planner.commands.options import (
    DONE,
    a_day,
    add_command,
    airplane_option,
    fleet_options,
    form_option,
)

if TYPE_CHECKING:
    from annual_planner.commands.options import Commands


def add(commands: Commands) -> None:
    """Add the command."""
    due = add_command(commands, "due", "list what falls due, first things first", _due)
    fleet_options(due)
    airplane_option(due, required=False)
    text = "only what falls due by this day (YYYY-MM-DD)"
    due.add_argument("--until", type=a_day, metavar="DATE", help=text)
    form_option(due, "table", "csv", "json")


def _due(asked: argparse.Namespace) -> int:
    from annual_planner.exchange import dues, tables
    from annual_planner.records.due_today import lines_on
    from annual_planner.store.aircraft_reads import registrations
    from annual_planner.store.fleet_reads import due_page, find_aircraft

    with closing(opened(asked.fleet, read_only=True)) as fleet, fleet.reading() as work:
        aircraft_id = find_aircraft(work, asked.aircraft) if asked.aircraft is not None else None
        kept = due_page(work, aircraft_id=aircraft_id, limit=1_000_000)
        lines = lines_on(work, kept, counted_from(fleet, asked.today))
        empty = not registrations(work)
    if asked.until:
        lines = [line for line in lines if line.comes_first_on and line.comes_first_on <= asked.until]
    if not lines and asked.form == "table":
        print(_nothing(asked, empty))
    elif asked.form == "json":
        print(tables.as_json(dues.due_values(lines)))
    else:
        write = tables.as_csv if asked.form == "csv" else tables.as_table
        print(write(dues.DUE_HEADINGS, dues.due_rows(lines)).rstrip("\n"))
    return DONE


def _nothing(asked: argparse.Namespace, empty: bool) -> str:
    """What is said where nothing is listed, with what to do."""
    if empty:
        return "No airplane is in this fleet yet: add one in the window, or take one in with 'take-in'."
    if asked.until:
        return f"Nothing falls due by {asked.until}."
    return "Nothing is written down that could fall due: add its requirements in the window."
