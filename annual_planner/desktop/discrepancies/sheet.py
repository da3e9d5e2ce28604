"""One discrepancy beside the list: what, where, how it stands, photographs, its life, and the next step."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QFrame, QGridLayout, QHBoxLayout, QLabel, QVBoxLayout, QWidget

from annual_planner.desktop.columns import day_text, hours_text
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.discrepancies.photographs import PhotographRow
from annual_planner.desktop.discrepancies.seen import Seen
from annual_planner.desktop.discrepancies.words import (
    age_text,
    airworthy_word,
    amount_text,
    decided_text,
    waits_text,
    zone_text,
)
from annual_planner.desktop.flow import FlowRow
from annual_planner.desktop.form import Scrolled
from annual_planner.desktop.listing import sign_icon
from annual_planner.desktop.plugs.rooms import empty
from annual_planner.desktop.widgets import ActionButton, button, label, lead, line, show_in_place
from annual_planner.store.doing_rows import PartLine
from annual_planner.store.review_rows import ReviewLine, StepLine
from annual_planner.trade import discrepancy_life as life

Facts = list[tuple[str, str]]


NEXT = {
    life.FOUND: "&Judge…",
    life.JUDGED: "De&cide…",
    life.DECIDED: "&Begin…",
    life.IN_WORK: "C&orrected…",
    life.CORRECTED: "Sign with a k&ey…",
}
"""The step that comes next in the usual course of a life, by the state it is in."""


class StepButton(ActionButton):
    """A button for a step in a life; it is there only while the step may follow."""

    def lead(self, state: str) -> None:
        """Stand out where its step comes next after that state."""
        lead(self, on=NEXT.get(state) == self._action.text())

    def follow_sight(self) -> None:
        """Be there while the step may follow."""
        show_in_place(self, on=self._action.isVisible() and self._action.isEnabled())


def flowing(text: str, **marks: bool) -> QLabel:
    """Text over as many lines as it needs, that can be selected."""
    made = label(text, **marks)
    made.setWordWrap(True)
    made.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
    return made


class DiscrepancyPanel(QFrame):
    """Everything about the chosen discrepancy, to be scrolled."""

    wants_why = Signal()
    wants_before = Signal()
    wants_placard = Signal()
    opens_photograph = Signal(int)

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self._seen: Seen | None = None
        self.setProperty("sheet", True)
        self.setAccessibleName("Chosen discrepancy")
        self.what = flowing("", section=True)
        self.where = flowing("", faint=True)
        self._sign = QLabel()
        self._sign.setAccessibleName("Sign of airworthiness")
        self.stands = flowing("", section=True)
        self.before = button("", self.wants_before.emit, tip="Show how like ones were found", quiet=True)
        self._why = button("Why?", self.wants_why.emit, tip="Show how this was worked out (F4)", quiet=True)
        self.copy_placard = button("Copy the placard text", self.wants_placard.emit)
        self._steps_row = FlowRow()
        self._steps: list[StepButton] = []
        self._grid = QGridLayout()
        self._life = QVBoxLayout()
        self.photographs = PhotographRow(desk)
        self.photographs.opened.connect(self.opens_photograph)
        self._lay_out()
        self._later = QTimer(self, singleShot=True, interval=0)
        self._later.timeout.connect(self._draw)
        desk.theme.changed.connect(self._later.start)  # once the new size of text has reached the labels
        self.take(None)

    def _lay_out(self) -> None:
        inner = QWidget()
        inner.setObjectName("scrolled")
        inner.setAccessibleName("Facts, photographs and life")
        column = QVBoxLayout(inner)
        column.setContentsMargins(14, 12, 14, 12)
        column.addWidget(self.what)
        column.addWidget(self.where)
        row = QHBoxLayout()
        row.addWidget(self._sign)
        row.addWidget(self.stands, 1)
        row.addWidget(self._why)
        column.addLayout(row)
        column.addWidget(self.before, 0, Qt.AlignmentFlag.AlignLeft)
        column.addLayout(self._steps_row)
        column.addWidget(line())
        self._grid.setColumnStretch(1, 1)
        self._grid.setHorizontalSpacing(12)
        column.addLayout(self._grid)
        column.addWidget(self.copy_placard, 0, Qt.AlignmentFlag.AlignLeft)
        column.addWidget(self.photographs)
        self._life_title = label("Its life", section=True)
        column.addWidget(self._life_title)
        column.addLayout(self._life)
        column.addStretch(1)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(1, 1, 1, 1)
        self.scrolled = Scrolled(inner)
        whole.addWidget(self.scrolled)

    def offer(self, actions: Sequence[QAction]) -> None:
        """Give it the actions of the steps; the one that comes next leads."""
        for action in actions:
            self._steps.append(StepButton(action))
            self._steps_row.addWidget(self._steps[-1])

    def take(self, seen: Seen | None) -> None:
        """Show this one; None: say that none is chosen."""
        self._seen = seen
        self._draw()

    def _draw(self) -> None:
        seen, sizes = self._seen, self._desk.theme.sizes
        self.setMinimumWidth(sizes.of(17))
        empty(self._grid)
        empty(self._life)
        for part in (self._sign, self._why, self.before, self.photographs, self._life_title):
            part.setVisible(seen is not None)
        self.copy_placard.setVisible(seen is not None and bool(seen.sheet.line.placard))
        if seen is None:
            self.what.setText("No discrepancy chosen")
            self.where.setText("Choose one in the list, or raise a new one.")
            self.stands.setText("")
            return
        shown = seen.sheet.line
        waits = shown.state == life.DECIDED and shown.disposition != life.CORRECT_NOW
        for button_of in self._steps:
            button_of.lead("" if waits else shown.state)
        self.what.setText(shown.text)
        self.where.setText(f"{shown.registration}  ·  {zone_text(shown)}")
        word = airworthy_word(shown)
        side = sizes.of(0.9)
        self._sign.setPixmap(sign_icon(word, side, self._desk).pixmap(side))
        self.stands.setText(f"{word}, {shown.risk}" if shown.risk else word)
        self.before.setText(f"{seen.before.value.says}. Why?")
        self.before.setAccessibleName(self.before.text())
        for place, (name, value) in enumerate(facts_of(seen, self._desk.today)):
            self._grid.addWidget(label(name, faint=True), place, 0, Qt.AlignmentFlag.AlignTop)
            self._grid.addWidget(flowing(value), place, 1)
        for step in reversed(seen.sheet.steps):
            self._life.addWidget(flowing(step_text(step)))
        self.photographs.take(seen.sheet.photographs)


def facts_of(seen: Seen, today: date) -> Facts:
    """Name and value of each fact; what isn't known yet says so."""
    shown = seen.sheet.line
    judged = next((step for step in reversed(seen.sheet.steps) if step.step == "judged"), None)
    facts: Facts = [
        ("Found", f"{day_text(shown.found_on)} ({age_text(shown.age_days(today))})"),
        ("How", shown.how_found or "not said"),
        ("Part of", seen.assembly or "not said"),
        ("Judged by", f"{judged.name or 'not named'}, {day_text(judged.on)}" if judged else "not judged yet"),
        ("State", shown.state + (f", closed {day_text(shown.closed_on)}" if shown.closed_on else "")),
        ("Decided", decided_text(shown) or "nothing yet"),
        ("Waits for", waits_text(shown, today) or "nobody"),
        ("Work", _estimated(hours_text(shown.hours_estimate), " h")),
        ("Cost", _estimated(amount_text(shown.cost_estimate))),
        ("Parts", shown.parts),
        ("Parts used", ", ".join(_part(part) for part in seen.sheet.parts)),
        ("Package", _package(shown)),
        ("Placard", shown.placard),
        ("Owner", shown.owner or "not named"),
        ("Answer", answer_text(seen)),
    ]  # fmt: skip
    return [(name, value) for name, value in facts if value]


def _estimated(text: str, unit: str = "") -> str:
    return f"{text}{unit}, estimated" if text else ""


def _part(part: PartLine) -> str:
    return " ".join(each for each in (f"{part.quantity:g}", part.unit, part.name) if each)


def _package(shown: ReviewLine) -> str:
    return shown.package + (f", promised {day_text(shown.promised_on)}" if shown.promised_on else "")


def answer_text(seen: Seen) -> str:
    """What the owner answered, when and how."""
    shown = seen.sheet.line
    if not shown.owner_answer:
        return "none yet" if shown.waits_for == "owner" else ""
    return f"{shown.owner_answer} ({shown.owner_answered_how}, {day_text(shown.owner_answered_on)})"


def step_text(step: StepLine) -> str:
    """One step: its day, what it was, by whom, and what was said."""
    told = [str(step.facts[key]) for key in ("disposition", "risk", "for", "limits") if step.facts.get(key)]
    airworthy = step.facts.get("airworthy")
    if isinstance(airworthy, bool):
        told.insert(0, "airworthy" if airworthy else "not airworthy")
    until = step.facts.get("until")
    told += [f"until {day_text(date.fromisoformat(str(until)))}"] if until else []
    head = f"{day_text(step.on)}  {step.step}" + (f": {', '.join(told)}" if told else "")
    tail = f" ({step.name})" if step.name else ""
    return head + tail + (f"\n      {step.said}" if step.said else "")
