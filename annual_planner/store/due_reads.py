"""Readers of what is due: across the fleet, of one owner, of one airplane."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from functools import lru_cache
from typing import Any

from sqlalchemy import Select, func, select

from annual_planner.store.due_days import shown
from annual_planner.store.many_lines import lines_of
from annual_planner.store.mappings import AircraftRow, DueRow, PersonRow, RequirementRow, StandingRow
from annual_planner.store.rows import DueLine
from annual_planner.store.searching import (
    day,
    has_words,
    ids_of,
    in_order,
    maybe_never,
    rows_of,
    worst_first,
)
from annual_planner.store.session import Work
from annual_planner.store.sorting import Then
from annual_planner.trade.periods import DueState

_LINE = (
    DueRow.requirement_id,
    DueRow.aircraft_id,
    AircraftRow.registration,
    RequirementRow.title,
    RequirementRow.key,
    RequirementRow.citation,
    RequirementRow.source,
    RequirementRow.force,
    DueRow.interval,
    DueRow.counts_on,
    day(DueRow.last_on),
    DueRow.last_hours,
    day(DueRow.due_on),
    DueRow.due_hours,
    DueRow.hours_left,
    DueRow.state,
    DueRow.first_limit,
    day(shown(DueRow.forecast_on)),
    day(shown(DueRow.early_on)),
    day(shown(DueRow.late_on)),
    maybe_never(DueRow.comes_first_on),
    DueRow.note,
)
"""In the order of DueLine's fields."""

# Made once: a cached question is asked again without building its query anew.
_IDS, _LINES = select(DueRow.requirement_id), select(*_LINE)

DUE_ORDERS: dict[str, tuple[Any, ...]] = {
    "comes_first": (DueRow.comes_first_on, DueRow.requirement_id),
    "comes_first_on": (DueRow.comes_first_on, DueRow.requirement_id),
    "registration": (AircraftRow.registration, DueRow.comes_first_on),
    "title": (RequirementRow.title, DueRow.comes_first_on),
    "key": (RequirementRow.key, DueRow.comes_first_on),
    "citation": (RequirementRow.citation, DueRow.comes_first_on),
    "source": (RequirementRow.source, DueRow.comes_first_on),
    "force": (RequirementRow.force, DueRow.comes_first_on),
    "interval": (DueRow.interval, DueRow.comes_first_on),
    "counts_on": (DueRow.counts_on, DueRow.comes_first_on),
    "last_on": (DueRow.last_on,),
    "last_hours": (DueRow.last_hours,),
    "due_on": (DueRow.due_on,),
    "due_hours": (DueRow.due_hours,),
    "hours_left": (DueRow.hours_left,),
    "state": (worst_first(DueRow.state), DueRow.comes_first_on),
    "first_limit": (DueRow.first_limit, DueRow.comes_first_on),
    "forecast_on": (DueRow.forecast_on,),
    "early_on": (DueRow.early_on,),
    "late_on": (DueRow.late_on,),
    "note": (DueRow.note, DueRow.comes_first_on),
}
"""What a due list can be sorted by."""


def due_ids(
    work: Work,
    *,
    aircraft_id: int | None = None,
    owner_id: int | None = None,
    until: date | None = None,
    state: str = "",
    search: str = "",
    order: str = "comes_first",
    descending: bool = False,
    then: Then | None = None,
) -> list[int]:
    """The ids of the requirements asked for, in the order asked for.

    `until`: expected to come due by that day. `search`: in registration, title, citation, model and owner.
    `then`: a second order, for what the first leaves equal. What has ended is left out unless `state` asks
    for it or one airplane is looked at.
    """
    query = _asked(_IDS, aircraft_id, owner_id, until, state, search, order, descending, then)
    return ids_of(work, query)


def due_count(work: Work, *, owner_id: int | None = None) -> int:
    """How many lines there are in the fleet, or on an owner's airplanes, but for what has ended."""
    query = select(func.count()).select_from(DueRow).where(DueRow.state != DueState.ENDED.value)
    if owner_id is not None:
        query = query.join(AircraftRow, AircraftRow.id == DueRow.aircraft_id)
        query = query.where(AircraftRow.owner_id == owner_id)
    return work.session.scalar(query) or 0


def due_lines(work: Work, requirement_ids: Sequence[int]) -> list[DueLine]:
    """The lines of these requirements, in the order of the ids; one that is gone is left out."""
    query = _joined(_LINES, owners=False).where(DueRow.requirement_id.in_(requirement_ids))
    found = {line.requirement_id: line for line in lines_of(DueLine, rows_of(work, query))}
    return [found[each] for each in requirement_ids if each in found]


def due_page(work: Work, *, aircraft_id: int | None = None, limit: int = 200) -> list[DueLine]:
    """What comes due first in the fleet or on one airplane: one query."""
    return lines_of(DueLine, rows_of(work, _first(aircraft_id, limit)))


@lru_cache(maxsize=64)
def _first(aircraft_id: int | None, limit: int) -> Select[Any]:
    """The same query for the same page, so that it is prepared once."""
    return _asked(_LINES, aircraft_id, None, None, "", "", "comes_first", False, None).limit(limit)


def _joined(query: Select[Any], *, owners: bool) -> Select[Any]:
    query = (
        # Each line has both; joined so, a database leaves out the one that isn't asked about.
        query.select_from(DueRow)
        .outerjoin(RequirementRow, RequirementRow.id == DueRow.requirement_id)
        .outerjoin(AircraftRow, AircraftRow.id == DueRow.aircraft_id)
        .outerjoin(StandingRow, StandingRow.aircraft_id == DueRow.aircraft_id)
    )
    return query.outerjoin(PersonRow, PersonRow.id == AircraftRow.owner_id) if owners else query


@lru_cache(maxsize=256)
def _asked(
    query: Select[Any],
    aircraft_id: int | None,
    owner_id: int | None,
    until: date | None,
    state: str,
    search: str,
    order: str,
    descending: bool,
    then: Then | None,
) -> Select[Any]:
    query = _joined(query, owners=bool(search.strip()))
    if aircraft_id is not None:
        query = query.where(DueRow.aircraft_id == aircraft_id)
    if owner_id is not None:
        query = query.where(AircraftRow.owner_id == owner_id)
    if until is not None:
        query = query.where(DueRow.comes_first_on <= until)
    if state:
        query = query.where(DueRow.state == state)
    elif aircraft_id is None:
        query = query.where(DueRow.state != DueState.ENDED.value)
    if search.strip():
        looked_at = (AircraftRow.registration, RequirementRow.title, RequirementRow.citation)
        query = query.where(has_words(search, (*looked_at, AircraftRow.model, PersonRow.name)))
    return query.order_by(*in_order(DUE_ORDERS, order, descending, (DueRow.requirement_id,), then))
