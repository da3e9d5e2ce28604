"""Who has how much to do, and which cards are whose."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable
from decimal import Decimal

from annual_planner.paper.flow import Group, Section
from annual_planner.paper.said import said_cards, said_key, said_tenths
from annual_planner.paper.tables import Cell, CellLike, Column, table
from annual_planner.paper.text import gap, heading, paragraph, subheading
from annual_planner.planning.package_view import PackageView
from annual_planner.store.rows import CardLine

TITLE = "Summary by person"
ESTIMATES = "Hours of a card are estimates of the library or the shop’s own; they are no promise of a date."
NO_CARDS = "No card is in this package."
NOBODY = "not yet assigned"


def summary(view: PackageView, width: float) -> Section:
    """Make the summary: hours by kind of person and by name, with the cards of each."""
    head = (heading(TITLE, width, note="Working hours of one person: at best, as a rule, at worst."),)
    if not view.cards:
        return Section(TITLE, (Group((*head, paragraph(NO_CARDS, width))),))
    kinds = table(_columns("Who must do it"), _by_kind(view), width, head=head)
    names = table(
        _columns("Assigned to"), _by_name(view.cards), width, head=(gap(8), subheading("By name", width))
    )
    phases = table(
        _columns("Phase"), _by_phase(view.cards), width, head=(gap(8), subheading("By phase", width))
    )
    last = paragraph(ESTIMATES, width, kind="small", faint=True)
    groups = (*kinds, *names, *phases)
    return Section(TITLE, (*groups[:-1], groups[-1].followed_by(gap(2), last)))


def _columns(first: str) -> tuple[Column, ...]:
    return (
        Column(first, 26),
        Column("Cards", 9, "right"),
        Column("Low", 10, "right"),
        Column("Likely", 10, "right"),
        Column("High", 10, "right"),
        Column("Card numbers", 35),
    )


def _by_kind(view: PackageView) -> list[list[CellLike]]:
    numbers: dict[str, list[int]] = defaultdict(list)
    for card in view.cards:
        numbers[card.doer].append(card.number)
    rows: list[list[CellLike]] = [
        [
            Cell(said_key(h.doer), bold=True),
            str(h.cards),
            *_tenths(h.low, h.likely, h.high),
            said_cards(numbers[h.doer]),
        ]
        for h in view.hours
    ]
    rows.append(_total(view.cards))
    return rows


def _total(cards: tuple[CardLine, ...]) -> list[CellLike]:
    texts = [str(len(cards)), *(said_tenths(hours) for hours in _sums(list(cards)))]
    return [Cell("All together", bold=True), *(Cell(text, bold=True) for text in texts), ""]


def _by_name(cards: tuple[CardLine, ...]) -> list[list[CellLike]]:
    whose = _grouped(cards, lambda card: card.assigned_name or NOBODY)
    return [_row_of(name, whose[name]) for name in sorted(whose, key=lambda name: (name == NOBODY, name))]


def _by_phase(cards: tuple[CardLine, ...]) -> list[list[CellLike]]:
    return [_row_of(said_key(phase), of) for phase, of in _grouped(cards, lambda card: card.phase).items()]


def _grouped(cards: tuple[CardLine, ...], by: Callable[[CardLine], str]) -> dict[str, list[CardLine]]:
    found: dict[str, list[CardLine]] = defaultdict(list)
    for card in cards:
        found[by(card)].append(card)
    return found


def _row_of(name: str, cards: list[CardLine]) -> list[CellLike]:
    numbers = said_cards([card.number for card in cards])
    return [Cell(name, bold=True), str(len(cards)), *_tenths(*_sums(cards)), numbers]


def _sums(cards: list[CardLine]) -> tuple[Decimal, Decimal, Decimal]:
    zero = Decimal(0)
    return (
        sum((card.hours_low for card in cards), zero),
        sum((card.hours_likely for card in cards), zero),
        sum((card.hours_high for card in cards), zero),
    )


def _tenths(low: Decimal, likely: Decimal, high: Decimal) -> list[CellLike]:
    return [said_tenths(low), said_tenths(likely), said_tenths(high)]
