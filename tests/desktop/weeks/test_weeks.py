"""The shop's weeks, as a shop manager plans them in the window."""

from __future__ import annotations

import multiprocessing
import sys
from datetime import date
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from annual_planner.desktop.go_to import GoTo
from annual_planner.desktop.weeks.page import WeeksPage
from annual_planner.desktop.weeks.seen import read_seen
from annual_planner.desktop.who import Person
from annual_planner.planning.shop_weeks.kept import NO_PLACE
from annual_planner.records.shop import RemoveShopThing
from annual_planner.store.opening import open_fleet
from annual_planner.store.shop_reads import owner_wishes, shop
from annual_planner.trade.working import Working
from demo_fleet.loader import DEMO_AIRPLANE
from tests.desktop.conftest import MakeProgram, settle
from tests.desktop.weeks.hands import (
    LONG_MS,
    button,
    choose,
    kept,
    open_weeks,
    press,
    quiet,
    undo,
    window_of,
)
from tests.statements import statements

pytestmark = pytest.mark.desktop
MOST_QUERIES = 14


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
    weeks.lists.show_part(weeks.lists.wishes)
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
    page = open_weeks(make_program(), path, qtbot)
    assert page.blank.isVisible()
    assert "The shop has no bay" in page.blank.accessibleDescription()
    assert page.drawing.lanes.bars == ()


def test_the_load_says_what_the_strip_draws(weeks: WeeksPage) -> None:
    weeks.lists.show_part(weeks.lists.loads)
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
    fleet = weeks.desk.jobs.fleet
    with fleet.reading() as work, statements(fleet) as asked:
        read_seen(work, weeks.desk.today)
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
    weeks.lists.show_part(weeks.lists.visits)
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
