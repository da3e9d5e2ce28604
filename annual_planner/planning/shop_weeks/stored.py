"""The question of the shop's weeks, put together from the fleet; and a plan kept in it."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from annual_planner.planning.open_hours import closed_days, minutes_of, shop_hours
from annual_planner.planning.shop_weeks.visits import Days, Placed, ShopWeek, Visit, WeeksAsked
from annual_planner.records.edits import Changed
from annual_planner.records.row_edits import AddRow, ChangeRow, RemoveRow, Subject, Together
from annual_planner.store.fleet_reads import people
from annual_planner.store.rows import PersonLine
from annual_planner.store.session import Work
from annual_planner.store.shop_reads import (
    OwnerWish,
    PlannedVisit,
    Shop,
    owner_wishes,
    planned_visits,
    shop,
)
from annual_planner.store.week_reads import AnnualAhead, VisitHours, annuals_ahead, visit_hours
from annual_planner.store.writing import rows_where
from annual_planner.trade.refused import Refused

USUAL_HOURS = {1: Decimal(26), 2: Decimal(44)}
"""Hours of an annual by engines where no package says; common practice, no source."""

HOURS_A_BAY_DAY = Decimal(10)
"""Hours done on one airplane on one day in a bay; common practice, no source."""

HOUR_PRICE = Decimal(95)
"""Price of an hour of work, where the shop names none; common practice, no source."""

EARLY_MONTHS = 3
"""No annual is placed so many months or more before the month it is due in."""

WEEKS = 52


@dataclass(frozen=True, slots=True)
class AskedFromFleet:
    """The question, and the airplanes that aren't in it, each with the reason."""

    asked: WeeksAsked
    left_out: tuple[tuple[str, str], ...]
    assumed: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FleetAhead:
    """What the question is put together from, read once."""

    place: Shop
    known: Sequence[PersonLine]
    annuals: Sequence[AnnualAhead]
    hours: Mapping[int, VisitHours]
    planned: tuple[PlannedVisit, ...]
    """From today on."""
    wishes: tuple[OwnerWish, ...]


def fleet_ahead(work: Work, today: date) -> FleetAhead:
    """Read it: the number of queries doesn't depend on the fleet."""
    return FleetAhead(
        place=shop(work),
        known=people(work),
        annuals=annuals_ahead(work),
        hours=visit_hours(work),
        planned=planned_visits(work, today, date.max),
        wishes=owner_wishes(work),
    )


def weeks_from_fleet(work: Work, today: date, *, weeks: int = WEEKS) -> AskedFromFleet:
    """Put the question of the shop's next weeks together. Refused as `weeks_of` says."""
    return weeks_of(fleet_ahead(work, today), today, weeks=weeks)


def weeks_of(fleet: FleetAhead, today: date, *, weeks: int = WEEKS) -> AskedFromFleet:
    """Put the question of the shop's next weeks together from what was read.

    Raises Refused, with every fault, where the shop has no bay, no hours or nobody with hours.
    """
    mondays = [first_monday(today) + timedelta(weeks=n) for n in range(weeks)]
    shop_weeks = _shop_weeks(fleet.place, fleet.known, mondays)
    bays = _bays(fleet.place)
    ahead = visits_ahead(fleet, today, mondays[0], mondays[-1])
    return AskedFromFleet(WeeksAsked(shop_weeks, ahead.visits, bays), ahead.left_out, _assumed(ahead.hours))


@dataclass(frozen=True, slots=True)
class VisitsAhead:
    """The annuals that can be placed in some weeks, who is left out and why, and what packages say."""

    visits: tuple[Visit, ...]
    left_out: tuple[tuple[str, str], ...]
    hours: Mapping[int, VisitHours]


def visits_ahead(fleet: FleetAhead, today: date, first_on: date, last_on: date) -> VisitsAhead:
    """The fleet's annuals as visits, pins and wishes with them; weeks are named by their Mondays."""
    hours, wishes = fleet.hours, fleet.wishes
    planned = {each.aircraft_id: each for each in fleet.planned if first_on <= each.week_on <= last_on}
    visits, left_out = [], []
    for annual in fleet.annuals:
        visit = _visit(annual, hours.get(annual.aircraft_id), planned.get(annual.aircraft_id), wishes, today)
        if isinstance(visit, str):
            left_out.append((annual.registration, visit))
        elif visit.earliest_on > last_on + timedelta(days=6):
            left_out.append((annual.registration, "its annual comes after these weeks"))
        else:
            visits.append(visit)
    return VisitsAhead(tuple(visits), tuple(left_out), hours)


def first_monday(today: date) -> date:
    """The Monday of the week that planning begins with: this one on a Monday, else the next."""
    return today + timedelta(days=-today.weekday() % 7)


def _bays(place: Shop) -> tuple[str, ...]:
    bays = [each for each in place.things if each.kind == "bay"]
    names = [each.name if n == 1 else f"{each.name} {n}" for each in bays for n in range(1, each.count + 1)]
    if not names:
        raise Refused(
            "The shop has no bay.",
            "Write its bays down in the set-up of the shop, then plan its weeks.",
            about="shop",
        )
    return tuple(names)


def _shop_weeks(place: Shop, known: Sequence[PersonLine], mondays: Sequence[date]) -> tuple[ShopWeek, ...]:
    first_on, last_on = mondays[0], mondays[-1] + timedelta(days=6)
    open_days = sorted(shop_hours(place, first_on, last_on).minutes_by_day())
    weekdays = {each.weekday for each in place.open_hours if each.person_id is None}
    closed = [day for day in closed_days(place, first_on, last_on) if day.on.weekday() in weekdays]
    mechanics = [each.person_id for each in known if "mechanic" in each.roles]
    minutes = [minutes_of(place, each, first_on, last_on) for each in mechanics]
    return tuple(
        ShopWeek(
            monday,
            own := tuple(day for day in open_days if monday <= day <= monday + timedelta(days=6)),
            Decimal(sum(each.get(day, 0) for each in minutes for day in own)) / 60,
            tuple(day for day in closed if monday <= day.on <= monday + timedelta(days=6)),
        )
        for monday in mondays
    )


def _visit(
    annual: AnnualAhead,
    known: VisitHours | None,
    planned: PlannedVisit | None,
    wishes: Sequence[OwnerWish],
    today: date,
) -> Visit | str:
    """The airplane's next annual as a visit; or why there is none to place."""
    if known is not None and known.open and known.start_on <= today:
        return "its annual has begun"
    if annual.due_on is None:
        return "no annual is recorded, so it isn't known when the next is due"
    hours = known.hours if known is not None else USUAL_HOURS.get(annual.engines, USUAL_HOURS[2])
    own = [each for each in wishes if each.aircraft_id == annual.aircraft_id]
    due = max(annual.due_on, today)
    return Visit(
        key=annual.aircraft_id,
        title=annual.registration,
        bay_days=max(1, math.ceil(hours / HOURS_A_BAY_DAY)),
        hours=hours,
        earliest_on=_months_before(due, EARLY_MONTHS),
        latest_on=min(annual.early_on or annual.due_on, annual.due_on),
        due_on=annual.due_on,
        worth=hours * HOUR_PRICE,
        wished=tuple(Days(each.first_on, each.last_on) for each in own if not each.blocked),
        blocked=tuple(Days(each.first_on, each.last_on) for each in own if each.blocked),
        pinned_on=planned.week_on if planned is not None and planned.pinned else None,
    )


def _months_before(day: date, months: int) -> date:
    """The first day of a month so many months before that of a day."""
    count = day.year * 12 + day.month - 1 - months
    return date(count // 12, count % 12 + 1, 1)


def _assumed(hours: Mapping[int, VisitHours]) -> tuple[str, ...]:
    usual = ", ".join(
        f"{value:f} h with {engines} engine{'s' * (engines > 1)}" for engines, value in USUAL_HOURS.items()
    )
    return (
        f"Where no package says, an annual takes {usual} (common practice, no source).",
        f"{len(hours)} airplanes have a package that says.",
        f"{HOURS_A_BAY_DAY:f} h are done on one airplane in a bay day (common practice, no source).",
    )


@dataclass(frozen=True, slots=True)
class KeepWeeks:
    """Keep a plan: its visits take the place of all in these weeks that nobody pinned."""

    first_on: date
    last_on: date
    placed: tuple[Placed, ...]
    weeks: tuple[date, ...]
    """The Mondays that the placed weeks count from."""
    pins: frozenset[int] = frozenset()
    """Airplanes that a person pins to their weeks with this plan, whatever they were pinned to before."""
    called: str = "plan of the shop's weeks"

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return self.called

    def apply(self, work: Work, today: date) -> Changed:
        """Write the visits down in one step, which one undo takes back."""
        together = Together(work, Subject("visit", self.says))
        rows = {
            each.visit.key: _row(each, self.weeks[each.week], each.visit.key in self.pins)
            for each in self.placed
            if each.week is not None
        }
        for row_id, row in rows_where(work, "planned_visit").items():
            week_on, key = row["week_on"], row["aircraft_id"]
            assert isinstance(key, int)
            if not isinstance(week_on, date) or not self.first_on <= week_on <= self.last_on:
                continue
            if not row["pinned"] or key in self.pins:
                together.write(RemoveRow(together.of, "planned_visit", row_id))
            elif (wanted := rows.pop(key, None)) is not None:
                _follow(together, row_id, row, wanted)
        for values in rows.values():
            together.write(AddRow(together.of, "planned_visit", values))
        return together.settled(today)


def _follow(together: Together, row_id: int, row: Mapping[str, object], wanted: Mapping[str, object]) -> None:
    """A pinned visit keeps its week; the bay follows the plan."""
    saw = {name: row[name] for name in ("bay", "weeks")}
    wants = {name: wanted[name] for name in saw}
    if wants != saw and row["week_on"] == wanted["week_on"]:
        together.write(ChangeRow(together.of, "planned_visit", row_id, saw, wants))


def _row(placed: Placed, monday: date, pinned: bool) -> dict[str, object]:
    assert placed.first_on is not None
    assert placed.last_on is not None
    return {
        "aircraft_id": placed.visit.key,
        "week_on": monday,
        "bay": placed.bay,
        "weeks": max(1, -(-((placed.last_on - monday).days + 1) // 7)),
        "hours": placed.visit.hours,
        "pinned": pinned,
        "note": "",
    }
