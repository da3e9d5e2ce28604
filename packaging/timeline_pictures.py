"""Saves pictures of who does what and when with 30, 120 and 300 bars: light and dark, on screen and on paper.

python packaging/timeline_pictures.py FOLDER [--bars 120] [--only light]
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
import tempfile
from datetime import datetime, time
from itertools import cycle
from pathlib import Path
from time import monotonic
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from annual_planner.desktop.annual.timeline.tab import Timeline
    from annual_planner.desktop.app import Program
    from annual_planner.store.session import Work

ROOT = Path(__file__).resolve().parent.parent
BARS = (30, 120, 300)
LOOKS = ("light", "dark")
PAGE_SCALE = 1.4
"""Pixels a point of the pages."""


def main() -> int:
    """Start one process for each picture: the look is fixed by settings of its own."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--bars", type=int, choices=BARS)
    parser.add_argument("--only", choices=LOOKS)
    parser.add_argument("--fleet", type=Path, help=argparse.SUPPRESS)
    asked = parser.parse_args()
    sys.path.insert(0, str(ROOT))
    asked.folder.mkdir(parents=True, exist_ok=True)
    if asked.fleet is not None:
        _take(asked.folder, asked.only, asked.bars, asked.fleet)
        return 0
    surroundings = {**os.environ, "QT_QPA_PLATFORM": "offscreen", "PYTHONPATH": str(ROOT)}
    with tempfile.TemporaryDirectory() as kept:
        for bars in [asked.bars] if asked.bars else BARS:
            fleet = Path(kept) / f"{bars}.fleet"
            laid_out_fleet(fleet, bars)
            for look in [asked.only] if asked.only else LOOKS:
                words = [sys.executable, __file__, str(asked.folder), "--bars", str(bars), "--only", look]
                subprocess.run([*words, "--fleet", str(fleet)], check=True, env=surroundings, cwd=ROOT)
    return 0


def laid_out_fleet(path: Path, bars: int) -> None:
    """The sample with one annual of about so many bars, laid out by rules."""
    from annual_planner.library.shelf import load_library
    from annual_planner.planning.card_jobs import asked_of_package
    from annual_planner.planning.crew.solve import lay_out
    from annual_planner.planning.packages import BuildPackage
    from annual_planner.planning.work_plan import KeepPlan
    from annual_planner.records.apply import apply
    from annual_planner.store.fleet_reads import find_aircraft, packages
    from annual_planner.store.opening import open_fleet
    from demo_fleet.loader import DEMO_AIRPLANE, DEMO_TODAY, build_demo, demo_visit

    build_demo(path)
    begins = datetime.combine(DEMO_TODAY, time.min)
    with open_fleet(path) as fleet:
        with fleet.reading() as work:
            aircraft_id = find_aircraft(work, DEMO_AIRPLANE)
        built = BuildPackage(aircraft_id, demo_visit(DEMO_TODAY), "Annual inspection", load_library())
        package_id = apply(fleet, built, "pictures", DEMO_TODAY).made_id
        assert package_id is not None, "a package was made"
        with fleet.work("pictures") as work:
            _number_of_cards(work, package_id, bars)
        with fleet.reading() as work:
            assert packages(work), "the package is there"
            asked = asked_of_package(work, package_id, load_library(), begins)
        plan = lay_out(asked.problem, seconds=0).value
        apply(fleet, KeepPlan(package_id, plan, begins.astimezone()), "pictures", DEMO_TODAY)


def _number_of_cards(work: Work, package_id: int, bars: int) -> None:
    """Leave cards out, evenly, or add some of one's own."""
    from decimal import Decimal

    from annual_planner.planning.edits import IncludeCard
    from annual_planner.planning.own_cards import AddOwnCard
    from annual_planner.store.packages import card_lines
    from demo_fleet.loader import DEMO_TODAY

    cards = [card for card in card_lines(work, package_id) if card.included]
    for place, card in enumerate(cards):
        if place * bars // len(cards) == (place + 1) * bars // len(cards) and bars < len(cards):
            IncludeCard(card.card_id, True, False).apply(work, DEMO_TODAY)
    zones = cycle(sorted({card.zone for card in cards}))
    for number in range(bars - len(cards)):
        hours = Decimal(1 + number % 4) / 4
        title = f"Look again at fitting {number + 1}, with a title of some length"
        AddOwnCard(package_id, title, next(zones), "inspect", "inspect", (hours, hours, hours * 2)).apply(
            work, DEMO_TODAY
        )


def _take(folder: Path, look: str, bars: int, fleet: Path) -> None:
    from pictures import save, settle
    from PySide6.QtCore import QLocale, QSettings

    from annual_planner.desktop.annual.page import AnnualPage
    from annual_planner.desktop.app import Program, application

    QLocale.setDefault(QLocale("en_US"))
    app = application()
    kept = Path(tempfile.mkdtemp())
    program = Program(app, QSettings(str(kept / "kept.ini"), QSettings.Format.IniFormat), folder=kept)
    program.theme.set_scheme("dark" if look == "dark" else "light")
    program.start(fleet)
    window = program.window
    assert window is not None, "the fleet was opened"
    window.resize(1280, 800)
    window.go("annual", _package_of(program))
    settle(app, program)
    page = window.page
    assert isinstance(page, AnnualPage)
    page.tabs.show_part(page.when)
    settle(app, program)
    plan = page.when.made
    assert plan is not None, "the part was shown"
    stem = f"{bars}-{look}"
    for by in ("person", "zone", "card"):
        plan.show_by(by)
        save(app, window, folder / f"{stem}-by-{by}.png", program)
    plan.show_by("person")
    _try_a_move(plan)
    until = monotonic() + 10
    while not plan.pinning.asks and monotonic() < until:
        settle(app, program)
    save(app, window, folder / f"{stem}-asks.png", program)
    plan.pinning.put_back()
    program.theme.set_percent(200)
    save(app, window, folder / f"{stem}-200.png", program)
    program.theme.set_percent(100)
    plan.drawing.widen(3)
    plan.area.horizontalScrollBar().setValue(900)
    save(app, window, folder / f"{stem}-wide.png", program)
    plan.drawing.widen(1 / 3)
    plan.drawing.grab().save(str(folder / f"{stem}-drawing.png"))
    if look == "light":
        _pages(folder, bars, plan)
    program.close()


def _package_of(program: Program) -> int:
    from annual_planner.store.fleet_reads import packages

    assert program.window is not None, "the fleet was opened"
    with program.window.desk.jobs.fleet.reading() as work:
        return packages(work)[0].package_id


def _try_a_move(plan: Timeline) -> None:
    """Move a card of the middle by an hour, so that the question is asked."""
    from annual_planner.desktop.annual.timeline.drawing import QUARTER

    assert plan.plan is not None, "the work was laid out"
    bars = [bar for bar in plan.plan.bars if bar.card_id is not None]
    plan.drawing.choose(bars[len(bars) // 2].job)
    for _ in range(4):
        plan.drawing.shift(QUARTER)


def _pages(folder: Path, bars: int, plan: Timeline) -> None:
    from io import BytesIO

    from annual_planner.desktop.annual.pages import as_image
    from annual_planner.desktop.annual.timeline.out import draw_paper
    from annual_planner.paper.preview import page_images
    from demo_fleet.loader import DEMO_TODAY

    assert plan.seen is not None, "the package was read"
    assert plan.plan is not None, "the work was laid out"
    drawn = BytesIO()
    count = draw_paper(plan.seen, plan.plan, drawn, DEMO_TODAY, "letter")
    print(f"{bars} bars: {len(plan.plan.bars)} drawn, {count} pages")
    for number, page in enumerate(page_images(drawn.getvalue(), PAGE_SCALE), 1):
        as_image(page).save(str(folder / f"{bars}-page-{number:02}.png"))


if __name__ == "__main__":
    sys.exit(main())
