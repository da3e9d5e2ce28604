"""The plan that is kept, seen as things stand now: each visit's place, standing and life given up."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from annual_planner.planning.shop_weeks.bays import Bays, in_order
from annual_planner.planning.shop_weeks.placing import open_weeks, plan_cost
from annual_planner.planning.shop_weeks.prices import months_given_up, week_price
from annual_planner.planning.shop_weeks.visits import Placed, Visit, WeeksAsked, WeeksPlan
from annual_planner.store.shop_reads import PlannedVisit
from annual_planner.trade.said import said_date

IN_TIME, GIVES_UP, TOO_LATE, NO_PLACE = "in good time", "gives up life", "too late", "no place"
STANDINGS = (IN_TIME, GIVES_UP, TOO_LATE, NO_PLACE)


def kept_plan(asked: WeeksAsked, kept: Sequence[PlannedVisit]) -> WeeksPlan:
    """The plan made of the kept visits, at today's prices.

    A visit keeps its bay where that is still free in its week, else takes another. One that finds none keeps
    its week and has neither bay nor days; one that isn't kept has no week.
    """
    index = asked.monday_index()
    rows = {each.aircraft_id: each for each in kept if each.week_on in index}
    bays, placed = Bays(asked), dict[int, Placed]()
    by_week: dict[int, list[Visit]] = {}
    for visit in asked.visits:
        if visit.key in rows:
            by_week.setdefault(index[rows[visit.key].week_on], []).append(visit)
    for week in sorted(by_week):
        for visit in in_order(by_week[week]):
            found = bays.take(visit, week, rows[visit.key].bay)
            placed[visit.key] = found or Placed(visit, week)
    whole = tuple(placed.get(visit.key, Placed(visit, None)) for visit in asked.visits)
    return WeeksPlan(whole, plan_cost(asked, open_weeks(asked), whole), None, False, 0.0)


def has_places(plan: WeeksPlan) -> bool:
    """Say whether anything has a week at all."""
    return any(each.week is not None for each in plan.placed)


@dataclass(frozen=True, slots=True)
class VisitLine:
    """One visit as people look at it; `months_up`: months of its annual's life given up."""

    key: int
    registration: str
    owner: str
    week_on: date | None
    placed: Placed
    months_up: int
    standing: str
    why: str

    @property
    def visit(self) -> Visit:
        """The visit itself."""
        return self.placed.visit

    @property
    def pinned(self) -> bool:
        """A person put it in its week."""
        return self.visit.pinned_on is not None


def visit_lines(asked: WeeksAsked, plan: WeeksPlan, owners: Mapping[int, str]) -> tuple[VisitLine, ...]:
    """A line for each visit, by day; those without a week last."""
    lines = [_line(asked, each, owners.get(each.visit.key, "")) for each in plan.placed]
    return tuple(
        sorted(
            lines,
            key=lambda each: (each.week_on or date.max, each.placed.first_on or date.max, each.visit.due_on),
        )
    )


def _line(asked: WeeksAsked, placed: Placed, owner: str) -> VisitLine:
    visit = placed.visit
    standing, why, months = NO_PLACE, "no week yet", 0
    monday = None
    if placed.week is not None:
        week = asked.weeks[placed.week]
        monday = week.monday
        price = week_price(asked, visit, week)
        first = placed.first_on or monday
        months = months_given_up(visit, first)
        standing = _standing(visit, placed, months) if price.open else NO_PLACE
        why = "; ".join(price.why)
    return VisitLine(visit.key, visit.title, owner, monday, placed, months, standing, why)


def lines_alone(
    visits: Sequence[Visit], kept: Sequence[PlannedVisit], owners: Mapping[int, str]
) -> tuple[VisitLine, ...]:
    """The kept visits as they were written, for a shop whose weeks can't be planned as things stand."""
    rows = {each.aircraft_id: each for each in kept}
    lines = []
    for visit in visits:
        row = rows.get(visit.key)
        if row is not None:
            last_on = row.week_on + timedelta(weeks=max(row.weeks, 1), days=-3)
            placed = Placed(visit, None, row.bay, row.week_on, last_on)
            months = months_given_up(visit, row.week_on)
            owner, standing = owners.get(visit.key, ""), _standing(visit, placed, months)
            lines.append(VisitLine(visit.key, visit.title, owner, row.week_on, placed, months, standing, ""))
    return tuple(sorted(lines, key=lambda line: (line.week_on or date.max, line.key)))


def _standing(visit: Visit, placed: Placed, months: int) -> str:
    if placed.first_on is None:
        return NO_PLACE
    if placed.first_on > visit.latest_on:
        return TOO_LATE
    return GIVES_UP if months else IN_TIME


def against(asked: WeeksAsked, visit: Visit, monday: date) -> tuple[str, ...]:
    """What speaks against a week for a visit, in words, the gravest first; whoever pins it there decides.

    Raises KeyError for a Monday that is none of the weeks'.
    """
    week = asked.weeks[asked.monday_index()[monday]]
    free = replace(visit, pinned_on=None)
    price = week_price(asked, free, week)
    told = list(price.why)
    first = week.open_days[0] if week.open_days else monday
    if first > visit.due_on:
        told.insert(0, f"its annual is due {said_date(visit.due_on)}: it may not fly in after that")
    return tuple(told)
