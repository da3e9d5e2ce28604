"""May it be deferred? The questions one below the other, and the answer they lead to."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QGuiApplication, QKeyEvent
from PySide6.QtWidgets import QComboBox, QFrame, QHBoxLayout, QVBoxLayout

from annual_planner.desktop.discrepancies.sheet import flowing
from annual_planner.desktop.fields import Choice, ChoiceField
from annual_planner.desktop.flow import FlowRow
from annual_planner.desktop.least_height import LeastHeight
from annual_planner.desktop.plugs.rooms import empty
from annual_planner.desktop.widgets import button, label, line
from annual_planner.trade.deferral import Deferral, Equipment, deferral, questions
from annual_planner.trade.working import Worked

SAYS = (
    "What isn't known is answered with ‘I don't know’ and has to be asked. A rated pilot or mechanic decides,"
    " not this program."
)


class DeferralForm(QFrame):
    """A guided list of questions; nothing is decided before they end in 'may be deferred'."""

    wants_why = Signal()
    decides = Signal()

    def __init__(
        self,
        equipment: Sequence[Equipment],
        next_inspection_on: date | None,
        person: ChoiceField,
        leave: Callable[[], object],
    ) -> None:
        super().__init__()
        self.setProperty("sheet", True)
        self.setAccessibleName("May it be deferred?")
        self._equipment = equipment
        self._until = next_inspection_on
        self._leave = leave
        self.person = person
        self.answers: dict[str, str] = {}
        self.boxes: dict[str, Choice] = {}
        self._asked: tuple[tuple[str, str], ...] = ()
        self.summary = flowing("", section=True)
        self.follow_up = flowing("")
        self.trouble = flowing("")
        self.defer = button("Defer it", self.decides.emit, leading=True)
        self.copy = button("Copy the placard text", self._copy)
        self._questions = QVBoxLayout()
        self._lay_out()
        self._ask()

    def _lay_out(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(16, 10, 16, 12)
        column.addWidget(label("May it be deferred?", section=True))
        column.addWidget(flowing(SAYS, faint=True))
        column.addLayout(self._questions)
        column.addWidget(line())
        for part in (self.summary, self.follow_up, self.trouble):
            column.addWidget(part)
        who = QHBoxLayout()
        who.addWidget(self.person.name)
        who.addWidget(self.person.editor)
        who.addStretch(1)
        column.addLayout(who)
        row = FlowRow()
        row.addWidget(self.defer)
        row.addWidget(self.copy)
        row.addWidget(button("Why?", self.wants_why.emit, quiet=True))
        row.addWidget(button("Cancel", self._leave))
        column.addLayout(row)
        LeastHeight(self)

    @property
    def worked(self) -> Worked[Deferral]:
        """The answer so far, with its working."""
        return deferral(self.answers, self._equipment, self._until)

    def start(self) -> None:
        """Put the cursor on the first question."""
        next(iter(self.boxes.values())).setFocus(Qt.FocusReason.OtherFocusReason)

    def answer(self, key: str, value: str) -> None:
        """Answer a question, as a person would."""
        box = self.boxes[key]
        box.setCurrentIndex(box.findData(value))
        self._take(key)

    def failed(self, error: Exception) -> None:
        """Say why it was refused."""
        said, remedy = getattr(error, "said", ""), getattr(error, "remedy", "")
        self.trouble.setText(f"▲ {said or 'This could not be saved.'} {remedy}".strip())

    def _ask(self) -> None:
        """Build the questions again only where others are to be asked."""
        asked = questions(self.answers, self._equipment)
        keys = tuple((each.key, each.citation) for each in asked)
        if keys != self._asked:
            self._asked = keys
            empty(self._questions)
            self.boxes = {}
            for each in asked:
                self._questions.addWidget(flowing(each.text))
                self._questions.addWidget(
                    self._box(each.key, each.text, each.choices, f"{each.why} {each.citation}")
                )
                self._questions.addWidget(flowing(f"{each.why} ({each.citation})", faint=True))
        self._show()

    def _box(self, key: str, text: str, choices: Sequence[tuple[str, str]], tip: str) -> Choice:
        box = Choice()
        box.setAccessibleName(text)
        box.setAccessibleDescription(tip)
        box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        box.setMinimumContentsLength(20)
        box.addItem("not answered", "")
        for value, words in choices:
            box.addItem(words, value)
        box.setCurrentIndex(max(0, box.findData(self.answers.get(key, ""))))
        box.activated.connect(lambda _at: self._take(key))
        self.boxes[key] = box
        return box

    def _take(self, key: str) -> None:
        self.answers[key] = str(self.boxes[key].currentData())
        self._ask()
        box = self.boxes.get(key)
        if box is not None:
            box.setFocus(Qt.FocusReason.OtherFocusReason)

    def _show(self) -> None:
        found = self.worked.value
        says = found.says[0].upper() + found.says[1:]
        self.summary.setText(f"{says}. {found.limits}".strip())
        self.summary.setAccessibleDescription(self.summary.text())
        lines = [found.entry, found.follow_up]
        if found.may:
            lines.insert(0, f"Placard: {found.placard}. At its control: {found.control_placard}.")
        self.follow_up.setText("\n".join(each for each in lines if each))
        self.defer.setEnabled(found.may)
        self.copy.setEnabled(bool(found.placard))

    def _copy(self) -> None:
        QGuiApplication.clipboard().setText(self.worked.value.placard)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Escape leaves."""
        if event.key() == Qt.Key.Key_Escape:
            self._leave()
        else:
            super().keyPressEvent(event)
