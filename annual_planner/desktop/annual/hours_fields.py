"""Three small fields for hours: at best, as a rule, at worst."""

from __future__ import annotations

from decimal import Decimal

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QWidget

from annual_planner.desktop.fields import TextField
from annual_planner.desktop.flow import FlowRow
from annual_planner.desktop.typed import read_decimal
from annual_planner.desktop.widgets import label
from annual_planner.trade.refused import Refused

NAMES = (("low", "at best"), ("likely", "as a rule"), ("high", "at worst"))
Hours = tuple[Decimal, Decimal, Decimal]


class HoursFields(QWidget):
    """`given` tells three hours that rise; what doesn't is said below."""

    given = Signal(object, object, object)

    def __init__(self) -> None:
        super().__init__()
        self.setAccessibleName("Hours")
        self.message = label("")
        self.message.setWordWrap(True)
        self.message.hide()
        self.fields = [TextField(key, f"Hours {words}", read_decimal, letters=4) for key, words in NAMES]
        self._shown: Hours | None = None
        self._stays = False
        row = FlowRow()
        self.setLayout(row)
        row.addWidget(label("Hours"))
        for field, (_key, words) in zip(self.fields, NAMES, strict=True):
            row.addWidget(_beside(field, words))
            field.left.connect(self._left)

    def put(self, hours: Hours) -> None:
        """Show these hours; a field somebody is typing in keeps what they type, unless the hours changed."""
        if hours == self._shown:
            return
        self._shown = hours
        for field, value in zip(self.fields, hours, strict=True):
            field.put(f"{value:.2f}".rstrip("0").rstrip("."))
            field.say("")
        self.message.setVisible(self._stays)

    def clear(self) -> None:
        """Forget what was said and typed: another card is shown."""
        self._shown, self._stays = None, False
        self.message.hide()

    def read(self) -> Hours:
        """The hours typed. Raises Refused unless they rise."""
        low, likely, high = (self._one(field) for field in self.fields)
        if not low <= likely <= high:
            raise Refused("Hours rise:", "at best, as a rule, at worst.")
        return low, likely, high

    def complain(self, said: str, *, stays: bool = False) -> None:
        """Say below the fields what is wrong; `stays` when other hours are shown meanwhile."""
        self._stays = stays
        self.message.setText(f"▲ {said}")
        self.setAccessibleDescription(said)
        self.message.show()

    def _one(self, field: TextField) -> Decimal:
        value = field.value()
        if not isinstance(value, Decimal):
            raise Refused(f"{field.words}:", "type a number such as 1.5.")
        return value

    def _left(self) -> None:
        try:
            hours = self.read()
        except Refused as refused:
            self.complain(f"{refused.said} {refused.remedy}")
            return
        self._stays = False
        self.message.hide()
        if hours != self._shown:
            self._shown = None
            self.given.emit(*hours)


def _beside(field: TextField, words: str) -> QWidget:
    """A field and its words, which stay together where the row wraps."""
    both = QWidget()
    both.setAccessibleName(field.words)
    row = QHBoxLayout(both)
    row.setContentsMargins(0, 0, 0, 0)
    row.addWidget(field.editor)
    row.addWidget(label(words, faint=True))
    return both
