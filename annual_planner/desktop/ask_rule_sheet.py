"""One question to a rule: its facts as fields, and below them the answer in a sentence."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from functools import partial
from typing import Any

from PySide6.QtCore import QSize, Qt, QTimer, Signal
from PySide6.QtGui import QAccessible, QAccessibleAnnouncementEvent, QGuiApplication, QResizeEvent
from PySide6.QtWidgets import QFrame, QPushButton, QScrollArea, QSizePolicy, QVBoxLayout, QWidget

from annual_planner.desktop.fields import Choice, ChoiceField, Field, TextField
from annual_planner.desktop.flow import FlowRow
from annual_planner.desktop.form import Form, Values
from annual_planner.desktop.typed import WAYS, read_day, said_day
from annual_planner.desktop.widgets import button, label, show_in_place
from annual_planner.trade.refused import Refused
from annual_planner.trade.rule_questions import Fact, RuleQuestion, ask_rule, read_facts
from annual_planner.trade.working import Working, as_lines

YES_NO = ("yes", "no")
LETTERS = {"day": 12, "number": 10, "numbers": 24}
"""Room in a line for what is typed, by the kind of fact."""
NEEDED = {"day": f"Which day? {WAYS}", "number": "Type a number.", "numbers": "Type one or more numbers."}
LEAST_LETTERS, MOST_LETTERS = 8, 34
"""Room for the words of a choice."""
NAMES_SHARE = 0.45
"""Of the width, that the names of facts keep; longer ones wrap."""
OPTIONAL = "May stay empty"
NOT_ANSWERED = "Fill in the facts and press Answer."
CHANGED = "A fact was changed since. Press Answer again."


class RoomyChoice(Choice):
    """A choice with room for its longest words, or less where there is none; dropped down, all are whole."""

    def sizeHint(self) -> QSize:
        """Room for the longest words, up to some letters."""
        usual, letter = super().sizeHint(), self.fontMetrics().horizontalAdvance("x")
        words = [self.fontMetrics().horizontalAdvance(self.itemText(at)) for at in range(self.count())]
        more = min(max(words, default=0), letter * MOST_LETTERS) - letter * LEAST_LETTERS
        return QSize(usual.width() + max(0, more), usual.height())

    def showPopup(self) -> None:
        """Drop down as wide as the longest words."""
        self.view().setMinimumWidth(self.view().sizeHintForColumn(0) + self.fontMetrics().height())
        super().showPopup()


class Pick(ChoiceField):
    """One of some words. Nothing is chosen at first: what nobody said isn't taken for a no."""

    box_kind = RoomyChoice

    def __init__(self, fact: Fact, words: str, offered: tuple[str, ...], hint: str) -> None:
        self._needed = fact.needed
        first = "choose" if fact.needed else "not said"
        super().__init__(fact.key, words, [("", first), *((each, each) for each in offered)], hint=hint)
        self.box.setMinimumContentsLength(LEAST_LETTERS)
        self.edited.connect(self._look_again)

    def value(self) -> str:
        """The words chosen; empty where that may be. Raises Refused where something must be chosen."""
        chosen = str(super().value())
        if not chosen and self._needed:
            raise Refused("Choose one.")
        return chosen

    def _look_again(self) -> None:
        if self.at_fault:
            self.check()


Today = Callable[[], date]


def field_of(fact: Fact, question: RuleQuestion, today: Today) -> Field:
    """The field in which that fact is filled in; what it can't be taken for is told beside it."""
    words = f"{fact.label} ({fact.unit})" if fact.unit else fact.label
    if fact.kind in ("yes or no", "choice"):
        return Pick(fact, words, fact.choices or YES_NO, fact.tip)
    of_day = fact.kind == "day"
    return TextField(
        fact.key,
        words,
        partial(as_day, question, fact, today) if of_day else partial(as_typed, question, fact),
        hint=fact.tip or ("t, +7, 3 Apr or 2026-04-03" if of_day else ""),
        echo=said_day if of_day else None,
        needed=NEEDED[fact.kind] if fact.needed else "",
        letters=LETTERS[fact.kind],
    )


def as_typed(question: RuleQuestion, fact: Fact, text: str) -> str:
    """What was typed, where the fact can be read from it. Raises Refused."""
    try:
        read_facts(question._replace(facts=(fact,)), {fact.key: text})
    except Refused as refused:
        fault = refused.said.removeprefix(f"{fact.label} ({fact.key}): ")  # it stands beside the field
        raise Refused(fault[:1].upper() + fault[1:]) from None
    return text


def as_day(question: RuleQuestion, fact: Fact, today: Today, text: str) -> date:
    """The day typed in any of the ways of the window, where the question takes it. Raises Refused."""
    day = read_day(text, today())
    as_typed(question, fact, day.isoformat())
    return day


class FactsForm(Form):
    """A form that scrolls to what is wrong in it."""

    def tell(self, said: str) -> None:
        """Say it above the button, and bring it or the first field at fault into sight."""
        super().tell(said)
        wrong = [field.editor for field in self.fields.values() if field.at_fault]
        QTimer.singleShot(0, self, partial(bring_into_sight, (*wrong, self.summary)[0]))


class AnswerSheet(QFrame):
    """The answer in one sentence, what it rests on, and the ways to its working."""

    def __init__(self, why: Callable[[], object], copy: Callable[[], object]) -> None:
        super().__init__()
        self.setProperty("sheet", True)
        self.setAccessibleName("Answer")
        self.said = label("", number=True)
        self.rests = label("", faint=True)
        for text in (self.said, self.rests):
            text.setWordWrap(True)
            text.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
            text.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        self.why_button = button("Why?", why, tip="Show how it was reached (F4)")
        self.copy_button = button("Copy", copy, tip="Copy the answer with its working as text (Ctrl+Shift+C)")
        self.copied = label("", faint=True)
        self._row = QWidget()
        self._row.setAccessibleName("What can be done with the answer")
        row = FlowRow()
        self._row.setLayout(row)
        for part in (self.why_button, self.copy_button, self.copied):
            row.addWidget(part)
        column = QVBoxLayout(self)
        column.setContentsMargins(16, 10, 16, 12)
        for each in (self.said, self.rests, self._row):
            column.addWidget(each)

    @property
    def buttons(self) -> tuple[QPushButton, ...]:
        """What can be done with the answer."""
        return self.why_button, self.copy_button

    def show_answer(self, working: Working, citation: str) -> None:
        """Show it, and have it read out."""
        show_in_place(self.said, on=True)
        self.said.setText(working.result)
        cited = dict.fromkeys(rule.citation for rule in working.rules) or [citation]
        self._rest(f"Rests on {'; '.join(cited)}", on=True)
        self.setAccessibleDescription(working.result)
        QAccessible.updateAccessibility(QAccessibleAnnouncementEvent(self, working.result))

    def show_none(self, why: str) -> None:
        """Take the answer away and say what to do."""
        self.said.hide()
        self.said.setText("")
        self._rest(why, on=False)
        self.setAccessibleDescription(why)

    def _rest(self, words: str, *, on: bool) -> None:
        self.rests.setText(words)
        self.copied.setText("")
        show_in_place(self._row, on=on)


class QuestionSheet(QWidget):
    """The facts of one question and its answer. What is typed stays there as long as the page does."""

    turned = Signal()
    """An answer came, or was taken away."""

    def __init__(self, question: RuleQuestion, today: Today, why: Callable[[], object]) -> None:
        super().__init__()
        self.setObjectName("scrolled")
        self.setAccessibleName(question.title)
        self.question = question
        self.working: Working | None = None
        """How the answer was reached; None as long as there is none to the facts as they stand."""
        self.form = FactsForm(
            question.title, "Answer", self._answer, says=f"{question.about}, {question.citation}"
        )
        self.form.title.setWordWrap(True)
        self._fill(today)
        self.answer = AnswerSheet(why, self.copy)
        self.answer.show_none(NOT_ANSWERED)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        for part in (self.form, self.answer):
            column.addWidget(part)
        column.addStretch(1)

    def _fill(self, today: Today) -> None:
        """Put what is needed first; what may stay empty comes under words that say so."""
        facts = sorted(self.question.facts, key=lambda fact: not fact.needed)
        for before, fact in zip((None, *facts), facts, strict=False):
            if not fact.needed and (before is None or before.needed):
                self.form.section(OPTIONAL)
            field = self.form.add(field_of(fact, self.question, today))
            field.name.setWordWrap(True)
            changes = field.line.textChanged if isinstance(field, TextField) else field.edited
            changes.connect(self._fact_changed)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Let names of facts wrap where the room asks for it."""
        super().resizeEvent(event)
        most = round(event.size().width() * NAMES_SHARE)
        for field in self.form.fields.values():
            whole = field.name.fontMetrics().horizontalAdvance(field.words) + 2
            field.name.setMinimumWidth(min(whole, most))

    @property
    def reached(self) -> tuple[QWidget, ...]:
        """What Tab comes to, in the order of reading."""
        editors = [field.editor for field in self.form.fields.values()]
        return *editors, self.form.submit_button, *self.answer.buttons

    def come_into_sight(self) -> None:
        """Scroll to the facts, from their heading on."""
        for part in (self.form, self.form.title, self.reached[0]):
            bring_into_sight(part)

    def copy(self) -> None:
        """Put the answer with its whole working on the clipboard as text."""
        if self.working is not None:
            QGuiApplication.clipboard().setText("\n".join(as_lines(self.working)))
            self.answer.copied.setText("Copied as text.")

    def _answer(self, values: Values) -> None:
        typed = {key: _typed(value) for key, value in values.items() if value not in (None, "")}
        try:
            self._show(ask_rule(self.question.key, typed))
        except Refused as refused:
            self.form.failed(refused)

    def _show(self, working: Working | None) -> None:
        self.working = working
        if working is not None:
            self.answer.show_answer(working, self.question.citation)
            QTimer.singleShot(0, self.answer, partial(bring_into_sight, self.answer))
        else:
            self.answer.show_none(CHANGED)
        self.turned.emit()

    def _fact_changed(self) -> None:
        """An answer to other facts must not stand beside these."""
        self.form.summary.hide()
        if self.working is not None:
            self._show(None)


def bring_into_sight(part: QWidget) -> None:
    """Scroll whatever scrolls around that part so that it is seen."""
    around = part.parentWidget()
    while around is not None:
        if isinstance(around, QScrollArea):
            around.ensureWidgetVisible(part, 0, part.fontMetrics().height())
        around = around.parentWidget()


def _typed(value: Any) -> str:
    """A fact as the questions read it: a day as 2026-04-03, all else as it was typed."""
    return value.isoformat() if isinstance(value, date) else str(value)
