"""The help says what the window does: its pages are all there, and the keys it names are keys."""

from __future__ import annotations

import re
from collections.abc import Iterator
from importlib.resources import files
from pathlib import Path

from PySide6.QtGui import QAction, QShortcut
from PySide6.QtWidgets import QTabBar, QWidget
from pytestqt.qtbot import QtBot

from annual_planner.desktop.app import Program
from annual_planner.desktop.help_window import PAGES
from annual_planner.desktop.places import PLACES
from annual_planner.desktop.resource import resource_text
from annual_planner.library.shelf import load_library
from annual_planner.planning.packages import BuildPackage
from annual_planner.records.apply import apply
from annual_planner.store.fleet_reads import find_aircraft
from annual_planner.store.opening import open_fleet
from demo_fleet.loader import DEMO_AIRPLANE, DEMO_TODAY
from tests.desktop.conftest import settle

KEY = re.compile(r"(?:(?:Ctrl|Alt|Shift)\+)+(?:Enter|[A-Z0-9↑↓←→])(?![A-Za-z])|\bF\d+\b")
AS_QT_SAYS = {"Enter": "Return", "↑": "Up", "↓": "Down", "←": "Left", "→": "Right"}
IN_FIELDS = {"Ctrl+C", "Ctrl+Return"}
"""Keys that a list, or a form while it is filled in, answers to by itself."""
OF_NO_PLACE = ("window", "working", "shop")
"""Pages that tell of menus and of what stands beside the work."""


def test_every_page_of_the_help_can_be_opened() -> None:
    written = {Path(page.name).stem for page in files("resources").joinpath("help").iterdir()}
    assert written == set(PAGES)


def test_the_keys_that_the_help_of_a_place_names_are_keys_there(
    program: Program, fleet_file: Path, qtbot: QtBot
) -> None:
    with open_fleet(fleet_file) as fleet:
        with fleet.reading() as work:
            airplane = find_aircraft(work, DEMO_AIRPLANE)
        edit = BuildPackage(airplane, DEMO_TODAY, "Annual inspection", load_library())
        package = apply(fleet, edit, "Ann Quill", DEMO_TODAY).made_id
    program.start(fleet_file)
    window = program.window
    assert window is not None
    settle(qtbot, window)
    subjects = {"aircraft": airplane, "annual": package, "plugs": airplane}
    everywhere = set(keys_of(window.menuBar())) - set(keys_of(window.page))  # without those of the menu Here
    dead = [(page, key) for page in OF_NO_PLACE for key in keys_named(page) if key not in everywhere]
    for place in PLACES:
        window.go(place.name, subjects.get(place.name))
        settle(qtbot, window)
        for bar in window.page.findChildren(QTabBar):
            for part in range(bar.count()):  # a part makes its actions when it is first shown
                bar.setCurrentIndex(part)
                settle(qtbot, window)
        live = everywhere | set(keys_of(window.page)) | IN_FIELDS
        dead += [(place.name, key) for key in keys_named(place.name) if key not in live]
    assert sorted(set(dead)) == []


def keys_named(page: str) -> list[str]:
    found = sorted(set(KEY.findall(resource_text("help", f"{page}.md"))))
    for said, qt in AS_QT_SAYS.items():
        found = [key.replace(said, qt) for key in found]
    return found


def keys_of(root: QWidget) -> Iterator[str]:
    actions = [action for widget in (root, *root.findChildren(QWidget)) for action in widget.actions()]
    for action in (*actions, *root.findChildren(QAction)):
        for key in action.shortcuts():
            yield key.toString()
    for shortcut in root.findChildren(QShortcut):
        yield shortcut.key().toString()
