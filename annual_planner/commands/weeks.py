"""`weeks`: the fleet's annuals in the shop's weeks."""

from __future__ import annotations

import argparse
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

from annual_planner.commands.opened import check_paper, counted_from, opened, paper_said, tell
from annual_planner.commands.options import (
    COMMAND_LINE,
    DONE,
    add_command,
    fleet_options,
    form_option,
    paper_option,
    seconds_option,
)

if TYPE_CHECKING:
    from annual_planner.commands.options import Commands


def add(commands: Commands) -> None:
    """Add the command."""
    weeks = add_command(commands, "weeks", "place the fleet's annuals in the shop's weeks", _weeks)
    fleet_options(weeks)
    text = "how many weeks ahead, 1 to 520 (default: 52)"
    weeks.add_argument("--weeks", type=_week_count, default=52, metavar="N", help=text)
    seconds_option(weeks)
    weeks.add_argument("--keep", action="store_true", help="write the plan into the fleet")
    text = "write the weeks on paper here too, laid across"
    weeks.add_argument("--pdf", type=Path, metavar="OUT.pdf", help=text)
    paper_option(weeks)
    form_option(weeks, "table", "csv", "json")


def _week_count(text: str) -> int:
    if not (text.isdecimal() and 1 <= int(text) <= 520):
        raise argparse.ArgumentTypeError(f"{text[:20]!r} is no number of weeks from 1 to 520")
    return int(text)


def _weeks(asked: argparse.Namespace) -> int:
    from annual_planner.exchange import shop_weeks, tables
    from annual_planner.planning.shop_weeks.placing import place_visits
    from annual_planner.planning.shop_weeks.stored import KeepWeeks, weeks_from_fleet
    from annual_planner.records.apply import apply
    from annual_planner.store.fleet_reads import fleet_fact

    check_paper(asked)
    with closing(opened(asked.fleet, read_only=not asked.keep)) as fleet:
        today = counted_from(fleet, asked.today)
        with fleet.reading() as work:
            found = weeks_from_fleet(work, today, weeks=asked.weeks)
            demo = fleet_fact(work, "demo") == "yes"
        plan = place_visits(found.asked, seconds=asked.seconds).value
        if asked.keep:
            mondays = tuple(week.monday for week in found.asked.weeks)
            apply(fleet, KeepWeeks(mondays[0], mondays[-1], plan.placed, mondays), COMMAND_LINE, today)
    if asked.pdf:
        from annual_planner.paper.shop_weeks import shop_weeks_pdf

        pages = shop_weeks_pdf(
            found.asked, plan, found.left_out, asked.pdf, today=today, page_size=asked.paper, demo=demo
        )
        tell(paper_said("shop weeks", asked.pdf, pages))
    if asked.form == "json":
        print(tables.as_json(shop_weeks.week_values(found.asked, plan, found.left_out)))
    else:
        write = tables.as_csv if asked.form == "csv" else tables.as_table
        print(write(shop_weeks.WEEKS_HEADINGS, shop_weeks.week_rows(found.asked, plan)).rstrip("\n"))
    if asked.form == "table":
        for name, why in found.left_out:
            print(f"not placed: {name}, {why}")
    return DONE
