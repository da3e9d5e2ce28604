"""The check of a plug by keyboard alone: gap, looks, wear, decision, next."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLineEdit, QVBoxLayout, QWidget

from annual_planner.desktop.fields import FAULT, Line
from annual_planner.desktop.flow import FlowRow
from annual_planner.desktop.plugs.check_typed import (
    CheckTyped,
    damage_key,
    looks_key,
    read_decision,
    read_inches,
    seen_of,
)
from annual_planner.desktop.signs import draw_sign
from annual_planner.desktop.theme import Theme
from annual_planner.desktop.widgets import button, label
from annual_planner.library.conditions import load_conditions
from annual_planner.trade.gaps import GapAction
from annual_planner.trade.plug_check import Decision, decided, overruled
from annual_planner.trade.plugs import Condition, ConditionSays, PlugType, Verdict
from annual_planner.trade.refused import Refused
from annual_planner.trade.working import Worked

FIELDS = (
    ("gap", "Gap", 8, "Thousandths of an inch, each ground electrode: 17 or 17 18"),
    ("looks", "Looks", 6, looks_key()),
    (
        "wear",
        "Electrode",
        8,
        "Centre electrode in thousandths: 88, or short x long: 80x100. Empty: not measured",
    ),
    ("set_to", "Set to", 6, "The gap it was set to after this look, in thousandths. Empty: left as it is"),
    ("ohms", "Ohms", 6, "1200, 1.2k or open. Empty: not measured"),
    ("sparks", "Spark", 4, "y: sparks steadily on the pressure tester, n: doesn't. Empty: not tried"),
    ("damage", "Damage", 5, damage_key()),
    ("decide", "Decide", 4, "Another decision: c clean, s replace soon, r replace. Empty: as worked out"),
    ("because", "Because", 22, "Why it was decided otherwise"),
)
SEEN = ("gap", "looks", "wear", "ohms", "sparks", "damage")
"""Fields from which the decision is worked out."""
ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
WALK = ("gap", "looks", "wear")
"""Where Enter goes when nothing is wrong; after the last of them the look is saved."""


class SignBox(QWidget):
    """The sign of a decision, drawn."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self.word = ""
        self.setAccessibleName("Decision, drawn")
        theme.changed.connect(self._fit)
        self._fit()

    def _fit(self) -> None:
        side = self._theme.sizes.of(1.2)
        self.setFixedSize(side, side)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw it."""
        if self.word:
            painter = QPainter(self)
            draw_sign(painter, self.rect().toRectF().adjusted(2, 2, -2, -2), self.word, self._theme.colours)
            painter.end()


def _under_name(words: str, line: QLineEdit) -> QWidget:
    """A field below its name."""
    holder = QWidget()
    holder.setAccessibleName(words)
    column = QVBoxLayout(holder)
    column.setContentsMargins(0, 0, 4, 0)
    column.setSpacing(2)
    name = label(words, faint=True)
    name.setBuddy(line)
    column.addWidget(name)
    column.addWidget(line)
    return holder


class CheckEntry(QFrame):
    """One line for one plug. Enter goes on and saves at the end, Ctrl+Enter saves at once, Escape clears."""

    saved = Signal(object)
    """A CheckTyped that can be written down."""
    wants_why = Signal()

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self.setProperty("sheet", True)
        self.setAccessibleName("Check of a plug")
        self._plug_type: PlugType | None = None
        self.says: Mapping[Condition, ConditionSays] = {}
        """What each condition says, from the library; until it is there nothing is decided."""
        self.decision: Worked[Decision] | None = None
        self._odd = False
        """The plug looks other than normal, so it is said where to look for the cause."""
        self.lines: dict[str, QLineEdit] = {}
        self.title = label("", section=True)
        self.sign = SignBox(theme)
        self.said = label("")
        self.said.setWordWrap(True)
        self.hint = label("", faint=True)
        self.hint.setWordWrap(True)
        self._lay_out()

    def _lay_out(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(14, 8, 14, 10)
        column.setSpacing(6)
        column.addWidget(self.title)
        fields = FlowRow()
        for key, words, letters, tip in FIELDS:
            fields.addWidget(_under_name(words, self._line(key, words, letters, tip)))
        column.addLayout(fields)
        row = QHBoxLayout()
        row.addWidget(self.sign, 0, Qt.AlignmentFlag.AlignTop)
        row.addWidget(self.said, 1)
        row.addWidget(button("Why?", self.wants_why.emit, tip="How it was worked out (F4)", quiet=True))
        self.save = button("Save and next", self.submit, leading=True)
        row.addWidget(self.save)
        column.addLayout(row)
        column.addWidget(self.hint)

    def _line(self, key: str, words: str, letters: int, tip: str) -> QLineEdit:
        line = Line(letters)
        line.setObjectName(f"check-{key}")
        line.setAccessibleName(words)
        line.setAccessibleDescription(tip)
        line.setToolTip(tip)
        line.textEdited.connect(self.follow)
        line.installEventFilter(self)
        self.lines[key] = line
        return line

    # -- showing ---------------------------------------------------------------------------------------

    def take(self, title: str, plug_type: PlugType | None, texts: dict[str, str]) -> None:
        """Take up a plug, with what was found before or nothing."""
        self._plug_type = plug_type
        self.title.setText(title)
        for key, line in self.lines.items():
            line.setText(texts.get(key, "n" if key == "looks" else ""))
        if not any(line.hasFocus() for line in self.lines.values()):
            self.hint.setText(f"{FIELDS[0][1]}: {FIELDS[0][3]}")
        self.follow()

    def start(self) -> None:
        """Put the cursor into the gap, with what stands there chosen."""
        self._go("gap")

    def texts(self) -> dict[str, str]:
        """What stands in all fields."""
        return {key: line.text() for key, line in self.lines.items()}

    @property
    def untouched(self) -> bool:
        """Nothing was typed for the plug in front."""
        return all(not line.isModified() for line in self.lines.values())

    def text(self, key: str) -> str:
        """What stands in a field."""
        return self.lines[key].text()

    def typed(self) -> CheckTyped:
        """What was typed. Refused for the first thing that can't be taken."""
        seen = seen_of(*(self.text(key) for key in SEEN))
        set_to = read_inches(self.text("set_to")) if self.text("set_to").strip() else None
        decide, because = read_decision(self.text("decide")), self.text("because").strip()
        if self._plug_type is not None:
            found = decided(seen, self._plug_type, says=load_conditions())
            decide = None if decide is found.value.verdict else decide
            if decide is not None:
                overruled(found.value, decide, because)
        return CheckTyped(seen, set_to, decide, because if decide is not None else "")

    def follow(self) -> None:
        """Say at once what comes of what was typed so far."""
        self.decision, fault = None, ""
        self._odd = False
        try:
            seen = seen_of(*(self.text(key) for key in SEEN))
            self.decision = (
                decided(seen, self._plug_type, says=load_conditions())
                if self._plug_type is not None
                else None
            )
            self._odd = seen.conditions != (Condition.NORMAL,)
        except Refused as refused:
            fault = f"{FAULT}{refused.said}"
        self._show(fault)

    def _show(self, fault: str) -> None:
        found = self.decision.value if self.decision is not None else None
        self.sign.word = found.verdict.value if found is not None else ""
        self.sign.update()
        self.said.setText(fault or (said_of(found, self._odd) if found is not None else ""))
        self.setAccessibleDescription(self.said.text())
        because = self._overrules or bool(self.text("because"))
        self.lines["because"].setEnabled(because)

    @property
    def _overrules(self) -> bool:
        try:
            verdict = read_decision(self.text("decide"))
        except Refused:
            return False
        return verdict is not None and (self.decision is None or verdict is not self.decision.value.verdict)

    # -- keys --------------------------------------------------------------------------------------------

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Take Enter and Escape in the fields; tell what belongs into the one the cursor is in."""
        key = next((name for name, line in self.lines.items() if line is watched), "")
        if event.type() == QEvent.Type.FocusIn:
            self.hint.setText(f"{self.lines[key].accessibleName()}: {self.lines[key].toolTip()}")
        pressed = isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress
        if pressed and isinstance(event, QKeyEvent) and event.key() in ENTER:
            control = bool(event.modifiers() & Qt.KeyboardModifier.ControlModifier)
            self.submit() if control else self._enter(key)
            return True
        return super().eventFilter(watched, event)

    def _enter(self, key: str) -> None:
        """Go to where something is still to be said, else on, else save. A gap isn't passed over unseen."""
        if key == "gap" and not self.text("gap").strip():
            self.said.setText(f"{FAULT}Type the gap. Ctrl+Enter saves a look at which none was measured.")
            return
        following = self._following(key)
        if following is None:
            self.submit()
        else:
            self._go(following)

    def _following(self, key: str) -> str | None:
        if key in WALK[:-1]:
            return WALK[WALK.index(key) + 1]
        if key == "wear" and self._to_set and not self.text("set_to"):
            return "set_to"
        if key in ("wear", "set_to") and self._grave:
            return "decide"
        return "because" if key == "decide" and self._overrules else None

    @property
    def _to_set(self) -> bool:
        gap = self.decision.value.gap if self.decision is not None else None
        return gap is not None and gap.action is GapAction.CLOSE

    @property
    def _grave(self) -> bool:
        return self.decision is None or self.decision.value.verdict is not Verdict.CLEAN

    def _go(self, key: str) -> None:
        self.lines[key].setFocus(Qt.FocusReason.OtherFocusReason)
        self.lines[key].selectAll()

    def submit(self) -> None:
        """Hand over what was typed, or say what can't be taken."""
        try:
            typed = self.typed()
        except Refused as refused:
            self.complain(refused)
            return
        self.saved.emit(typed)

    def complain(self, error: Exception) -> None:
        """Say why it wasn't taken; what was typed stays."""
        said = f"{error.said} {error.remedy}" if isinstance(error, Refused) else "This could not be saved."
        self.said.setText(f"{FAULT}{said}".strip())
        self.setAccessibleDescription(self.said.text())


def said_of(found: Decision, odd: bool) -> str:
    """A decision with what led to it, in a sentence; of an odd plug, where to look for the cause."""
    reasons = [each.said for each in found.reasons if each.verdict is found.verdict]
    said = [f"{found.verdict.value}: {'; '.join(reasons)}"]
    close = found.gap is not None and found.gap.action is GapAction.CLOSE
    if close and found.verdict is not Verdict.REPLACE:
        said.append("close the gap, then try the wires again")
    said += [f"look next: {'; '.join(found.look_next)}"] if odd and found.look_next else []
    return ". ".join(each[:1].upper() + each[1:] for each in said) + "."
