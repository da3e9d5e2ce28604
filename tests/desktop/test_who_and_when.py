"""Laying an annual out on people and days, as a person does it in the window."""

import shutil
from collections import Counter
from collections.abc import Callable
from datetime import datetime, time, timedelta
from pathlib import Path

import pytest
from pypdf import PdfReader
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtWidgets import QMenu, QPushButton
from pytestqt.qtbot import QtBot

from annual_planner.desktop.annual.page import AnnualPage
from annual_planner.desktop.annual.timeline import chances, replanning
from annual_planner.desktop.annual.timeline.cost import hour_worth
from annual_planner.desktop.annual.timeline.tab import Timeline
from annual_planner.desktop.app import Program
from annual_planner.desktop.form import Form
from annual_planner.desktop.window import MainWindow
from annual_planner.library.shelf import load_library
from annual_planner.planning.card_jobs import asked_of_package
from annual_planner.planning.crew.solve import lay_out
from annual_planner.planning.edits import IncludeCard
from annual_planner.planning.packages import BuildPackage
from annual_planner.planning.timeline import Bar
from annual_planner.planning.work_plan import KeepPlan
from annual_planner.records.apply import apply
from annual_planner.store.fleet_reads import find_aircraft, packages
from annual_planner.store.opening import open_fleet
from annual_planner.store.packages import card_lines, package_dates
from annual_planner.trade.working import Working
from demo_fleet.loader import DEMO_AIRPLANE, DEMO_TODAY
from tests.desktop.conftest import settle
from tests.planning.test_owner_days import lay_out_with_owner

LONG_MS = 120_000
"""A last resort, for a machine that is busy with other things."""


@pytest.fixture(scope="module")
def planned(sample: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The sample with an annual that was just planned, every sixth of its cards in."""
    path = Path(shutil.copy(sample, tmp_path_factory.mktemp("planned") / "shop.fleet"))
    with open_fleet(path) as fleet:
        with fleet.reading() as work:
            aircraft_id = find_aircraft(work, DEMO_AIRPLANE)
        apply(fleet, BuildPackage(aircraft_id, DEMO_TODAY, "Annual", load_library()), "test", DEMO_TODAY)
        with fleet.work("test") as work:
            for card in card_lines(work, packages(work)[0].package_id):
                if card.included and card.number % 6:
                    IncludeCard(card.card_id, True, False).apply(work, DEMO_TODAY)
    return path


@pytest.fixture(scope="module")
def laid(planned: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The same, laid out by rules."""
    path = Path(shutil.copy(planned, tmp_path_factory.mktemp("laid") / "shop.fleet"))
    begins = datetime.combine(DEMO_TODAY, time.min)
    with open_fleet(path) as fleet:
        with fleet.reading() as work:
            package_id = packages(work)[0].package_id
            asked = asked_of_package(work, package_id, load_library(), begins)
        plan = lay_out(asked.problem, seconds=0, effort=0.0).value  # the same on every machine
        apply(fleet, KeepPlan(package_id, plan, begins.astimezone()), "test", DEMO_TODAY)
    return path


Open = Callable[[Path], Timeline]


@pytest.fixture
def opened(program: Program, tmp_path: Path, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch) -> Open:
    """Opens the part on a copy of a fleet with one annual."""
    monkeypatch.setattr(replanning, "SECONDS", 0.5)
    monkeypatch.setattr(replanning, "AGAIN_SECONDS", 0.5)
    monkeypatch.setattr(chances, "SAMPLES", 20)
    monkeypatch.setattr(chances, "REPLANNED_SAMPLES", 1)

    def open_on(path: Path) -> Timeline:
        copy = Path(shutil.copy(path, tmp_path / "shop.fleet"))
        with open_fleet(copy) as fleet, fleet.reading() as work:
            package_id = packages(work)[0].package_id
        program.start(copy)
        window = program.window
        assert window is not None
        window.resize(1280, 800)
        window.go("annual", package_id)
        _quiet(qtbot, window)
        page = window.page
        assert isinstance(page, AnnualPage)
        page.tabs.show_part(page.when)
        _quiet(qtbot, window)
        assert page.when.made is not None
        return page.when.made

    return open_on


@pytest.fixture
def fresh(opened: Open, planned: Path) -> Timeline:
    """The part on an annual that was never laid out."""
    return opened(planned)


@pytest.fixture
def when(opened: Open, laid: Path) -> Timeline:
    """The part on an annual that is laid out."""
    return opened(laid)


def _quiet(qtbot: QtBot, window: MainWindow) -> None:
    qtbot.wait(20)
    qtbot.waitUntil(lambda: not window.desk.jobs.awaited, timeout=LONG_MS)
    settle(qtbot, window)


def _done(qtbot: QtBot, when: Timeline) -> None:
    """Wait until nothing is searched, written or read any more."""

    def at_rest() -> bool:
        return not (when.replanning.running or when.desk.jobs.awaited or when.chances.drawing)

    for _ in range(2):
        qtbot.waitUntil(at_rest, timeout=LONG_MS)
        qtbot.wait(20)


def _press(when: Timeline, words: str, qtbot: QtBot) -> None:
    def there() -> QPushButton | None:
        found = when.page.findChildren(QPushButton)
        return next((each for each in found if each.text() == words and each.isVisible()), None)

    qtbot.waitUntil(lambda: there() is not None, timeout=LONG_MS)
    one = there()
    assert one is not None
    one.click()
    qtbot.wait(20)


def _name(when: Timeline, person_id: int) -> str:
    assert when.seen is not None
    return when.seen.names[f"person {person_id}"]


def test_an_annual_that_was_never_laid_out_says_what_to_do_first(fresh: Timeline) -> None:
    assert fresh.blank.isVisible()
    assert "Lay out" in fresh.blank.accessibleDescription() or fresh.lay_button.isVisible()


def test_lay_out_gives_every_card_a_bar_a_line_and_a_likely_finish(fresh: Timeline, qtbot: QtBot) -> None:
    _press(fresh, "Lay out", qtbot)
    _done(qtbot, fresh)
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
    _done(qtbot, fresh)
    assert fresh.plan is not None
    undo = fresh.desk.jobs.trail.undo
    assert undo is not None
    assert undo.says == "plan of the work"
    fresh.desk.jobs.undo(fresh)
    _done(qtbot, fresh)
    assert fresh.plan is None


def test_cancel_leaves_the_last_good_plan(
    fresh: Timeline, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(replanning, "SECONDS", LONG_MS / 1000)  # it can't have come to its end
    _press(fresh, "Lay out", qtbot)
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
        return any(_name(when, sick) in bar.people for bar in todays)

    assert works_today()
    _press(when, "Write it down and re-plan", qtbot)  # step 2: the plan follows by itself
    _done(qtbot, when)
    assert not works_today(), (when.told.text(), when.page.strip.text)
    assert when.lists.moves.held.rows, "what they had today"
    assert f"{len(when.lists.moves.held.rows)} card" in when.told.text()
    assert when.chances.likely is not None
    likely = when.chances.likely.value.nobody_replans.p80.date()
    _do(when, "promise")  # step 3: the likely date is proposed
    _press(when, "Promise this date", qtbot)  # step 4
    _done(qtbot, when)
    assert when.package_id is not None
    with when.desk.jobs.fleet.reading() as work:
        promised = package_dates(work, when.package_id).promised_on
    assert promised == likely
    assert "Promised" in when.said.text()


def _loose(when: Timeline) -> Bar:
    """A card of the package that has some slack in the plan by rules."""
    assert when.plan is not None
    return next(bar for bar in when.plan.bars if bar.card_id is not None and (bar.slack_hours or 0) >= 1)


def _bar(when: Timeline, job: str) -> Bar:
    assert when.plan is not None
    return next(bar for bar in when.plan.bars if bar.job == job)


def _asked(qtbot: QtBot, when: Timeline) -> str:
    """Wait for the question after a move; what it says."""
    qtbot.waitUntil(lambda: when.pinning.asks, timeout=LONG_MS)
    assert when.asking.isVisible()
    return when.asking.cost.text()


def test_a_card_moved_by_keys_asks_what_that_costs_and_is_kept_or_put_back(
    when: Timeline, qtbot: QtBot
) -> None:
    loose, before = _loose(when), when.plan
    when.drawing.choose(loose.job)
    for _ in range(2):
        qtbot.keyClick(when.drawing, Qt.Key.Key_Right)
    wanted = when.drawing.moved_to
    assert wanted is not None
    assert wanted > loose.starts
    said = _asked(qtbot, when)
    assert loose.title in said
    assert "finish" in said or "instead of" in said
    assert "other card" in said
    assert _bar(when, loose.job).starts == wanted
    qtbot.keyClick(when.drawing, Qt.Key.Key_Escape)
    assert not when.asking.isVisible()
    assert when.plan is before
    assert not when.desk.jobs.trail.undo or when.desk.jobs.trail.undo.says == "plan of the work"

    qtbot.keyClick(when.drawing, Qt.Key.Key_Right)
    qtbot.keyClick(when.drawing, Qt.Key.Key_Right)
    _asked(qtbot, when)
    qtbot.keyClick(when.drawing, Qt.Key.Key_Return)
    _done(qtbot, when)
    after = _bar(when, loose.job)
    assert (after.held, after.starts) == ("fixed by hand", wanted), (when.told.text(), when.page.strip.text)
    when.desk.jobs.undo(when)
    _done(qtbot, when)
    assert (_bar(when, loose.job).held, _bar(when, loose.job).starts) == ("", loose.starts)


def _middle(when: Timeline, bar: Bar, row: int) -> tuple[int, int]:
    at = when.drawing.box(bar, row).center().toPoint()
    return at.x(), at.y()


def test_a_dragged_card_asks_and_the_buttons_answer(when: Timeline, qtbot: QtBot) -> None:
    when.show_by("card")
    loose = _loose(when)
    row = next(n for n, bar in enumerate(when.plan.bars if when.plan else ()) if bar.job == loose.job)
    qtbot.waitUntil(lambda: when.drawing.bar_at(*_middle(when, loose, row)) == loose, timeout=LONG_MS)
    at = QPoint(*_middle(when, loose, row))
    qtbot.mousePress(when.drawing, Qt.MouseButton.LeftButton, pos=at)
    qtbot.mouseMove(when.drawing, at + QPoint(60, 0))
    qtbot.mouseRelease(when.drawing, Qt.MouseButton.LeftButton, pos=at + QPoint(60, 0))
    _asked(qtbot, when)
    moved = _bar(when, loose.job).starts
    assert moved > loose.starts
    _press(when, "Put back", qtbot)
    assert _bar(when, loose.job).starts == loose.starts
    when.pinning.try_at(loose.job, moved)
    _asked(qtbot, when)
    _press(when, "Keep", qtbot)
    _done(qtbot, when)
    assert _bar(when, loose.job).starts == moved
    when.drawing.choose(loose.job)
    qtbot.keyClick(when.drawing, Qt.Key.Key_Delete)
    _done(qtbot, when)
    assert not _bar(when, loose.job).held


def test_a_move_that_fits_nowhere_says_why_and_puts_the_card_back(when: Timeline, qtbot: QtBot) -> None:
    before = when.plan
    when.pinning.try_at(_loose(when).job, datetime.fromisoformat("2020-01-01T08:00"))
    qtbot.waitUntil(lambda: bool(when.page.strip.text), timeout=LONG_MS)
    assert when.plan is before
    assert not when.asking.isVisible()


def test_the_plan_goes_out_as_calendars_and_paper(when: Timeline, qtbot: QtBot, tmp_path: Path) -> None:
    when.sending.calendars_to(tmp_path)
    _done(qtbot, when)
    calendars = list(tmp_path.glob("*.ics"))
    assert (
        len(calendars) == len({name for bar in when.plan.bars for name in bar.people}) if when.plan else False
    )
    assert all(file.read_bytes().startswith(b"BEGIN:VCALENDAR") for file in calendars)
    when.sending.paper_to(tmp_path / "plan.pdf")
    _done(qtbot, when)
    assert (tmp_path / "plan.pdf").read_bytes().startswith(b"%PDF")
    assert "plan.pdf" in when.page.strip.text


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
    loose = _loose(when)
    when.drawing.choose(loose.job)
    when.offers.emit()
    _do(when, "later")
    _do(when, "later")
    _asked(qtbot, when)
    _do(when, "put_back")
    assert not doings.put_back.isEnabled()
    _do(when, "pin")
    assert "No other card moves" in _asked(qtbot, when)
    _do(when, "keep")
    _done(qtbot, when)
    assert _bar(when, loose.job).held == "fixed by hand"
    _do(when, "unpin")
    _done(qtbot, when)
    assert not _bar(when, loose.job).held
    when.page.tabs.show_part(when.page.cards)
    _do(when, "replan")  # from another part of the annual: the plan comes to the front
    assert when.page.tabs.part is when.page.when
    _done(qtbot, when)
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
    _press(when, "Await it", qtbot)
    _done(qtbot, when)
    _do(when, "part_day")
    form = _form(when)
    form.put({"comes": (DEMO_TODAY - timedelta(days=1)).isoformat()})
    _press(when, "Write it down and re-plan", qtbot)
    assert "is past" in form.fields["comes"].message.text()
    late = DEMO_TODAY + timedelta(days=15)
    form.put({"comes": late.isoformat()})
    _press(when, "Write it down and re-plan", qtbot)
    _done(qtbot, when)
    assert when.plan.laid.finish.date() >= late
    assert any("left brake hose" in bar.waits for bar in when.plan.bars)
    _do(when, "part_here")
    _done(qtbot, when)
    assert not when.writing_down.awaited


def test_the_plan_is_printed_across(when: Timeline, qtbot: QtBot, tmp_path: Path) -> None:
    printer = QPrinter()
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(tmp_path / "printed.pdf"))
    when.sending.print_on(printer)
    _done(qtbot, when)
    assert "went to the printer" in when.page.strip.text
    assert (tmp_path / "printed.pdf").read_bytes().startswith(b"%PDF")


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
    _done(qtbot, when)
    assert when.chances.likely is not None
    likely = when.chances.likely.value.nobody_replans.p80.date()
    assert _form(when).fields["on"].value() == likely


def test_an_owner_who_drags_a_card_is_told_that_nothing_is_moved(when: Timeline) -> None:
    before, job = when.plan, _loose(when).job
    when.desk.who.person = when.desk.who.person._replace(role="owner")
    when.pinning.try_at(job, _bar(when, job).ends)
    assert "Owners" in when.page.strip.text
    assert when.plan is before
    assert when.pinning.trial is None


def test_find_searches_the_cards_of_the_plan(when: Timeline, qtbot: QtBot) -> None:
    when.page.search_here()
    assert when.page.tabs.part is when.page.when
    rows = when.lists.cards.view.model().rowCount
    every = rows()
    qtbot.keyClicks(when.lists.cards.search, when.lists.cards.held.rows[3].title)
    qtbot.waitUntil(lambda: 0 < rows() < every, timeout=LONG_MS)


def test_the_paper_says_what_the_owner_does_on_which_day(
    opened: Open, sample: Path, qtbot: QtBot, tmp_path: Path
) -> None:
    path = Path(shutil.copy(sample, tmp_path / "with-owner.fleet"))
    with open_fleet(path) as fleet:
        laid = lay_out_with_owner(fleet, load_library())
        made_at = datetime.combine(DEMO_TODAY, time(12)).astimezone()
        apply(fleet, KeepPlan(laid.package_id, laid.plan, made_at), "test", DEMO_TODAY)
    when = opened(path)
    when.sending.paper_to(tmp_path / "plan.pdf")
    _done(qtbot, when)
    text = " ".join(page.extract_text() for page in PdfReader(tmp_path / "plan.pdf").pages)
    assert f"What {laid.owner.name} does" in " ".join(text.split())


def test_an_hour_is_given_a_worth_and_the_work_is_laid_out_by_it(when: Timeline, qtbot: QtBot) -> None:
    _do(when, "value")
    form = _form(when)
    form.fields["worth"].put("-3")
    form.submit()
    assert when.page.drawer is not None, "what is wrong is said beside it, and the form stays"
    assert hour_worth(when.desk) is None
    form.fields["worth"].put("120")
    form.submit()
    _done(qtbot, when)
    assert hour_worth(when.desk) == 120
    assert when.seen is not None
    assert when.seen.kept is not None
    _do(when, "value")
    form = _form(when)
    form.fields["worth"].put("")
    form.submit()
    _done(qtbot, when)
    assert hour_worth(when.desk) is None
