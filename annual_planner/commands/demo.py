"""`demo`: the demo fleet in a fresh file, with the window on it or one airplane's package as PDF."""

from __future__ import annotations

import argparse
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

from annual_planner.commands.opened import check_pdf, counted_from, opened, paper_said, planned, write_pdf
from annual_planner.commands.options import DONE, a_day, add_command
from annual_planner.commands.screen import check_screen, show_window
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.commands.options import Commands


PAPER = Path("annual-package.pdf")


def add(commands: Commands) -> None:
    """Add the command."""
    demo = add_command(
        commands, "demo", "build the demo fleet in a fresh file and open the window on it", _demo
    )
    text = "where to put the fleet: a new file, or an empty database's address (default: a temporary folder)"
    demo.add_argument("--file", metavar="F", help=text)
    text = "the demo's today (YYYY-MM-DD), normally a fixed day"
    demo.add_argument("--today", type=a_day, metavar="DATE", help=text)
    demo.add_argument(
        "--headless", action="store_true", help="plan the demo airplane instead of opening a window"
    )
    text = f"with --headless: where the paper goes (default: {PAPER})"
    demo.add_argument("--pdf", type=Path, metavar="OUT.pdf", help=text)


def _demo(asked: argparse.Namespace) -> int:
    from annual_planner.planning.weighed import visit_from
    from annual_planner.store.server import without_password as shown
    from demo_fleet.loader import DEMO_TODAY, build_demo, demo_visit

    pdf = asked.pdf or PAPER
    today = asked.today or DEMO_TODAY
    visit_from(demo_visit(today))  # refused before anything is made, where the demo can't stand on that day
    if asked.headless:
        check_pdf(pdf, other_than=Path(asked.file) if asked.file else None)
    elif asked.pdf:
        raise Refused("--pdf goes with --headless.", "Add --headless, or print in the window.")
    else:
        check_screen()
    where = asked.file or _fresh_demo_path()
    build_demo(where, today=today)
    print(f"demo fleet: {shown(where)}")
    if not asked.headless:
        return show_window(where)
    return _demo_package(where, pdf)


def _fresh_demo_path() -> str:
    import tempfile

    return str(Path(tempfile.mkdtemp(prefix="annual-planner-demo-")) / "demo.fleet")


def _demo_package(path: str, pdf: Path) -> int:
    from demo_fleet.loader import DEMO_AIRPLANE, demo_visit

    with closing(opened(path)) as fleet:
        today = counted_from(fleet, None)
        view = planned(fleet, DEMO_AIRPLANE, demo_visit(today), today)
        print(paper_said("work package", pdf, write_pdf(view, pdf, "letter")))
    return DONE
