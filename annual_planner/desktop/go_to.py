"""One box for everything: airplanes, places and actions, found by any part of their words."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject, Qt, QTimer
from PySide6.QtGui import QAction, QIcon, QKeyEvent, QKeySequence
from PySide6.QtWidgets import QDialog, QLineEdit, QListWidget, QListWidgetItem, QVBoxLayout, QWidget

from annual_planner.desktop.desk import Desk
from annual_planner.desktop.icons import icon

if TYPE_CHECKING:
    from annual_planner.store.rows import FleetLine
    from annual_planner.store.session import Work

MOST_AIRPLANES = 12


@dataclass(frozen=True, slots=True)
class Goal:
    """One thing that can be gone to."""

    words: str
    hint: str
    go: Callable[[], object]
    drawing: QIcon


def score(typed: str, words: str) -> int:
    """How well words answer what was typed; 0: not at all. Starts of words count most.

    >>> score("add", "Add airplane") > score("add", "Spread it, dad") > 0
    True
    >>> score("xyz", "Add airplane")
    0
    """
    total, text = 1, words.casefold()
    for part in typed.casefold().split():
        if text.startswith(part):
            total += 8
        elif f" {part}" in text:
            total += 5
        elif part in text:
            total += 3
        elif _in_order(part, text):
            total += 1
        else:
            return 0
    return total


def _in_order(letters: str, text: str) -> bool:
    rest = iter(text)
    return all(letter in rest for letter in letters)


def action_goal(action: QAction, drawing: QIcon) -> Goal:
    """An action as something to go to; its key stands beside it."""
    keys = action.shortcut().toString(QKeySequence.SequenceFormat.NativeText)
    return Goal(action.text().replace("&", "").rstrip("…"), keys, action.trigger, drawing)


def question_goals(go: Callable[[str, object], object], drawing: QIcon) -> list[Goal]:
    """The questions that can be put to a rule, each with what it is about."""
    from annual_planner.trade.rule_questions import QUESTIONS

    return [
        Goal(each.title, each.about, partial(go, "library", f"ask:{each.key}"), drawing) for each in QUESTIONS
    ]


class GoTo(QDialog):
    """Type, arrow down if need be, Enter."""

    def __init__(
        self, desk: Desk, goals: Sequence[Goal], open_aircraft: Callable[[int], object], parent: QWidget
    ):
        super().__init__(parent, Qt.WindowType.Popup)
        self.setAccessibleName("Go to anything")
        self._desk = desk
        self._goals = tuple(goals)
        self._open = open_aircraft
        self._airplanes: list[Goal] = []
        self._shown: list[Goal] = []
        self.box = QLineEdit()
        self.box.setPlaceholderText("Registration, place or action")
        self.box.setAccessibleName("Go to")
        self.box.installEventFilter(self)
        self.list = QListWidget()
        self.list.setAccessibleName("What was found")
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        column = QVBoxLayout(self)
        column.addWidget(self.box)
        column.addWidget(self.list)
        line = self.fontMetrics().height()
        self.resize(line * 34, line * 22)
        self._pause = QTimer(self, singleShot=True, interval=120)
        self._pause.timeout.connect(self._ask)
        self.box.textChanged.connect(self._typed)
        self.box.returnPressed.connect(self._go)
        self.list.itemClicked.connect(self._go)
        self._typed("")

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Arrow keys in the box walk the list."""
        if watched is self.box and isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            step = {Qt.Key.Key_Down: 1, Qt.Key.Key_Up: -1}.get(Qt.Key(event.key()), 0)
            if step and self._shown:
                self.list.setCurrentRow((self.list.currentRow() + step) % len(self._shown))
                return True
        return super().eventFilter(watched, event)

    def _typed(self, _text: str) -> None:
        self._pause.start()
        self._fill()

    def _ask(self) -> None:
        from annual_planner.store import fleet_reads

        typed, owner_id = self.box.text().strip(), self._desk.who.person.sees_owner_id

        def find(work: Work) -> list[FleetLine]:
            ids = fleet_reads.fleet_ids(work, search=typed, owner_id=owner_id)
            return list(fleet_reads.fleet_lines(work, ids[:MOST_AIRPLANES]))

        self._desk.jobs.read(find, self, self._take)

    def _take(self, lines: Sequence[FleetLine]) -> None:
        drawing = icon("aircraft", self._desk.theme.colours.ink)
        self._airplanes = [self._airplane(line, drawing) for line in lines]
        self._fill()

    def _airplane(self, line: FleetLine, drawing: QIcon) -> Goal:
        words = f"{line.registration}  {line.maker} {line.model}"
        return Goal(words, line.owner, lambda: self._open(line.aircraft_id), drawing)

    def _fill(self) -> None:
        typed = self.box.text().strip()
        ranked = [(score(typed, goal.words), goal) for goal in self._goals]
        found = [goal for points, goal in sorted(ranked, key=lambda pair: -pair[0]) if points]
        airplanes = [goal for goal in self._airplanes if score(typed, f"{goal.words} {goal.hint}")]
        self._shown = [*airplanes, *found] if typed else [*found[:6], *airplanes, *found[6:]]
        self.list.clear()
        for goal in self._shown:
            self.list.addItem(
                QListWidgetItem(goal.drawing, f"{goal.words}    {goal.hint}" if goal.hint else goal.words)
            )
        self.list.setCurrentRow(0 if self._shown else -1)

    def _go(self) -> None:
        place = self.list.currentRow()
        if 0 <= place < len(self._shown):
            self.accept()
            self._shown[place].go()
