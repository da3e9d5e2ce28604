"""The place of plugs and cylinders, driven as a person drives it: by actions, keys and clicks."""

from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QApplication, QLabel, QWidget
from pytestqt.qtbot import QtBot

from annual_planner.desktop.app import Program
from annual_planner.desktop.form import Form
from annual_planner.desktop.plugs.going_in import Plan
from annual_planner.desktop.plugs.page import PlugsPage
from annual_planner.desktop.window import MainWindow
from annual_planner.library.shelf import Library, load_library
from annual_planner.store.fleet_reads import find_aircraft
from annual_planner.store.opening import open_fleet
from annual_planner.trade.engines import EngineType, place
from annual_planner.trade.torque import TorqueUnit
from annual_planner.trade.working import Working
from tests.desktop.conftest import settle
from tests.desktop.plug_bench import add_airplane, fit_out, take_all_out, yearly_tests

pytestmark = pytest.mark.desktop
SIX = "N077PL"
WANTED_KEYS = 6
"""Keystrokes for a plug with nothing wrong, at most."""


@pytest.fixture(scope="session")
def library() -> Library:
    return load_library()


@pytest.fixture
def kind(library: Library) -> EngineType:
    return library.engine("wrenlake_o6")


@pytest.fixture
def place_of(
    program: Program, fleet_file: Path, qtbot: QtBot, kind: EngineType
) -> tuple[MainWindow, PlugsPage]:
    """The window on the plugs of an airplane of six cylinders, everything in."""
    with open_fleet(fleet_file) as fleet:
        add_airplane(fleet, SIX)
        aircraft_id = fit_out(fleet, SIX, kind)
        yearly_tests(fleet, SIX, kind, 3)
    program.start(fleet_file)
    window = program.window
    assert window is not None
    settle(qtbot, window)
    window.go("plugs", aircraft_id)
    settle(qtbot, window)
    assert isinstance(window.page, PlugsPage)
    return window, window.page


@pytest.fixture
def tray(program: Program, fleet_file: Path, qtbot: QtBot, kind: EngineType) -> tuple[MainWindow, PlugsPage]:
    """The same with every plug out."""
    with open_fleet(fleet_file) as fleet:
        add_airplane(fleet, SIX)
        aircraft_id = fit_out(fleet, SIX, kind)
        take_all_out(fleet, SIX, kind)
    program.start(fleet_file)
    window = program.window
    assert window is not None
    settle(qtbot, window)
    window.go("plugs", aircraft_id)
    settle(qtbot, window)
    assert isinstance(window.page, PlugsPage)
    return window, window.page


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


def test_twelve_plugs_are_checked_by_keys_alone_in_few_strokes(
    tray: tuple[MainWindow, PlugsPage], qtbot: QtBot
) -> None:
    window, page = tray
    show(page, page.tabs.tray)
    keys = Keys(qtbot, window)
    page.doings.check.trigger()
    for _plug in range(12):
        keys.type("17")
        for _field in range(3):
            keys.press(Qt.Key.Key_Return)
    settle(qtbot, window)
    assert page.view is not None
    assert page.view.tray is not None
    looks = [slot.before for slot in page.view.tray.slots]
    assert all(look is not None and look.line.gaps_in == (0.017,) for look in looks)
    assert keys.count / 12 <= WANTED_KEYS
    print(f"keystrokes per plug: {keys.count / 12:g}")


def test_a_check_is_taken_back_by_undo_and_done_again_by_redo(
    tray: tuple[MainWindow, PlugsPage], qtbot: QtBot
) -> None:
    window, page = tray
    show(page, page.tabs.tray)
    page.doings.check.trigger()
    keys = Keys(qtbot, window)
    keys.type("17")
    keys.press(Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    settle(qtbot, window)
    assert page.view is not None
    assert page.view.tray is not None
    assert page.view.tray.slots[0].before is not None
    window.menus.actions["undo"].trigger()
    settle(qtbot, window)
    assert page.view.tray is not None
    assert page.view.tray.slots[0].before is None
    window.menus.actions["redo"].trigger()
    settle(qtbot, window)
    assert page.view.tray is not None
    assert page.view.tray.slots[0].before is not None


def test_what_can_not_be_is_said_beside_the_fields_and_nothing_is_lost(
    tray: tuple[MainWindow, PlugsPage], qtbot: QtBot
) -> None:
    window, page = tray
    show(page, page.tabs.tray)
    page.doings.check.trigger()
    entry = page.tabs.tray.entry
    Keys(qtbot, window).type("x")
    entry.submit()
    assert "‘x’ is no gap" in entry.said.text()
    assert entry.text("gap") == "x"


def test_another_decision_needs_its_reason(tray: tuple[MainWindow, PlugsPage], qtbot: QtBot) -> None:
    window, page = tray
    show(page, page.tabs.tray)
    page.doings.check.trigger()
    keys = Keys(qtbot, window)
    keys.type("17")
    entry = page.tabs.tray.entry
    entry.lines["decide"].setFocus()
    keys.type("r")
    entry.submit()
    assert "needs a reason" in entry.said.text()
    keys.press(Qt.Key.Key_Return)
    keys.type("nose looks dull")
    keys.press(Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    settle(qtbot, window)
    assert page.view is not None
    assert page.view.tray is not None
    slot = page.view.tray.slots[0]
    assert slot.rejected
    assert slot.before is not None
    assert slot.before.line.overruled_because == "nose looks dull"


def test_plugs_come_out_by_the_form_and_the_tray_is_shown(
    place_of: tuple[MainWindow, PlugsPage], qtbot: QtBot
) -> None:
    window, page = place_of
    page.doings.out.trigger()
    submit(page, window, qtbot)
    assert page.view is not None
    assert page.view.tray is not None
    assert len(page.view.tray.slots) == 12
    assert page.tabs.part is page.tabs.tray
    assert window.focusWidget() is page.tabs.tray.entry.lines["gap"]


def test_the_engine_is_walked_by_arrows_and_clicked(
    place_of: tuple[MainWindow, PlugsPage], qtbot: QtBot
) -> None:
    _window, page = place_of
    drawing = page.tabs.engine.drawing
    drawing.setFocus()
    drawing.choose(place("2T"))
    qtbot.keyClick(drawing, Qt.Key.Key_Down)
    assert drawing.chosen == place("2B")
    qtbot.keyClick(drawing, Qt.Key.Key_Right)
    assert drawing.chosen == place("1B")
    spot = drawing.point_of(place("5T")).toPoint()
    qtbot.mouseClick(drawing, Qt.MouseButton.LeftButton, pos=spot)
    assert drawing.chosen == place("5T")
    assert "Cylinder 5 top" in page.tabs.engine.about.text()
    assert "cylinder 5 top" in drawing.accessibleDescription()


def test_nothing_goes_in_before_gaskets_are_counted_and_the_missing_one_is_named(
    tray: tuple[MainWindow, PlugsPage], qtbot: QtBot
) -> None:
    window, page = tray
    page.doings.put.trigger()
    assert "gaskets are not counted" in page.strip.text
    page.doings.gasket.trigger()
    fill(page, place="4B")
    submit(page, window, qtbot)
    page.tabs.tray.gaskets_all.emit()
    settle(qtbot, window)
    assert "missing at 4B" in page.tabs.tray.count.text()
    page.doings.put.trigger()
    fill(page, new_gaskets="12")
    submit(page, window, qtbot)
    assert "cylinder 4 bottom" in form_of(page).summary.text()


def count_gaskets(page: PlugsPage, window: MainWindow, qtbot: QtBot) -> None:
    page.tabs.tray.gaskets_all.emit()
    settle(qtbot, window)


def test_too_few_new_gaskets_ask_for_the_cylinder(tray: tuple[MainWindow, PlugsPage], qtbot: QtBot) -> None:
    window, page = tray
    count_gaskets(page, window, qtbot)
    page.doings.put.trigger()
    fill(page, new_gaskets="11")
    fill(page, gasket_at="3T")
    submit(page, window, qtbot)
    assert "11 new gaskets for 12 plugs" in form_of(page).summary.text()
    assert page.view is not None
    assert page.view.tray is not None


def test_plugs_go_back_by_the_rotation(
    tray: tuple[MainWindow, PlugsPage], qtbot: QtBot, kind: EngineType
) -> None:
    window, page = tray
    count_gaskets(page, window, qtbot)
    page.doings.put.trigger()
    fill(page, new_gaskets="12")
    submit(page, window, qtbot)
    assert page.view is not None
    assert page.view.tray is None
    plug = page.view.at(place("4B")).plug
    assert plug is not None
    assert plug.tag == "K-T01"


def test_a_swap_by_keys_asks_for_the_reason_and_is_recorded_with_it(
    tray: tuple[MainWindow, PlugsPage], qtbot: QtBot
) -> None:
    window, page = tray
    count_gaskets(page, window, qtbot)
    show(page, page.tabs.tray)
    box = page.tabs.tray.drawing
    box.setFocus()
    box.choose(place("1T"))
    for key in (Qt.Key.Key_Space, Qt.Key.Key_Right, Qt.Key.Key_Space):
        qtbot.keyClick(box, key)
    fill(page, why="to watch cylinder 3")
    submit(page, window, qtbot)
    assert page.view is not None
    going = {str(line.place): line for line in Plan(page.view).lines()}
    assert going["4B"].departs
    window.menus.actions["undo"].trigger()
    settle(qtbot, window)
    assert not any(line.departs for line in Plan(page.view).lines())
    window.menus.actions["redo"].trigger()
    settle(qtbot, window)
    page.doings.put.trigger()
    fill(page, new_gaskets="12")
    submit(page, window, qtbot)
    assert page.view is not None
    assert page.view.rotations[0].departures["4B"] == "to watch cylinder 3"
    plug = page.view.at(place("4B")).plug
    assert plug is not None
    assert plug.tag == "K-T02"


def test_a_plug_is_dragged_onto_another(tray: tuple[MainWindow, PlugsPage], qtbot: QtBot) -> None:
    _window, page = tray
    show(page, page.tabs.tray)
    box = page.tabs.tray.drawing
    asked: list[tuple[object, object]] = []
    box.swapped.connect(lambda one, other: asked.append((one, other)))
    first, second = (box.box_of(place(at)).center().toPoint() for at in ("1T", "3B"))
    qtbot.mousePress(box, Qt.MouseButton.LeftButton, pos=first)
    for step in (QPoint(30, 5), second - first):
        qtbot.mouseMove(box, first + step)
    qtbot.mouseRelease(box, Qt.MouseButton.LeftButton, pos=second)
    assert asked == [(place("1T"), place("3B"))]


def test_rotating_in_the_tray_lays_the_plugs_out_as_they_go_in(
    tray: tuple[MainWindow, PlugsPage], qtbot: QtBot
) -> None:
    window, page = tray
    page.tabs.rotation.moved_wanted.emit("in the tray")
    settle(qtbot, window)
    show(page, page.tabs.tray)
    page.tabs.tray.drawing.choose(place("4B"))
    slot = page.tabs.tray.slot
    assert slot is not None
    assert slot.plug.tag == "K-T01"


def test_an_engine_without_a_type_asks_for_it_first(program: Program, fleet_file: Path, qtbot: QtBot) -> None:
    with open_fleet(fleet_file) as fleet:
        aircraft_id = add_airplane(fleet, SIX)
    program.start(fleet_file)
    window = program.window
    assert window is not None
    settle(qtbot, window)
    window.go("plugs", aircraft_id)
    settle(qtbot, window)
    page = window.page
    assert isinstance(page, PlugsPage)
    assert "Of which type" in page.blank.accessibleDescription()
    page.doings.start_type()
    fill(page, type_key="ostermoor_r9")
    submit(page, window, qtbot)
    assert page.view is not None
    assert page.view.engine_type.cylinder_count == 9
    assert page.doings.fit.isEnabled()


def test_every_tab_shows_its_working_where_it_computes(place_of: tuple[MainWindow, PlugsPage]) -> None:
    _window, page = place_of
    for part in (page.tabs.rotation, page.tabs.compression, page.tabs.trends):
        show(page, part)
        working = page.why()
        assert isinstance(working, Working), part.accessibleName()
        assert working.result


def test_a_point_of_the_trend_opens_its_test(place_of: tuple[MainWindow, PlugsPage], qtbot: QtBot) -> None:
    _window, page = place_of
    page.tabs.trends.show_cylinder(3)
    show(page, page.tabs.trends)
    chart = page.tabs.trends.chart
    run = next(run for run in chart.picture.runs if run.loud)
    first = run.points[0]
    spot = chart.spot(first.hours, first.value).toPoint()
    qtbot.mouseClick(chart, Qt.MouseButton.LeftButton, pos=spot)
    assert page.tabs.part is page.tabs.compression
    chosen = page.tabs.compression.chosen_test
    assert chosen is not None
    assert chosen.line.test_id == first.key


def test_a_plug_of_the_drawer_is_checked_before_it_goes_in(
    tray: tuple[MainWindow, PlugsPage], qtbot: QtBot
) -> None:
    window, page = tray
    page.doings.bought.trigger()
    fill(page, tags="K-N01")
    submit(page, window, qtbot)
    assert page.view is not None
    spare = next(plug for plug in page.view.spares if plug.tag == "K-N01")
    page.doings.drawer_check.trigger()
    fill(page, plug_id=spare.plug_id, gap="not a gap")
    submit(page, window, qtbot)
    form = page.drawer_form
    assert isinstance(form, Form)
    assert "is no gap" in form.summary.text()
    fill(page, gap="18")
    submit(page, window, qtbot)
    [look] = next(plug for plug in page.view.spares if plug.tag == "K-N01").looks
    assert look.line.gaps_in == (0.018,)


def test_nothing_of_before_cleaning_is_taken_for_a_measurement_after_it(
    tray: tuple[MainWindow, PlugsPage], qtbot: QtBot
) -> None:
    window, page = tray
    show(page, page.tabs.tray)
    page.doings.check.trigger()
    tab = page.tabs.tray
    for _plug in range(12):
        tab.entry.lines["gap"].setText("17")
        tab.entry.lines["ohms"].setText("open")
        tab.entry.submit()
    settle(qtbot, window)
    assert "Checked before cleaning: all 12." in tab.count.text()
    assert "lead" in tab.cautions.text()
    assert not tab.cautions.isHidden()
    tab.show_slot(tab.slots[0])
    assert (tab.entry.text("gap"), tab.entry.text("ohms")) == ("17", "open")
    tab.turn_stage()
    assert [tab.entry.text(name) for name in ("gap", "looks", "ohms")] == ["", "n", ""]


def test_the_caution_stands_where_plugs_come_out(place_of: tuple[MainWindow, PlugsPage]) -> None:
    _window, page = place_of
    page.doings.out.trigger()
    words = " ".join(each.text() for each in form_of(page).findChildren(QLabel))
    assert "Treat the propeller as live" in words
    assert "Hot engine" in words


def test_a_plug_that_tells_of_its_cylinder_says_that_it_was_written_up(
    tray: tuple[MainWindow, PlugsPage], qtbot: QtBot
) -> None:
    window, page = tray
    show(page, page.tabs.tray)
    page.doings.check.trigger()
    keys = Keys(qtbot, window)
    keys.type("17")
    page.tabs.tray.entry.lines["looks"].setText("m")
    page.tabs.tray.entry.submit()
    settle(qtbot, window)
    assert "discrepancy on cylinder 1" in page.strip.text


def test_all_plugs_together_are_said_with_their_working(
    program: Program, fleet_file: Path, qtbot: QtBot
) -> None:
    program.start(fleet_file)
    window = program.window
    assert window is not None
    settle(qtbot, window)
    with window.desk.jobs.fleet.reading() as work:
        aircraft_id = find_aircraft(work, "N028RT")
    window.go("plugs", aircraft_id)
    settle(qtbot, window)
    page = window.page
    assert isinstance(page, PlugsPage)
    tab = page.tabs.engine
    said = "Of 12 plugs 3 won't reach the next annual (1T, 4B, 6B), 9 last until then."
    assert tab.whole_set.text().startswith(said)
    assert "at a visit of their own" in tab.whole_set.text()
    with qtbot.waitSignal(page.wants_working) as asked:
        tab.set_why.click()
    assert asked.args[0].title == "Plugs until the next annual"


def test_the_wrench_is_set_lower_with_an_adapter_and_never_above_the_range(
    place_of: tuple[MainWindow, PlugsPage], qtbot: QtBot
) -> None:
    window, page = place_of
    page.doings.wrench.trigger()
    fill(page, wanted="330", unit=TorqueUnit.INCH_POUND, wrench_in="10", extension_in="4")
    submit(page, window, qtbot)
    assert "Set the wrench to 26.6" in form_of(page).summary.text()
    assert "in range" in form_of(page).summary.text()
    working = page.why()
    assert isinstance(working, Working)
    assert working.parts
    fill(page, joint_deg="30")
    submit(page, window, qtbot)
    assert "come straighter" in form_of(page).summary.text()
    fill(page, wanted="600", joint_deg="0")
    submit(page, window, qtbot)
    assert "The shell stretches" in form_of(page).summary.text()


def test_a_rotation_says_what_it_changes_and_which_one_is_proposed(
    program: Program, fleet_file: Path, qtbot: QtBot
) -> None:
    program.start(fleet_file)
    window = program.window
    assert window is not None
    settle(qtbot, window)
    with window.desk.jobs.fleet.reading() as work:
        aircraft_id = find_aircraft(work, "N012MH")
    window.go("plugs", aircraft_id)
    settle(qtbot, window)
    page = window.page
    assert isinstance(page, PlugsPage)
    show(page, page.tabs.rotation)
    tab = page.tabs.rotation
    assert "8 of 8 plugs move, 8 change row, 4 magneto; polarity" in tab.said.text()
    assert tab.proposed.text() == (
        "Proposed: Mirror cylinder, other row: row and polarity change for all 8 plugs."
    )
    with qtbot.waitSignal(page.wants_working) as asked:
        tab.why_proposed.click()
    assert asked.args[0] is page.view.proposal.working  # type: ignore[union-attr]
    tab.scheme_wanted.emit("mirror_cylinder_other_row")
    assert "polarity changes for 8" in tab.said.text()
    assert tab.proposed.isHidden()
