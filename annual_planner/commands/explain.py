"""`explain`: the working behind a number."""

from __future__ import annotations

import argparse
from contextlib import closing
from typing import TYPE_CHECKING

from annual_planner.commands.opened import counted_from, opened, shop_library
from annual_planner.commands.options import (
    DONE,
    add_command,
    fleet_options,
    form_option,
    shop_option,
    words,
)

if TYPE_CHECKING:
    from annual_planner.commands.options import Commands


def add(commands: Commands) -> None:
    """Add the command."""
    explain = add_command(
        commands, "explain", "show the working behind a number, such as: explain 'N012MH annual'", _explain
    )
    fleet_options(explain)
    shop_option(explain)
    things = (
        "an airplane, or a package by its number, and a thing: 'N012MH usage', 'N012MH engine 1 plug 3T', "
        "'N012MH-2026-1 card 12'; an airplane alone says what can be asked for"
    )
    explain.add_argument("what", type=words, nargs="+", metavar="WHAT", help=things)
    form_option(explain, "text", "json")


def _explain(asked: argparse.Namespace) -> int:
    from annual_planner.exchange.tables import as_json
    from annual_planner.planning.explain import explain
    from annual_planner.trade.working import as_dict, as_lines

    with closing(opened(asked.fleet, read_only=True)) as fleet:
        today = counted_from(fleet, asked.today)
        with fleet.reading() as work:
            working = explain(work, " ".join(asked.what), shop_library(asked.shop), today)
    print(as_json(as_dict(working)) if asked.form == "json" else "\n".join(as_lines(working)))
    return DONE
