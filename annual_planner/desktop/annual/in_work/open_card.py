"""The open card: its state and time, large buttons, forms, measurements, photographs and what it says."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QAction, QDragEnterEvent, QDropEvent, QIcon, QPixmap
from PySide6.QtWidgets import QFrame, QListView, QListWidget, QListWidgetItem, QVBoxLayout

from annual_planner.desktop.annual.in_work.card_says import in_work_html
from annual_planner.desktop.annual.in_work.measures import Measures
from annual_planner.desktop.annual.signed_text import SignedText
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.flow import FlowRow
from annual_planner.desktop.form import Form
from annual_planner.desktop.widgets import ActionButton, label, lead
from annual_planner.store.doing_rows import PhotographLine
from annual_planner.trade.authority import NOBODY, Needed
from annual_planner.trade.card_states import IN_WORK, OPEN, WORKABLE
from annual_planner.trade.package_states import CLOSED

if TYPE_CHECKING:
    from annual_planner.desktop.annual.in_work.seen import InWorkSeen
    from annual_planner.planning.card_in_work import CardInWork


NEXT = {OPEN: "Start time", IN_WORK: "Done"}
"""The action that comes next in the usual course, by the state of the card."""


class Pictures(QListWidget):
    """Photographs as small pictures with their words; Enter or a double click opens one whole."""

    looked_at = Signal(int)

    def __init__(self) -> None:
        super().__init__()
        self.setToolTip("Enter or a double click shows it large")
        self.itemActivated.connect(lambda item: self.looked_at.emit(int(item.data(Qt.ItemDataRole.UserRole))))
        self.setAccessibleName("Photographs of the card")
        self.setViewMode(QListView.ViewMode.IconMode)
        self.setIconSize(QSize(120, 90))
        self.setFixedHeight(136)
        self.setMovement(QListView.Movement.Static)

    def take(self, lines: Sequence[PhotographLine]) -> None:
        """Show these."""
        self.clear()
        for line in lines:
            picture = QPixmap()
            picture.loadFromData(line.thumbnail)
            item = QListWidgetItem(QIcon(picture), line.caption or f"{line.width_px} × {line.height_px}")
            item.setData(Qt.ItemDataRole.UserRole, line.photograph_id)
            self.addItem(item)
        self.setVisible(bool(lines))

    @property
    def chosen(self) -> int | None:
        """Id of the chosen photograph."""
        item = self.currentItem()
        return None if item is None else int(item.data(Qt.ItemDataRole.UserRole))


class OpenCard(QFrame):
    """Nothing here saves by itself: buttons are the actions of the tab, and typing is handed up."""

    dropped = Signal(list)
    """Paths of files dropped onto the card."""

    def __init__(self, desk: Desk, actions: Sequence[QAction]) -> None:
        super().__init__()
        self.setProperty("sheet", True)
        self.setAccessibleName("Open card")
        self.setAcceptDrops(True)
        self._desk = desk
        self.card: CardInWork | None = None
        self.title = label("No card is open", section=True)
        self.title.setWordWrap(True)
        self.stands = label("", faint=True)
        self.stands.setWordWrap(True)
        self.warned = label("", section=True)
        self.warned.setWordWrap(True)
        self.said = label("")
        self.said.setWordWrap(True)
        self.said.hide()
        self.form: Form | None = None
        self.measures = Measures(desk.theme)
        self.pictures = Pictures()
        self.text = SignedText(desk, "What the card says and what is written on it")
        self.text.setMinimumHeight(120)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(14, 10, 10, 8)
        buttons = FlowRow()
        self._buttons = [ActionButton(action) for action in actions]
        for each in self._buttons:
            buttons.addWidget(each)
        self._column.addWidget(self.title)
        self._column.addWidget(self.stands)
        self._column.addWidget(self.warned)
        self._column.addLayout(buttons)
        self._column.addWidget(self.said)
        self._column.addWidget(self.measures)
        self._column.addWidget(self.pictures)
        self._column.addWidget(self.text, 100)
        self._column.addStretch(1)
        self.take(None)

    def take(self, seen: InWorkSeen | None) -> None:
        """Show the open card; None or no card: say what to do."""
        card = seen.card if seen is not None else None
        if card is None or self.card is None or card.card.card_id != self.card.card.card_id:
            self.close_form()
            self.say("")
        self.card = card
        if seen is None or card is None:
            self.title.setText("No card is open")
            self.stands.setText("Scan or type a card number, or choose a row.")
            self.warned.hide()
            self.measures.take((), False)
            self.pictures.take(())
            self.text.hide()
            return
        for each in self._buttons:
            lead(each, on=NEXT.get(card.card.state) == each.accessibleName())
        self.text.show()
        self.title.setText(f"{card.card.number}  {card.card.title}")
        self.stands.setText(_stands(card))
        self.warned.setText("▲ " + "; ".join(each.title for each in card.cautions) + ": read below first.")
        self.warned.setVisible(bool(card.cautions))
        may = self._desk.who.person.may_edit and card.card.state in WORKABLE
        self.measures.take(card.measures, may and card.package.state != CLOSED)
        self.pictures.take(card.photographs)
        signatures = seen.signatures
        self.text.show_text(lambda inks: in_work_html(card, signatures, inks))

    def say(self, said: str) -> None:
        """Say something calmly above the measurements."""
        self.said.setText(said)
        self.said.setVisible(bool(said))
        self.setAccessibleDescription(said)

    def open_form(self, form: Form) -> None:
        """Show a form under the buttons."""
        self.close_form()
        self.say("")
        self.form = form
        self._column.insertWidget(4, form)
        form.start()

    def close_form(self) -> None:
        """Put the form away."""
        form, self.form = self.form, None
        if form is not None:
            self._column.removeWidget(form)
            form.hide()
            form.deleteLater()

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Files may be dropped onto an open card."""
        if self.card is not None and event.mimeData().hasUrls():
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """Hand the files up."""
        paths = [url.toLocalFile() for url in event.mimeData().urls() if url.isLocalFile()]
        if paths:
            event.acceptProposedAction()
            self.dropped.emit(paths)


def _stands(card: CardInWork) -> str:
    on = ", ".join(each.name for each in card.people_on)
    why = f" ({card.card.state_why})" if card.card.state_why else ""
    parts = (
        f"{card.card.state}{why}",
        f"on it now: {on}" if on else "nobody is on it",
        f"{card.hours_used:.2f} h of {card.hours_estimate:.1f} h likely",
        _least(card.needed.value),
    )
    return "  ·  ".join(part for part in parts if part)


def _least(needed: Needed) -> str:
    """Who may do it at least, and who signs."""
    signed = "nothing to sign" if needed.signer == NOBODY else f"signed by {needed.signed_by}"
    return f"for {needed.done_by}, {signed}"
