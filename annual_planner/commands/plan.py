"""`plan`: one airplane's annual."""

from __future__ import annotations

import argparse
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

from annual_planner.commands.opened import (
    check_paper,
    counted_from,
    opened,
    paper_said,
    planned,
    tell,
    write_pdf,
)
from annual_planner.commands.options import (
    DONE,
    a_day,
    add_command,
    airplane_option,
    fleet_options,
    form_option,
    paper_option,
    shop_option,
)

if TYPE_CHECKING:
    from annual_planner.commands.options import Commands


def add(commands: Commands) -> None:
    """Add the command."""
    plan = add_command(commands, "plan", "plan one airplane's annual", _plan)
    fleet_options(plan)
    shop_option(plan)
    airplane_option(plan)
    text = "first day of the visit (YYYY-MM-DD)"
    plan.add_argument("--start", type=a_day, required=True, metavar="DATE", help=text)
    plan.add_argument("--pdf", type=Path, metavar="OUT.pdf", help="write the paper package here too")
    paper_option(plan)
    plan.add_argument(
        "--no-engine-sheets",
        dest="engine_sheets",
        action="store_false",
        help="leave the sheets for plugs and cylinders out of the paper",
    )
    form_option(plan, "table", "json")


def _plan(asked: argparse.Namespace) -> int:
    from annual_planner.exchange import packages, tables
    from annual_planner.planning.as_values import package_as_values

    check_paper(asked, no_engine_sheets=not asked.engine_sheets)
    with closing(opened(asked.fleet)) as fleet:
        today = counted_from(fleet, asked.today)
        view = planned(fleet, asked.aircraft, asked.start, today, asked.shop, say=True)
        if asked.pdf:
            pages = write_pdf(view, asked.pdf, asked.paper, engine_sheets=asked.engine_sheets)
            tell(paper_said("work package", asked.pdf, pages))
    if asked.form == "json":
        print(tables.as_json(package_as_values(view)))
    else:
        print(packages.package_table(view))
    return DONE
