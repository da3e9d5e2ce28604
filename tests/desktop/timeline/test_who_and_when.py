"""Laying an annual out on people and days, as a person does it in the window."""

from collections import Counter
from datetime import timedelta

import pytest
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QMenu
from pytestqt.qtbot import QtBot

from annual_planner.desktop.annual.timeline import replanning
from annual_planner.desktop.annual.timeline.cost import hour_worth
from annual_planner.desktop.annual.timeline.tab import Timeline
from annual_planner.desktop.form import Form
from annual_planner.desktop.who import Person
from annual_planner.desktop.window import MainWindow
from annual_planner.store.fleet_reads import aircraft_sheet, find_aircraft
from annual_planner.store.packages import package_dates
from annual_planner.trade.working import Working
from demo_fleet.loader import DEMO_AIRPLANE, DEMO_TODAY
from tests.desktop.conftest import settle
from tests.desktop.timeline.hands import (
    LONG_MS,
    asked_cost,
    bar_of,
    done,
    loose_bar,
    name_of,
    press,
)


def test_an_annual_that_was_never_laid_out_says_what_to_do_first(fresh: Timeline) -> None:
    assert fresh.blank.isVisible()
    assert "Lay out" in fresh.blank.accessibleDescription() or fresh.lay_button.isVisible()


def test_lay_out_gives_every_card_a_bar_a_line_and_a_likely_finish(fresh: Timeline, qtbot: QtBot) -> None:
    press(fresh, "Lay out", qtbot)
    done(qtbot, fresh)
    assert fresh.plan is not None
    assert len(fresh.lists.cards.held.rows) == len(fresh.plan.bars) > 20
    assert any(bar.critical for bar in fresh.plan.bars)
    assert all(bar.waits for bar in fresh.plan.bars if bar.critical)
    assert "Likely finish" in fresh.chance.text()
    assert fresh.seen is not None
    assert fresh.seen.kept is not None


def test_a_search_that_is_given_up_and_begun_again_at_once_ends_with_one_plan(
    fresh: Timeline, qtbot: QtBot
) -> None:
    fresh.replanning.lay_out()
    fresh.replanning.cancel()
    fresh.replanning.lay_out()
    fresh.replanning.stop()
    done(qtbot, fresh)
    assert fresh.plan is not None
    undo = fresh.desk.jobs.trail.undo
    assert undo is not None
    assert undo.says == "plan of the work"
    fresh.desk.jobs.undo(fresh)
    done(qtbot, fresh)
    assert fresh.plan is None


def test_cancel_leaves_the_last_good_plan(
    fresh: Timeline, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(replanning, "SECONDS", LONG_MS / 1000)  # it can't have come to its end
    press(fresh, "Lay out", qtbot)
    fresh.replanning.cancel()
    assert not fresh.replanning.running
    assert fresh.plan is None


def _form(when: Timeline) -> Form:
    assert when.page.drawer is not None
    form = when.page.drawer.widget()
    assert isinstance(form, Form)
    return form


def _do(when: Timeline, name: str) -> None:
    """Choose an entry of the menu 'Who and when'."""
    action = getattr(when.page.when_doings, name)
    assert isinstance(action, QAction)
    assert action.isEnabled(), f"{name} is not allowed now"
    action.trigger()


def test_a_mechanic_is_away_and_the_owner_is_promised_a_new_date_in_four_steps(
    when: Timeline, qtbot: QtBot
) -> None:
    assert when.plan is not None
    _do(when, "away")  # step 1: who and from when stand there already
    sick = _form(when).fields["who"].value()

    def works_today() -> bool:
        assert when.plan is not None
        todays = [bar for bar in when.plan.bars if bar.starts.date() == DEMO_TODAY]
        return any(name_of(when, sick) in bar.people for bar in todays)

    assert works_today()
    press(when, "Write it down and re-plan", qtbot)  # step 2: the plan follows by itself
    done(qtbot, when)
    assert not works_today(), (when.told.text(), when.page.strip.text)
    assert when.lists.moves.held.rows, "what they had today"
    assert f"{len(when.lists.moves.held.rows)} card" in when.told.text()
    assert when.chances.likely is not None
    likely = when.chances.likely.value.nobody_replans.p80.date()
    _do(when, "promise")  # step 3: the likely date is proposed
    press(when, "Promise this date", qtbot)  # step 4
    done(qtbot, when)
    assert when.package_id is not None
    with when.desk.jobs.fleet.reading() as work:
        promised = package_dates(work, when.package_id).promised_on
    assert promised == likely
    assert "Promised" in when.said.text()


def test_what_the_hours_cost_is_shown_person_by_person_with_where_each_figure_is_from(when: Timeline) -> None:
    asked: list[Working] = []
    when.page.wants_working.connect(asked.append)
    _do(when, "cost")
    [working] = asked
    assert when.seen is not None
    assert when.seen.asked is not None
    assert len(working.inputs) == len(when.seen.asked.problem.people) > 1
    assert all("layout.toml" in each.source for each in working.inputs)
    assert working.result.endswith("in the shop's own money")


def test_every_action_of_the_plan_stands_in_a_menu_of_its_own(when: Timeline) -> None:
    window = when.window()
    assert isinstance(window, MainWindow)
    window.menus.show_here(when.page)
    menus = [action.menu() for action in window.menus.menus["here"].actions() if action.menu() is not None]
    assert [menu.title() for menu in menus if isinstance(menu, QMenu)] == ["&Who and when"]
    menu = menus[0]
    assert isinstance(menu, QMenu)
    assert len(menu.actions()) > 20
    letters = Counter(QKeySequence.mnemonic(action.text()).toString() for action in menu.actions())
    del letters[""]
    assert max(letters.values()) == 1, letters


def test_the_plan_is_worked_from_the_menu_and_by_its_keys(when: Timeline, qtbot: QtBot) -> None:
    doings = when.page.when_doings
    assert not doings.earlier.isEnabled()
    loose = loose_bar(when)
    when.drawing.choose(loose.job)
    when.offers.emit()
    _do(when, "later")
    _do(when, "later")
    asked_cost(qtbot, when)
    _do(when, "put_back")
    assert not doings.put_back.isEnabled()
    _do(when, "pin")
    assert "No other card moves" in asked_cost(qtbot, when)
    _do(when, "keep")
    done(qtbot, when)
    assert bar_of(when, loose.job).held == "fixed by hand"
    _do(when, "unpin")
    done(qtbot, when)
    assert not bar_of(when, loose.job).held
    when.page.tabs.show_part(when.page.cards)
    _do(when, "replan")  # from another part of the annual: the plan comes to the front
    assert when.page.tabs.part is when.page.when
    done(qtbot, when)
    when.drawing.choose(loose.job)
    when.offers.emit()
    asked: list[object] = []
    when.page.wants_working.connect(asked.append)
    _do(when, "why_not")
    assert len(asked) == 1
    _do(when, "by_zone")
    assert when.drawing.by == "zone"


def test_a_late_part_gets_another_day_and_the_work_follows(
    when: Timeline, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(replanning, "AGAIN_SECONDS", 0)  # by rules alone each card begins as soon as it can
    assert when.plan is not None
    _do(when, "part")
    _form(when).put({"name": "left brake hose", "comes": (DEMO_TODAY + timedelta(days=1)).isoformat()})
    press(when, "Await it", qtbot)
    done(qtbot, when)
    _do(when, "part_day")
    form = _form(when)
    form.put({"comes": (DEMO_TODAY - timedelta(days=1)).isoformat()})
    press(when, "Write it down and re-plan", qtbot)
    assert "is past" in form.fields["comes"].message.text()
    late = DEMO_TODAY + timedelta(days=15)
    form.put({"comes": late.isoformat()})
    press(when, "Write it down and re-plan", qtbot)
    done(qtbot, when)
    assert when.plan.laid.finish.date() >= late
    assert any("left brake hose" in bar.waits for bar in when.plan.bars)
    _do(when, "part_here")
    done(qtbot, when)
    assert not when.writing_down.awaited


def test_names_and_days_stay_in_view_and_the_chosen_card_is_brought_there(
    when: Timeline, qtbot: QtBot
) -> None:
    assert when.plan is not None
    for _ in range(4):
        _do(when, "wider")
    qtbot.waitUntil(lambda: when.area.horizontalScrollBar().maximum() > 0, timeout=LONG_MS)
    last = when.plan.bars[-1]
    when.lists.cards.point_to(len(when.plan.bars) - 1)
    qtbot.waitUntil(lambda: when.drawing.chosen == last.job, timeout=LONG_MS)
    shown = when.area.horizontalScrollBar().value()
    assert shown > 0
    assert when.drawing.seen_from.x() == shown
    row = next(n for n, (_, bars) in enumerate(when.drawing.rows) if last in bars)
    box = when.drawing.box(last, row)
    assert shown + when.drawing.left <= box.center().x() <= shown + when.area.viewport().width()
    assert when.drawing.bar_at(shown + 5, box.center().y()) is None  # the names stand over the bars there


def test_a_promise_waits_for_the_likely_date_and_proposes_it(when: Timeline, qtbot: QtBot) -> None:
    when.show_plan(when.plan)  # the likely date is drawn anew
    _do(when, "promise")
    assert when.page.drawer is None
    done(qtbot, when)
    assert when.chances.likely is not None
    likely = when.chances.likely.value.nobody_replans.p80.date()
    assert _form(when).fields["on"].value() == likely


def test_find_searches_the_cards_of_the_plan(when: Timeline, qtbot: QtBot) -> None:
    when.page.search_here()
    assert when.page.tabs.part is when.page.when
    rows = when.lists.cards.view.model().rowCount
    every = rows()
    qtbot.keyClicks(when.lists.cards.search, when.lists.cards.held.rows[3].title)
    qtbot.waitUntil(lambda: 0 < rows() < every, timeout=LONG_MS)


def test_an_hour_is_given_a_worth_and_the_work_is_laid_out_by_it(when: Timeline, qtbot: QtBot) -> None:
    _do(when, "value")
    form = _form(when)
    form.fields["worth"].put("-3")
    form.submit()
    assert when.page.drawer is not None, "what is wrong is said beside it, and the form stays"
    assert hour_worth(when.desk) is None
    form.fields["worth"].put("120")
    form.submit()
    done(qtbot, when)
    assert hour_worth(when.desk) == 120
    assert when.seen is not None
    assert when.seen.kept is not None
    _do(when, "value")
    form = _form(when)
    form.fields["worth"].put("")
    form.submit()
    done(qtbot, when)
    assert hour_worth(when.desk) is None


def test_an_owner_sees_the_lists_whole_and_is_not_offered_to_add_a_part(when: Timeline, qtbot: QtBot) -> None:
    tab = when
    tab.lists.show_parts()
    assert tab.lists.parts.blank.next.isVisible()
    window = tab.window()
    assert isinstance(window, MainWindow)
    with window.desk.jobs.fleet.reading() as work:
        owner_id = aircraft_sheet(work, find_aircraft(work, DEMO_AIRPLANE)).owner_id
    package_id = tab.package_id
    window.desk.who.pick(Person("owner", owner_id, "The owner"))
    window.go("annual", package_id)
    settle(qtbot, window)
    tab.page.tabs.show_part(tab.page.when)
    settle(qtbot, window)
    assert tab.lists.parts.blank.isVisible()
    assert not tab.lists.parts.blank.next.isVisible()
    assert tab.lists.cards.view.horizontalScrollBar().maximum() == 0
