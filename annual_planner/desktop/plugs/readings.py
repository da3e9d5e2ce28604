"""The readings of a test, one row for each cylinder, taken one after the other by keys."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QFrame, QGridLayout, QLabel, QLineEdit, QVBoxLayout

from annual_planner.desktop.fields import FAULT, Line
from annual_planner.desktop.plugs.as_marks import JUDGED
from annual_planner.desktop.plugs.check_entry import ENTER, SignBox
from annual_planner.desktop.plugs.rooms import empty
from annual_planner.desktop.theme import Theme
from annual_planner.desktop.typed import read_decimal
from annual_planner.desktop.widgets import label
from annual_planner.trade.compression import Conditions, JudgedCylinder, JudgingRule, judged_cylinder
from annual_planner.trade.recheck import LeakPath
from annual_planner.trade.refused import Refused
from annual_planner.trade.working import Worked

LETTERS = {"exhaust": "e", "intake": "i", "breather": "b", "outside": "o", "neighbor": "n"}


def letter_of(path: LeakPath) -> str:
    """The letter that is typed for a leak path."""
    return LETTERS.get(path.key, path.key[:1])


@dataclass(slots=True)
class Reading:
    """One row: its fields and what was said to them."""

    cylinder: int
    psi: QLineEdit
    heard: QLineEdit
    sign: SignBox
    said: QLabel
    judged: Worked[JudgedCylinder] | None = None


class Readings(QFrame):
    """Enter goes on: to where air is heard when a reading is low, else to the next cylinder."""

    read = Signal(int)
    """A reading was typed or changed: the cylinder."""
    passed = Signal(int)
    """The cursor came to a row, or Enter went on from it: the cylinder."""
    finished = Signal()
    """Enter was pressed on the last of them."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self.setProperty("sheet", True)
        self.setAccessibleName("Readings")
        self._theme = theme
        self.rows: dict[int, Reading] = {}
        self._paths: tuple[LeakPath, ...] = ()
        self._made, self._rule = Conditions(), JudgingRule("", "", "")
        self._again: Mapping[int, float] = {}
        self.hint = label("", faint=True)
        self.hint.setWordWrap(True)
        self.grid = QGridLayout()
        self.grid.setHorizontalSpacing(10)
        self.grid.setVerticalSpacing(4)
        self.grid.setColumnStretch(4, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(14, 8, 14, 10)
        column.addWidget(label("4  Readings", section=True))
        column.addWidget(self.hint)
        column.addLayout(self.grid)

    def take(self, cylinders: Sequence[int], paths: Sequence[LeakPath]) -> None:
        """Offer a row for each cylinder; what was typed stays while the engine is the same."""
        self._paths = tuple(paths)
        keys = ", ".join(f"{letter_of(path)} {path.path}" for path in paths)
        self.hint.setText(f"Air heard at: {keys}. Enter goes on.")
        if tuple(self.rows) == tuple(cylinders):
            return
        empty(self.grid)
        for place, words in enumerate(("Cylinder", "psi", "Air at")):
            self.grid.addWidget(label(words, faint=True), 0, place)
        self.rows = {number: self._row(place, number) for place, number in enumerate(cylinders, start=1)}

    def _row(self, place: int, number: int) -> Reading:
        row = Reading(number, Line(5), Line(5), SignBox(self._theme), label(""))
        row.psi.setAccessibleName(f"Cylinder {number}, reading in psi")
        row.heard.setAccessibleName(f"Cylinder {number}, where air is heard")
        row.psi.setObjectName(f"reading-{number}")
        row.heard.setObjectName(f"heard-{number}")
        row.said.setWordWrap(True)
        name = label(str(number), section=True)
        name.setAlignment(Qt.AlignmentFlag.AlignCenter)
        name.setBuddy(row.psi)
        for across, part in enumerate((name, row.psi, row.heard, row.sign, row.said)):
            self.grid.addWidget(part, place, across)
        for line in (row.psi, row.heard):
            line.installEventFilter(self)
            line.textEdited.connect(lambda _text, row=row: self._typed(row))
        return row

    def judge_by(self, made: Conditions, rule: JudgingRule, again: Mapping[int, float]) -> None:
        """Judge what is typed by a rule, for a test made so; `again`: what the recheck of a cylinder gave."""
        self._made, self._rule, self._again = made, rule, again
        for row in self.rows.values():
            if row.psi.text().strip():
                self._judge(row)

    def clear(self) -> None:
        """Empty every row, for the next test."""
        for row in self.rows.values():
            row.psi.clear()
            row.heard.clear()
            self._say(row, "", "")

    # -- reading -----------------------------------------------------------------------------------------

    def psi_of(self, row: Reading) -> float | None:
        """What was typed; None for nothing. Refused for no number."""
        return float(read_decimal(row.psi.text(), "psi")) if row.psi.text().strip() else None

    def heard_of(self, row: Reading) -> tuple[str, ...]:
        """Keys of the leak paths typed. Refused for an unknown letter."""
        known = {letter_of(path): path.key for path in self._paths}
        letters = [each for each in row.heard.text().casefold() if each.isalpha()]
        unknown = [each for each in letters if each not in known]
        if unknown:
            raise Refused(f"‘{unknown[0]}’ stands for no leak path.", self.hint.text())
        return tuple(dict.fromkeys(known[each] for each in letters))

    def _typed(self, row: Reading) -> None:
        self._judge(row)
        self.read.emit(row.cylinder)

    def _judge(self, row: Reading) -> None:
        row.judged = None
        try:
            psi, heard = self.psi_of(row), self.heard_of(row)
            if psi is not None:
                row.judged = judged_cylinder(row.cylinder, psi, self._made, self._rule)
        except Refused as refused:
            self._say(row, "", f"{FAULT}{refused.said}")
            return
        if row.judged is None:
            self._say(row, "", "")
            return
        stands = self._again.get(row.cylinder)
        judged = row.judged.value if stands is None else self._judged_again(row.cylinder, stands)
        word = JUDGED[judged.verdict]
        paths = [path.path for path in self._paths if path.key in heard]
        said = ", ".join([word, f"{judged.loss_fraction:.0%} lost", *paths])
        self._say(row, word, said if stands is None else f"then {stands:g} psi: {said}")

    def _judged_again(self, cylinder: int, psi: float) -> JudgedCylinder:
        return judged_cylinder(cylinder, psi, self._made, self._rule).value

    def _say(self, row: Reading, word: str, said: str) -> None:
        row.sign.word = word
        row.sign.update()
        row.said.setText(said)
        row.psi.setAccessibleDescription(said)

    # -- keys --------------------------------------------------------------------------------------------

    def start(self) -> None:
        """Put the cursor into the first row that is empty."""
        rows = tuple(self.rows.values())
        first = next((row for row in rows if not row.psi.text()), rows[0] if rows else None)
        if first is not None:
            self._go(first.psi)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Take Enter, and tell where the cursor is; leave everything else."""
        if event.type() == QEvent.Type.FocusIn:
            self.passed.emit(self._row_of(watched).cylinder)
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress and event.key() in ENTER:
            self._enter(watched)
            return True
        return super().eventFilter(watched, event)

    def _row_of(self, line: QObject) -> Reading:
        return next(row for row in self.rows.values() if line in (row.psi, row.heard))

    def _enter(self, line: QObject) -> None:
        rows, row = list(self.rows.values()), self._row_of(line)
        here = rows.index(row)
        self.passed.emit(row.cylinder)
        low = row.judged is not None and JUDGED[row.judged.value.verdict] != "within limits"
        if line is row.psi and low and not row.heard.text():
            self._go(row.heard)
        elif here + 1 < len(rows):
            self._go(rows[here + 1].psi)
        else:
            self.finished.emit()

    def _go(self, line: QLineEdit) -> None:
        line.setFocus(Qt.FocusReason.OtherFocusReason)
        line.selectAll()
