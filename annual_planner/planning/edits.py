"""What a person changes on a package that is planned: what is done now, which cards are in, and their hours.

Every edit holds what was seen and what is wanted; applying it gives the edit that takes it back.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from annual_planner.planning.card_changes import (
    CARD_CHANGED,
    ITEM,
    HoursGiven,
    change_card,
    check_hours,
    open_package,
)
from annual_planner.planning.card_content import from_stored
from annual_planner.planning.drafts import DUE
from annual_planner.records.edits import Changed
from annual_planner.store.package_writes import include_cards
from annual_planner.store.packages import card_lines, item_line, item_lines
from annual_planner.store.rows import CardLine
from annual_planner.store.session import Work
from annual_planner.store.writing import change


@dataclass(frozen=True, slots=True)
class SetDoNow:
    """Do a weighed requirement at this visit, or leave it; the cards that only it asks for follow.

    `cards`: the cards that are in or out afterwards, by id; empty lets them follow the decision.
    """

    item_id: int
    saw: bool
    wants: bool
    cards: tuple[tuple[int, bool], ...] = ()

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "doing it now" if self.wants else "leaving it"

    def apply(self, work: Work, today: date) -> Changed:
        """Write the decision and take its cards in or out."""
        item = item_line(work, self.item_id)
        dates = open_package(work, item.package_id)
        said = f"decision on '{item.due.title}'"
        saw, wants = {"do_now": self.saw}, {"do_now": self.wants}
        change(work, ITEM, self.item_id, saw, wants, aircraft_id=dates.aircraft_id, said=said)
        asked = _asked_by(work, item.package_id, item.due.requirement_id)
        states = dict(self.cards) or _following(work, item.package_id, asked)
        include_cards(work, states)
        before = tuple((card.card_id, card.included) for card in asked)
        back = SetDoNow(self.item_id, self.wants, self.saw, before)
        return Changed(CARD_CHANGED, back, dates.aircraft_id)


def _asked_by(work: Work, package_id: int, requirement_id: int) -> list[CardLine]:
    """Cards that are there for this requirement and not for the annual itself."""
    return [
        card
        for card in card_lines(work, package_id)
        if card.origin == DUE and requirement_id in from_stored(card.content).requirements
    ]


def _following(work: Work, package_id: int, cards: list[CardLine]) -> dict[int, bool]:
    """Each card is in when something that is done now asks for it."""
    now = {item.due.requirement_id for item in item_lines(work, package_id) if item.do_now}
    return {card.card_id: not now.isdisjoint(from_stored(card.content).requirements) for card in cards}


@dataclass(frozen=True, slots=True)
class IncludeCard:
    """Take one card in, or leave it out."""

    card_id: int
    saw: bool
    wants: bool

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "taking the card in" if self.wants else "leaving the card out"

    def apply(self, work: Work, today: date) -> Changed:
        """Write it down."""
        aircraft_id = change_card(work, self.card_id, {"included": self.saw}, {"included": self.wants})
        return Changed(CARD_CHANGED, IncludeCard(self.card_id, self.wants, self.saw), aircraft_id)


@dataclass(frozen=True, slots=True)
class SetCardHours:
    """Give a card other hours: low, likely, high."""

    card_id: int
    saw: HoursGiven
    wants: HoursGiven

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "hours of the card"

    def apply(self, work: Work, today: date) -> Changed:
        """Write them down, to a hundredth. Refused when they are out of order."""
        hours = check_hours(*self.wants)
        wants = (hours.low, hours.likely, hours.high)
        aircraft_id = change_card(work, self.card_id, _hours(self.saw), _hours(wants))
        return Changed(CARD_CHANGED, SetCardHours(self.card_id, wants, self.saw), aircraft_id)


def _hours(given: HoursGiven) -> dict[str, object]:
    low, likely, high = given
    return {"hours_low": low, "hours_likely": likely, "hours_high": high}
