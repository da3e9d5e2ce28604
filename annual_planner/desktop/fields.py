"""Fields of a form: what is typed, read as a value, with its message beside it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Any, cast

from PySide6.QtCore import QObject, QSize, Qt, Signal
from PySide6.QtGui import QWheelEvent
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QCompleter,
    QLineEdit,
    QSizePolicy,
    QWidget,
)

from annual_planner.desktop.tick_grid import TickGrid
from annual_planner.desktop.widgets import label, show_in_place
from annual_planner.trade.refused import Refused

Read = Callable[[str], Any]
FAULT = "▲ "


class Field(QObject):
    """One thing to fill in. `value()` reads it or raises Refused; `complain` says what is wrong beside it."""

    edited = Signal()
    """Something was typed or chosen."""
    left = Signal()
    """The field was left, or a choice was made: the moment to check and to save."""

    def __init__(self, key: str, words: str, editor: QWidget, hint: str = "") -> None:
        super().__init__(editor)
        self.key = key
        self.words = words
        self.editor = editor
        self.hint = hint
        self._hides_message = False
        self.name = label(words)
        self.message = label(hint, faint=True)
        self.message.setWordWrap(True)
        self.name.setBuddy(editor)
        editor.setAccessibleName(words)
        editor.setAccessibleDescription(hint)

    def value(self) -> Any:
        """What is filled in. Raises Refused."""
        raise NotImplementedError

    def put(self, value: object) -> None:
        """Show this value."""
        raise NotImplementedError

    def check(self) -> bool:
        """Say beside the field what is wrong, or what was understood; True when nothing is wrong."""
        try:
            said = self.understood(self.value())
        except Refused as refused:
            self.complain(f"{refused.said} {refused.remedy}".strip())
            return False
        self.say(said)
        return True

    def understood(self, _value: Any) -> str:
        """What to say back once a value was read."""
        return self.hint

    def complain(self, said: str) -> None:
        """Say what is wrong beside the field."""
        self._mark(True, FAULT + said)

    def say(self, said: str) -> None:
        """Say something quiet beside the field."""
        self._mark(False, said)

    @property
    def at_fault(self) -> bool:
        """True while something is said to be wrong."""
        return bool(self.editor.property("fault"))

    def quiet_when_empty(self, quiet: bool = True) -> None:
        """Give the message no room while there is nothing to say; or keep its room."""
        self._hides_message = quiet
        shown = not self.editor.isHidden() and (bool(self.message.text()) or not quiet)
        show_in_place(self.message, on=shown)

    def _mark(self, fault: bool, said: str) -> None:
        self.message.setText(said)
        if self._hides_message:
            show_in_place(self.message, on=bool(said))
        self.editor.setAccessibleDescription(said)
        if self.at_fault != fault:
            self.editor.setProperty("fault", fault)
            self.message.setProperty("faint", not fault)
            for part in (self.editor, self.message):
                part.style().unpolish(part)
                part.style().polish(part)

    def show_field(self, shown: bool) -> None:
        """Show or hide the whole row."""
        for part in (self.name, self.editor, self.message):
            part.setVisible(shown)


class Line(QLineEdit):
    """A line of text that wants room for so many letters, and can do with fewer."""

    def __init__(self, letters: int) -> None:
        super().__init__()
        self._letters = letters
        self.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)

    def sizeHint(self) -> QSize:
        """Room for the letters, in the size of the text in force."""
        wide = self.fontMetrics().averageCharWidth() * (self._letters + 4)
        return QSize(round(wide * 1.1), super().sizeHint().height())

    def minimumSizeHint(self) -> QSize:
        """Room for some letters at least."""
        wide = self.fontMetrics().averageCharWidth() * min(self._letters + 4, 14)
        return QSize(wide, super().minimumSizeHint().height())


class TextField(Field):
    """A line of text, read by a function that raises Refused; `echo` says back what was understood."""

    def __init__(
        self,
        key: str,
        words: str,
        read: Read | None = None,
        *,
        hint: str = "",
        echo: Callable[[Any], str] | None = None,
        needed: str = "",
        letters: int = 24,
    ) -> None:
        self.line = Line(letters)
        super().__init__(key, words, self.line, hint)
        self._read = read
        self._echo = echo
        self._needed = needed
        self.line.textEdited.connect(self._typed)
        self.line.editingFinished.connect(self._finished)

    def allow_empty(self) -> None:
        """Let the field stay empty."""
        self._needed = ""
        self.check()

    def value(self) -> Any:
        """What was typed, read; None for an empty field that may stay empty and is not plain text."""
        text = self.line.text().strip()
        if not text:
            if self._needed:
                raise Refused(self._needed)
            return "" if self._read is None else None
        return text if self._read is None else self._read(text)

    def put(self, value: object) -> None:
        """Show this value, and what is understood by it."""
        self.line.setText("" if value is None else str(value))
        self.line.setCursorPosition(0)
        if self._echo is not None:
            self._echo_quietly()

    def understood(self, value: Any) -> str:
        """What is said back: for a date its weekday, else the hint."""
        return self._echo(value) if self._echo is not None and value not in (None, "") else self.hint

    def _typed(self) -> None:
        if self.at_fault or self._echo is not None:
            self._echo_quietly()
        self.edited.emit()

    def _echo_quietly(self) -> None:
        """While typing: say what is understood; complain only when the field is left."""
        try:
            self.say(self.understood(self.value()))
        except Refused:
            if not self.at_fault:
                self.say(self.hint)

    def _finished(self) -> None:
        if self.line.text().strip() or self.at_fault:
            self.check()
        self.left.emit()


class Choice(QComboBox):
    """A choice that the wheel doesn't change by accident."""

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Let the page scroll."""
        event.ignore()


class ChoiceField(Field):
    """One of several, each a value and its words."""

    box_kind: type[Choice] = Choice

    def __init__(
        self, key: str, words: str, choices: Iterable[tuple[object, str]] = (), *, hint: str = ""
    ) -> None:
        self.box = self.box_kind()
        super().__init__(key, words, self.box, hint)
        self.box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.box.setMinimumContentsLength(18)
        self.offer(choices)
        self.box.currentIndexChanged.connect(self.edited)
        self.box.activated.connect(self.left)

    def offer(self, choices: Iterable[tuple[object, str]]) -> None:
        """Offer other choices; the one that was made is kept where it is still offered."""
        kept = self.box.currentData()
        self.box.blockSignals(True)
        self.box.clear()
        for value, words in choices:
            self.box.addItem(words, value)
        self.box.blockSignals(False)
        self.put(kept)

    def value(self) -> Any:
        """The value chosen."""
        return self.box.currentData()

    def put(self, value: object) -> None:
        """Choose this value; the first one where it isn't offered."""
        places = [place for place in range(self.box.count()) if self.box.itemData(place) == value]
        self.box.blockSignals(True)
        self.box.setCurrentIndex(places[0] if places else 0)
        self.box.blockSignals(False)


class SearchField(ChoiceField):
    """One of many: a part of its words finds it. What fits none, or more than one, is told beside it."""

    def __init__(self, key: str, words: str, *, hint: str = "") -> None:
        super().__init__(key, words, hint=hint)
        self.box.setEditable(True)
        self.box.setInsertPolicy(QComboBox.InsertPolicy.NoInsert)
        self.box.setMinimumContentsLength(28)
        finder = QCompleter(self.box.model(), self.box)
        finder.setFilterMode(Qt.MatchFlag.MatchContains)
        finder.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
        self.box.setCompleter(finder)
        self.line.setAccessibleName(words)
        self.line.editingFinished.connect(self._finished)

    @property
    def line(self) -> QLineEdit:
        """Where it is typed."""
        return cast("QLineEdit", self.box.lineEdit())

    def value(self) -> Any:
        """The value whose words are typed. Raises Refused where they aren't those of one."""
        typed = self.box.currentText().strip()
        if not typed:
            raise Refused("Nothing is chosen.", "Choose one in the list.")
        offered = [self.box.itemText(place).casefold() for place in range(self.box.count())]
        exact = [place for place, text in enumerate(offered) if text == typed.casefold()]
        found = exact or [place for place, text in enumerate(offered) if typed.casefold() in text]
        if len(found) != 1:
            how_many = (
                f"‘{typed}’ fits {len(found)} of the list." if found else f"‘{typed}’ isn't in the list."
            )
            raise Refused(how_many, "Type more of it, or choose it." if found else "Choose one in it.")
        return self.box.itemData(found[0])

    def put(self, value: object) -> None:
        """Choose this value; the first one where it isn't offered."""
        super().put(value)
        if not self.box.isEditable():
            return  # offered before it can be typed into
        self.box.setEditText(self.box.itemText(self.box.currentIndex()))
        self.line.setCursorPosition(0)

    def _finished(self) -> None:
        if self.check():
            self.put(self.value())
            self.left.emit()


class TickField(Field):
    """Yes or no."""

    def __init__(self, key: str, words: str, *, hint: str = "") -> None:
        self.box = QCheckBox(words)
        super().__init__(key, words, self.box, hint)
        self.name.setText("")
        self.box.toggled.connect(self.edited)
        self.box.clicked.connect(self.left)

    def value(self) -> bool:
        """True when ticked."""
        return self.box.isChecked()

    def put(self, value: object) -> None:
        """Tick it or not."""
        self.box.setChecked(bool(value))


Group = tuple[str, Sequence[tuple[str, str]]]


class TicksField(Field):
    """Any of many, under group headings: groups of (key, words)."""

    def __init__(
        self, key: str, words: str, groups: Sequence[Group], *, hint: str = "", columns: int = 2
    ) -> None:
        self._grid = TickGrid(columns)
        super().__init__(key, words, self._grid, hint)
        self.boxes: dict[str, QCheckBox] = {}
        for title, offered in groups:
            self._grid.add_group(title, [self._box(key, words) for key, words in offered])

    def _box(self, key: str, words: str) -> QCheckBox:
        made = self.boxes[key] = QCheckBox(words)
        made.setAccessibleName(words)
        made.toggled.connect(self.edited)
        made.clicked.connect(self.left)
        return made

    def value(self) -> tuple[str, ...]:
        """Keys of what is ticked, in the order offered."""
        return tuple(key for key, box in self.boxes.items() if box.isChecked())

    def put(self, value: object) -> None:
        """Tick these keys."""
        keys = set(value) if isinstance(value, list | tuple | set | frozenset) else set()
        for key, box in self.boxes.items():
            box.setChecked(key in keys)
