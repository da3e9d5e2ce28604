"""Saves pictures of every place on the sample fleet: light and dark, ordinary and double resolution.

python packaging/pictures.py FOLDER [--only light-1x]
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from PySide6.QtWidgets import QApplication, QWidget

    from annual_planner.desktop.app import Program

ROOT = Path(__file__).resolve().parent.parent
KINDS = ("light-1x", "dark-1x", "light-2x", "dark-2x")
WAIT_S = 20
ENGINES = {"four": "N012MH", "six": "N028RT", "nine": "N039TB"}
"""Airplanes of the sample by the cylinders of their engines; the first one's plugs are out."""


def main() -> int:
    """Start one process for each kind of picture: the scale is fixed when Qt starts."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--only", choices=KINDS)
    parser.add_argument("--one", choices=KINDS, help=argparse.SUPPRESS)
    parser.add_argument("--fleet", type=Path, help=argparse.SUPPRESS)
    asked = parser.parse_args()
    if asked.one:
        _take(asked.folder, asked.one, asked.fleet)
        return 0
    asked.folder.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as kept:
        fleet = Path(kept) / "sample.fleet"
        sys.path.insert(0, str(ROOT))
        from demo_fleet.loader import build_demo

        build_demo(fleet)
        _plan_annual(fleet)
        _take_plugs_out(fleet)
        _plan_weeks(fleet)
        for kind in [asked.only] if asked.only else KINDS:
            words = [sys.executable, __file__, str(asked.folder), "--one", kind, "--fleet", str(fleet)]
            subprocess.run(words, check=True, env=_surroundings(kind), cwd=ROOT)
    return 0


def _plan_annual(path: Path) -> None:
    from annual_planner.library.shelf import load_library
    from annual_planner.planning.packages import BuildPackage
    from annual_planner.records.apply import apply
    from annual_planner.store.fleet_reads import find_aircraft
    from annual_planner.store.opening import open_fleet
    from demo_fleet.loader import DEMO_AIRPLANE, DEMO_TODAY

    with open_fleet(path) as fleet:
        with fleet.reading() as work:
            aircraft_id = find_aircraft(work, DEMO_AIRPLANE)
        edit = BuildPackage(aircraft_id, DEMO_TODAY, "Annual inspection", load_library())
        apply(fleet, edit, "pictures", DEMO_TODAY)


def _take_plugs_out(path: Path) -> None:
    """Lay the plugs of the guided airplane into the tray, so that there is something in it."""
    from annual_planner.records.apply import apply
    from annual_planner.records.plug_tray import TakeOutPlugs
    from annual_planner.store.fleet_reads import find_aircraft
    from annual_planner.store.opening import open_fleet
    from annual_planner.store.plug_reads import engine_places
    from demo_fleet.loader import DEMO_AIRPLANE, DEMO_TODAY

    places = tuple(f"{cylinder}{row}" for cylinder in range(1, 5) for row in "TB")
    with open_fleet(path) as fleet:
        with fleet.reading() as work:
            engine = engine_places(work, find_aircraft(work, DEMO_AIRPLANE))[0]
        assert engine.hours_now is not None, "the demo's engines have hours"
        edit = TakeOutPlugs(engine.assembly_id, DEMO_TODAY, engine.hours_now, places)
        apply(fleet, edit, "pictures", DEMO_TODAY)


def _plan_weeks(path: Path) -> None:
    """Keep a plan of the shop's weeks, so that there are bars in it."""
    from annual_planner.planning.shop_weeks.placing import place_visits
    from annual_planner.planning.shop_weeks.stored import KeepWeeks, weeks_from_fleet
    from annual_planner.records.apply import apply
    from annual_planner.store.opening import open_fleet
    from demo_fleet.loader import DEMO_TODAY

    with open_fleet(path) as fleet:
        with fleet.reading() as work:
            asked = weeks_from_fleet(work, DEMO_TODAY).asked
        mondays = tuple(week.monday for week in asked.weeks)
        plan = place_visits(asked, seconds=0).value
        apply(fleet, KeepWeeks(mondays[0], mondays[-1], plan.placed, mondays), "pictures", DEMO_TODAY)


def _surroundings(kind: str) -> dict[str, str]:
    scale = "2" if kind.endswith("2x") else "1"
    return {**os.environ, "QT_QPA_PLATFORM": "offscreen", "QT_SCALE_FACTOR": scale, "PYTHONPATH": str(ROOT)}


def _take(folder: Path, kind: str, fleet: Path) -> None:
    from PySide6.QtCore import QLocale, QSettings

    from annual_planner.desktop.app import Program, application

    QLocale.setDefault(QLocale("en_US"))
    app = application()
    kept = Path(tempfile.mkdtemp())
    program = Program(app, QSettings(str(kept / "kept.ini"), QSettings.Format.IniFormat), folder=kept)
    program.theme.set_scheme("dark" if kind.startswith("dark") else "light")
    program.show_first()
    save(app, program.first, folder / f"{kind}-first.png")
    program.start(fleet)
    _places(app, program, folder, kind)
    program.close()


def _places(app: QApplication, program: Program, folder: Path, kind: str) -> None:
    from annual_planner.desktop.places import PLACES

    window = program.window
    assert window is not None, "the sample fleet was opened"
    window.resize(1280, 800)
    from annual_planner.store.fleet_reads import find_aircraft, packages
    from demo_fleet.loader import DEMO_AIRPLANE

    with window.desk.jobs.fleet.reading() as work:
        aircraft_id = find_aircraft(work, DEMO_AIRPLANE)
        package_id = packages(work)[0].package_id
    subjects: dict[str, object] = {"aircraft": aircraft_id, "annual": package_id}
    stops: list[tuple[str, str, object]] = [
        (place.name, place.name, subjects.get(place.name)) for place in PLACES
    ]
    stops += [("fleet-due", "fleet", "due"), ("library-coverage", "library", "coverage")]
    for name, place, subject in stops:
        window.go(place, subject)
        settle(app, program)
        window.grab().save(str(folder / f"{kind}-{name}.png"))
        if name in (*subjects, "discrepancies", "records", "library"):
            _parts(app, program, folder / f"{kind}-{name}")
    _engines(app, program, folder, kind)
    _weeks(app, program, folder, kind)
    window.go("fleet", "airplanes")
    settle(app, program)
    window.show_why()
    save(app, window, folder / f"{kind}-why.png", program)
    window.panel.hide()
    _popups(app, program, folder, kind)
    program.theme.set_bench(True)
    save(app, window, folder / f"{kind}-bench.png", program)
    program.theme.set_bench(False)
    program.theme.set_percent(200)
    save(app, window, folder / f"{kind}-200.png", program)
    program.theme.set_percent(100)


def _engines(app: QApplication, program: Program, folder: Path, kind: str) -> None:
    """Take every tab of plugs and cylinders, for engines of 4, 6 and 9; also at bench size and at 200 %."""
    from annual_planner.store.fleet_reads import find_aircraft

    window = program.window
    assert window is not None, "the sample fleet was opened"
    first: object = None
    for name, registration in ENGINES.items():
        with window.desk.jobs.fleet.reading() as work:
            aircraft_id = find_aircraft(work, registration)
        window.go("plugs", aircraft_id)
        settle(app, program)
        first = first or window.page.subject
        stem = folder / f"{kind}-plugs-{name}"
        save(app, window, stem.with_name(f"{stem.name}-part1.png"), program)
        _parts(app, program, stem)
    window.go("plugs", first)
    settle(app, program)
    program.theme.set_bench(True)
    _parts(app, program, folder / f"{kind}-plugs-bench")
    program.theme.set_bench(False)
    program.theme.set_percent(200)
    _parts(app, program, folder / f"{kind}-plugs-200")
    program.theme.set_percent(100)


def _weeks(app: QApplication, program: Program, folder: Path, kind: str) -> None:
    """Take the shop's weeks with a move tried, with what to do together, at bench size and at 200 %."""
    from annual_planner.desktop.weeks.page import WeeksPage

    window = program.window
    assert window is not None, "the sample fleet was opened"
    window.go("weeks")
    settle(app, program)
    page, stem = window.page, folder / f"{kind}-weeks"
    assert isinstance(page, WeeksPage), "it was gone to"
    assert page.shown is not None, "it was read"
    _parts(app, program, stem)
    line = next(each for each in page.shown.lines if each.registration == ENGINES["six"])
    page.choose(line.key)
    page.moving.ask(line.key, page.shown.lanes.loads[12].week.monday)
    save(app, window, stem.with_name(f"{stem.name}-move.png"), program)
    page.moving.put_back()
    page.show_together()
    save(app, window, stem.with_name(f"{stem.name}-together.png"), program)
    page.beside.put_away()
    page.area.show_scale("year")
    save(app, window, stem.with_name(f"{stem.name}-year.png"), program)
    program.theme.set_bench(True)
    save(app, window, stem.with_name(f"{stem.name}-bench.png"), program)
    program.theme.set_bench(False)
    program.theme.set_percent(200)
    save(app, window, stem.with_name(f"{stem.name}-200.png"), program)
    program.theme.set_percent(100)


def _parts(app: QApplication, program: Program, stem: Path) -> None:
    """Take every part of the place that is shown, under a number in the order of its tabs."""
    from PySide6.QtWidgets import QTabWidget

    window = program.window
    assert window is not None, "the sample fleet was opened"
    for tabs in window.page.findChildren(QTabWidget):
        for number in range(1, tabs.count()):
            tabs.setCurrentIndex(number)
            save(app, window, stem.with_name(f"{stem.name}-part{number + 1}.png"), program)
        tabs.setCurrentIndex(0)


def _popups(app: QApplication, program: Program, folder: Path, kind: str) -> None:
    from annual_planner.desktop.go_to import GoTo
    from annual_planner.desktop.help_window import HelpWindow

    window = program.window
    assert window is not None, "the sample fleet was opened"
    window.go_to_anything()
    save(app, window.findChild(GoTo), folder / f"{kind}-goto.png", program)
    for box in window.findChildren(GoTo):
        box.close()
    window.show_help("fleet")
    save(app, window.findChild(HelpWindow), folder / f"{kind}-help.png", program)
    for page in window.findChildren(HelpWindow):
        page.close()


def save(app: QApplication, shown: QWidget | None, path: Path, program: Program | None = None) -> None:
    """Save a picture once everything is painted."""
    assert shown is not None, "there is something to take a picture of"
    if program is None:
        app.processEvents()
    else:
        settle(app, program)
    shown.grab().save(str(path))


def settle(app: QApplication, program: Program) -> None:
    """Wait until every answer is here and painted."""
    until = time.monotonic() + WAIT_S
    quiet = 0
    while quiet < 5 and time.monotonic() < until:
        app.processEvents()
        time.sleep(0.02)
        busy = program.window is not None and bool(program.window.desk.jobs.awaited)
        quiet = 0 if busy else quiet + 1


if __name__ == "__main__":
    sys.exit(main())
