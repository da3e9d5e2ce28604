"""What the place shows: the question as it stands now, the kept plan, and what owners wish for."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

from annual_planner.planning.open_hours import workday_holidays
from annual_planner.planning.shop_weeks.kept import VisitLine, kept_plan, lines_alone, visit_lines
from annual_planner.planning.shop_weeks.lanes import Lanes, lanes_alone, lanes_of
from annual_planner.planning.shop_weeks.stored import (
    WEEKS,
    AskedFromFleet,
    FleetAhead,
    first_monday,
    fleet_ahead,
    visits_ahead,
    weeks_of,
)
from annual_planner.planning.shop_weeks.visits import WeeksAsked, WeeksPlan
from annual_planner.store.fleet_reads import fleet_fact
from annual_planner.store.shop_reads import (
    OwnerWish,
    PlannedVisit,
    Shop,
)
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.store.session import Work


@dataclass(frozen=True, slots=True)
class WishLine:
    """Days of an airplane, or days on which the whole shop is closed.

    `row_id` of the one or the other; None for a public holiday, which nobody wrote down.
    """

    row_id: int | None
    aircraft_id: int | None
    registration: str
    first_on: date
    last_on: date
    blocked: bool
    why: str

    @property
    def kind(self) -> str:
        """What these days are."""
        if self.row_id is None:
            return "public holiday"
        if self.aircraft_id is None:
            return "shop closed"
        return "can't be spared" if self.blocked else "wished for"


LeftOut = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Put:
    """The question of the weeks, and the plan in them."""

    asked: WeeksAsked
    plan: WeeksPlan


@dataclass(frozen=True, slots=True)
class Shown:
    """The kept plan and how it is looked at; no `put` where the question can't be put as things stand."""

    put: Put | None
    lines: tuple[VisitLine, ...]
    lanes: Lanes

    def line(self, key: int) -> VisitLine | None:
        """One visit's line."""
        return next((each for each in self.lines if each.key == key), None)


@dataclass(frozen=True, slots=True)
class Seen:
    """Everything read. `fault`: why the weeks can't be planned now; what was kept is shown all the same."""

    shown: Shown
    fault: Refused | None
    found: AskedFromFleet | None
    kept: dict[int, PlannedVisit]
    wishes: tuple[WishLine, ...]
    airplanes: tuple[tuple[object, str], ...]
    open_packages: dict[int, int]
    owners: dict[int, str]
    demo: bool


def read_seen(work: Work, today: date) -> Seen:
    """Read it; the number of queries doesn't depend on the fleet."""
    ahead = fleet_ahead(work, today)
    names = {each.aircraft_id: each.registration for each in ahead.annuals}
    owners = {each.aircraft_id: each.owner for each in ahead.annuals}
    found, fault = None, None
    try:
        found = weeks_of(ahead, today)
    except Refused as refused:
        fault = refused
    kept = ahead.planned
    return Seen(
        shown=(
            shown_of(found.asked, kept_plan(found.asked, kept), owners, today)
            if found is not None
            else _alone(ahead, owners, today)
        ),
        fault=fault,
        found=found,
        kept={each.aircraft_id: each for each in kept},
        wishes=_wishes(ahead.wishes, ahead.place, names, today),
        airplanes=tuple(sorted(names.items(), key=lambda item: item[1])),
        open_packages={key: each.package_id for key, each in ahead.hours.items() if each.open},
        owners=owners,
        demo=fleet_fact(work, "demo") == "yes",
    )


def shown_of(asked: WeeksAsked, plan: WeeksPlan, owners: dict[int, str], today: date) -> Shown:
    """A plan as it is looked at."""
    lines = visit_lines(asked, plan, owners)
    return Shown(Put(asked, plan), lines, lanes_of(asked, lines, today))


def _alone(ahead: FleetAhead, owners: dict[int, str], today: date) -> Shown:
    first, last = first_monday(today), first_monday(today) + timedelta(weeks=WEEKS - 1)
    lines = lines_alone(visits_ahead(ahead, today, first, last).visits, ahead.planned, owners)
    return Shown(None, lines, lanes_alone(lines, today))


def _wishes(
    wishes: tuple[OwnerWish, ...], place: Shop, names: dict[int, str], today: date
) -> tuple[WishLine, ...]:
    lines = [
        WishLine(
            each.wish_id,
            each.aircraft_id,
            names.get(each.aircraft_id, ""),
            each.first_on,
            each.last_on,
            each.blocked,
            each.why,
        )
        for each in wishes
    ]
    lines += [
        WishLine(each.days_off_id, None, "all", each.first_on, each.last_on, True, each.why)
        for each in place.days_off
        if each.person_id is None
    ]
    last_on = first_monday(today) + timedelta(weeks=WEEKS, days=-1)
    lines += [
        WishLine(None, None, "all", day, day, True, name)
        for day, name in workday_holidays(place, today, last_on).items()
    ]
    ahead = [each for each in lines if each.last_on >= today]
    return tuple(sorted(ahead, key=lambda each: (each.first_on, each.registration)))
