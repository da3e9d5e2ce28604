"""One card beside the list: what can be changed on it above, what it says below."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QVBoxLayout, QWidget

from annual_planner.desktop.annual.card_text import card_html
from annual_planner.desktop.annual.hours_fields import HoursFields
from annual_planner.desktop.annual.seen import Shown
from annual_planner.desktop.annual.signed_text import SignedText
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.fields import ChoiceField, TickField
from annual_planner.desktop.widgets import button, label, line
from annual_planner.records.edits import Edit
from annual_planner.store.rows import CardLine, PersonLine
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.store.session import Work

Failed = Callable[[Exception], None]


class CardDetail(QFrame):
    """The chosen card. Every change is saved at once and can be taken back."""

    wants_why = Signal()

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self.setProperty("sheet", True)
        self.setAccessibleName("Chosen card")
        self._desk = desk
        self._card: CardLine | None = None
        self._last_id = 0
        self.title = label("No card is chosen", section=True)
        self.title.setWordWrap(True)
        self.included = TickField("included", "In this annual")
        self.person = ChoiceField("person", "Person")
        self.hours = HoursFields()
        self.text = SignedText(desk, "What the card says")
        self._why = button(
            "Why?", self.wants_why.emit, tip="Who may do and sign it, and by which rule (F4)", quiet=True
        )
        self._edits = QWidget()
        self._lay_out()
        self.included.left.connect(self._include)
        self.person.left.connect(self._assign)
        self.hours.given.connect(self._set_hours)
        self.show_card(None, None)

    def _lay_out(self) -> None:
        top = QHBoxLayout()
        top.addWidget(self.title, 1)
        top.addWidget(self._why)
        self._edits.setAccessibleName("Changes to the card")
        edits = QVBoxLayout(self._edits)
        edits.setContentsMargins(0, 0, 0, 0)
        edits.setSpacing(4)
        edits.addWidget(self.included.editor)
        row = QHBoxLayout()
        row.addWidget(self.person.name)
        row.addWidget(self.person.editor)
        row.addStretch(1)
        edits.addLayout(row)
        for message in (self.person.message, self.hours.message):
            message.setWordWrap(True)
        edits.addWidget(self.person.message)
        edits.addWidget(self.hours)
        edits.addWidget(self.hours.message)
        self.person.quiet_when_empty()
        column = QVBoxLayout(self)
        column.setContentsMargins(14, 10, 10, 8)
        column.addLayout(top)
        column.addWidget(self._edits)
        column.addWidget(line())
        column.addWidget(self.text, 1)
        self._desk.theme.changed.connect(self._least_height)
        self._least_height()

    def minimumSizeHint(self) -> QSize:
        """As high as its fields are where they wrap."""
        layout, hint = self.layout(), super().minimumSizeHint()
        return QSize(hint.width(), layout.totalMinimumHeightForWidth(self.width()) if layout else 0)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Narrower may mean higher."""
        super().resizeEvent(event)
        self.updateGeometry()

    def _least_height(self) -> None:
        self.text.setMinimumHeight(self._desk.theme.sizes.of(6))

    def show_card(self, card: CardLine | None, shown: Shown | None) -> None:
        """Show a card; None: say that none is chosen."""
        other = card is not None and card.card_id != self._last_id  # none is chosen while the list is filled
        before, self._card = self._card, card
        self._edits.setVisible(card is not None and self._desk.who.person.may_edit)
        self._why.setVisible(card is not None)
        if card is None or shown is None:
            self.title.setText("No card is chosen")
            self.text.show_text(lambda _inks: "<p>Choose a card in the list to see what it says.</p>")
            return
        self._last_id = card.card_id
        self.title.setText(f"{card.number}  {card.title}")
        self.included.put(card.included)
        if other:
            self.hours.clear()
        assigned = before is None or before.assigned_person_id != card.assigned_person_id
        if other or (assigned and not self.person.at_fault):
            self.person.say("")
        self._offer(shown.people, card)
        self.hours.put((card.hours_low, card.hours_likely, card.hours_high))
        if other or before != card:
            self.text.show_text(lambda inks: card_html(card, shown, inks))
        if card.assigned_person_id is not None and not self.person.at_fault:
            self._ask_warnings(card)

    def _offer(self, people: tuple[PersonLine, ...], card: CardLine) -> None:
        named: list[tuple[object, str]] = [(None, "nobody yet")]
        named += [
            (person.person_id, f"{person.name} ({person.holds or ', '.join(person.roles)})")
            for person in people
        ]
        self.person.offer(named)
        self.person.put(card.assigned_person_id)

    # -- edits -------------------------------------------------------------------------------------------

    def _include(self) -> None:
        from annual_planner.planning.edits import IncludeCard

        card = self._card
        if card is not None and self.included.value() != card.included:
            self._write(IncludeCard(card.card_id, card.included, self.included.value()), self._refused)

    def toggle(self) -> None:
        """Take the card in, or leave it out."""
        if self._card is not None and self._desk.who.person.may_edit:
            self.included.put(not self._card.included)
            self._include()

    def _assign(self) -> None:
        from annual_planner.planning.assigning import AssignCard

        card, wanted = self._card, self.person.value()
        if card is None or wanted == card.assigned_person_id:
            return

        def refused(error: Exception) -> None:
            self.person.put(card.assigned_person_id)
            self.person.complain(_said(error))

        self.person.say("")
        self._write(AssignCard(card.card_id, card.assigned_person_id, wanted), refused)

    def _set_hours(self, low: Decimal, likely: Decimal, high: Decimal) -> None:
        from annual_planner.planning.edits import SetCardHours

        card = self._card
        if card is None:
            return
        saw, wants = (card.hours_low, card.hours_likely, card.hours_high), (low, likely, high)
        if saw != wants:
            self._write(
                SetCardHours(card.card_id, saw, wants),
                lambda error: self.hours.complain(_said(error), stays=True),
            )

    def _ask_warnings(self, card: CardLine) -> None:
        from annual_planner.planning.assigning import check_assignment

        person_id = card.assigned_person_id
        if person_id is None:
            return

        def ask(work: Work) -> tuple[str, ...]:
            return check_assignment(work, card.card_id, person_id)

        self._desk.jobs.read(
            ask,
            self,
            lambda said: self.person.say(" ".join(said)),
            lambda error: self.person.complain(_said(error)),
            topic="warnings",
        )

    def _refused(self, error: Exception) -> None:
        if self._card is not None:
            self.included.put(self._card.included)
        self.person.complain(_said(error))

    def _write(self, edit: Edit, failed: Failed) -> None:
        self._desk.jobs.write(edit, self, None, failed)


def _said(error: Exception) -> str:
    if isinstance(error, Refused):
        return f"{error.said} {error.remedy}".strip()
    return "This could not be saved. Nothing was lost; try again."
