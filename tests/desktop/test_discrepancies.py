"""The place of discrepancies, driven as a person drives it: by actions, keys and forms."""

from io import BytesIO
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from annual_planner.desktop.discrepancies.deferral_form import DeferralForm
from annual_planner.desktop.discrepancies.found_before import FoundBefore
from annual_planner.desktop.discrepancies.page import DiscrepanciesPage
from annual_planner.desktop.discrepancies.review_tabs import GROUPS, OVER_TIME, PROMISES
from annual_planner.desktop.form import Form
from annual_planner.desktop.who import Person
from annual_planner.desktop.window import MainWindow
from annual_planner.store.discrepancy_to_sign import discrepancy_to_sign
from annual_planner.store.fleet_reads import people
from annual_planner.trade import discrepancy_life as life
from annual_planner.trade.working import Working
from tests.desktop.conftest import settle

pytestmark = pytest.mark.desktop


@pytest.fixture
def page(window: MainWindow, qtbot: QtBot) -> DiscrepanciesPage:
    """The place, with a named mechanic at the window."""
    with window.desk.jobs.fleet.reading() as work:
        someone = people(work)[0]
    window.desk.who.pick(Person("mechanic", someone.person_id, someone.name))
    window.go("discrepancies")
    settle(qtbot, window)
    assert isinstance(window.page, DiscrepanciesPage)
    return window.page


def form_of(page: DiscrepanciesPage) -> Form:
    form = page.beside.form
    assert isinstance(form, Form)
    return form


def open_form(page: DiscrepanciesPage, action: str, qtbot: QtBot, window: MainWindow) -> Form:
    getattr(page.doings, action).trigger()
    settle(qtbot, window)
    return form_of(page)


def submit(page: DiscrepanciesPage, qtbot: QtBot, window: MainWindow) -> None:
    form_of(page).submit()
    settle(qtbot, window)


def raise_one(
    page: DiscrepanciesPage, qtbot: QtBot, window: MainWindow, text: str = "left brake pad worn thin"
) -> int:
    form = open_form(page, "new", qtbot, window)
    form.fields["text"].put(text)
    form.fields["zone"].put("engine")
    submit(page, qtbot, window)
    assert page.seen is not None, page.strip.text
    assert page.seen.sheet.line.text == text
    return page.seen.sheet.line.discrepancy_id


def line_of(page: DiscrepanciesPage):  # type: ignore[no-untyped-def]
    assert page.seen is not None
    return page.seen.sheet.line


def test_a_new_one_is_raised_chosen_and_taken_back(
    page: DiscrepanciesPage, window: MainWindow, qtbot: QtBot
) -> None:
    before = page.review.table.rowCount()
    made = raise_one(page, qtbot, window)
    assert page.review.current_id == made
    assert page.review.table.rowCount() == before + 1
    window.desk.jobs.undo(page)
    settle(qtbot, window)
    assert page.review.table.rowCount() == before
    window.desk.jobs.redo(page)
    settle(qtbot, window)
    assert page.review.table.rowCount() == before + 1


def test_only_steps_that_may_follow_are_offered_until_it_is_closed(
    page: DiscrepanciesPage, window: MainWindow, qtbot: QtBot
) -> None:
    page.bar.choose("show", "all")
    settle(qtbot, window)
    raise_one(page, qtbot, window)
    assert page.doings.judge.isEnabled()  # type: ignore[attr-defined]
    assert not page.doings.decide.isEnabled()  # type: ignore[attr-defined]
    form = open_form(page, "judge", qtbot, window)
    form.put({"airworthy": False, "risk": "stops the airplane"})
    submit(page, qtbot, window)
    assert line_of(page).airworthy is False
    form = open_form(page, "decide", qtbot, window)
    form.put({"disposition": "correct now"})
    submit(page, qtbot, window)
    open_form(page, "begin", qtbot, window)
    submit(page, qtbot, window)
    form = open_form(page, "correct", qtbot, window)
    form.submit()
    assert "What was done" in form.fields["said"].message.text()
    form.put({"said": "pads replaced by the maker's manual", "major": True})
    submit(page, qtbot, window)
    with window.desk.jobs.fleet.reading() as work:
        assert discrepancy_to_sign(work, line_of(page).discrepancy_id).major
    open_form(page, "inspect", qtbot, window)
    submit(page, qtbot, window)
    assert line_of(page).closed_on is not None


def test_the_deferral_questions_end_in_a_placard_and_a_deferral(
    page: DiscrepanciesPage, window: MainWindow, qtbot: QtBot
) -> None:
    raise_one(page, qtbot, window, "landing light does not light")
    open_form(page, "judge", qtbot, window).put({"airworthy": False})
    submit(page, qtbot, window)
    page.doings.defer.trigger()  # type: ignore[attr-defined]
    settle(qtbot, window)
    form = page.beside.form
    assert isinstance(form, DeferralForm)
    assert not form.defer.isEnabled()
    form.answer("item", next(each.key for each in form._equipment if not each.needed))
    form.answer("flight", "VFR day")
    for key in list(form.boxes):
        if not form.answers.get(key):
            form.answer(key, {"small": "yes", "how": "deactivated", "hazard": "yes"}.get(key, "no"))
    assert form.defer.isEnabled(), form.summary.text()
    form.copy.click()
    assert "INOPERATIVE" in QApplication.clipboard().text()
    form.defer.click()
    settle(qtbot, window)
    assert line_of(page).disposition == "defer", form.trouble.text()
    assert "INOPERATIVE" in line_of(page).placard
    worked = page.why()
    assert isinstance(worked, Working)
    assert any("Deferral" in step.text for step in worked.steps)


def test_several_rows_change_at_once_and_one_undo_takes_it_back(
    page: DiscrepanciesPage, window: MainWindow, qtbot: QtBot
) -> None:
    ids = [raise_one(page, qtbot, window, f"odd noise number {n}") for n in range(3)]
    page.review.search.setText("odd noise")
    page.review._search_now()
    settle(qtbot, window)
    page.review.view.selectAll()
    settle(qtbot, window)
    form = open_form(page, "several", qtbot, window)
    form.put({"risk": "nuisance", "waits_for": "parts"})
    submit(page, qtbot, window)
    rows = [page.review.table.row_of(each) for each in ids]
    assert [(row.risk, row.waits_for) for row in rows if row is not None] == [("nuisance", "parts")] * 3
    window.desk.jobs.undo(page)
    settle(qtbot, window)
    rows = [page.review.table.row_of(each) for each in ids]
    assert [(row.risk, row.waits_for) for row in rows if row is not None] == [("", "")] * 3


def test_like_ones_are_told_while_a_new_one_is_written(
    page: DiscrepanciesPage, window: MainWindow, qtbot: QtBot
) -> None:
    raise_one(page, qtbot, window, "oil seeps at the rocker cover")
    form = open_form(page, "new", qtbot, window)
    form.fields["zone"].put("engine")
    form.fields["text"].put("oil seeps at rocker cover")
    form.fields["text"].edited.emit()
    before = form.findChild(FoundBefore)
    assert before is not None
    qtbot.waitUntil(lambda: "time in" in before.says.text())
    assert not before.why.isHidden()
    with qtbot.waitSignal(page.wants_working) as asked:
        before.why.click()
    assert isinstance(asked.args[0], Working)


def test_filters_are_kept_under_a_name_and_come_back(
    page: DiscrepanciesPage, window: MainWindow, qtbot: QtBot
) -> None:
    page.bar.choose("show", "all")
    page.bar.choose("group", "registration")
    settle(qtbot, window)
    form = open_form(page, "keep", qtbot, window)
    form.put({"name": "Monday"})
    submit(page, qtbot, window)
    assert page.bar.views.currentText() == "Monday", "what was kept is what is shown"
    page.bar.choose("show", "open")
    settle(qtbot, window)
    page.bar.views.setCurrentIndex(page.bar.views.findText("Monday"))
    page.bar.views.activated.emit(page.bar.views.currentIndex())
    settle(qtbot, window)
    assert page.bar.chosen.show == "all"
    assert page.bar.chosen.group == "registration"
    page.bar.forget.click()
    settle(qtbot, window)
    assert page.bar.views.findText("Monday") < 0


def test_groups_flow_and_promises_are_shown(
    page: DiscrepanciesPage, window: MainWindow, qtbot: QtBot
) -> None:
    for tab in (GROUPS, OVER_TIME, PROMISES):
        page.tabs.setCurrentIndex(tab)
        settle(qtbot, window)
    assert sum(row.count for row in page.tabs.groups.held.rows) == page.review.table.rowCount()
    assert page.tabs.over_time.chart.months[-1].open_at_end == page.review.table.rowCount()
    assert sum(row.count for row in page.tabs.over_time.ages.held.rows) == page.review.table.rowCount()


def test_a_photograph_is_kept_and_looked_at(
    page: DiscrepanciesPage, window: MainWindow, qtbot: QtBot, tmp_path: Path
) -> None:
    from PIL import Image

    from annual_planner.desktop.photograph_window import PhotographWindow

    raise_one(page, qtbot, window)
    out = BytesIO()
    Image.new("RGB", (64, 48), "brown").save(out, "PNG")
    path = tmp_path / "pad.png"
    path.write_bytes(out.getvalue())
    page.doings.recording.take_photograph(path)
    settle(qtbot, window)
    assert len(page.panel.photographs.buttons) == 1, page.strip.text
    page.panel.photographs.buttons[0].click()
    settle(qtbot, window)
    shown = page.findChildren(PhotographWindow)
    assert len(shown) == 1
    shown[0].close()


def test_the_list_is_written_on_paper_and_as_spreadsheets(
    page: DiscrepanciesPage, window: MainWindow, qtbot: QtBot, tmp_path: Path
) -> None:
    for ending, begins in ((".pdf", b"%PDF"), (".xlsx", b"PK"), (".csv", b"\xef\xbb\xbfairplane")):
        path = tmp_path / f"list{ending}"
        page.doings.out.write(path)
        settle(qtbot, window)
        assert path.read_bytes().startswith(begins)
    assert len((tmp_path / "list.csv").read_text().splitlines()) >= page.review.table.rowCount() + 1


def test_the_list_is_printed_as_it_is_shown(
    page: DiscrepanciesPage, window: MainWindow, qtbot: QtBot, tmp_path: Path
) -> None:
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(tmp_path / "printed.pdf"))
    page.doings.out.print_on(printer)
    settle(qtbot, window)
    assert "went to the printer" in page.strip.text
    assert (tmp_path / "printed.pdf").read_bytes().startswith(b"%PDF")


def test_choices_that_hide_every_one_say_so_and_are_taken_away_with_one_press(
    page: DiscrepanciesPage, window: MainWindow, qtbot: QtBot
) -> None:
    page.bar.choose("state", life.SIGNED)
    settle(qtbot, window)
    assert page.review.table.rowCount() == 0
    assert page.review.blank.isVisible()
    assert page.seen is None, "what no longer stands in the list isn't shown beside it"
    assert page.review.blank.next.text() == "Show all of them"
    page.review.blank.next.click()
    settle(qtbot, window)
    assert page.review.table.rowCount() > 0
    assert page.bar.boxes["state"].currentData() == ""


def test_an_owner_sees_only_their_own_and_is_offered_no_edit(
    page: DiscrepanciesPage, window: MainWindow, qtbot: QtBot
) -> None:
    raise_one(page, qtbot, window)
    owner = line_of(page).owner
    with window.desk.jobs.fleet.reading() as work:
        person_id = next(each.person_id for each in people(work) if each.name == owner)
    window.desk.who.pick(Person("owner", person_id, owner))
    window.go("discrepancies")
    settle(qtbot, window)
    rows = [page.review.table.row_at(place) for place in range(page.review.table.rowCount())]
    assert rows
    assert {row.owner for row in rows if row is not None} == {owner}
    assert not page.doings.new.isVisible()
    assert not page.tabs.isTabVisible(OVER_TIME)


def test_one_airplane_is_shown_when_it_is_asked_for(
    page: DiscrepanciesPage, window: MainWindow, qtbot: QtBot
) -> None:
    raise_one(page, qtbot, window)
    aircraft_id = line_of(page).aircraft_id
    window.go("discrepancies", f"aircraft:{aircraft_id}")
    settle(qtbot, window)
    rows = [page.review.table.row_at(place) for place in range(page.review.table.rowCount())]
    assert {row.aircraft_id for row in rows if row is not None} == {aircraft_id}
    assert not page.only.isHidden()
    page.only.click()
    settle(qtbot, window)
    assert page.review.of_aircraft is None


def test_escape_leaves_a_form(page: DiscrepanciesPage, window: MainWindow, qtbot: QtBot) -> None:
    form = open_form(page, "new", qtbot, window)
    qtbot.keyClick(form, Qt.Key.Key_Escape)
    assert page.beside.form is None


def test_a_corrected_one_is_signed_and_that_is_its_inspection(
    page: DiscrepanciesPage, window: MainWindow, qtbot: QtBot
) -> None:
    from annual_planner.desktop.moment import moment_of
    from annual_planner.desktop.signing.dialog import SigningDialog
    from annual_planner.records.apply import apply
    from annual_planner.records.keys import Cost, MakeKey

    passphrase = "nine quiet herons on a jetty"
    jobs = window.desk.jobs
    with jobs.fleet.reading() as work:
        marit = next(each.person_id for each in people(work) if each.name == "Marit Holloway")
    apply(jobs.fleet, MakeKey(marit, passphrase, moment_of(window.desk), Cost(1, 8, 1)), "a test", jobs.today)
    page.bar.choose("show", "all")
    settle(qtbot, window)
    raise_one(page, qtbot, window)
    assert not page.doings.sign.isEnabled()  # type: ignore[attr-defined]
    for action, values in (
        ("judge", {"airworthy": False, "risk": "stops the airplane"}),
        ("decide", {"disposition": "correct now"}),
        ("begin", {"person_id": marit}),
        ("correct", {"said": "pads replaced by the maker's manual", "person_id": marit}),
    ):
        open_form(page, action, qtbot, window).put(values)
        submit(page, qtbot, window)
    page.doings.sign.trigger()  # type: ignore[attr-defined]
    settle(qtbot, window)
    dialog = window.findChild(SigningDialog)
    assert dialog is not None, page.strip.text
    dialog.person.setCurrentIndex(dialog.person.findData(marit))
    settle(qtbot, window)
    assert "left brake pad worn thin" in dialog.content.toPlainText()
    dialog.passphrase.setText(passphrase)
    with qtbot.waitSignal(dialog.signed):
        dialog.sign_button.click()
    settle(qtbot, window)
    assert line_of(page).closed_on is not None
    assert page.seen is not None
    assert "signed, record" in page.seen.sheet.steps[-1].said
