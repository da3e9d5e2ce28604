import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from PySide6.QtCore import QObject
from pytestqt.qtbot import QtBot

from annual_planner.desktop.jobs import Jobs
from annual_planner.desktop.progress import Progress
from annual_planner.records.edits import Changed
from annual_planner.records.readings import RecordReading
from annual_planner.store.fleet_reads import find_aircraft, fleet_ids, fleet_lines, readings
from annual_planner.store.opening import open_fleet
from annual_planner.store.session import Work
from annual_planner.trade.refused import Refused
from demo_fleet.loader import DEMO_AIRPLANE, DEMO_TODAY

pytestmark = pytest.mark.desktop
LONG = 12_000
"""Steps of a minute and more: a machine that stands still for a while is not through with them."""


@pytest.fixture
def jobs(fleet_file: Path, qtbot: QtBot) -> Iterator[Jobs]:
    with open_fleet(fleet_file) as fleet:
        made = Jobs(fleet, lambda: "Ilse", DEMO_TODAY)
        yield made
        made.close()


@pytest.fixture
def asker() -> QObject:
    return QObject()


@dataclass(frozen=True)
class Breaks:
    says: str = "something broken"

    def apply(self, work: Work, today: date) -> Changed:
        raise ZeroDivisionError


def aircraft_id(jobs: Jobs) -> int:
    with jobs.fleet.reading() as work:
        return find_aircraft(work, DEMO_AIRPLANE)


def count_readings(jobs: Jobs) -> int:
    with jobs.fleet.reading() as work:
        return len(readings(work, find_aircraft(work, DEMO_AIRPLANE)))


def a_reading(jobs: Jobs) -> RecordReading:
    with jobs.fleet.reading() as work:
        number = find_aircraft(work, DEMO_AIRPLANE)
        newest = max(readings(work, number), key=lambda line: line.read_on)
    return RecordReading(number, DEMO_TODAY, newest.meter_hours + Decimal("0.5"))


def test_work_is_done_off_the_windows_thread_and_answered_on_it(
    jobs: Jobs, asker: QObject, qtbot: QtBot
) -> None:
    threads: list[str] = []
    answers: list[tuple[str, int]] = []

    def work(work: Work) -> int:
        threads.append(threading.current_thread().name)
        return find_aircraft(work, DEMO_AIRPLANE)

    jobs.read(work, asker, lambda value: answers.append((threading.current_thread().name, value)))
    qtbot.waitUntil(lambda: len(answers) == 1)
    assert threads[0].startswith("reader")
    assert answers == [(threading.main_thread().name, aircraft_id(jobs))]


def test_a_newer_question_replaces_an_older_one_of_the_same_asker(
    jobs: Jobs, asker: QObject, qtbot: QtBot
) -> None:
    gate = threading.Event()
    answers: list[int] = []

    def slow(_work: Work) -> int:
        gate.wait(60)
        return 1

    jobs.read(slow, asker, answers.append)
    jobs.read(lambda _work: 2, asker, answers.append)
    jobs.read(lambda _work: 3, asker, answers.append, topic="other")
    gate.set()
    qtbot.waitUntil(lambda: not jobs.awaited)
    qtbot.wait(50)
    assert sorted(answers) == [2, 3]


def test_an_answer_to_a_closed_page_is_dropped(jobs: Jobs, qtbot: QtBot) -> None:
    import shiboken6

    page = QObject()
    answers: list[int] = []
    gate = threading.Event()

    def slow(_work: Work) -> int:
        gate.wait(60)
        return 1

    jobs.read(slow, page, answers.append)
    shiboken6.delete(page)
    gate.set()
    qtbot.waitUntil(lambda: not jobs.awaited)
    assert answers == []


def test_an_edit_is_written_told_and_taken_back(jobs: Jobs, asker: QObject, qtbot: QtBot) -> None:
    before = count_readings(jobs)
    with qtbot.waitSignal(jobs.changed) as told:
        jobs.write(a_reading(jobs), asker)
    assert "reading" in told.args[0]
    assert count_readings(jobs) == before + 1
    assert jobs.trail.undo is not None
    with qtbot.waitSignal(jobs.changed):
        jobs.undo(asker)
    assert count_readings(jobs) == before
    with qtbot.waitSignal(jobs.changed):
        jobs.redo(asker)
    assert count_readings(jobs) == before + 1


def test_a_refused_edit_reaches_its_asker_and_leaves_no_trail(
    jobs: Jobs, asker: QObject, qtbot: QtBot
) -> None:
    refusals: list[Exception] = []
    wrong = RecordReading(aircraft_id(jobs), DEMO_TODAY, Decimal(1))
    jobs.write(wrong, asker, failed=refusals.append)
    qtbot.waitUntil(lambda: len(refusals) == 1)
    assert isinstance(refusals[0], Refused)
    assert jobs.trail.undo is None


def test_a_refusal_that_nobody_takes_goes_to_the_window(jobs: Jobs, asker: QObject, qtbot: QtBot) -> None:
    with qtbot.waitSignal(jobs.refused) as told:
        jobs.write(RecordReading(aircraft_id(jobs), DEMO_TODAY, Decimal(1)), asker)
    assert isinstance(told.args[0], Refused)


def test_a_fault_of_the_program_gives_a_report_and_work_goes_on(
    jobs: Jobs, asker: QObject, qtbot: QtBot
) -> None:
    with qtbot.waitSignal(jobs.broke) as told:
        jobs.write(Breaks(), asker)
    assert "ZeroDivisionError" in told.args[1]
    before = count_readings(jobs)
    with qtbot.waitSignal(jobs.changed):
        jobs.write(a_reading(jobs), asker)
    assert count_readings(jobs) == before + 1


def test_long_work_stops_when_it_is_cancelled(jobs: Jobs, asker: QObject, qtbot: QtBot) -> None:
    steps: list[int] = []
    answers: list[object] = []

    def work(progress: Progress) -> None:
        for step in range(LONG):
            progress(step, LONG)
            steps.append(step)
            time.sleep(0.005)

    progress = jobs.long(work, asker, answers.append, answers.append)
    qtbot.waitUntil(lambda: len(steps) > 3)
    progress.cancel()
    qtbot.waitUntil(lambda: not jobs.awaited)
    assert len(steps) < LONG
    assert answers == []


def test_closing_waits_for_what_is_being_written(jobs: Jobs, asker: QObject) -> None:
    before = count_readings(jobs)
    jobs.write(a_reading(jobs), asker)
    jobs.close()
    assert count_readings(jobs) == before + 1


def test_what_is_due_follows_the_day_and_the_pages_are_told(jobs: Jobs, qtbot: QtBot) -> None:
    with qtbot.waitSignal(jobs.changed) as told:
        jobs.bring_forward(date(2026, 7, 1))
    assert told.args == [frozenset({"aircraft", "due"})]
    with jobs.fleet.reading() as work:
        [line] = fleet_lines(work, fleet_ids(work, search=DEMO_AIRPLANE))
    assert line.state == "overdue"


def test_nothing_is_told_when_what_is_due_is_of_today_already(jobs: Jobs, qtbot: QtBot) -> None:
    with qtbot.assertNotEmitted(jobs.changed):
        jobs.bring_forward(DEMO_TODAY)
        qtbot.waitUntil(lambda: not jobs.awaited)


def test_what_is_asked_before_the_fleet_is_open_waits_for_it(
    fleet_file: Path, asker: QObject, qtbot: QtBot
) -> None:
    with open_fleet(fleet_file) as fleet:
        jobs = Jobs(None, lambda: "Ilse", DEMO_TODAY)
        answers: list[object] = []
        jobs.read(lambda work: "older", asker, answers.append, topic="list")
        jobs.read(lambda work: len(fleet_ids(work)), asker, answers.append, topic="list")
        jobs.write(Breaks(), asker, failed=answers.append)
        assert len(jobs.awaited) == 2
        with pytest.raises(LookupError):
            _ = jobs.fleet
        jobs.take(fleet)
        qtbot.waitUntil(lambda: len(answers) == 2)
        assert 12 in answers
        assert any(isinstance(answer, ZeroDivisionError) for answer in answers)
        assert jobs.awaited == ()
        jobs.close()


def test_jobs_whose_fleet_never_came_can_be_closed(asker: QObject) -> None:
    jobs = Jobs(None, lambda: "Ilse", DEMO_TODAY)
    before = set(threading.enumerate())
    jobs.read(lambda work: None, asker, lambda _: None)
    jobs.close()
    assert set(threading.enumerate()) <= before
