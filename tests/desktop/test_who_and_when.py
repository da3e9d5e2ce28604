"""Laying an annual out on people and days, as a person does it in the window."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QPushButton
from pytestqt.qtbot import QtBot

from annual_planner.desktop.annual.timeline import replanning
from annual_planner.desktop.annual.timeline.tab import Timeline
from annual_planner.desktop.app import Program
from annual_planner.desktop.form import Form
from annual_planner.desktop.window import MainWindow
from annual_planner.library.shelf import load_library
from annual_planner.planning.packages import BuildPackage
from annual_planner.records.apply import apply
from annual_planner.store.fleet_reads import find_aircraft, packages
from annual_planner.store.opening import open_fleet
from annual_planner.store.packages import package_dates
from demo_fleet.loader import DEMO_AIRPLANE, DEMO_TODAY
from tests.desktop.conftest import settle

LONG_MS = 40_000


@pytest.fixture
def when(program: Program, fleet_file: Path, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch) -> Timeline:
    """The part, on an annual that was just planned."""
    monkeypatch.setattr(replanning, "SECONDS", 1.5)
    with open_fleet(fleet_file) as fleet:
        with fleet.reading() as work:
            aircraft_id = find_aircraft(work, DEMO_AIRPLANE)
        apply(fleet, BuildPackage(aircraft_id, DEMO_TODAY, "Annual", load_library()), "test", DEMO_TODAY)
        with fleet.reading() as work:
            package_id = packages(work)[0].package_id
    program.start(fleet_file)
    window = program.window
    assert window is not None
    window.resize(1280, 800)
    window.go("annual", package_id)
    _quiet(qtbot, window)
    page = window.page
    page.tabs.show_part(page.when)  # type: ignore[attr-defined]  # it is the annual's page
    _quiet(qtbot, window)
    made = page.when.made  # type: ignore[attr-defined]
    assert isinstance(made, Timeline)
    return made


def _quiet(qtbot: QtBot, window: MainWindow) -> None:
    qtbot.wait(20)
    qtbot.waitUntil(lambda: not window.desk.jobs.awaited, timeout=LONG_MS)
    settle(qtbot, window)


def _done(qtbot: QtBot, when: Timeline) -> None:
    qtbot.waitUntil(lambda: not when.replanning.running, timeout=LONG_MS)
    qtbot.wait(20)
    qtbot.waitUntil(lambda: not when.desk.jobs.awaited, timeout=LONG_MS)


def _press(when: Timeline, words: str, qtbot: QtBot) -> None:
    def there() -> QPushButton | None:
        found = when.page.findChildren(QPushButton)
        return next((each for each in found if each.text() == words and each.isVisible()), None)

    qtbot.waitUntil(lambda: there() is not None, timeout=5000)
    one = there()
    assert one is not None
    one.click()
    qtbot.wait(20)


def _name(when: Timeline, person_id: int) -> str:
    assert when.seen is not None
    return when.seen.names[f"person {person_id}"]


def test_an_annual_that_was_never_laid_out_says_what_to_do_first(when: Timeline) -> None:
    assert when.blank.isVisible()
    assert "Lay out" in when.blank.accessibleDescription() or when.lay_button.isVisible()


def test_lay_out_gives_every_card_a_bar_a_line_and_a_likely_finish(when: Timeline, qtbot: QtBot) -> None:
    _press(when, "Lay out", qtbot)
    _done(qtbot, when)
    assert when.plan is not None
    assert len(when.lists.cards.held.rows) == len(when.plan.bars) > 20
    assert any(bar.critical for bar in when.plan.bars)
    assert all(bar.waits for bar in when.plan.bars if bar.critical)
    assert "Likely finish" in when.chance.text()
    assert when.seen is not None
    assert when.seen.kept is not None


def test_cancel_leaves_the_last_good_plan(when: Timeline, qtbot: QtBot) -> None:
    _press(when, "Lay out", qtbot)
    when.replanning.cancel()
    assert not when.replanning.running
    assert when.plan is None


def test_a_mechanic_is_away_and_the_owner_is_promised_a_new_date(when: Timeline, qtbot: QtBot) -> None:
    _press(when, "Lay out", qtbot)
    _done(qtbot, when)
    assert when.plan is not None
    _press(when, "Somebody is away…", qtbot)  # step 1: who and from when stand there already
    assert when.page.drawer is not None
    form = when.page.drawer.widget()
    assert isinstance(form, Form)
    sick = form.fields["who"].value()
    _press(when, "Write it down", qtbot)  # step 2
    _done(qtbot, when)
    _press(when, "Lay out", qtbot)  # step 3
    _done(qtbot, when)
    _press(when, "Promise a date…", qtbot)  # step 4: the likely date is proposed
    _press(when, "Promise this date", qtbot)  # step 5
    _done(qtbot, when)
    assert when.package_id is not None
    with when.desk.jobs.fleet.reading() as work:
        promised = package_dates(work, when.package_id).promised_on
    assert promised is not None
    assert promised >= when.plan.laid.finish.date()
    todays = [bar for bar in when.plan.bars if bar.starts.date() == DEMO_TODAY]
    assert todays
    assert not [bar for bar in todays if _name(when, sick) in bar.people]
    assert "Promised" in when.said.text()


def test_arrows_move_a_card_and_enter_pins_it(when: Timeline, qtbot: QtBot) -> None:
    _press(when, "Lay out", qtbot)
    _done(qtbot, when)
    assert when.plan is not None
    loose = next(bar for bar in when.plan.bars if bar.card_id is not None and (bar.slack_hours or 0) >= 1)
    when.drawing.choose(loose.job)
    for _ in range(2):
        qtbot.keyClick(when.drawing, Qt.Key.Key_Right)
    wanted = when.drawing.moved_to
    assert wanted is not None
    assert wanted > loose.starts
    qtbot.keyClick(when.drawing, Qt.Key.Key_Return)
    _done(qtbot, when)
    after = next(bar for bar in when.plan.bars if bar.job == loose.job)
    assert after.held == "fixed by hand", (when.told.text(), when.page.strip.text)
    assert after.starts == wanted
    assert "instead of" in when.told.text()
    when.drawing.choose(loose.job)
    qtbot.keyClick(when.drawing, Qt.Key.Key_Delete)
    _done(qtbot, when)
    assert not next(bar for bar in when.plan.bars if bar.job == loose.job).held


def test_the_plan_goes_out_as_calendars_and_paper(when: Timeline, qtbot: QtBot, tmp_path: Path) -> None:
    _press(when, "Lay out", qtbot)
    _done(qtbot, when)
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
