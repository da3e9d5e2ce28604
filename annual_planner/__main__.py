"""Builds the parts and hands each its own: the window, and the commands without a window."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable, Sequence
from contextlib import closing
from datetime import date, datetime, time
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.library.shelf import Library
    from annual_planner.planning.crew.laid_out import LaidOut
    from annual_planner.planning.engine_view import EngineView
    from annual_planner.planning.package_view import PackageView
    from annual_planner.store.review_rows import ReviewLine
    from annual_planner.store.session import Fleet, Work

DONE, ANSWER_IS_NO, BAD_INPUT = 0, 1, 2
COMMAND_LINE = "command line"
"""The name under which edits of these commands are written down."""
WAITS = ("owner", "parts", "outside shop", "mechanic", "nobody")
"""Who a discrepancy may be said to wait for."""
INTERRUPTED = 130
FIRST_DAY, LAST_DAY = date(1900, 1, 1), date(2199, 12, 31)
"""Days a person may mean; beyond them forecasts would run out of the calendar."""


class _Parser(argparse.ArgumentParser):
    """Says in one line what it can't take."""

    def error(self, message: str) -> NoReturn:
        self.exit(BAD_INPUT, f"{self.prog}: {message}; '{self.prog} --help' shows how\n")


if TYPE_CHECKING:
    Commands = argparse._SubParsersAction[_Parser]


def main(words: Sequence[str] | None = None) -> int:
    """Run one command; give its exit status: 0 done, 1 the answer is 'no', 2 bad input."""
    asked = _parser().parse_args(words)
    command: Callable[[argparse.Namespace], int] = asked.command
    try:
        status = command(asked)
        if sys.stdout is not None:
            sys.stdout.flush()
        return status
    except Refused as refused:
        return _bad_input(str(refused))
    except BrokenPipeError:
        _leave_output()
        return DONE
    except OSError as fault:
        _leave_output()
        return _bad_input(f"{fault.strerror or fault}{f': {fault.filename}' if fault.filename else ''}")
    except KeyboardInterrupt:
        return INTERRUPTED


def _bad_input(said: str) -> int:
    print(f"annual-planner: {said}", file=sys.stderr)
    return BAD_INPUT


def _leave_output() -> None:
    """What is still unwritten goes nowhere, so that leaving the program doesn't fail over it again."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, sys.stdout.fileno())


def _parser() -> argparse.ArgumentParser:
    parser = _Parser(
        prog="annual-planner",
        description="Plan annual inspections of light piston airplanes. With no command, the window opens.",
    )
    parser.add_argument("--fleet", default="", help="fleet file or postgresql+psycopg:// address")
    _shop_option(parser)
    parser.set_defaults(command=_window)
    commands: Commands = parser.add_subparsers(title="commands", parser_class=_Parser)
    _add_demo(commands)
    _add_due(commands)
    _add_plan(commands)
    _add_engine(commands)
    _add_explain(commands)
    _add_layout(commands)
    _add_weeks(commands)
    _add_import(commands)
    _add_review(commands)
    _add_read_package(commands)
    _add_keeping(commands)
    return parser


def _command(
    commands: Commands,
    name: str,
    text: str,
    run: Callable[[argparse.Namespace], int],
) -> argparse.ArgumentParser:
    command = commands.add_parser(name, help=text, description=text)
    command.set_defaults(command=run)
    return command


def _fleet_options(command: argparse.ArgumentParser) -> None:
    command.add_argument("--fleet", required=True, help="fleet file or postgresql+psycopg:// address")
    command.add_argument("--today", type=_day, help="count from this day (YYYY-MM-DD) instead of today")


def _shop_option(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "--shop", type=Path, help="folder with the shop's own cards, requirements and cautions"
    )


def _add_demo(commands: Commands) -> None:
    demo = _command(commands, "demo", "build the demo fleet in a fresh file and open the window on it", _demo)
    demo.add_argument(
        "--file", type=Path, help="where to put the fleet file (default: a new temporary folder)"
    )
    demo.add_argument("--today", type=_day, help="the demo's today (YYYY-MM-DD), normally a fixed day")
    demo.add_argument(
        "--headless", action="store_true", help="plan the demo airplane instead of opening a window"
    )
    demo.add_argument("--pdf", type=Path, default=Path("annual-package.pdf"), help="with --headless: the PDF")


def _add_due(commands: Commands) -> None:
    due = _command(commands, "due", "list what falls due, first things first", _due)
    _fleet_options(due)
    due.add_argument("--aircraft", type=_text, help="this airplane only")
    due.add_argument("--until", type=_day, help="only what falls due by this day")
    due.add_argument("--as", dest="form", choices=("table", "csv", "json"), default="table")


def _add_plan(commands: Commands) -> None:
    plan = _command(commands, "plan", "plan one airplane's annual", _plan)
    _fleet_options(plan)
    _shop_option(plan)
    plan.add_argument("--aircraft", type=_text, required=True, help="registration")
    plan.add_argument("--start", type=_day, required=True, help="first day of the visit")
    plan.add_argument("--pdf", type=Path, help="write the paper package here")
    plan.add_argument("--paper", choices=("letter", "a4"), default="letter")
    plan.add_argument(
        "--no-engine-sheets",
        dest="engine_sheets",
        action="store_false",
        help="leave the sheets for plugs and cylinders out of the paper",
    )
    plan.add_argument("--as", dest="form", choices=("table", "json"), default="table")


def _add_engine(commands: Commands) -> None:
    engine = _command(commands, "engine", "show the plugs and cylinders of one engine", _engine)
    _fleet_options(engine)
    _shop_option(engine)
    engine.add_argument("--aircraft", type=_text, required=True, help="registration")
    engine.add_argument("--position", type=int, default=1, help="which engine, from 1 (default: 1)")
    engine.add_argument(
        "--pdf", type=Path, help="write its sheets here: plug box, rotation, compression, history"
    )
    engine.add_argument("--paper", choices=("letter", "a4"), default="letter")
    sheets = ("tray", "rotation", "compression", "history")
    engine.add_argument(
        "--sheet", action="append", choices=sheets, help="with --pdf: only this one; may be repeated"
    )
    engine.add_argument("--as", dest="form", choices=("table", "json"), default="table")


def _add_explain(commands: Commands) -> None:
    explain = _command(
        commands, "explain", "show the working behind a number, such as: explain 'N012MH annual'", _explain
    )
    _fleet_options(explain)
    _shop_option(explain)
    things = "an airplane and a thing: 'N012MH usage', 'N012MH card 12', 'N012MH engine 1 plug 3T'"
    explain.add_argument("what", type=_text, nargs="+", help=things)
    explain.add_argument("--as", dest="form", choices=("text", "json"), default="text")


def _add_layout(commands: Commands) -> None:
    layout = _command(commands, "layout", "lay a package's work out on people and days", _layout)
    _fleet_options(layout)
    _shop_option(layout)
    layout.add_argument("--package", required=True, type=_text, help="the package's number")
    layout.add_argument(
        "--from", dest="start", type=_moment, help="lay on from here (YYYY-MM-DD or with THH:MM)"
    )
    layout.add_argument("--seconds", type=float, default=10.0, help="time to search; 0: by rules alone")
    layout.add_argument("--keep", action="store_true", help="write the plan into the fleet")
    layout.add_argument("--pdf", type=Path, help="write the plan on paper here, laid across")
    layout.add_argument("--paper", choices=("letter", "a4"), default="letter")
    layout.add_argument("--ics", type=Path, metavar="FOLDER", help="write a calendar file for each person")
    layout.add_argument("--as", dest="form", choices=("table", "csv", "json"), default="table")


def _moment(text: str) -> datetime:
    try:
        moment = datetime.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"'{text}' is no moment; write it as 2026-05-11T08:00") from None
    if moment.tzinfo is not None or not FIRST_DAY <= moment.date() <= LAST_DAY:
        raise argparse.ArgumentTypeError(f"'{text}' is no moment on the shop's own clock, 1900 to 2199")
    return moment


def _add_weeks(commands: Commands) -> None:
    weeks = _command(commands, "weeks", "place the fleet's annuals in the shop's weeks", _weeks)
    _fleet_options(weeks)
    weeks.add_argument("--weeks", type=_week_count, default=52, help="how many weeks ahead (default: 52)")
    weeks.add_argument("--seconds", type=float, default=10.0, help="time to search; 0: by rule alone")
    weeks.add_argument("--keep", action="store_true", help="write the plan into the fleet")
    weeks.add_argument("--as", dest="form", choices=("table", "csv", "json"), default="table")


def _add_import(commands: Commands) -> None:
    read = _command(
        commands, "import-engine", "show, or with --write take in, an engine's history from a file", _import
    )
    _fleet_options(read)
    _shop_option(read)
    read.add_argument("--aircraft", type=_text, required=True, help="registration")
    read.add_argument("--position", type=int, default=1, help="which of its engines (default: 1)")
    read.add_argument("--write", action="store_true", help="write it, all or nothing; else only say what")
    read.add_argument("file", type=Path, help="CSV file in UTF-8")


def _week_count(text: str) -> int:
    if not (text.isdecimal() and 1 <= int(text) <= 520):
        raise argparse.ArgumentTypeError(f"'{text}' is no number of weeks from 1 to 520")
    return int(text)


def _add_review(commands: Commands) -> None:
    review = _command(commands, "review", "list the open discrepancies of the fleet", _review)
    _fleet_options(review)
    review.add_argument("--aircraft", type=_text, help="this airplane only")
    review.add_argument("--waits-for", dest="waits_for", choices=WAITS, default="")
    review.add_argument("--as", dest="form", choices=("table", "csv", "json", "xlsx"), default="table")
    review.add_argument("--out", type=Path, help="write it to this file; asked for with --as xlsx")
    review.add_argument("--pdf", type=Path, help="write the paper list here too")
    review.add_argument("--paper", choices=("letter", "a4"), default="letter")


def _add_read_package(commands: Commands) -> None:
    text = "show, or with --write record, what stands in a filled copy of a work package"
    read = _command(commands, "read-package", text, _read_package)
    _fleet_options(read)
    read.add_argument("filled", type=Path, metavar="FILLED.pdf")
    read.add_argument("--person", type=_text, required=True, help="who did what bears no initials")
    read.add_argument("--write", action="store_true", help="record it, all or nothing")


def _add_keeping(commands: Commands) -> None:
    check = _command(commands, "check", "check that a fleet and its signed records are whole", _check)
    check.add_argument("--fleet", required=True)
    check.add_argument(
        "--last-seal", default="", metavar="HEX", help="a seal printed on a paper, to find in the chain"
    )
    backup = _command(commands, "backup", "write a verified copy of a fleet file", _backup)
    backup.add_argument("--fleet", required=True)
    backup.add_argument("target", type=Path)
    restore = _command(commands, "restore", "bring a backup back as a new fleet file", _restore)
    restore.add_argument("source", type=Path)
    restore.add_argument("target", type=Path)


def _text(text: str) -> str:
    """Words as people write them; bytes that are none can't be looked up."""
    if not text.isprintable():
        raise argparse.ArgumentTypeError(f"{text!a} holds what can't be written")
    return text


def _day(text: str) -> date:
    try:
        day = date.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"'{text}' is not a day; write it like 2026-05-04") from None
    if not FIRST_DAY <= day <= LAST_DAY:
        years = f"{FIRST_DAY.year} to {LAST_DAY.year}"
        raise argparse.ArgumentTypeError(f"'{text}' is outside the years {years} that can be planned in")
    return day


def _window(asked: argparse.Namespace) -> int:
    from annual_planner.desktop.app import run

    _check_screen()
    return run(asked.fleet or None, lambda: _library(asked.shop))


def _check_screen() -> None:
    """Refuse where Qt would find no screen and end the program itself."""
    ways = ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")
    if sys.platform == "linux" and not any(os.environ.get(way) for way in ways):
        raise Refused(
            "There is no screen to open the window on.",
            "Sit at one, or work without a window: 'annual-planner --help' shows the commands.",
        )


def _demo(asked: argparse.Namespace) -> int:
    from demo_fleet.loader import DEMO_TODAY, build_demo

    if asked.headless:
        _check_pdf(asked.pdf, other_than=asked.file)
    else:
        _check_screen()
    path = asked.file or _fresh_demo_path()
    build_demo(path, today=asked.today or DEMO_TODAY)
    print(f"demo fleet: {path}")
    if not asked.headless:
        from annual_planner.desktop.app import run

        return run(str(path))
    return _demo_package(str(path), asked.pdf)


def _fresh_demo_path() -> Path:
    import tempfile

    return Path(tempfile.mkdtemp(prefix="annual-planner-demo-")) / "demo.fleet"


def _demo_package(path: str, pdf: Path) -> int:
    from demo_fleet.loader import DEMO_AIRPLANE

    with closing(_opened(path)) as fleet:
        today = _today(fleet, None)
        view = _planned(fleet, DEMO_AIRPLANE, today, today)
        _write_pdf(view, pdf, "letter")
    return DONE


def _due(asked: argparse.Namespace) -> int:
    from annual_planner.exchange import dues, tables
    from annual_planner.records.due_today import lines_on
    from annual_planner.store.fleet_reads import due_page, find_aircraft

    with closing(_opened(asked.fleet, read_only=True)) as fleet, fleet.reading() as work:
        aircraft_id = find_aircraft(work, asked.aircraft) if asked.aircraft is not None else None
        kept = due_page(work, aircraft_id=aircraft_id, limit=1_000_000)
        lines = lines_on(work, kept, _today(fleet, asked.today))
    if asked.until:
        lines = [line for line in lines if line.comes_first_on and line.comes_first_on <= asked.until]
    if asked.form == "json":
        print(tables.as_json(dues.due_values(lines)))
    else:
        write = tables.as_csv if asked.form == "csv" else tables.as_table
        print(write(dues.DUE_HEADINGS, dues.due_rows(lines)).rstrip("\n"))
    return DONE


def _plan(asked: argparse.Namespace) -> int:
    from annual_planner.exchange import packages, tables
    from annual_planner.planning.as_values import package_as_values

    if asked.pdf:
        _check_pdf(asked.pdf)
    with closing(_opened(asked.fleet)) as fleet:
        view = _planned(fleet, asked.aircraft, asked.start, _today(fleet, asked.today), asked.shop)
        if asked.form == "json":
            print(tables.as_json(package_as_values(view)))
        else:
            print(packages.package_table(view))
        if asked.pdf:
            quiet = asked.form == "json"
            _write_pdf(view, asked.pdf, asked.paper, quiet=quiet, engine_sheets=asked.engine_sheets)
    return DONE


def _engine(asked: argparse.Namespace) -> int:
    from annual_planner.exchange import engines, tables
    from annual_planner.planning.engine_values import engine_as_values
    from annual_planner.planning.engines import read_engine
    from annual_planner.store.fleet_reads import find_aircraft

    if asked.pdf:
        _check_pdf(asked.pdf)
    with closing(_opened(asked.fleet, read_only=True)) as fleet:
        today, library = _today(fleet, asked.today), _library(asked.shop)
        with fleet.reading() as work:
            aircraft_id = find_aircraft(work, asked.aircraft)
            view = read_engine(work, aircraft_id, asked.position, library, today)
    if asked.form == "json":
        print(tables.as_json(engine_as_values(view)))
    else:
        print(engines.engine_table(view))
    if asked.pdf:
        _write_engine_pdf(view, asked)
    return DONE


def _write_engine_pdf(view: EngineView, asked: argparse.Namespace) -> None:
    from annual_planner.paper.engine import SHEETS, engine_pdf

    pages = engine_pdf(view, asked.pdf, page_size=asked.paper, sheets=asked.sheet or SHEETS)
    if asked.form != "json":
        print(f"engine sheets: {asked.pdf} ({pages} pages)")


def _review(asked: argparse.Namespace) -> int:
    from annual_planner.store.discrepancy_reads import review_ids, review_lines
    from annual_planner.store.fleet_reads import find_aircraft, fleet_fact
    from annual_planner.store.review_rows import Filter

    if asked.form == "xlsx" and asked.out is None:
        raise Refused("A workbook can't be shown here.", "Name a file with --out.")
    if asked.pdf:
        _check_pdf(asked.pdf)
    with closing(_opened(asked.fleet, read_only=True)) as fleet, fleet.reading() as work:
        aircraft_id = find_aircraft(work, asked.aircraft) if asked.aircraft is not None else None
        which = Filter(aircraft_id=aircraft_id, waits_for=asked.waits_for)
        lines = review_lines(work, review_ids(work, which))
        demo = fleet_fact(work, "demo") == "yes"
        today = asked.today or fleet_today(work)
    _give(_review_as(asked.form, lines, today), asked.out)
    if asked.pdf:
        from annual_planner.paper.review import review_pdf

        pages = review_pdf(lines, asked.pdf, today=today, page_size=asked.paper, demo=demo)
        print(f"paper list: {asked.pdf} ({pages} pages)", file=sys.stderr)
    return DONE


def _review_as(form: str, lines: Sequence[ReviewLine], today: date) -> bytes:
    from annual_planner.exchange import review, tables

    if form == "xlsx":
        return review.review_xlsx(lines, today)
    if form == "csv":
        return review.review_csv(lines, today).encode()
    if form == "json":
        return f"{tables.as_json(review.review_values(lines, today))}\n".encode()
    return f"{tables.as_table(review.REVIEW_HEADINGS, review.review_rows(lines, today))}\n".encode()


def _give(content: bytes, out: Path | None) -> None:
    """Write it to a new file, or show it; what is there is not written over: it may be a fleet."""
    if out is None:
        print(content.decode(), end="")
        return
    try:
        with out.open("xb") as file:
            file.write(content)
    except FileExistsError:
        raise Refused(f"{out} is there already; it is not written over.", "Choose another name.") from None


def _explain(asked: argparse.Namespace) -> int:
    from annual_planner.exchange.tables import as_json
    from annual_planner.planning.explain import explain
    from annual_planner.trade.working import as_dict, as_lines

    with closing(_opened(asked.fleet, read_only=True)) as fleet:
        today = _today(fleet, asked.today)
        with fleet.reading() as work:
            working = explain(work, " ".join(asked.what), _library(asked.shop), today)
    print(as_json(as_dict(working)) if asked.form == "json" else "\n".join(as_lines(working)))
    return DONE


def _layout(asked: argparse.Namespace) -> int:
    from annual_planner.exchange import tables, work_plans
    from annual_planner.planning.card_jobs import asked_of_package
    from annual_planner.planning.crew.binding import binding
    from annual_planner.planning.crew.solve import lay_out
    from annual_planner.planning.work_plan import KeepPlan, kept_plan_of
    from annual_planner.records.apply import apply
    from annual_planner.store.fleet_reads import fleet_fact
    from annual_planner.store.packages import find_package, package_dates

    if asked.pdf is not None:
        _check_pdf(asked.pdf)
    with closing(_opened(asked.fleet, read_only=not asked.keep)) as fleet:
        today = _today(fleet, asked.today)
        start = asked.start or datetime.combine(today, time.min)
        with fleet.reading() as work:
            package_id = find_package(work, asked.package)
            found = asked_of_package(work, package_id, _library(asked.shop), start)
            before = kept_plan_of(work, package_id)
            registration = package_dates(work, package_id).registration
            demo = fleet_fact(work, "demo") == "yes"
        keep = before.plan if before is not None else None
        plan = lay_out(found.problem, seconds=max(asked.seconds, 0.0), keep=keep).value
        if asked.keep:
            apply(fleet, KeepPlan(package_id, plan, datetime.now().astimezone()), COMMAND_LINE, today)
    names = {person.key: person.name for person in found.problem.people}
    bound = binding(found.problem, plan).value
    if asked.ics is not None:
        _write_calendars(asked.ics, plan, names, asked.package)
    if asked.pdf is not None:
        from annual_planner.paper.work_plan import work_plan_pdf
        from annual_planner.planning.timeline import bars_of

        bars = bars_of(plan, names, found, bound)
        work_plan_pdf(
            bars,
            asked.pdf,
            registration=registration,
            number=asked.package,
            finish=plan.said,
            today=today,
            page_size=asked.paper,
            demo=demo,
        )
    if asked.form == "json":
        print(tables.as_json(work_plans.plan_values(plan, bound, names)))
    else:
        write = tables.as_csv if asked.form == "csv" else tables.as_table
        print(write(work_plans.PLAN_HEADINGS, work_plans.plan_rows(plan, bound, names)).rstrip("\n"))
    if asked.form == "table":
        print(plan.said)
    return DONE


def _write_calendars(folder: Path, plan: LaidOut, names: dict[str, str], number: str) -> None:
    from annual_planner.exchange.calendars import person_calendars
    from annual_planner.planning.work_plan import work_places

    made_at = datetime.now().astimezone()
    folder.mkdir(parents=True, exist_ok=True)
    calendars = person_calendars(work_places(plan), names, f"Package {number}", f"package-{number}", made_at)
    for name, content in calendars.items():
        file = folder / f"{name}.ics"
        file.write_bytes(content)
        print(f"calendar: {file}", file=sys.stderr)


def _weeks(asked: argparse.Namespace) -> int:
    from annual_planner.exchange import shop_weeks, tables
    from annual_planner.planning.shop_weeks.placing import place_visits
    from annual_planner.planning.shop_weeks.stored import KeepWeeks, weeks_from_fleet
    from annual_planner.records.apply import apply

    with closing(_opened(asked.fleet, read_only=not asked.keep)) as fleet:
        today = _today(fleet, asked.today)
        with fleet.reading() as work:
            found = weeks_from_fleet(work, today, weeks=asked.weeks)
        plan = place_visits(found.asked, seconds=max(asked.seconds, 0.0)).value
        if asked.keep:
            mondays = tuple(week.monday for week in found.asked.weeks)
            apply(fleet, KeepWeeks(mondays[0], mondays[-1], plan.placed, mondays), COMMAND_LINE, today)
    if asked.form == "json":
        print(tables.as_json(shop_weeks.week_values(found.asked, plan, found.left_out)))
    else:
        write = tables.as_csv if asked.form == "csv" else tables.as_table
        print(write(shop_weeks.WEEKS_HEADINGS, shop_weeks.week_rows(found.asked, plan)).rstrip("\n"))
    if asked.form == "table":
        for name, why in found.left_out:
            print(f"not placed: {name}, {why}")
    return DONE


def _import(asked: argparse.Namespace) -> int:
    from annual_planner.exchange.history_edit import ApplyHistory
    from annual_planner.exchange.plug_history import read_plug_history
    from annual_planner.records.apply import apply
    from annual_planner.store.fleet_reads import find_aircraft
    from annual_planner.store.plug_reads import engine_places

    library = _library(asked.shop)
    with closing(_opened(asked.fleet, read_only=not asked.write)) as fleet:
        today = _today(fleet, asked.today)
        with fleet.reading() as work:
            places = engine_places(work, find_aircraft(work, asked.aircraft))
        place = next((each for each in places if each.position == asked.position), None)
        if place is None or not place.type_key:
            what = "no engine" if place is None else "no known type of engine"
            raise Refused(f"{asked.aircraft} has {what} at position {asked.position}.", "Say so first.")
        preview = read_plug_history(
            asked.file, engine=library.engine(place.type_key), shelf=library, today=today
        )
        if preview.faults:
            print("\n".join(str(fault) for fault in preview.faults))
            return _bad_input(f"{len(preview.faults)} faults, nothing written: mend these lines.")
        if asked.write:
            apply(fleet, ApplyHistory(place.assembly_id, preview, library), COMMAND_LINE, today)
    print(f"{'written' if asked.write else 'would be written'}: {preview.said}")
    return DONE


def _read_package(asked: argparse.Namespace) -> int:
    from annual_planner.exchange.filled_package import preview, read_filled
    from annual_planner.records.apply import apply
    from annual_planner.store.people_reads import people

    fields = read_filled(asked.filled)
    with closing(_opened(asked.fleet, read_only=not asked.write)) as fleet:
        with fleet.reading() as work:
            ids = [line.person_id for line in people(work) if line.name.casefold() == asked.person.casefold()]
            if not ids:
                raise Refused(f"There is no person '{asked.person}'.", "Give the name as the fleet has it.")
            found = preview(work, fields, ids[0], datetime.now().astimezone())
        for line in (*found.lines, *(f"refused: {fault}" for fault in found.faults)):
            print(line)
        if asked.write and not found.faults:
            apply(fleet, found.edit(), asked.person, _today(fleet, asked.today))
    done = "recorded" if asked.write and not found.faults else "nothing was recorded"
    print(f"{found.package}: {len(found.lines)} to record, {found.same} as they stand; {done}")
    return ANSWER_IS_NO if found.faults else DONE


def _check(asked: argparse.Namespace) -> int:
    from annual_planner.store.backup import check

    with closing(_opened(asked.fleet, read_only=True)) as fleet:
        faults = check(fleet)
        told = [] if faults else _check_signed(fleet, asked.last_seal, faults)
    for line in (*faults, *told):
        print(line)
    print("the fleet file is whole" if not faults else f"{len(faults)} faults found")
    return ANSWER_IS_NO if faults else DONE


def _check_signed(fleet: Fleet, printed: str, faults: list[str]) -> list[str]:
    """Check the chain of signed records; its faults join the others, what else is to be told is given."""
    from annual_planner.records.chain import check_chain, seal_on_paper
    from annual_planner.trade.seals import seal_text

    with fleet.reading() as work:
        found = check_chain(work)
    state = found.value
    faults += [str(fault) for fault in state.faults]
    wrong = seal_on_paper(state, printed) if printed else ""
    faults += [wrong] if wrong else []
    matches = ["the seal from the paper is in the chain"] if printed and not wrong else []
    told = [f"{state.links} signed records; last seal: {seal_text(state.last_seal)}", *matches]
    return told + [f"  {line}" for line in found.working.assumptions[:-1]]


def _backup(asked: argparse.Namespace) -> int:
    from annual_planner.store.backup import backup

    with closing(_opened(asked.fleet, read_only=True)) as fleet:
        backup(fleet, asked.target)
    print(f"verified copy: {asked.target}")
    return DONE


def _restore(asked: argparse.Namespace) -> int:
    from annual_planner.store.backup import restore

    restore(asked.source, asked.target)
    print(f"fleet file: {asked.target}")
    return DONE


def _opened(where: str, *, read_only: bool = False) -> Fleet:
    from annual_planner.store.opening import open_fleet

    return open_fleet(where, read_only=read_only)


def _library(shop_folder: Path | None = None) -> Library:
    from annual_planner.library.shelf import load_library

    return load_library(shop_folder)


def _today(fleet: Fleet, asked: date | None) -> date:
    """The day to count from: what was asked for, else the fleet's own fixed day (the demo), else today."""
    if asked:
        return asked
    with fleet.reading() as work:
        return fleet_today(work)


def fleet_today(work: Work) -> date:
    """The fleet's fixed today where it has one, as the demo does; else the calendar's."""
    from annual_planner.store.fleet_reads import fleet_fact

    fixed = fleet_fact(work, "today")
    return date.fromisoformat(fixed) if fixed else date.today()  # noqa: DTZ011 - the local day is meant


def _planned(
    fleet: Fleet, registration: str, start: date, today: date, shop_folder: Path | None = None
) -> PackageView:
    """The airplane's package for this start: the open one with that start if there is one, else a new one."""
    from annual_planner.planning.packages import BuildPackage, read_package
    from annual_planner.records.apply import apply
    from annual_planner.store.fleet_reads import find_aircraft, packages

    library = _library(shop_folder)
    with fleet.reading() as work:
        aircraft_id = find_aircraft(work, registration)
        open_ones = [line for line in packages(work, aircraft_id=aircraft_id) if line.start_on == start]
    if open_ones:
        package_id = open_ones[0].package_id
    else:
        built = apply(
            fleet, BuildPackage(aircraft_id, start, "Annual inspection", library), COMMAND_LINE, today
        )
        assert built.made_id is not None, "BuildPackage gives the id of the package it made"
        package_id = built.made_id
    with fleet.reading() as work:
        return read_package(work, package_id, library, today)


def _check_pdf(pdf: Path, *, other_than: Path | None = None) -> None:
    """Refuse a place for the PDF before anything is written elsewhere."""
    from annual_planner.paper.target import check_target

    check_target(pdf)
    if other_than is not None and pdf.resolve() == other_than.resolve():
        raise Refused(f"{pdf} can't be fleet file and PDF at once.", "Give them two names.")


def _write_pdf(
    view: PackageView, pdf: Path, page_size: str, *, quiet: bool = False, engine_sheets: bool = True
) -> None:
    from annual_planner.paper.package import package_pdf

    pages = package_pdf(view, pdf, page_size=page_size, engine_sheets=engine_sheets)
    if not quiet:
        print(f"work package: {pdf} ({pages} pages)")


if __name__ == "__main__":
    sys.exit(main())
