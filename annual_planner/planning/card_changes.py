"""Writing on a package that is still open: its cards, and the hours a person gives them."""

from __future__ import annotations

from decimal import Decimal

from annual_planner.store.packages import PackageDates, card_line, package_dates
from annual_planner.store.rows import CardLine
from annual_planner.store.session import Work
from annual_planner.store.writing import change
from annual_planner.trade.cards import Hours
from annual_planner.trade.package_states import CLOSED
from annual_planner.trade.refused import Refused

CARD, ITEM, PACKAGE = "work_card", "package_item", "work_package"
"""Names of the tables."""

CARD_CHANGED = frozenset({"package", "card"})
"""What every edit of a package touches."""

_HUNDREDTH = Decimal("0.01")
_MOST_HOURS = Decimal(999)

HoursGiven = tuple[Decimal, Decimal, Decimal]
"""Low, likely and high working hours of one person."""


def open_package(work: Work, package_id: int) -> PackageDates:
    """The package's own row, kept from whoever would close it now. Refused when it is gone or closed."""
    dates = package_dates(work, package_id, lock=True)
    if dates.state == CLOSED:
        raise Refused(f"Package {dates.number} is closed.", "Plan a new one; a closed one stays as it is.")
    return dates


def change_card(work: Work, card_id: int, saw: dict[str, object], wants: dict[str, object]) -> int:
    """Change a card's row; the id of its airplane."""
    card = card_line(work, card_id)
    dates = open_package(work, card.package_id)
    change(work, CARD, card_id, saw, wants, aircraft_id=dates.aircraft_id, said=card_said(card))
    return dates.aircraft_id


def card_said(card: CardLine) -> str:
    """What the audit trail calls a card."""
    return f"card {card.number} '{card.title}'"


def check_hours(low: Decimal, likely: Decimal, high: Decimal) -> Hours:
    """The hours to a hundredth. Refused unless 0 ≤ low ≤ likely ≤ high ≤ 999."""
    given = (low, likely, high)
    if not all(each.is_finite() for each in given) or not 0 <= low <= likely <= high <= _MOST_HOURS:
        raise Refused(
            f"{low} / {likely} / {high} h can't be a card's hours.",
            f"Give hours from 0 to {_MOST_HOURS}, rising: at best, as a rule, at worst.",
        )
    return Hours(*(each.quantize(_HUNDREDTH) for each in given))
