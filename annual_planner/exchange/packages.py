"""A work package as a text table for the terminal."""

from __future__ import annotations

from annual_planner.exchange.tables import Cell, as_table
from annual_planner.planning.package_view import PackageView


def package_table(view: PackageView) -> str:
    """The decided items, the cards in order and the hours by who must do them, under headings."""
    head = (
        f"{view.package.number}  {view.aircraft.registration}  {view.package.title}, {view.package.start_on}"
    )
    return "\n\n".join([head, _items(view), _cards(view), _hours(view)])


def _items(view: PackageView) -> str:
    rows: list[list[Cell]] = [
        ["do now" if item.do_now else "leave", item.due.title, item.due.comes_first_on, item.reason]
        for item in view.items
    ]
    return as_table(("decision", "what", "expected on", "reason"), rows)


def _cards(view: PackageView) -> str:
    rows: list[list[Cell]] = [
        [card.number, card.phase.replace("_", " "), card.title, card.hours_likely, card.doer, card.signer]
        for card in view.cards
    ]
    return as_table(("card", "phase", "what", "hours", "done by", "signed by"), rows)


def _hours(view: PackageView) -> str:
    rows: list[list[Cell]] = [
        [total.doer, total.cards, total.low, total.likely, total.high] for total in view.hours
    ]
    return as_table(("who", "cards", "hours low", "likely", "high"), rows)
