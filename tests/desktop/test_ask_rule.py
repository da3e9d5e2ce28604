"""A rule is asked as a person would: a question is chosen, its facts are typed, the answer is read."""

from __future__ import annotations

from datetime import date
from itertools import pairwise

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QApplication, QScrollArea, QWidget
from pytestqt.qtbot import QtBot

from annual_planner.desktop.ask_rule import AskRule
from annual_planner.desktop.ask_rule_sheet import QuestionSheet
from annual_planner.desktop.fields import ChoiceField, TextField
from annual_planner.desktop.library_page import LibraryPage
from annual_planner.desktop.who import Person
from annual_planner.desktop.window import MainWindow
from annual_planner.store.fleet_reads import people
from annual_planner.trade.rule_questions import QUESTIONS, Fact, RuleQuestion, ask_rule
from annual_planner.trade.working import as_lines
from tests.desktop.conftest import settle

pytestmark = pytest.mark.desktop

USE, AGE = "locator-battery-use", "locator-battery-age"


@pytest.fixture
def asked(window: MainWindow, qtbot: QtBot) -> AskRule:
    window.go("library", "ask")
    settle(qtbot, window)
    return library(window).asked


def library(window: MainWindow) -> LibraryPage:
    assert isinstance(window.page, LibraryPage)
    return window.page


def shown(asked: AskRule, key: str) -> QuestionSheet:
    """Go down the list by keys to that question."""
    asked.listing.view.setFocus()
    asked.listing.view.point_to(asked.source.rows.index(next(each for each in QUESTIONS if each.key == key)))
    assert asked.sheet is not None
    return asked.sheet


def keys(qtbot: QtBot, typed: str = "", then: Qt.Key | None = None) -> None:
    """Type where the keys act."""
    here = QApplication.focusWidget()
    assert here is not None
    if typed:
        qtbot.keyClicks(here, typed)
    if then is not None:
        qtbot.keyClick(here, then)


def line(sheet: QuestionSheet, key: str) -> TextField:
    field = sheet.form.fields[key]
    assert isinstance(field, TextField)
    return field


def test_every_question_stands_in_the_list_with_its_group_and_what_it_rests_on(asked: AskRule) -> None:
    table = asked.listing.table
    cells = [[table.index(row, at).data() for at in range(3)] for row in range(table.rowCount())]
    assert sorted(cells) == sorted([each.title, each.about, each.citation] for each in QUESTIONS)
    groups = [row[1] for row in cells]
    assert len(set(groups)) == 1 + sum(one != other for one, other in pairwise(groups))


def test_it_is_answered_by_the_keys_alone(asked: AskRule, window: MainWindow, qtbot: QtBot) -> None:
    sheet = shown(asked, USE)
    keys(qtbot, then=Qt.Key.Key_Return)
    assert QApplication.focusWidget() is line(sheet, "use_minutes").line, "Enter on the question leads in"
    keys(qtbot, "40 25", Qt.Key.Key_Return)
    expected = ask_rule(USE, {"use_minutes": "40 25"})
    assert sheet.answer.said.text() == expected.result
    assert "14 CFR 91.207(c)(1)" in sheet.answer.rests.text()
    assert expected.result in sheet.answer.accessibleDescription()
    reached: list[QWidget | None] = []
    for _ in range(3):
        keys(qtbot, then=Qt.Key.Key_Tab)
        reached.append(QApplication.focusWidget())
    assert reached == [sheet.form.submit_button, sheet.answer.why_button, sheet.answer.copy_button]
    qtbot.keyClick(sheet.answer.why_button, Qt.Key.Key_Space)
    assert window.panel.working == expected


def test_why_opens_the_working_also_by_f4_and_escape_leads_back_to_the_field(
    asked: AskRule, window: MainWindow, qtbot: QtBot
) -> None:
    sheet = shown(asked, USE)
    keys(qtbot, then=Qt.Key.Key_Return)
    keys(qtbot, "70", Qt.Key.Key_Return)
    window.menus.actions["why"].trigger()
    assert window.panel.working == sheet.working == ask_rule(USE, {"use_minutes": "70"})
    window.panel.text.setFocus()
    keys(qtbot, then=Qt.Key.Key_Escape)
    assert not window.panel.isVisible()
    assert QApplication.focusWidget() is line(sheet, "use_minutes").line


def test_an_answer_does_not_outlive_the_facts_it_was_given_to(
    asked: AskRule, window: MainWindow, qtbot: QtBot
) -> None:
    sheet = shown(asked, USE)
    keys(qtbot, then=Qt.Key.Key_Return)
    keys(qtbot, "70", Qt.Key.Key_Return)
    assert sheet.working is not None
    keys(qtbot, then=Qt.Key.Key_Backspace)
    assert sheet.working is None
    assert not sheet.answer.said.isVisible()
    assert not sheet.answer.why_button.isVisible()
    assert "Answer again" in sheet.answer.rests.text()
    window.show_why()
    assert "press Answer" in window.page.strip.text
    sheet.form.start()
    keys(qtbot, "61", Qt.Key.Key_Return)
    assert sheet.working is not None
    assert window.page.strip.text == "", "it is answered now"


def test_what_is_wrong_stands_beside_each_field_at_once_and_stays_typed(asked: AskRule, qtbot: QtBot) -> None:
    sheet = shown(asked, AGE)
    line(sheet, "marked_on").line.setText("31 Feb 2027")
    line(sheet, "life_months").line.setText("many")
    qtbot.mouseClick(sheet.form.submit_button, Qt.MouseButton.LeftButton)
    assert sheet.working is None
    assert "31 Feb 2027" in line(sheet, "marked_on").message.text()
    assert "'many' is no number" in line(sheet, "life_months").message.text()
    assert not line(sheet, "life_from").at_fault
    assert "2 fields" in sheet.form.summary.text()
    assert line(sheet, "life_months").line.text() == "many"
    assert QApplication.focusWidget() is line(sheet, "marked_on").line


def test_what_the_facts_lack_together_is_told_above_the_button(asked: AskRule, qtbot: QtBot) -> None:
    sheet = shown(asked, AGE)
    keys(qtbot, then=Qt.Key.Key_Return)
    keys(qtbot, then=Qt.Key.Key_Return)
    assert sheet.form.summary.isVisible()
    assert "useful life" in sheet.form.summary.text()
    keys(qtbot, "3 Apr 2027")
    assert not sheet.form.summary.isVisible(), "what was said no longer fits what is typed"
    assert "Sat 3 Apr 2027" in line(sheet, "marked_on").message.text()
    keys(qtbot, then=Qt.Key.Key_Return)
    assert "3 Apr 2027" in sheet.answer.said.text()


def test_days_are_typed_as_everywhere_in_the_window_and_held_to_the_question(
    asked: AskRule, window: MainWindow, qtbot: QtBot
) -> None:
    marked = line(shown(asked, AGE), "marked_on")
    window.desk.jobs.today = date(2027, 1, 1)
    keys(qtbot, then=Qt.Key.Key_Return)
    keys(qtbot, "t")
    assert marked.message.text() == "Fri 1 Jan 2027", "today moves on while the question stands open"
    marked.line.setText("3 Apr 2300")
    keys(qtbot, then=Qt.Key.Key_Return)
    assert marked.at_fault
    assert "outside the years" in marked.message.text()


def test_one_comes_back_to_a_question_as_it_was_left(asked: AskRule, qtbot: QtBot) -> None:
    use = shown(asked, USE)
    keys(qtbot, then=Qt.Key.Key_Return)
    keys(qtbot, "10 12", Qt.Key.Key_Return)
    age = shown(asked, AGE)
    line(age, "life_months").line.setText("no")
    age.form.submit()
    back = shown(asked, USE)
    assert back is use
    assert line(back, "use_minutes").line.text() == "10 12"
    assert back.answer.said.isVisible()
    assert line(shown(asked, AGE), "life_months").at_fault


def test_the_answer_is_copied_with_its_working_by_a_key(
    asked: AskRule, window: MainWindow, qtbot: QtBot
) -> None:
    here = {each.text().replace("&", ""): each for each in window.page.actions_here}
    copy, answer = here["Copy the answer"], here["Answer the question"]
    assert not copy.isEnabled()
    sheet = shown(asked, USE)
    line(sheet, "use_minutes").line.setText("5")
    qtbot.keyClick(asked.listing.view, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    assert sheet.working is not None, "Ctrl+Enter answers from the list too"
    assert copy.isEnabled()
    assert answer.isEnabled()
    qtbot.keyClick(
        asked.listing.view,
        Qt.Key.Key_C,
        Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier,
    )
    assert QGuiApplication.clipboard().text().splitlines() == as_lines(sheet.working)
    assert sheet.answer.copied.text() == "Copied as text."


def test_its_actions_are_offered_on_its_tab_alone(asked: AskRule, window: MainWindow) -> None:
    assert set(asked.doings) <= set(window.page.actions_here)
    window.page.show_subject("rules")
    assert not set(asked.doings) & set(window.page.actions_here)


def test_the_search_finds_questions_and_leaves_none_beside_it_where_it_finds_none(
    asked: AskRule, window: MainWindow, qtbot: QtBot
) -> None:
    window.page.search_here()
    assert QApplication.focusWidget() is asked.listing.search
    keys(qtbot, "battery age", Qt.Key.Key_Return)
    assert asked.question is not None
    assert asked.question.key == AGE
    asked.listing.search.setText("no such words")
    keys_there = asked.listing.search
    qtbot.keyClick(keys_there, Qt.Key.Key_Return)
    assert asked.listing.blank.isVisible()
    assert asked.sheet is None
    assert not any(action.isEnabled() for action in asked.doings)
    window.go("library", f"ask:{USE}")
    assert asked.question is not None
    assert asked.question.key == USE, "what was searched for doesn't hide what is gone to"


def test_going_to_anything_finds_a_question(window: MainWindow, qtbot: QtBot) -> None:
    from annual_planner.desktop.go_to import GoTo

    window.go_to_anything()
    box = window.findChild(GoTo)
    assert box is not None
    qtbot.keyClicks(box.box, "locator battery use")
    settle(qtbot, window)
    qtbot.keyClick(box.box, Qt.Key.Key_Return)
    asked = library(window).asked
    assert asked.question is not None
    assert asked.question.key == USE
    assert asked.sheet is not None
    assert QApplication.focusWidget() is line(asked.sheet, "use_minutes").line


def test_an_owner_asks_too(window: MainWindow, qtbot: QtBot) -> None:
    with window.desk.jobs.fleet.reading() as work:
        owner = next(each for each in people(work) if tuple(each.roles) == ("owner",))
    window.desk.who.pick(Person("owner", owner.person_id, owner.name))
    window.go("library", "ask")
    settle(qtbot, window)
    sheet = shown(library(window).asked, USE)
    keys(qtbot, then=Qt.Key.Key_Return)
    keys(qtbot, "61", Qt.Key.Key_Return)
    assert sheet.answer.said.isVisible()


def test_every_fact_of_every_question_has_a_named_field(asked: AskRule) -> None:
    for question in QUESTIONS:
        sheet = shown(asked, question.key)
        needed = [fact.needed for key in sheet.form.fields for fact in question.facts if fact.key == key]
        assert len(needed) == len(question.facts)
        assert needed == sorted(needed, reverse=True), "what may stay empty comes last"
        for fact in question.facts:
            field = sheet.form.fields[fact.key]
            assert fact.label in field.editor.accessibleName()
            assert isinstance(field, ChoiceField) == (fact.kind in ("yes or no", "choice"))


def test_nothing_is_taken_for_a_no_that_nobody_chose(asked: AskRule, qtbot: QtBot) -> None:
    facts = (
        Fact("struck", "Was it struck?", "yes or no"),
        Fact("kind", "Kind", "choice", choices=("first", "second"), needed=False),
    )
    base = QUESTIONS[0]
    sheet = QuestionSheet(
        RuleQuestion("made-up", "Well?", "Test", "none", facts, base.answer),
        lambda: asked.desk.today,
        lambda: None,
    )
    qtbot.addWidget(sheet)
    assert sheet.form.values() is None
    struck = sheet.form.fields["struck"]
    assert isinstance(struck, ChoiceField)
    assert struck.at_fault
    qtbot.keyClicks(struck.box, "n")
    assert not struck.at_fault, "the complaint goes once something is chosen"
    assert sheet.form.values() == {"struck": "no", "kind": ""}


def test_at_200_percent_a_question_stands_whole_below_the_list_and_scrolls_to_what_counts(
    window: MainWindow, qtbot: QtBot
) -> None:
    window.desk.theme.set_percent(200)
    window.show()
    window.resize(1280, 800)
    window.go("library", "cards")
    settle(qtbot, window)
    window.go("library", f"ask:{AGE}")
    asked = library(window).asked
    sheet = asked.sheet
    assert sheet is not None
    assert asked.orientation() is Qt.Orientation.Vertical
    qtbot.waitUntil(lambda: in_sight(line(sheet, "marked_on").line))
    keys(qtbot, then=Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: in_sight(sheet.form.summary))
    keys(qtbot, "3 Apr 2027", Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: in_sight(sheet.answer.said))
    line(sheet, "life_months").line.setText("no")
    keys(qtbot, then=Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: in_sight(line(sheet, "life_months").line))


@pytest.mark.parametrize("size", ["ordinary", "bench", "200"])
def test_no_question_needs_a_bar_to_push_it_sideways(asked: AskRule, window: MainWindow, size: str) -> None:
    window.desk.theme.set_bench(size == "bench")
    window.desk.theme.set_percent(200 if size == "200" else 100)
    window.show()
    window.resize(1280, 800)
    pushed = []
    for question in QUESTIONS:
        sheet = shown(asked, question.key)
        sheet.form.submit()
        QApplication.processEvents()
        bars = [each.horizontalScrollBar() for each in asked.findChildren(QScrollArea) if each.isVisible()]
        right = max(field.editor.geometry().right() for field in sheet.form.fields.values())
        if any(bar.maximum() > 0 for bar in bars) or right >= sheet.form.width():
            pushed.append(question.key)
    assert pushed == []


def in_sight(part: QWidget) -> bool:
    """No part of its height is scrolled away or cut."""
    return part.visibleRegion().boundingRect().height() == part.height() > 0
