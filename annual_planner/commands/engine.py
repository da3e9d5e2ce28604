"""`engine` and `import-engine`: the plugs and cylinders of one engine, shown or taken in."""

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
    shop_library,
    tell,
)
from annual_planner.commands.options import (
    COMMAND_LINE,
    DONE,
    add_command,
    airplane_option,
    bad_input,
    counted,
    fleet_options,
    form_option,
    paper_option,
    position_option,
    shop_option,
)
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from collections.abc import Sequence

    from annual_planner.commands.options import Commands
    from annual_planner.planning.engine_view import EngineView
    from annual_planner.store.plug_rows import EnginePlace


def add(commands: Commands) -> None:
    """Add the commands."""
    _add_engine(commands)
    _add_import(commands)


def _add_engine(commands: Commands) -> None:
    engine = add_command(commands, "engine", "show the plugs and cylinders of one engine", _engine)
    fleet_options(engine)
    shop_option(engine)
    airplane_option(engine)
    position_option(engine)
    text = "write its sheets here too: plug box, rotation, compression, history"
    engine.add_argument("--pdf", type=Path, metavar="OUT.pdf", help=text)
    paper_option(engine)
    sheets = ("tray", "rotation", "compression", "history")
    engine.add_argument(
        "--sheet", action="append", choices=sheets, help="with --pdf: only this one; may be repeated"
    )
    form_option(engine, "table", "json")


def _add_import(commands: Commands) -> None:
    read = add_command(
        commands, "import-engine", "show, or with --write take in, an engine's history from a file", _import
    )
    fleet_options(read)
    shop_option(read)
    airplane_option(read)
    position_option(read)
    read.add_argument("--write", action="store_true", help="write it, all or nothing; else only say what")
    read.add_argument("file", type=Path, metavar="FILE.csv", help="the history, CSV in UTF-8")


def _engine(asked: argparse.Namespace) -> int:
    from annual_planner.exchange import engines, tables
    from annual_planner.planning.engine_values import engine_as_values
    from annual_planner.planning.engines import read_engine
    from annual_planner.store.fleet_reads import find_aircraft

    check_paper(asked, sheet=asked.sheet)
    with closing(opened(asked.fleet, read_only=True)) as fleet:
        today, library = counted_from(fleet, asked.today), shop_library(asked.shop)
        with fleet.reading() as work:
            aircraft_id = find_aircraft(work, asked.aircraft)
            view = read_engine(work, aircraft_id, asked.position, library, today)
    if asked.pdf:
        _write_engine_pdf(view, asked)
    if asked.form == "json":
        print(tables.as_json(engine_as_values(view)))
    else:
        print(engines.engine_table(view))
    return DONE


def _write_engine_pdf(view: EngineView, asked: argparse.Namespace) -> None:
    from annual_planner.paper.engine import SHEETS, engine_pdf

    pages = engine_pdf(view, asked.pdf, page_size=asked.paper, sheets=asked.sheet or SHEETS)
    tell(paper_said("engine sheets", asked.pdf, pages))


def _import(asked: argparse.Namespace) -> int:
    from annual_planner.exchange.history_edit import ApplyHistory
    from annual_planner.exchange.plug_history import read_plug_history
    from annual_planner.records.apply import apply
    from annual_planner.store.fleet_reads import find_aircraft
    from annual_planner.store.plug_reads import engine_places

    library = shop_library(asked.shop)
    with closing(opened(asked.fleet, read_only=not asked.write)) as fleet:
        today = counted_from(fleet, asked.today)
        with fleet.reading() as work:
            places = engine_places(work, find_aircraft(work, asked.aircraft))
        place = next((each for each in places if each.position == asked.position), None)
        if place is None or not place.type_key:
            raise _no_engine(asked, places)
        preview = read_plug_history(
            asked.file, engine=library.engine(place.type_key), shelf=library, today=today
        )
        if preview.faults:
            print("\n".join(str(fault) for fault in preview.faults))
            return bad_input(f"{counted(len(preview.faults), 'fault')}, nothing written: mend these lines.")
        if asked.write:
            apply(fleet, ApplyHistory(place.assembly_id, preview, library), COMMAND_LINE, today)
    span = preview.span and f", {preview.span}"
    print(f"{'written' if asked.write else 'would be written'}: {preview.said}{span}")
    return DONE


def _no_engine(asked: argparse.Namespace, places: Sequence[EnginePlace]) -> Refused:
    """Why no history can be read for that place."""
    if asked.position not in [each.position for each in places]:
        there = ", ".join(str(each.position) for each in places) or "none yet; add one in the window first"
        return Refused(f"{asked.aircraft} has no engine {asked.position}.", f"It has: {there}.")
    return Refused(
        f"Of what type engine {asked.position} of {asked.aircraft} is isn't written down.",
        "Choose its type under 'Plugs and cylinders' first: the file is read by it.",
    )
