"""The cards in the order of work, each phase under a heading of its own."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import groupby
from typing import Any

from PySide6.QtGui import QColor, QFont, QPainter
from PySide6.QtWidgets import QStyleOptionViewItem

from annual_planner.desktop.annual.columns import OPEN, TICKED
from annual_planner.desktop.annual.seen import Shown, phase_words
from annual_planner.desktop.column_room import LAST_RESORT
from annual_planner.desktop.columns import Column, hours_text
from annual_planner.desktop.paged_table import Index
from annual_planner.desktop.signs import SignDelegate
from annual_planner.desktop.source import Found, HeldSource, Query
from annual_planner.store.rows import CardLine

LEFT_OUT = "Left out"


@dataclass(frozen=True, slots=True)
class CardRow:
    """A card, or the heading over the cards of one phase."""

    card: CardLine | None
    phase: str
    zone: str = ""
    heading: str = ""


def card_rows(shown: Shown) -> list[CardRow]:
    """Headings and cards, in order; what was left out comes last under its own heading."""
    made: list[CardRow] = []
    for phase, cards in groupby(shown.view.cards, key=lambda card: card.phase):
        made += _group(phase_words(phase), list(cards), shown)
    if shown.view.left_out:
        made += _group(LEFT_OUT, list(shown.view.left_out), shown)
    return made


def _group(words: str, cards: Sequence[CardLine], shown: Shown) -> Iterator[CardRow]:
    hours = sum((card.hours_likely for card in cards), Decimal(0))
    many = "1 card" if len(cards) == 1 else f"{len(cards)} cards"
    yield CardRow(None, words, heading=f"{words}   {many}, {hours:.1f} h")
    for card in cards:
        yield CardRow(card, words, shown.zone(card.zone))


def _of(row: CardRow, text: str) -> str:
    return text if row.card is not None else ""


def _hours(row: CardRow) -> str:
    return hours_text(row.card.hours_likely) if row.card is not None else ""


def _in(row: CardRow) -> str:
    if row.card is None:
        return row.heading
    return TICKED if row.card.included else OPEN


def _spoken(row: CardRow) -> str:
    if row.card is None:
        return row.heading
    return "in" if row.card.included else "left out"


def _by(value: Callable[[CardLine], Any]) -> Callable[[CardRow], Any]:
    """Sorts by that value of a card; headings are left out of a sorted list."""
    return lambda row: value(row.card) if row.card is not None else None


CARDS: tuple[Column[CardRow], ...] = (
    Column("in", "In", _in, sort="in", width=4, spoken=_spoken, by=_by(lambda c: not c.included)),
    Column("number", "No.", lambda r: str(r.card.number) if r.card else "", sort="number",
           width=4, right=True, by=_by(lambda c: c.number)),
    Column("title", "Card", lambda r: r.card.title if r.card else "", sort="title", width=32),
    Column("hours", "Hours", _hours, sort="hours", width=6, right=True, by=_by(lambda c: c.hours_likely),
           aside=LAST_RESORT),
    Column("doer", "Done by", lambda r: r.card.doer if r.card else "", sort="doer", width=9, aside=5),
    Column("signer", "Signed by", lambda r: r.card.signer if r.card else "", sort="signer", width=10,
           aside=4),
    Column("person", "Person", lambda r: r.card.assigned_name if r.card else "", sort="person",
           width=18, aside=3),
    Column("zone", "Where", lambda r: r.zone, sort="zone", width=20, aside=2),
    Column("phase", "Phase", lambda r: _of(r, r.phase), width=14, hidden=True),
    Column("origin", "Comes from", lambda r: r.card.origin if r.card else "", sort="origin", width=14,
           hidden=True),
    Column("note", "Note", lambda r: r.card.note if r.card else "", sort="note", width=20, aside=1),
)  # fmt: skip


class CardSource(HeldSource[CardRow]):
    """The cards in order under the headings of their phases; searched or sorted, the cards alone."""

    def ask_ids(
        self, query: Query, done: Callable[[Found], None], failed: Callable[[Exception], None]
    ) -> None:
        """Find at once; an id is the row's place in `rows`, and cards alone are counted."""
        cards = sum(row.card is not None for row in self.rows)
        super().ask_ids(
            query, lambda found: done(found._replace(total=cards) if query.narrows else found), failed
        )

    def _matches(self, row: CardRow, query: Query) -> bool:
        alone = bool(query.order) or query.narrows
        return not (alone and row.card is None) and super()._matches(row, query)


class PhaseDelegate(SignDelegate):
    """Draws the heading of a phase across the row."""

    rows: Any = None
    """The table model, for asking what a row is."""

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """A heading in bold on a wash; every other row as usual."""
        row = self.rows.row_at(index.row()) if self.rows is not None else None
        if not isinstance(row, CardRow) or row.card is not None:
            super().paint(painter, option, index)
            return
        inks = self._theme.colours
        painter.save()
        painter.fillRect(option.rect, QColor(inks.wash))
        font = QFont(option.font)
        font.setBold(True)
        painter.setFont(font)
        painter.setPen(QColor(inks.ink))
        room = option.rect.adjusted(option.fontMetrics.height() // 2, 0, 0, 0)
        painter.drawText(room, int(option.displayAlignment), row.heading)
        painter.restore()
