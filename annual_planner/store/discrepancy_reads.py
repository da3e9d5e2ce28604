"""Readers for the review of discrepancies: ids in their order, then the lines of a page; sums and flow."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from decimal import Decimal
from functools import lru_cache
from typing import Any

from sqlalchemy import ColumnElement, Select, case, func, literal, select, union_all

from annual_planner.store.card_reads import parts_used, photographs
from annual_planner.store.doing_mappings import DiscrepancyStepRow
from annual_planner.store.many_lines import lines_of
from annual_planner.store.mappings import AircraftRow, PersonRow
from annual_planner.store.review_rows import (
    AgeBand,
    BlockedPromise,
    DiscrepancySheet,
    Filter,
    FlowMonth,
    GroupLine,
    ReviewLine,
    StepLine,
)
from annual_planner.store.searching import has_words, in_order, rows_of
from annual_planner.store.session import Work
from annual_planner.store.sorting import Then
from annual_planner.store.work_mappings import DiscrepancyRow, PackageRow
from annual_planner.trade import discrepancy_life
from annual_planner.trade.package_states import CLOSED
from annual_planner.trade.refused import Refused

D = DiscrepancyRow
_LINE: tuple[Any, ...] = (
    D.id, D.aircraft_id, AircraftRow.registration, AircraftRow.model, func.coalesce(PersonRow.name, ""),
    D.zone, D.text, D.found_on, D.state, D.airworthy, D.risk, D.disposition, D.waits_for, D.waits_since,
    D.hours_estimate, D.cost_estimate, D.parts, D.deferred_until, D.closed_on, D.package_id,
    func.coalesce(PackageRow.number, ""), PackageRow.promised_on, D.card_id, D.cylinder, D.how_found,
    D.owner_answer, D.owner_answered_on, D.owner_answered_how, D.placard, D.assembly_id, D.version,
)  # fmt: skip
"""In the order of ReviewLine's fields."""
_IDS: Select[Any] = select(D.id)
_LINES: Select[Any] = select(*_LINE)


def _ranked(column: Any, *words: str) -> ColumnElement[int]:
    return case({word: n for n, word in enumerate(words)}, value=column, else_=len(words))


_RISK = _ranked(D.risk, *discrepancy_life.RISKS)
_AIRWORTHY = case((D.airworthy.is_(False), 0), (D.airworthy.is_(None), 1), else_=2)

REVIEW_ORDERS: dict[str, tuple[Any, ...]] = {
    "age": (D.found_on, D.id),
    "found_on": (D.found_on, D.id),
    "registration": (AircraftRow.registration, D.found_on),
    "risk": (_RISK, D.found_on),
    "airworthy": (_AIRWORTHY, D.found_on),
    "waits_for": (D.waits_for, D.waits_since),
    "waits_since": (D.waits_since,),
    "state": (_ranked(D.state, *discrepancy_life.STATES), D.found_on),
    "disposition": (D.disposition, D.found_on),
    "hours_estimate": (D.hours_estimate,),
    "cost_estimate": (D.cost_estimate,),
    "promised_on": (PackageRow.promised_on, D.found_on),
    "deferred_until": (D.deferred_until,),
    "owner": (PersonRow.name, D.found_on),
    "zone": (D.zone, D.found_on),
    "text": (D.text,),
}
"""What the review can be sorted by."""
GROUPS: dict[str, Any] = {
    "registration": AircraftRow.registration,
    "risk": D.risk,
    "waits_for": D.waits_for,
    "disposition": D.disposition,
    "state": D.state,
    "owner": func.coalesce(PersonRow.name, ""),
}
"""What the review can be grouped by."""


def review_ids(
    work: Work,
    which: Filter,
    *,
    order: str = "age",
    descending: bool = False,
    then: Then | None = None,
    group: str = "",
) -> list[int]:
    """The ids of the discrepancies asked for: by group where one is named, then in the order asked for.

    Refused for an order or a group that there isn't.
    """
    return [row[0] for row in rows_of(work, _asked(_IDS, which, order, descending, then, group))]


def review_lines(work: Work, ids: Sequence[int]) -> list[ReviewLine]:
    """The lines of these discrepancies, in the order of the ids; one that is gone is left out."""
    query = _joined(_LINES).where(D.id.in_(ids))
    found = {line.discrepancy_id: line for line in lines_of(ReviewLine, rows_of(work, query))}
    return [found[each] for each in ids if each in found]


def group_lines(work: Work, which: Filter, group: str) -> list[GroupLine]:
    """Each group with how many, their hours and cost, and since when: one query."""
    column = _group(group)
    hours, cost = (func.coalesce(func.sum(each), 0) for each in (D.hours_estimate, D.cost_estimate))
    query = _which(_joined(select(column, func.count(), hours, cost, func.min(D.found_on))), which)
    rows = rows_of(work, query.group_by(column).order_by(column))
    return [
        GroupLine(value, count, hours or Decimal(0), cost or Decimal(0), oldest)
        for value, count, hours, cost, oldest in rows
    ]


def _joined(query: Select[Any]) -> Select[Any]:
    return (
        query.select_from(D)
        .join(AircraftRow, AircraftRow.id == D.aircraft_id)
        .outerjoin(PersonRow, PersonRow.id == AircraftRow.owner_id)
        .outerjoin(PackageRow, PackageRow.id == D.package_id)
    )


@lru_cache(maxsize=256)
def _asked(
    query: Select[Any], which: Filter, order: str, descending: bool, then: Then | None, group: str
) -> Select[Any]:
    query = _which(_joined(query), which)
    if group:
        query = query.order_by(_RISK if group == "risk" else _group(group))
    return query.order_by(*in_order(REVIEW_ORDERS, order, descending, (D.id,), then))


def _group(group: str) -> Any:
    if group not in GROUPS:
        raise Refused(f"There is no group by '{group}'.", f"Group by one of: {', '.join(GROUPS)}.")
    return GROUPS[group]


def _which(query: Select[Any], which: Filter) -> Select[Any]:
    return query.where(*_wheres(which))


def _wheres(which: Filter) -> Iterator[ColumnElement[bool]]:
    if which.open_only:
        yield D.closed_on.is_(None)
    equal = {D.aircraft_id: which.aircraft_id, D.package_id: which.package_id}
    equal |= {AircraftRow.owner_id: which.owner_id}
    yield from (column == value for column, value in equal.items() if value is not None)
    words = {D.state: which.state, D.risk: which.risk, D.disposition: which.disposition}
    yield from (column == value for column, value in words.items() if value)
    if which.waits_for:
        yield D.waits_for == ("" if which.waits_for == "nobody" else which.waits_for)
    if which.airworthy:
        yield D.airworthy.is_({"yes": True, "no": False}.get(which.airworthy))
    if which.found_until is not None:
        yield D.found_on <= which.found_until
    if which.search.strip():
        columns = (AircraftRow.registration, AircraftRow.model, D.text, D.zone, D.parts, PersonRow.name)
        yield has_words(which.search, columns)


def discrepancy_sheet(work: Work, discrepancy_id: int) -> DiscrepancySheet:
    """One discrepancy with its steps, parts and photographs: four queries. Refused when it is gone."""
    found = review_lines(work, [discrepancy_id])
    if not found:
        raise Refused("That discrepancy is no longer there.", "Open the list again.")
    return DiscrepancySheet(
        line=found[0],
        steps=steps_of(work, discrepancy_id),
        parts=parts_used(work, discrepancy_id=discrepancy_id),
        photographs=photographs(work, discrepancy_id=discrepancy_id),
    )


def steps_of(work: Work, discrepancy_id: int) -> tuple[StepLine, ...]:
    """Every step in the life of a discrepancy, oldest first."""
    query = (
        select(DiscrepancyStepRow, PersonRow.name)
        .outerjoin(PersonRow, PersonRow.id == DiscrepancyStepRow.person_id)
        .where(DiscrepancyStepRow.discrepancy_id == discrepancy_id)
        .order_by(DiscrepancyStepRow.id)
    )
    return tuple(
        StepLine(row.step, row.on, row.written_at, row.person_id, name or "", row.said, row.facts)
        for row, name in work.session.execute(query)
    )


def flow(work: Work, since: date, until: date) -> tuple[FlowMonth, ...]:
    """What was opened and closed in each month from one day to another: one query.

    A discrepancy counts from the day it was found to the day it was closed for good.
    """
    opened = select(D.found_on.label("on"), literal(1).label("plus"), literal(0).label("minus"))
    closed = select(D.closed_on.label("on"), literal(0).label("plus"), literal(1).label("minus"))
    opened, closed = opened.where(D.found_on <= until), closed.where(D.closed_on <= until)
    days = union_all(opened, closed).subquery()
    query = select(days.c.on, func.sum(days.c.plus), func.sum(days.c.minus)).group_by(days.c.on)
    counted = [(on, int(plus), int(minus)) for on, plus, minus in work.session.execute(query)]
    first = since.replace(day=1)
    standing = sum(plus - minus for on, plus, minus in counted if on < first)
    months = []
    while first <= until:
        following = (first + timedelta(days=32)).replace(day=1)
        here = [(plus, minus) for on, plus, minus in counted if first <= on < following]
        plus, minus = sum(each[0] for each in here), sum(each[1] for each in here)
        standing += plus - minus
        months.append(FlowMonth(first, plus, minus, standing))
        first = following
    return tuple(months)


AGE_BANDS = ((30, "up to a month"), (90, "one to three months"), (365, "three months to a year"))
"""Days up to which an age is said so; what is older is 'more than a year'."""


def ages(work: Work, today: date) -> tuple[AgeBand, ...]:
    """How many are open of each age: one query."""
    ends = [(D.found_on >= today - timedelta(days=days), n) for n, (days, _) in enumerate(AGE_BANDS)]
    band = case(*ends, else_=len(AGE_BANDS))
    query = select(band, func.count()).where(D.closed_on.is_(None)).group_by(band)
    counted: dict[int, int] = {row[0]: row[1] for row in work.session.execute(query)}
    titles = (*(title for _, title in AGE_BANDS), "more than a year")
    return tuple(AgeBand(title, counted.get(n, 0)) for n, title in enumerate(titles))


def promises_blocked(work: Work) -> tuple[BlockedPromise, ...]:
    """Days promised to owners that open discrepancies stand in the way of, the nearest day first: one query.

    What was decided to be watched, deferred or declined stands in no way.
    """
    query = (
        select(PackageRow, AircraftRow.registration, D.id, D.waits_for, D.hours_estimate)
        .join(D, D.package_id == PackageRow.id)
        .join(AircraftRow, AircraftRow.id == PackageRow.aircraft_id)
        .where(
            PackageRow.state != CLOSED,
            PackageRow.promised_on.is_not(None),
            D.closed_on.is_(None),
            D.disposition.in_(("", "correct now")),
        )
        .order_by(PackageRow.promised_on, PackageRow.id, D.found_on, D.id)
    )
    held: dict[int, list[Any]] = {}
    for row in work.session.execute(query):
        held.setdefault(row[0].id, []).append(row)
    return tuple(_blocked(rows) for rows in held.values())


def _blocked(rows: Sequence[Any]) -> BlockedPromise:
    package, registration = rows[0][0], rows[0][1]
    return BlockedPromise(
        package_id=package.id,
        package=package.number,
        registration=registration,
        promised_on=package.promised_on,
        open_count=len(rows),
        waiting=tuple(dict.fromkeys(row[3] for row in rows if row[3])),
        hours=sum((row[4] for row in rows if row[4] is not None), Decimal(0)),
        discrepancy_ids=tuple(row[2] for row in rows),
    )
