"""The tab In work: every card as far as it is, and the open one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QUrl, Signal
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QHBoxLayout, QLineEdit, QVBoxLayout, QWidget

from annual_planner.desktop.annual.held import HeldList
from annual_planner.desktop.annual.in_work.card_says import DISCREPANCY
from annual_planner.desktop.annual.in_work.columns import DOING
from annual_planner.desktop.annual.in_work.doings import CardDoings
from annual_planner.desktop.annual.in_work.open_card import OpenCard
from annual_planner.desktop.annual.in_work.seen import InWorkSeen, read_in_work, scanned_number
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.form import Scrolled
from annual_planner.desktop.least_rows import LeastRows
from annual_planner.desktop.listing import Words
from annual_planner.desktop.moment import moment_of, moment_text
from annual_planner.desktop.split import Split
from annual_planner.desktop.widgets import button, label
from annual_planner.store.doing_rows import DoingLine, StretchLine
from annual_planner.store.rows import PersonLine
from annual_planner.trade.card_states import STATES
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.desktop.annual.seen import Shown

LISTENS = frozenset({"work", "result", "card", "package", "photograph", "discrepancy", "signature", "person"})


class InWork(QWidget):
    """Scan or type a number, or choose a row: the card opens beside the list."""

    wants_working = Signal(object)
    wants_discrepancy = Signal(int)
    """A discrepancy of the open card is to be shown."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self.setAccessibleName("In work")
        self.desk = desk
        self._shown: Shown | None = None
        self.card_id: int | None = None
        self._stale = True
        self.scan = QLineEdit()
        self.scan.setAccessibleName("Card number or scanned code")
        self.scan.setPlaceholderText("Card number, or scan the code on the paper")
        self.scan.returnPressed.connect(self.open_scanned)
        self.said = label("")
        self.said.setWordWrap(True)
        self.said.hide()
        self._forgotten: tuple[StretchLine, ...] = ()
        self.close_time = button("Close that time…", self._close_time, tip="Say when that work ended")
        self.close_time.hide()
        self.floor = button("Floor size", self._turn_floor, tip="Large keys and a number pad for gloves")
        words = Words("cards", "There is nothing to do yet", "Take cards in on the tab ‘Cards’.")
        self.listing: HeldList[DoingLine] = HeldList(
            desk, "annual-in-work", DOING, words, states=STATES, state_of=lambda line: line.state
        )
        self.doings = CardDoings(self)
        self.open = OpenCard(desk, tuple(self.doings.by_name.values()))
        self._lay_out()
        self._connect()
        self.doings.follow()

    def _lay_out(self) -> None:
        top = QHBoxLayout()
        top.addWidget(self.scan, 1)
        top.addWidget(self.floor)
        split = Split(
            self.desk.theme,
            "Cards in work, and the open one",
            self.listing,
            Scrolled(self.open),
            beside=28,
            lowest=14,
        )
        split.share(13, 14)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 8, 0, 0)
        column.addLayout(top)
        told = QHBoxLayout()
        told.addWidget(self.said, 1)
        told.addWidget(self.close_time)
        column.addLayout(told)
        column.addWidget(split, 1)
        LeastRows(self.listing)

    def _connect(self) -> None:
        self.listing.pointed.connect(self._point)
        self.open.measures.given.connect(self.doings.result)
        self.open.dropped.connect(self.doings.photographs.take_files)
        self.open.pictures.looked_at.connect(self.doings.photographs.look_at)
        self.open.text.anchorClicked.connect(self._follow_link)
        self.desk.jobs.changed.connect(self._changed)
        self.desk.who.changed.connect(self.refresh)

    def _follow_link(self, link: QUrl) -> None:
        number = link.toString().removeprefix(DISCREPANCY)
        if number.isdecimal():
            self.wants_discrepancy.emit(int(number))

    def _turn_floor(self) -> None:
        self.desk.theme.set_bench(not self.desk.theme.bench)
        self.floor.setText("Ordinary size" if self.desk.theme.bench else "Floor size")

    # -- asking ----------------------------------------------------------------------------------------

    def take(self, shown: Shown) -> None:
        """Another package, or the same one read again."""
        package = shown.view.package
        if self._shown is None or self._shown.view.package.package_id != package.package_id:
            self.card_id = None
            self.open.take(None)
        self._shown = shown
        self.refresh()

    @property
    def people(self) -> tuple[PersonLine, ...]:
        """Everyone in the shop."""
        return self._shown.people if self._shown is not None else ()

    def _changed(self, kinds: frozenset[str]) -> None:
        if kinds & LISTENS:
            self.refresh()

    def showEvent(self, event: QShowEvent) -> None:
        """Ask, if what is shown became stale while the tab was away."""
        super().showEvent(event)
        if self._stale:
            self.refresh()

    def refresh(self) -> None:
        """Ask for the cards again, and for the open one."""
        self._stale = not self.isVisible()
        if self._shown is None or self._stale:
            return
        package_id, card_id, desk = self._shown.view.package.package_id, self.card_id, self.desk
        at = moment_of(desk)
        desk.jobs.read(
            lambda work: read_in_work(work, package_id, card_id, desk.library(), at),
            self,
            self._take,
            self.doings.failed,
            topic="in work",
        )

    def _take(self, seen: InWorkSeen) -> None:
        places = [line.card_id for line in seen.lines]
        if self.card_id in places:
            self.listing.point_next(places.index(self.card_id))
        self.listing.take(seen.lines)
        if (seen.card.card.card_id if seen.card else None) == self.card_id:
            self.open.take(seen)
        self._tell_forgotten(seen)
        self.doings.follow()

    def _tell_forgotten(self, seen: InWorkSeen) -> None:
        said = [
            f"{each.name}'s time on card {each.card_number} runs since {moment_text(each.started_at)}."
            for each in seen.forgotten
        ]
        self.say(f"▲ {' '.join(said)} Was it forgotten? Say when it ended." if said else "")
        self._forgotten = seen.forgotten
        self.close_time.setVisible(bool(said) and self.desk.who.person.may_edit)

    def _close_time(self) -> None:
        if self._forgotten:
            self.doings.corrections.time(self._forgotten[0])

    def say(self, said: str) -> None:
        """Say something above the list."""
        self.said.setText(said)
        self.said.setVisible(bool(said))

    # -- choosing ----------------------------------------------------------------------------------------

    def _point(self, place: int) -> None:
        rows = self.listing.held.rows
        if 0 <= place < len(rows):
            self.open_card(rows[place].card_id)

    def open_card(self, card_id: int) -> None:
        """Open that card."""
        if card_id != self.card_id:
            self.card_id = card_id
            self.refresh()

    def open_scanned(self) -> None:
        """Open the card whose number was typed or whose code was scanned."""
        if self._shown is None:
            return
        try:
            number = scanned_number(self.scan.text(), self._shown.view.package.number)
            card_id = next((row.card_id for row in self.listing.held.rows if row.number == number), None)
            if card_id is None:
                raise Refused(f"There is no card {number} in this package.", "Look at the number again.")
        except Refused as refused:
            self.say(f"▲ {refused.said} {refused.remedy}")
            return
        self.say("")
        self.scan.clear()
        self.open_card(card_id)
        self.listing.point_to([row.card_id for row in self.listing.held.rows].index(card_id))
        self.open.setFocus()
