from collections import Counter
from collections.abc import Callable, Iterator
from decimal import Decimal
from functools import partial
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible, QAccessibleInterface, QGuiApplication, QKeySequence
from PySide6.QtWidgets import QLabel, QWidget
from pytestqt.qtbot import QtBot

from annual_planner.desktop.actions import ACTIONS
from annual_planner.desktop.fleet_page import FleetPage
from annual_planner.desktop.go_to import GoTo
from annual_planner.desktop.library_page import LibraryPage
from annual_planner.desktop.who import Person
from annual_planner.desktop.window import MainWindow
from annual_planner.desktop.window_acts import ACTS
from annual_planner.records.readings import RecordReading
from annual_planner.store.fleet_reads import find_aircraft, people, readings
from demo_fleet.loader import DEMO_AIRPLANE
from tests.desktop.conftest import MakeProgram, settle

pytestmark = pytest.mark.desktop


def fleet(window: MainWindow) -> FleetPage:
    page = window.page_of("fleet")
    assert isinstance(page, FleetPage)
    return page


def do(window: MainWindow, name: str) -> None:
    window.menus.actions[name].trigger()


def shown_registrations(window: MainWindow) -> list[str]:
    table = fleet(window).airplanes.table
    return [str(table.index(row, 0).data()) for row in range(table.rowCount())]


def test_it_opens_on_the_fleet_with_what_comes_first_on_top(window: MainWindow) -> None:
    assert window.page.place == "fleet"
    assert fleet(window).airplanes.table.rowCount() == 12
    table = fleet(window).airplanes.table
    days = [table.row_at(row).comes_first_on for row in range(12)]  # type: ignore[union-attr]
    assert days == sorted(days)  # type: ignore[type-var]


def test_the_sample_is_marked_as_a_sample(window: MainWindow) -> None:
    texts = [label.text() for label in window.findChildren(QLabel) if label.isVisible()]
    assert any(text.startswith("Sample fleet") for text in texts)


def test_searching_narrows_the_list_and_says_how_many_are_left(window: MainWindow, qtbot: QtBot) -> None:
    do(window, "find")
    page = fleet(window)
    page.airplanes.search.setText(DEMO_AIRPLANE)
    qtbot.keyClick(page.airplanes.search, Qt.Key.Key_Return)
    settle(qtbot, window)
    assert shown_registrations(window) == [DEMO_AIRPLANE]
    assert page.airplanes.count.text() == "1 of 12"


def test_a_search_that_finds_nothing_says_what_hides_the_rest(window: MainWindow, qtbot: QtBot) -> None:
    page = fleet(window)
    page.airplanes.search.setText("no such airplane")
    qtbot.keyClick(page.airplanes.search, Qt.Key.Key_Return)
    settle(qtbot, window)
    assert "12 airplanes" in page.airplanes.blank.accessibleDescription()
    page.airplanes.blank.next.click()
    settle(qtbot, window)
    assert len(shown_registrations(window)) == 12


def test_a_heading_sorts_up_then_down_then_not_at_all(window: MainWindow, qtbot: QtBot) -> None:
    own = shown_registrations(window)
    header = fleet(window).airplanes.view.horizontalHeader()
    orders = []
    for _ in range(3):
        header.sectionClicked.emit(0)
        settle(qtbot, window)
        orders.append(shown_registrations(window))
    assert orders[0] == sorted(own)
    assert orders[1] == sorted(own, reverse=True)
    assert orders[2] == own


def test_the_filter_shows_one_standing_only(window: MainWindow, qtbot: QtBot) -> None:
    page = fleet(window)
    page.airplanes._chips["overdue"].click()
    settle(qtbot, window)
    lines = [page.airplanes.table.row_at(row) for row in range(page.airplanes.table.rowCount())]
    assert lines
    assert {line.state for line in lines if line} == {"overdue"}


def test_chosen_rows_are_copied_with_headings_for_a_spreadsheet(window: MainWindow, qtbot: QtBot) -> None:
    view = fleet(window).airplanes.view
    view.selectAll()
    qtbot.keyClick(view, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    data = QGuiApplication.clipboard().mimeData()
    lines = data.text().splitlines()
    assert len(lines) == 13
    assert lines[0].split("\t")[:2] == ["Airplane", "Standing"]
    assert data.html().count("<tr>") == 13


def test_rows_that_were_never_looked_at_are_copied_too(window: MainWindow, qtbot: QtBot) -> None:
    window.go("fleet", "due")
    settle(qtbot, window)
    view = fleet(window).dues.view
    view.selectAll()
    view.copy()
    settle(qtbot, window)
    lines = QGuiApplication.clipboard().text().splitlines()
    assert len(lines) == fleet(window).dues.table.rowCount() + 1
    assert not any("…" in line for line in lines)


def test_copy_in_the_menu_copies_what_the_keys_act_on(window: MainWindow, qtbot: QtBot) -> None:
    view = fleet(window).airplanes.view
    view.setFocus()
    view.selectRow(0)
    do(window, "copy")
    assert shown_registrations(window)[0] in QGuiApplication.clipboard().text()


def test_a_back_up_is_written_and_said(window: MainWindow, tmp_path: Path, qtbot: QtBot) -> None:
    from annual_planner.desktop.back_up import back_up

    back_up(window.desk, window.strip, tmp_path / "copy.fleet")
    settle(qtbot, window)
    assert "copy was checked" in window.strip.text
    assert (tmp_path / "copy.fleet").exists()


def test_the_menu_of_a_row_acts_on_the_row_under_the_pointer(window: MainWindow, qtbot: QtBot) -> None:
    page = fleet(window)
    wanted = page.airplanes.table.id_at(3)
    assert wanted is not None
    assert page.airplanes.current_id != wanted
    menu = page.airplanes.view.row_menu(wanted)
    assert [action.text().replace("&", "") for action in menu.actions()][:2] == [
        "Open airplane",
        "Plan annual",
    ]
    assert page.chosen_aircraft_id == wanted


def test_why_shows_the_rule_behind_what_comes_first(window: MainWindow, qtbot: QtBot) -> None:
    page = fleet(window)
    with window.desk.jobs.fleet.reading() as work:
        page.airplanes.point_to(find_aircraft(work, "N051QF"))
    do(window, "why")
    settle(qtbot, window)
    assert window.panel.isVisible()
    assert window.panel.working is not None
    assert window.panel.working.rules
    assert "14 CFR" in window.panel.text.toPlainText()
    window.panel.copy()
    assert window.panel.working.title in QGuiApplication.clipboard().text()


def test_an_edit_is_named_in_the_menu_and_undone_from_it(window: MainWindow, qtbot: QtBot) -> None:
    jobs = window.desk.jobs
    with jobs.fleet.reading() as work:
        number = find_aircraft(work, DEMO_AIRPLANE)
        newest = max(readings(work, number), key=lambda line: line.read_on)
    edit = RecordReading(number, window.desk.today, newest.meter_hours + Decimal("0.5"))
    undo = window.menus.actions["undo"]
    assert not undo.isEnabled()
    jobs.write(edit, window)
    qtbot.waitUntil(undo.isEnabled)
    settle(qtbot, window)
    assert undo.text() == f"&Undo {edit.says}"
    assert window.status.say_saved().startswith("Saved ")
    assert fleet(window).airplanes.table.row_of(number).hours_now > newest.hours  # type: ignore[union-attr, operator]
    undo.trigger()
    settle(qtbot, window)
    assert fleet(window).airplanes.table.row_of(number).hours_now == newest.hours  # type: ignore[union-attr]


def test_back_and_forward_walk_over_the_places(window: MainWindow, qtbot: QtBot) -> None:
    window.go("library", "rules")
    window.go("fleet", "due")
    do(window, "back")
    library = window.page
    assert isinstance(library, LibraryPage)
    assert library.subject == "rules"
    do(window, "back")
    assert str(window.page.subject).startswith("airplanes")
    do(window, "forward")
    assert window.page is library


def test_control_tab_goes_round_the_rail(window: MainWindow, qtbot: QtBot) -> None:
    names = [place.name for place in window._places]
    walked = []
    for _ in names:
        walked.append(window.page.place)
        do(window, "next")
    assert walked == names
    assert window.page.place == names[0]


def test_anything_can_be_gone_to_by_its_words(window: MainWindow, qtbot: QtBot) -> None:
    for typed, place in (("library", "library"), ("fleet", "fleet")):
        do(window, "goto")
        box = window.findChildren(GoTo)[-1]
        box.box.setText(typed)
        settle(qtbot, window)
        qtbot.keyClick(box.box, Qt.Key.Key_Return)
        assert window.page.place == place


def test_going_to_anything_finds_airplanes(window: MainWindow, qtbot: QtBot) -> None:
    do(window, "goto")
    box = window.findChildren(GoTo)[-1]
    box.box.setText(DEMO_AIRPLANE)
    settle(qtbot, window)
    qtbot.waitUntil(lambda: box.list.count() > 0 and DEMO_AIRPLANE in box.list.item(0).text())
    box.close()


def test_an_owner_sees_their_own_airplanes_and_is_offered_no_edits(window: MainWindow, qtbot: QtBot) -> None:
    with window.desk.jobs.fleet.reading() as work:
        owner = next(person for person in people(work) if "owner" in person.roles)
    window.desk.who.pick(Person("owner", owner.person_id, owner.name))
    settle(qtbot, window)
    page = fleet(window)
    lines = [page.airplanes.table.row_at(row) for row in range(page.airplanes.table.rowCount())]
    assert lines
    assert {line.owner for line in lines if line} == {owner.name}
    assert not page.plan_action.isVisible()
    assert not page.add_action.isVisible()
    assert page.heading.text() == "My airplanes"


def test_an_owners_edit_is_refused_whatever_a_page_offers(window: MainWindow, qtbot: QtBot) -> None:
    with window.desk.jobs.fleet.reading() as work:
        number = find_aircraft(work, DEMO_AIRPLANE)
        before = len(readings(work, number))
        newest = max(readings(work, number), key=lambda line: line.read_on)
    window.desk.who.pick(Person("owner", None, "Somebody"))
    window.desk.jobs.write(RecordReading(number, window.desk.today, newest.meter_hours + 1), window)
    settle(qtbot, window)
    assert "Owners look" in window.strip.text
    with window.desk.jobs.fleet.reading() as work:
        assert len(readings(work, number)) == before


def test_the_place_aircraft_shows_the_airplane_chosen_in_the_fleet(window: MainWindow, qtbot: QtBot) -> None:
    page = fleet(window)
    with window.desk.jobs.fleet.reading() as work:
        page.airplanes.point_to(find_aircraft(work, DEMO_AIRPLANE))
    window.menus.actions["go-aircraft"].trigger()
    settle(qtbot, window)
    assert window.page.heading.text() == DEMO_AIRPLANE


def test_the_person_menu_lists_everyone_by_part(window: MainWindow, qtbot: QtBot) -> None:
    menu = window.rail.fill_person_menu()
    names = [action.text() for action in menu.actions() if not action.isSeparator()]
    with window.desk.jobs.fleet.reading() as work:
        wanted = {
            person.name for person in people(work) if set(person.roles) & {"mechanic", "owner", "manager"}
        }
    assert wanted <= set(names)
    ticked = [action.text() for action in menu.actions() if action.isChecked()]
    assert ticked == [window.desk.who.person.name]


def test_a_manager_sees_the_due_list_first(window: MainWindow, qtbot: QtBot) -> None:
    window.desk.who.pick(Person("manager", None, ""))
    settle(qtbot, window)
    assert window.page.place == "fleet"
    assert str(window.page.subject).startswith("due")
    assert fleet(window).dues.table.rowCount() > 100


def test_text_grows_to_200_percent_and_rows_with_it(window: MainWindow, qtbot: QtBot) -> None:
    view = fleet(window).airplanes.view
    before = view.verticalHeader().defaultSectionSize()
    for _ in range(15):
        do(window, "larger")
    assert window.desk.theme.percent == 200
    assert view.verticalHeader().defaultSectionSize() > 1.5 * before
    settle(qtbot, window)
    assert window.minimumSizeHint().width() <= 1280
    do(window, "ordinary")
    assert view.verticalHeader().defaultSectionSize() == before


def test_bench_size_makes_every_target_12_mm_high(window: MainWindow, qtbot: QtBot) -> None:
    window.menus.actions["bench"].trigger()
    settle(qtbot, window)
    screen = QGuiApplication.primaryScreen()
    wanted = 12 * screen.logicalDotsPerInch() / 25.4
    page = fleet(window)
    assert page.airplanes.view.verticalHeader().defaultSectionSize() >= int(wanted)
    from PySide6.QtWidgets import QPushButton

    low = [
        (button.accessibleName(), button.height())
        for button in window.findChildren(QPushButton)
        if button.isVisible() and button.height() < int(wanted) - 1
    ]
    assert low == []
    window.menus.actions["bench"].trigger()


def test_the_next_start_shows_the_same_place_and_look(
    make_program: MakeProgram, fleet_file: Path, qtbot: QtBot
) -> None:
    first = make_program()
    first.start(fleet_file)
    assert first.window is not None
    first.window.go("library", "cautions")
    first.theme.set_scheme("dark")
    settle(qtbot, first.window)
    first.close()
    again = make_program()
    again.start()
    assert again.window is not None
    settle(qtbot, again.window)
    assert again.window.page.place == "library"
    assert again.window.page.subject == "cautions"
    assert again.theme.dark


def test_a_column_taken_away_stays_away(make_program: MakeProgram, fleet_file: Path, qtbot: QtBot) -> None:
    first = make_program()
    first.start(fleet_file)
    assert first.window is not None
    settle(qtbot, first.window)
    choice = fleet(first.window).airplanes.view.column_menu().actions()[2]
    assert choice.text() == "Comes first"
    choice.trigger()
    first.close()
    again = make_program()
    again.start(fleet_file)
    assert again.window is not None
    settle(qtbot, again.window)
    assert fleet(again.window).airplanes.view.isColumnHidden(2)


def test_a_fault_leaves_the_window_usable_and_offers_a_report(window: MainWindow, qtbot: QtBot) -> None:
    def fails(_work: Any) -> None:
        raise KeyError("tach")

    window.desk.jobs.read(fails, window, lambda _value: None)
    settle(qtbot, window)
    assert "Something went wrong" in window.strip.text
    assert window.strip._more.isVisible()
    do(window, "refresh")
    settle(qtbot, window)
    assert len(shown_registrations(window)) == 12


def test_running_work_shows_after_a_while_and_can_be_cancelled(window: MainWindow, qtbot: QtBot) -> None:
    import time

    def work(progress: Callable[[int, int], None]) -> None:
        for step in range(6_000):  # a minute, so that a busy machine is not through before it is cancelled
            progress(step, 6_000)
            time.sleep(0.01)

    window.desk.jobs.long(work, window, lambda _value: None, says="Drawing the package")
    assert not window.status.running.isVisible()
    qtbot.waitUntil(window.status.running.isVisible)
    assert window.status.running.says.text().startswith("Drawing the package")
    window.status.running.cancel.click()
    qtbot.waitUntil(lambda: not window.status.running.isVisible())


def test_every_action_has_words_a_tip_and_a_key_of_its_own(window: MainWindow) -> None:
    for place in window._places:
        window.go(place.name)
        actions = [*window.menus.actions.values(), *window.page.actions_here]
        keys = Counter(key.toString() for action in actions for key in action.shortcuts())
        clashes = {key: count for key, count in keys.items() if count > 1}
        assert not clashes, f"{place.name}: {clashes}"
        assert all(action.text() and action.toolTip() for action in actions)


def test_letters_of_one_menu_differ(window: MainWindow) -> None:
    for name, menu in window.menus.menus.items():
        letters = Counter(
            key.toString()
            for action in menu.actions()
            if not (key := QKeySequence.mnemonic(action.text())).isEmpty()
        )
        assert max(letters.values(), default=1) == 1, f"{name}: {letters}"


def test_help_opens_at_the_place_that_is_shown(window: MainWindow, qtbot: QtBot) -> None:
    from annual_planner.desktop.help_window import HelpWindow

    for place in window._places:
        window.go(place.name)
        do(window, "help")
        page = window.findChild(HelpWindow)
        assert page is not None
        assert page.text.toPlainText().startswith(place.title), place.name
        page.close()


def walk(interface: QAccessibleInterface) -> Iterator[QAccessibleInterface]:
    yield interface
    for place in range(min(interface.childCount(), 400)):
        child = interface.child(place)
        if child is not None and child.isValid():
            yield from walk(child)


NEEDS_NAME = {
    QAccessible.Role.PushButton, QAccessible.Role.CheckBox, QAccessible.Role.RadioButton,
    QAccessible.Role.EditableText, QAccessible.Role.ComboBox, QAccessible.Role.Table, QAccessible.Role.List,
    QAccessible.Role.Tree, QAccessible.Role.PageTab, QAccessible.Role.PageTabList, QAccessible.Role.MenuItem,
    QAccessible.Role.ButtonMenu, QAccessible.Role.ButtonDropDown, QAccessible.Role.SpinBox,
    QAccessible.Role.Dialog, QAccessible.Role.ProgressBar, QAccessible.Role.Document,
}  # fmt: skip


def nameless(window: QWidget) -> list[str]:
    found = []
    root = QAccessible.queryAccessibleInterface(window)
    for interface in walk(root):
        if interface.role() in NEEDS_NAME and not interface.text(QAccessible.Text.Name):
            what = interface.object()
            if (
                what
                and what.parent()
                and what.parent().metaObject().className() == "QComboBoxPrivateContainer"
            ):
                continue  # the list of a combo box is spoken with the combo box's own name
            found.append(f"{interface.role()} {what} {what.parent() if what else ''}")
    return found


def test_everything_a_person_can_reach_has_a_name_for_a_screen_reader(
    window: MainWindow, qtbot: QtBot
) -> None:
    window.panel.show()
    for place in window._places:
        window.go(place.name)
        settle(qtbot, window)
        assert nameless(window) == [], place.name


def test_every_act_of_the_menus_that_comes_late_is_there(window: MainWindow) -> None:
    late = {words.name for words in ACTIONS if not words.name.startswith("-")}
    late -= {name for name, does in window._does().items() if not isinstance(does, partial)}
    assert late == set(ACTS)
