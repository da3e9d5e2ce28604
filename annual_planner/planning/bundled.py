"""Which of an airplane's items to do together over two years: the question put together from the fleet."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from decimal import Decimal

from annual_planner.library.shelf import Library
from annual_planner.planning.drafts import settling
from annual_planner.planning.shop_weeks.stored import HOUR_PRICE
from annual_planner.planning.weighed import DONE_BY_THE_WHOLE
from annual_planner.store.fleet_reads import aircraft_sheet
from annual_planner.store.rows import AircraftSheet, DueLine
from annual_planner.store.session import Work
from annual_planner.store.weighable import Weighable, weighables
from annual_planner.trade.bundling import Bundle, BundleCosts, BundleItem, bundle, usual_visits
from annual_planner.trade.cards import WorkKind
from annual_planner.trade.periods import DAYS_A_MONTH, Force, Interval
from annual_planner.trade.refused import Refused
from annual_planner.trade.working import Worked

BINDING = (Force.RULE, Force.DIRECTIVE, Force.LIMITATION)
BETWEEN_VISITS_DAYS = 90
"""What lasts no longer than this is done between visits anyway, by the pilot or on the line."""

ASSUMED_HOURS = Decimal(1)
"""Work of an item that no card of the library does; common practice, no source."""

VISIT_PRICE = Decimal(250)
UNPLANNED_PRICE = Decimal(600)
"""What a visit between annuals costs in flying there and standing, and one that wasn't planned; common
practice, no source."""


def usual_costs(library: Library, features: frozenset[str]) -> BundleCosts:
    """The usual prices, with the hours that the library's cards take to open and close each zone."""
    opening: dict[str, Decimal] = {}
    for card in library.cards:
        if card.kind in (WorkKind.OPEN, WorkKind.CLOSE) and card.fits(features) and not card.on_condition:
            opening[card.zone] = opening.get(card.zone, Decimal(0)) + card.hours.likely
    return BundleCosts(HOUR_PRICE, VISIT_PRICE, UNPLANNED_PRICE, opening)


def bundle_of_aircraft(work: Work, aircraft_id: int, library: Library, start_on: date) -> Worked[Bundle]:
    """The cheapest way to bundle an airplane's items, counted from an annual that starts on a day.

    What every annual does anyway is left out. Refused when nothing is left to bundle.
    """
    sheet = aircraft_sheet(work, aircraft_id)
    items = tuple(_items(weighables(work, aircraft_id), sheet, library, start_on))
    if not items:
        raise Refused(
            f"{sheet.registration} has nothing to bundle: every annual does all of it.",
            "Look again when an item with an interval of its own is on its list.",
        )
    return bundle(items, usual_costs(library, frozenset(sheet.features)), usual_visits())


def _items(
    things: Iterable[Weighable], sheet: AircraftSheet, library: Library, start_on: date
) -> Iterable[BundleItem]:
    for thing in things:
        if thing.terminated or thing.line.key in DONE_BY_THE_WHOLE:
            continue
        cards = settling(library.cards, thing, sheet)
        if any(not card.on_condition for card in cards):
            continue  # a card of every annual does it
        days, lasts = _due_days(thing.line, start_on), _lasts(thing.interval, sheet.hours_per_month)
        if days is None or (lasts is not None and lasts < BETWEEN_VISITS_DAYS):
            continue
        hours = sum((card.hours.likely for card in cards), Decimal(0)) or ASSUMED_HOURS
        yield BundleItem(
            title=thing.line.title,
            zone=cards[0].zone if cards else _zone(thing.line),
            due_day=days[1],
            early_day=days[0],
            late_day=days[2],
            lasts_days=lasts,
            binding=Force(thing.line.force) in BINDING,
            work_hours=hours,
        )


def _zone(line: DueLine) -> str:
    subject = line.counts_on.split(" ")[0]
    return subject if subject in ("engine", "propeller") else "whole_airplane"


def _due_days(line: DueLine, start_on: date) -> tuple[float, float, float] | None:
    """Early, likely and late day on which it is due, from the start; None when nothing is in sight."""
    by_date = line.due_on
    by_use = line.forecast_on
    if by_date is None and by_use is None:
        return None
    if by_use is None or (by_date is not None and by_date <= by_use):
        assert by_date is not None
        day = float((by_date - start_on).days)
        return day, day, day
    early, late = line.early_on or by_use, line.late_on or by_use
    days = sorted(float((each - start_on).days) for each in (min(early, by_use), by_use, max(late, by_use)))
    return days[0], days[1], days[2]


def _lasts(interval: Interval | None, hours_per_month: Decimal | None) -> float | None:
    """Days that one doing lasts, by whichever limit comes first; None for a thing done once."""
    if interval is None or not interval.recurring:
        return None
    days = [
        Decimal(interval.days) if interval.days else None,
        interval.months * DAYS_A_MONTH if interval.months else None,
        interval.calendar_months * DAYS_A_MONTH if interval.calendar_months else None,
        interval.hours / hours_per_month * DAYS_A_MONTH if interval.hours and hours_per_month else None,
    ]
    known = [float(each) for each in days if each is not None and each > 0]
    return min(known, default=None)
