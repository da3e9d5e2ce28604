"""The shop's weeks, as a shop manager plans them in the window."""

from __future__ import annotations

import multiprocessing
import sys
from datetime import date, timedelta
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QKeySequence
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtWidgets import QApplication, QPushButton, QWidget
from pytestqt.qtbot import QtBot
from sqlalchemy import event

from annual_planner.desktop.app import Program
from annual_planner.desktop.form import Form
from annual_planner.desktop.go_to import GoTo
from annual_planner.desktop.weeks import proposing
from annual_planner.desktop.weeks.moving import keep_of
from annual_planner.desktop.weeks.page import WeeksPage
from annual_planner.desktop.weeks.seen import read_seen
from annual_planner.desktop.who import Person
from annual_planner.desktop.window import MainWindow
from annual_planner.planning.shop_weeks.kept import NO_PLACE
from annual_planner.planning.shop_weeks.placing import place_visits
from annual_planner.planning.shop_weeks.stored import weeks_from_fleet
from annual_planner.records.apply import apply
from annual_planner.records.shop import RemoveShopThing
from annual_planner.store.opening import open_fleet
from annual_planner.store.shop_reads import PlannedVisit, owner_wishes, planned_visits, shop
from annual_planner.trade.working import Working
from demo_fleet.loader import DEMO_AIRPLANE, DEMO_TODAY
from tests.desktop.conftest import MakeProgram, settle

pytestmark = pytest.mark.desktop
LONG_MS = 120_000
"""A last resort, for a machine that is busy with other things."""
MOST_QUERIES = 22


def keep_a_plan(path: Path) -> None:
    """Keep a plan by rule in the file, as one that was proposed before."""
    with open_fleet(path) as fleet:
        with fleet.reading() as work:
            asked = weeks_from_fleet(work, DEMO_TODAY).asked
        apply(fleet, keep_of(asked, place_visits(asked, seconds=0).value), "test", DEMO_TODAY)


def opened(program: Program, path: Path, qtbot: QtBot) -> WeeksPage:
    program.start(path)
    window = program.window
    assert window is not None
    window.resize(1280, 800)
    window.go("weeks")
    settle(qtbot, window)
    assert isinstance(window.page, WeeksPage)
    return window.page


@pytest.fixture
def weeks(program: Program, fleet_file: Path, qtbot: QtBot) -> WeeksPage:
    """The place, on a fleet whose weeks were planned before."""
    keep_a_plan(fleet_file)
    return opened(program, fleet_file, qtbot)


@pytest.fixture
def unplanned(program: Program, fleet_file: Path, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch) -> WeeksPage:
    """The place, on a fleet whose weeks were never planned."""
    monkeypatch.setattr(proposing, "SECONDS", 2.0)
    return opened(program, fleet_file, qtbot)


def window_of(page: WeeksPage) -> MainWindow:
    window = page.window()
    assert isinstance(window, MainWindow)
    return window


def quiet(qtbot: QtBot, page: WeeksPage) -> None:
    qtbot.waitUntil(lambda: not page.proposing.running, timeout=LONG_MS)
    settle(qtbot, window_of(page))


def button(within: QWidget, words: str) -> QPushButton:
    found = [each for each in within.findChildren(QPushButton) if each.text() == words and each.isVisible()]
    assert found, words
    return found[0]


def press(qtbot: QtBot, within: QWidget, words: str) -> None:
    button(within, words).click()
    qtbot.wait(10)


def undo(qtbot: QtBot, page: WeeksPage) -> None:
    window_of(page).menus.actions["undo"].trigger()
    settle(qtbot, window_of(page))


def kept(page: WeeksPage) -> dict[str, PlannedVisit]:
    """What stands in the fleet, by registration."""
    assert page.seen is not None
    names = dict(page.seen.airplanes)
    with page.desk.jobs.fleet.reading() as work:
        rows = planned_visits(work, DEMO_TODAY, date.max)
    return {names[each.aircraft_id]: each for each in rows}


def choose(page: WeeksPage, registration: str) -> int:
    """Choose an airplane's visit; its id."""
    assert page.shown is not None
    key = next(line.key for line in page.shown.lines if line.registration == registration)
    page.choose(key)
    return key


def test_weeks_that_were_never_planned_say_what_to_do_first(unplanned: WeeksPage) -> None:
    assert unplanned.blank.isVisible()
    assert "12 annuals come due" in unplanned.blank.accessibleDescription()
    assert {line.standing for line in unplanned.lists.visits.held.rows} == {NO_PLACE}


def test_propose_places_every_annual_keeps_the_plan_and_undo_takes_it_back(
    unplanned: WeeksPage, qtbot: QtBot
) -> None:
    before = set(sys.modules)
    button(unplanned.blank, "Propose the weeks").click()
    assert unplanned.proposing.running
    assert unplanned.cancel_button.isVisible()
    quiet(qtbot, unplanned)
    assert not any(name.startswith("ortools") for name in set(sys.modules) - before)
    assert len(kept(unplanned)) == 12
    assert len(unplanned.drawing.lanes.bars) == 12
    assert "12 of 12 annuals have a place" in unplanned.said.text()
    assert "best" in unplanned.said.text()
    assert unplanned.area.isVisible()
    assert "Undo" in unplanned.told.text()
    undo(qtbot, unplanned)
    assert kept(unplanned) == {}
    assert unplanned.told.text() == ""
    assert unplanned.blank.isVisible()


def test_cancel_ends_the_search_and_leaves_the_last_plan(weeks: WeeksPage, qtbot: QtBot) -> None:
    before = kept(weeks)
    weeks.doings.propose.trigger()
    assert weeks.proposing.running
    assert not weeks.doings.propose.isEnabled()
    press(qtbot, weeks, "Cancel the search")
    assert not weeks.proposing.running
    assert multiprocessing.active_children() == []
    assert kept(weeks) == before
    assert "last good plan" in weeks.told.text()
    assert weeks.doings.propose.isEnabled()


def test_arrows_choose_a_visit_in_drawing_and_list_alike(weeks: WeeksPage, qtbot: QtBot) -> None:
    qtbot.keyClick(weeks.drawing, Qt.Key.Key_Down)
    qtbot.keyClick(weeks.drawing, Qt.Key.Key_Down)
    second = weeks.drawing.lanes.bars[1].line
    assert weeks.line == second
    assert weeks.lists.visits.current == second
    assert second.registration in weeks.about.text()
    assert second.registration in weeks.drawing.accessibleDescription()
    weeks.lists.visits.view.point_to(0)
    assert weeks.drawing.chosen == weeks.lists.visits.held.rows[0].key


def test_why_says_what_the_week_costs_and_what_others_would(weeks: WeeksPage, qtbot: QtBot) -> None:
    choose(weeks, DEMO_AIRPLANE)
    window_of(weeks).show_why()
    shown = window_of(weeks).panel.working
    assert isinstance(shown, Working)
    assert shown.title == f"{DEMO_AIRPLANE}: its week"
    assert {each.name for each in shown.inputs} >= {"not before", "latest", "due"}
    assert len(shown.steps) > 3


def test_why_of_the_plan_says_price_and_who_is_late(weeks: WeeksPage) -> None:
    working = weeks.why()
    assert isinstance(working, Working)
    steps = {step.text: step.result for step in working.steps}
    assert {"visits placed", "months of life given up", "price of the plan"} <= set(steps)
    assert steps["visits placed"] == "12 of 12"


def test_a_move_by_keys_shows_its_cost_first_and_is_kept_by_enter(weeks: WeeksPage, qtbot: QtBot) -> None:
    before = kept(weeks)
    choose(weeks, DEMO_AIRPLANE)
    qtbot.keyClick(weeks.drawing, Qt.Key.Key_Right, Qt.KeyboardModifier.ControlModifier)
    qtbot.keyClick(weeks.drawing, Qt.Key.Key_Return)
    settle(qtbot, window_of(weeks))
    tried = weeks.moving.tried
    assert tried is not None
    assert tried.monday == before[DEMO_AIRPLANE].week_on + timedelta(weeks=4)
    assert weeks.beside.move_panel.isVisible()
    assert "The plan costs" in weeks.beside.move_panel.result.text()
    assert kept(weeks) == before, "nothing is changed yet"
    working = weeks.why()
    assert isinstance(working, Working)
    assert DEMO_AIRPLANE in working.title
    qtbot.keyClick(weeks.drawing, Qt.Key.Key_Return)
    settle(qtbot, window_of(weeks))
    now = kept(weeks)[DEMO_AIRPLANE]
    assert (now.week_on, now.pinned) == (tried.monday, True)
    assert weeks.beside.isHidden()
    undo(qtbot, weeks)
    assert kept(weeks)[DEMO_AIRPLANE].week_on == before[DEMO_AIRPLANE].week_on
    assert not kept(weeks)[DEMO_AIRPLANE].pinned


def test_escape_puts_a_move_back(weeks: WeeksPage, qtbot: QtBot) -> None:
    before = kept(weeks)
    choose(weeks, DEMO_AIRPLANE)
    qtbot.keyClick(weeks.drawing, Qt.Key.Key_Right)
    qtbot.keyClick(weeks.drawing, Qt.Key.Key_Return)
    settle(qtbot, window_of(weeks))
    assert weeks.moving.tried is not None
    qtbot.keyClick(weeks.drawing, Qt.Key.Key_Escape)
    assert weeks.moving.tried is None
    assert weeks.drawing.moved_to is None
    assert weeks.beside.isHidden()
    assert kept(weeks) == before


def test_a_bar_is_dragged_its_cost_shown_kept_and_taken_back(weeks: WeeksPage, qtbot: QtBot) -> None:
    before = kept(weeks)
    key = choose(weeks, DEMO_AIRPLANE)
    qtbot.wait(10)
    at = weeks.drawing.box_of(key).center().toPoint()
    far = at + QPoint(round(weeks.drawing.grid.week_wide * 2), 0)
    qtbot.mousePress(weeks.drawing, Qt.MouseButton.LeftButton, pos=at)
    qtbot.mouseMove(weeks.drawing, far)
    assert weeks.drawing.moved_to == before[DEMO_AIRPLANE].week_on + timedelta(weeks=2)
    qtbot.mouseRelease(weeks.drawing, Qt.MouseButton.LeftButton, pos=far)
    settle(qtbot, window_of(weeks))
    assert kept(weeks) == before
    assert weeks.drawing.tried, "where it would be is drawn"
    press(qtbot, weeks.beside, "Keep")
    settle(qtbot, window_of(weeks))
    assert kept(weeks)[DEMO_AIRPLANE].week_on == before[DEMO_AIRPLANE].week_on + timedelta(weeks=2)
    undo(qtbot, weeks)
    assert kept(weeks)[DEMO_AIRPLANE].week_on == before[DEMO_AIRPLANE].week_on
    window_of(weeks).menus.actions["redo"].trigger()
    settle(qtbot, window_of(weeks))
    assert kept(weeks)[DEMO_AIRPLANE].pinned


def test_enter_pins_a_visit_where_it_stands_and_delete_releases_it(weeks: WeeksPage, qtbot: QtBot) -> None:
    choose(weeks, DEMO_AIRPLANE)
    qtbot.keyClick(weeks.drawing, Qt.Key.Key_Return)
    settle(qtbot, window_of(weeks))
    assert kept(weeks)[DEMO_AIRPLANE].pinned
    assert weeks.line is not None
    assert weeks.line.pinned
    qtbot.keyClick(weeks.drawing, Qt.Key.Key_Delete)
    settle(qtbot, window_of(weeks))
    assert not kept(weeks)[DEMO_AIRPLANE].pinned


def test_another_week_is_named_in_words_and_past_the_due_day_that_is_said(
    weeks: WeeksPage, qtbot: QtBot
) -> None:
    choose(weeks, DEMO_AIRPLANE)
    weeks.doings.move.trigger()
    form = weeks.beside.form
    assert isinstance(form, Form)
    form.fields["on"].put("2026-08-05")
    press(qtbot, form, "See what it costs")
    settle(qtbot, window_of(weeks))
    assert weeks.moving.tried is not None
    assert weeks.moving.tried.monday == date(2026, 8, 3)
    assert "it may not fly in after that" in weeks.beside.move_panel.against.text()


def test_a_week_that_is_not_planned_is_refused_in_one_line(weeks: WeeksPage, qtbot: QtBot) -> None:
    weeks.moving.ask(choose(weeks, DEMO_AIRPLANE), date(2031, 5, 5))
    settle(qtbot, window_of(weeks))
    assert "isn't planned here" in weeks.strip.text
    assert weeks.moving.tried is None


def test_a_visit_without_a_week_is_put_into_one_alone(unplanned: WeeksPage, qtbot: QtBot) -> None:
    unplanned.moving.ask(choose(unplanned, DEMO_AIRPLANE), date(2026, 6, 8))
    settle(qtbot, window_of(unplanned))
    assert "It gets a place" in unplanned.beside.move_panel.result.text()
    press(qtbot, unplanned.beside, "Keep")
    settle(qtbot, window_of(unplanned))
    assert {name: row.pinned for name, row in kept(unplanned).items()} == {DEMO_AIRPLANE: True}
    assert unplanned.area.isVisible()


def test_an_owners_blocked_days_are_written_down_changed_and_taken_away(
    weeks: WeeksPage, qtbot: QtBot
) -> None:
    key = choose(weeks, "N028RT")

    def blocked() -> list[tuple[date, date, bool]]:
        with weeks.desk.jobs.fleet.reading() as work:
            wishes = [each for each in owner_wishes(work) if each.aircraft_id == key]
        return [(each.first_on, each.last_on, each.blocked) for each in wishes]

    before = blocked()
    weeks.doings.days.trigger()
    form = weeks.beside.form
    assert form is not None
    assert form.fields["aircraft"].value() == key
    form.put({"kind": "blocked", "first": "2026-07-06", "last": "2026-07-10", "why": "away on a rally"})
    press(qtbot, form, "Write it down")
    settle(qtbot, window_of(weeks))
    first, last = date(2026, 7, 6), date(2026, 7, 10)
    assert (first, last, True) in blocked()
    weeks.lists.setCurrentWidget(weeks.lists.wishes)
    rows = weeks.lists.wishes.held.rows
    weeks.lists.wishes.view.point_to(next(n for n, row in enumerate(rows) if row.why == "away on a rally"))
    weeks.doings.change_days.trigger()
    form = weeks.beside.form
    assert form is not None
    form.fields["last"].put("2026-07-17")
    press(qtbot, form, "Write it down")
    settle(qtbot, window_of(weeks))
    assert (first, date(2026, 7, 17), True) in blocked()
    weeks.doings.remove_days.trigger()
    settle(qtbot, window_of(weeks))
    assert blocked() == before


def test_days_on_which_the_shop_is_closed_shut_its_week(weeks: WeeksPage, qtbot: QtBot) -> None:
    weeks.doings.days.trigger()
    form = weeks.beside.form
    assert form is not None
    form.put({"aircraft": "all", "first": "2026-08-10", "last": "2026-08-16", "why": "holiday"})
    press(qtbot, form, "Write it down")
    settle(qtbot, window_of(weeks))
    shut = [load.week.monday for load in weeks.drawing.lanes.loads if load.shut]
    assert shut == [date(2026, 8, 10)]
    weeks.moving.ask(choose(weeks, DEMO_AIRPLANE), date(2026, 8, 10))
    assert "closed in the week of 10 Aug 2026" in weeks.strip.text


def test_a_shop_that_loses_its_bays_says_so_and_the_last_plan_stays(weeks: WeeksPage, qtbot: QtBot) -> None:
    jobs = weeks.desk.jobs
    with jobs.fleet.reading() as work:
        bays = [each.thing_id for each in shop(work).things if each.kind == "bay"]
    for thing_id in bays:
        jobs.write(RemoveShopThing(thing_id), weeks)
        settle(qtbot, window_of(weeks))
    assert "The shop has no bay" in weeks.strip.text
    assert len(weeks.drawing.lanes.bars) == len(weeks.lists.visits.held.rows) == 12
    choose(weeks, DEMO_AIRPLANE)
    assert {line.week_on for line in weeks.lists.visits.held.rows} == {
        row.week_on for row in kept(weeks).values()
    }
    for trigger in (weeks.doings.propose.trigger, lambda: qtbot.keyClick(weeks.drawing, Qt.Key.Key_Return)):
        weeks.strip.put_away()
        trigger()
        assert not weeks.proposing.running
        assert "The shop has no bay" in weeks.strip.text
    undo(qtbot, weeks)
    assert weeks.drawing.lanes.loads, "with a bay again, weeks are planned again"


def test_a_fleet_without_airplanes_says_what_belongs_here(
    make_program: MakeProgram, tmp_path: Path, qtbot: QtBot
) -> None:
    path = tmp_path / "new.fleet"
    open_fleet(path, create=True).close()
    page = opened(make_program(), path, qtbot)
    assert page.blank.isVisible()
    assert "The shop has no bay" in page.blank.accessibleDescription()
    assert page.drawing.lanes.bars == ()


def test_the_load_says_what_the_strip_draws(weeks: WeeksPage) -> None:
    weeks.lists.setCurrentWidget(weeks.lists.loads)
    loads = weeks.lists.loads.held.rows
    assert len(loads) == 52
    assert sum(load.begin for load in loads) == 12
    assert sum(load.hours for load in loads) == pytest.approx(
        sum(float(line.visit.hours) for line in weeks.lists.visits.held.rows)
    )


def test_filter_and_search_narrow_the_visits(weeks: WeeksPage, qtbot: QtBot) -> None:
    rows = weeks.lists.visits.held.rows
    weeks.lists.visits.filter_to("in good time")
    settle(qtbot, window_of(weeks))
    expected = sum(1 for line in rows if line.standing == "in good time")
    assert weeks.lists.visits.table.rowCount() == expected < 12
    window_of(weeks).menus.actions["find"].trigger()
    weeks.lists.visits.filter_to("")
    weeks.lists.visits.search.setText(DEMO_AIRPLANE)
    qtbot.keyClick(weeks.lists.visits.search, Qt.Key.Key_Return)
    assert weeks.lists.visits.table.rowCount() == 1


def test_bundling_says_what_to_do_when_with_its_working(weeks: WeeksPage, qtbot: QtBot) -> None:
    choose(weeks, DEMO_AIRPLANE)
    weeks.doings.together.trigger()
    settle(qtbot, window_of(weeks))
    panel = weeks.beside.together_panel
    assert panel.isVisible()
    assert len(panel.items.held.rows) > 3
    assert "Cheapest over two years" in panel.result.text()
    working = weeks.why()
    assert isinstance(working, Working)
    assert working.title == "Which items to do together"
    press(qtbot, panel, "Close")
    assert weeks.beside.isHidden()


def test_the_chosen_airplanes_annual_is_opened_or_planned(weeks: WeeksPage, qtbot: QtBot) -> None:
    key = choose(weeks, DEMO_AIRPLANE)
    asked: list[tuple[str, object]] = []
    weeks.goes.connect(lambda place, subject: asked.append((place, subject)))
    weeks.doings.annual.trigger()
    settle(qtbot, window_of(weeks))
    assert asked == [("annual", f"plan:{key}")]
    assert window_of(weeks).page.place == "annual"


def test_paper_and_spreadsheet_hold_the_plan(weeks: WeeksPage, qtbot: QtBot, tmp_path: Path) -> None:
    for name in ("weeks.pdf", "weeks.csv"):
        weeks.doings.out.write(tmp_path / name)
        settle(qtbot, window_of(weeks))
        assert name in weeks.strip.text
    assert (tmp_path / "weeks.pdf").read_bytes().startswith(b"%PDF")
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(tmp_path / "printed.pdf"))
    weeks.doings.out.print_on(printer)
    settle(qtbot, window_of(weeks))
    assert "went to the printer" in weeks.strip.text
    assert (tmp_path / "printed.pdf").read_bytes().startswith(b"%PDF")
    lines = (tmp_path / "weeks.csv").read_text(encoding="utf-8-sig").splitlines()
    assert len(lines) == 13
    assert DEMO_AIRPLANE in "".join(lines)


def test_an_owner_is_not_shown_the_shops_weeks(weeks: WeeksPage, qtbot: QtBot) -> None:
    window = window_of(weeks)
    window.desk.who.pick(Person("owner", None, ""))
    settle(qtbot, window)
    assert window.page.place == "fleet"
    assert not window.rail.findChild(QWidget, "rail-weeks").isVisible()
    assert not window.menus.actions["go-weeks"].isVisible()
    window.go("weeks")
    assert window.page.place == "fleet"
    window.go_to_anything()
    box = window.findChild(GoTo)
    assert box is not None
    box.box.setText("Shop weeks")
    assert all("Shop weeks" not in box.list.item(n).text() for n in range(box.list.count()))
    box.close()
    window.desk.who.pick(Person("manager", None, ""))
    settle(qtbot, window)
    window.go("weeks")
    assert window.page.place == "weeks"


def test_reading_the_weeks_asks_no_query_for_each_airplane(weeks: WeeksPage) -> None:
    asked: list[str] = []

    def note(*given: object) -> None:
        asked.append(str(given[2]))

    fleet = weeks.desk.jobs.fleet
    with fleet.reading() as work:
        event.listen(fleet.engine, "before_cursor_execute", note)
        read_seen(work, weeks.desk.today)
        event.remove(fleet.engine, "before_cursor_execute", note)
    assert len(asked) <= MOST_QUERIES, "12 airplanes, and as many queries as for 300"


def test_the_scales_give_a_week_more_room(weeks: WeeksPage) -> None:
    wide = []
    for scale in ("Year", "Half-year", "Quarter"):
        next(chip for chip in weeks.area.scales.values() if chip.text() == scale).click()
        wide.append(weeks.drawing.sizeHint().width())
    assert wide == sorted(wide)
    assert wide[0] * 2 < wide[2]
    weeks.window().resize(1500, 800)
    QApplication.processEvents()
    seen, grid = weeks.area.viewport().width(), weeks.drawing.grid
    assert grid.left + 13 * grid.week_wide == pytest.approx(seen, abs=6), "a quarter fills the room"
    assert WeeksPage(weeks.desk).drawing.scale == "quarter", "kept for the next time"


def test_a_search_ends_with_its_window(weeks: WeeksPage, qtbot: QtBot) -> None:
    weeks.doings.propose.trigger()
    window_of(weeks).go("fleet")
    assert weeks.proposing.running, "it goes on while another place is shown"
    window_of(weeks).close()
    assert multiprocessing.active_children() == []


def test_large_text_gives_the_drawing_a_tab_of_its_own(weeks: WeeksPage, qtbot: QtBot) -> None:
    weeks.desk.theme.set_percent(200)
    window_of(weeks).resize(1280, 800)
    qtbot.waitUntil(lambda: weeks.lists.indexOf(weeks.front) == 0, timeout=LONG_MS)
    assert weeks.drawing.isVisible()
    choose(weeks, DEMO_AIRPLANE)
    weeks.lists.setCurrentWidget(weeks.lists.visits)
    assert not weeks.drawing.isVisible()
    weeks.desk.theme.set_percent(100)
    window_of(weeks).resize(1280, 900)
    qtbot.waitUntil(lambda: weeks.lists.indexOf(weeks.front) < 0, timeout=LONG_MS)
    assert weeks.drawing.isVisible()
    assert weeks.lists.visits.isVisible()


def test_every_action_has_a_key_of_its_own(weeks: WeeksPage) -> None:
    keys = [action.shortcut() for action in weeks.actions_here]
    assert all(not key.isEmpty() for key in keys)
    own = {key.toString(QKeySequence.SequenceFormat.PortableText) for key in keys}
    assert len(own) == len(keys)
    windows = {key.toString() for each in window_of(weeks).menus.actions.values() for key in each.shortcuts()}
    assert not own & windows
