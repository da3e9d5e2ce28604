"""How a test works on the page of plugs and cylinders: keys, parts, forms."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from annual_planner.desktop.app import Program
from annual_planner.desktop.form import Form
from annual_planner.desktop.plugs.compression_tab import CompressionTab
from annual_planner.desktop.plugs.page import PlugsPage
from annual_planner.desktop.window import MainWindow
from annual_planner.store.fleet_reads import find_aircraft
from tests.desktop.conftest import settle


class Keys:
    """A keyboard that counts, and always types into whatever has the cursor."""

    def __init__(self, qtbot: QtBot, window: MainWindow) -> None:
        self._qtbot = qtbot
        self._window = window
        self.count = 0

    @property
    def there(self) -> QWidget:
        """What the keys act on."""
        focus = self._window.focusWidget()
        assert focus is not None
        return focus

    def press(self, key: Qt.Key, modifier: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier) -> None:
        self.count += 1
        self._qtbot.keyClick(self.there, key, modifier)

    def type(self, text: str) -> None:
        for letter in text:
            self.count += 1
            self._qtbot.keyClick(self.there, letter)


def show(page: PlugsPage, part: QWidget) -> None:
    page.tabs.show_part(part)
    QApplication.processEvents()


def form_of(page: PlugsPage) -> Form:
    """The form that is open."""
    form = page.drawer.widget() if page.drawer is not None else None
    assert isinstance(form, Form)
    return form


def fill(page: PlugsPage, **texts: object) -> None:
    """Fill the form that is open."""
    for key, text in texts.items():
        form_of(page).fields[key].put(text)


def submit(page: PlugsPage, window: MainWindow, qtbot: QtBot) -> None:
    form_of(page).submit()
    settle(qtbot, window)


def count_gaskets(page: PlugsPage, window: MainWindow, qtbot: QtBot) -> None:
    page.tabs.tray.gaskets_all.emit()
    settle(qtbot, window)


def open_plugs(
    program: Program, fleet_file: Path, qtbot: QtBot, airplane_there: int | str
) -> tuple[MainWindow, PlugsPage]:
    """The window on the plugs of an airplane, by its id or its registration."""
    program.start(fleet_file)
    window = program.window
    assert window is not None
    settle(qtbot, window)
    if isinstance(airplane_there, str):
        with window.desk.jobs.fleet.reading() as work:
            airplane_there = find_aircraft(work, airplane_there)
    window.go("plugs", airplane_there)
    settle(qtbot, window)
    assert isinstance(window.page, PlugsPage)
    return window, window.page


def type_keys(window: MainWindow, qtbot: QtBot, *texts: str) -> None:
    """Type into whatever has the cursor; a new line is Enter."""
    for letter in "".join(texts):
        focus = window.focusWidget()
        assert focus is not None
        qtbot.keyClick(focus, Qt.Key.Key_Return if letter == "\n" else letter)


def tick_all(tab: CompressionTab) -> None:
    for box in tab.safety.boxes.values():
        box.click()


def read(tab: CompressionTab, qtbot: QtBot, window: MainWindow, *texts: str) -> None:
    """Type readings by keys alone, one after the other."""
    tab.readings.start()
    type_keys(window, qtbot, *texts)
