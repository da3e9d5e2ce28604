"""The cards in the order of work, and the chosen card beside them."""

from __future__ import annotations

from PySide6.QtWidgets import QVBoxLayout, QWidget

from annual_planner.desktop.annual.card_detail import CardDetail
from annual_planner.desktop.annual.card_rows import CARDS, CardRow, CardSource, PhaseDelegate, card_rows
from annual_planner.desktop.annual.held import HeldList, Switch
from annual_planner.desktop.annual.seen import Shown
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.listing import Words
from annual_planner.desktop.split import Split
from annual_planner.store.rows import CardLine


class CardsInOrder(QWidget):
    """Space takes the current card in or leaves it out."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self.setAccessibleName("Cards in order")
        self._shown: Shown | None = None
        self._card_id: int | None = None
        words = Words("cards", "There are no cards", "Plan the annual anew, or add a card of your own.")
        self.listing: HeldList[CardRow] = HeldList(desk, "annual-cards", CARDS, words, held=CardSource(CARDS))
        delegate = PhaseDelegate(desk.theme, self.listing.view)
        delegate.rows = self.listing.table
        self.listing.view.setItemDelegate(delegate)
        self.detail = CardDetail(desk)
        split = Split(desk.theme, "Cards, and the chosen one", self.listing, self.detail, beside=28)
        split.share(3, 2)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(split)
        Switch(self.listing, self.toggle)
        self.listing.pointed.connect(lambda _place: self._point())
        self.listing.answered.connect(self._answered)

    def take(self, shown: Shown) -> None:
        """Show a package's cards; the chosen one stays chosen wherever it now stands."""
        if self._shown is not None and self._shown.view.package.package_id != shown.view.package.package_id:
            self._card_id = None
        self._shown = shown
        rows = card_rows(shown)
        wanted = next(
            (place for place, row in enumerate(rows) if row.card and row.card.card_id == self._card_id), 1
        )
        if rows:
            self.listing.view.setCurrentIndex(self.listing.table.index(-1, -1))
            self.listing.point_next(wanted)
        self.listing.take(rows)

    def choose(self, card_id: int | None) -> None:
        """Let that card be the chosen one when the cards are read again."""
        self._card_id = card_id

    def toggle(self) -> None:
        """Take the current card in, or leave it out."""
        if self.current is not None:
            self.detail.toggle()

    @property
    def current(self) -> CardLine | None:
        """The card that is pointed at; None on a heading."""
        place, rows = self.listing.current_id, self.listing.held.rows
        return rows[place].card if 0 <= place < len(rows) else None

    def _point(self) -> None:
        card = self.current
        if card is not None:
            self._card_id = card.card_id
        self.detail.show_card(card, self._shown)

    def _answered(self) -> None:
        """Let headings run across, and count cards, not headings."""
        view, table = self.listing.view, self.listing.table
        view.clearSpans()
        inside = outside = 0
        for row in range(table.rowCount()):
            place = table.id_at(row)
            card = self.listing.held.rows[place].card if place is not None else None
            if card is None:
                view.setSpan(row, 0, 1, len(CARDS))
            elif card.included:
                inside += 1
            else:
                outside += 1
        self.listing.count.setText(f"{inside} in, {outside} left out")
        self._point()
