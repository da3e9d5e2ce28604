"""Ask a rule: the questions in a list, and beside it the chosen one with its facts and its answer."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QVBoxLayout, QWidget

from annual_planner.desktop.ask_rule_sheet import QuestionSheet
from annual_planner.desktop.columns import Column
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.form import Scrolled
from annual_planner.desktop.icons import icon
from annual_planner.desktop.least_height import LeastHeight
from annual_planner.desktop.listing import Listing, Words
from annual_planner.desktop.source import HeldSource, Query
from annual_planner.desktop.split import Split
from annual_planner.desktop.widgets import label
from annual_planner.desktop.with_details import BESIDE_LINES
from annual_planner.trade.rule_questions import QUESTIONS, RuleQuestion
from annual_planner.trade.working import Working

COLUMNS: tuple[Column[RuleQuestion], ...] = (
    Column("title", "Question", lambda q: q.title, "title", 50),
    Column("about", "About", lambda q: q.about, "about", 22, aside=2),
    Column("citation", "Rests on", lambda q: q.citation, "citation", 22, aside=1),
)
ADVISES = "It advises, it approves nothing, and nothing here is recorded."


class AskRule(Split):
    """Nothing is asked of the fleet: all that a question needs to know is filled in here."""

    wants_working = Signal(object)
    answered = Signal()

    def __init__(self, desk: Desk) -> None:
        self.desk = desk
        self.source: HeldSource[RuleQuestion] = HeldSource(COLUMNS)
        self.source.rows = in_groups(QUESTIONS)
        words = Words("questions", "No questions", "The program has none.")
        self.listing = Listing(desk, "library questions", COLUMNS, self.source, words)
        self._sheets: dict[str, QuestionSheet] = {}
        self._holders: dict[str, Scrolled] = {}
        self._front = QWidget()
        self._front.setAccessibleName("The chosen question")
        right = self._right()
        super().__init__(desk.theme, "Questions and answers", self.listing, right, beside=BESIDE_LINES)
        LeastHeight(right)
        self.share(6, 5)
        self.doings = self._made_doings()
        self.listing.answered.connect(self.listing.choose_first)
        self.listing.pointed.connect(lambda _id: self._follow())
        self.listing.opened.connect(lambda _id: self.start())
        self.turned.connect(self._take_turn)
        desk.theme.changed.connect(self._draw)
        self.listing.ask()

    def _right(self) -> QWidget:
        made = QWidget()
        made.setAccessibleName("Question and answer")
        advises = label(ADVISES, faint=True)
        advises.setWordWrap(True)
        column = QVBoxLayout(made)
        column.setContentsMargins(0, 4, 0, 0)
        column.addWidget(self._front, 1)
        column.addWidget(advises)
        inside = QVBoxLayout(self._front)
        inside.setContentsMargins(0, 0, 0, 0)
        return made

    def _made_doings(self) -> tuple[QAction, ...]:
        self._answer = self._doing(
            "Ans&wer the question", self._submit, "Ctrl+Return", "Answer it (Enter in a field)"
        )
        self._why = self._doing(
            "Wh&y this answer?", self.show_why, "", "Show how the answer was reached (F4)"
        )
        self._copy = self._doing(
            "&Copy the answer", self._copy_answer, "Ctrl+Shift+C", "Copy the answer with its working as text"
        )
        self._draw()
        return self._answer, self._why, self._copy

    def _doing(self, text: str, done: Callable[[], object], key: str, tip: str) -> QAction:
        made = QAction(text, self)
        made.triggered.connect(lambda: done())
        made.setToolTip(f"{tip} ({key})" if key else tip)
        made.setStatusTip(tip)
        if key:
            made.setShortcut(QKeySequence(key))
            made.setShortcutContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        self.addAction(made)
        return made

    # -- what the page asks ----------------------------------------------------------------------------

    @property
    def question(self) -> RuleQuestion | None:
        """The one that is chosen; the search may leave none."""
        place = self.listing.current_id
        return self.source.rows[place] if place >= 0 else None

    @property
    def sheet(self) -> QuestionSheet | None:
        """The facts and the answer of the chosen question."""
        return self._sheets.get(self.question.key) if self.question is not None else None

    @property
    def working(self) -> Working | None:
        """The working of the answer in front."""
        return self.sheet.working if self.sheet is not None else None

    def point_to(self, key: str) -> None:
        """Show that question, ready to be filled in."""
        keys = [question.key for question in self.source.rows]
        if key in keys:
            if self.listing.table.query.narrows:
                self.listing.show_query(Query())
            self.listing.point_to(keys.index(key))
            self.start()

    def focus_here(self) -> None:
        """Let the keys act where they did last: in a field, else in the list."""
        held = self.focusWidget()
        here = held if held is not None and held is not self and held.isVisible() else self.listing.view
        here.setFocus(Qt.FocusReason.OtherFocusReason)

    def start(self) -> None:
        """Put the cursor in the first field of the question in front."""
        if self.sheet is not None:
            self.sheet.form.start()
            QTimer.singleShot(0, self.sheet, self.sheet.come_into_sight)

    def show_why(self) -> None:
        """Have the working of the answer shown."""
        if self.working is not None:
            self.wants_working.emit(self.working)

    # -- inside ----------------------------------------------------------------------------------------

    def _follow(self) -> None:
        """Show the chosen question, as it was left."""
        question = self.question
        if question is not None and question.key not in self._sheets:
            self._make(question)
        for key, holder in self._holders.items():
            holder.setVisible(question is not None and key == question.key)
        self._allow()

    def _make(self, question: RuleQuestion) -> None:
        sheet = self._sheets[question.key] = QuestionSheet(question, lambda: self.desk.today, self.show_why)
        sheet.turned.connect(self._turned)
        holder = self._holders[question.key] = Scrolled(sheet)
        inside = self._front.layout()
        assert inside is not None, "laid out when it was made"
        inside.addWidget(holder)
        self._take_turn()
        before: QWidget = self.listing.view
        for part in sheet.reached:  # what is made late would come last of all
            QWidget.setTabOrder(before, part)
            before = part

    def _turned(self) -> None:
        self._allow()
        if self.working is not None:
            self.answered.emit()

    def _take_turn(self) -> None:
        """Below the list a question is shown whole, and what is around both scrolls."""
        below = self.orientation() is Qt.Orientation.Vertical
        for holder in self._holders.values():
            holder.keep_whole(below)

    def _allow(self) -> None:
        answered = self.working is not None
        self._answer.setEnabled(self.sheet is not None)
        for action in (self._why, self._copy):
            action.setEnabled(answered)

    def _submit(self) -> None:
        if self.sheet is not None:
            self.sheet.form.submit()

    def _copy_answer(self) -> None:
        if self.sheet is not None:
            self.sheet.copy()

    def _draw(self) -> None:
        inks = self.desk.theme.colours
        for action, drawing in ((self._answer, "forward"), (self._why, "why"), (self._copy, "copy")):
            action.setIcon(icon(drawing, inks.ink, inks.faint))


def in_groups(questions: tuple[RuleQuestion, ...]) -> list[RuleQuestion]:
    """The questions with those about the same thing together, groups in the order in which they come."""
    groups = list(dict.fromkeys(question.about for question in questions))
    return sorted(questions, key=lambda question: groups.index(question.about))
