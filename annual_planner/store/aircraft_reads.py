"""Readers of airplanes: the fleet list, one airplane's sheet, finding one by registration."""

from __future__ import annotations

from collections.abc import Sequence
from difflib import get_close_matches
from functools import lru_cache
from typing import Any

from sqlalchemy import Select, func, select

from annual_planner.store.many_lines import lines_of
from annual_planner.store.mappings import AircraftRow, PersonRow, StandingRow
from annual_planner.store.rows import AircraftSheet, FleetLine
from annual_planner.store.searching import (
    has_words,
    ids_of,
    in_order,
    maybe_never,
    rows_of,
    worst_first,
)
from annual_planner.store.session import Work
from annual_planner.store.sorting import Then
from annual_planner.store.work_mappings import PackageRow
from annual_planner.trade.refused import Refused

_OPEN_PACKAGE = (
    select(func.max(PackageRow.id))
    .where(PackageRow.aircraft_id == AircraftRow.id, PackageRow.state != "closed")
    .correlate(AircraftRow)
    .scalar_subquery()
)

_LINE = (
    AircraftRow.id,
    AircraftRow.registration,
    AircraftRow.maker,
    AircraftRow.model,
    func.coalesce(PersonRow.name, ""),
    AircraftRow.owner_id,
    AircraftRow.base,
    StandingRow.state,
    StandingRow.first_title,
    maybe_never(StandingRow.comes_first_on),
    StandingRow.annual_due_on,
    StandingRow.hours_now,
    StandingRow.read_on,
    StandingRow.hours_per_month,
    StandingRow.overdue,
    StandingRow.due_soon,
    _OPEN_PACKAGE,
)
"""In the order of FleetLine's fields."""

# Made once: a cached question is asked again without building its query anew.
_IDS, _LINES = select(StandingRow.aircraft_id), select(*_LINE)

FLEET_ORDERS: dict[str, tuple[Any, ...]] = {
    "comes_first": (StandingRow.comes_first_on, StandingRow.aircraft_id),
    "comes_first_on": (StandingRow.comes_first_on, StandingRow.aircraft_id),
    "registration": (AircraftRow.registration,),
    "maker": (AircraftRow.maker, AircraftRow.model),
    "model": (AircraftRow.model, AircraftRow.maker),
    "owner": (PersonRow.name,),
    "base": (AircraftRow.base,),
    "state": (worst_first(StandingRow.state), StandingRow.comes_first_on),
    "first_title": (StandingRow.first_title, StandingRow.comes_first_on),
    "annual_due_on": (StandingRow.annual_due_on,),
    "hours_now": (StandingRow.hours_now,),
    "read_on": (StandingRow.read_on,),
    "hours_per_month": (StandingRow.hours_per_month,),
    "overdue": (StandingRow.overdue, StandingRow.due_soon),
    "due_soon": (StandingRow.due_soon, StandingRow.overdue),
    "open_package_id": (_OPEN_PACKAGE,),
}
"""What the fleet list can be sorted by."""


def fleet_ids(
    work: Work,
    *,
    order: str = "comes_first",
    descending: bool = False,
    search: str = "",
    owner_id: int | None = None,
    state: str = "",
    then: Then | None = None,
) -> list[int]:
    """The ids of the airplanes asked for, in the order asked for.

    `search` looks at registration, maker, model, owner and base. `then`: a second order, for equals.
    """
    query = _asked(_IDS, order, descending, search, owner_id, state, then)
    return ids_of(work, query)


def fleet_lines(work: Work, ids: Sequence[int]) -> list[FleetLine]:
    """The lines of these airplanes, in the order of the ids; one that is gone is left out."""
    query = _joined(_LINES).where(StandingRow.aircraft_id.in_(ids))
    found = {line.aircraft_id: line for line in lines_of(FleetLine, rows_of(work, query))}
    return [found[each] for each in ids if each in found]


def _joined(query: Select[Any]) -> Select[Any]:
    return (
        query.select_from(StandingRow)
        .join(AircraftRow, AircraftRow.id == StandingRow.aircraft_id)
        .outerjoin(PersonRow, PersonRow.id == AircraftRow.owner_id)
    )


@lru_cache(maxsize=256)
def _asked(
    query: Select[Any],
    order: str,
    descending: bool,
    search: str,
    owner_id: int | None,
    state: str,
    then: Then | None,
) -> Select[Any]:
    query = _joined(query)
    if owner_id is not None:
        query = query.where(AircraftRow.owner_id == owner_id)
    if state:
        query = query.where(StandingRow.state == state)
    if search.strip():
        looked_at = (AircraftRow.registration, AircraftRow.maker, AircraftRow.model)
        query = query.where(has_words(search, (*looked_at, PersonRow.name, AircraftRow.base)))
    return query.order_by(*in_order(FLEET_ORDERS, order, descending, (StandingRow.aircraft_id,), then))


def aircraft_sheet(work: Work, aircraft_id: int) -> AircraftSheet:
    """One airplane's particulars. Raises Refused when it is gone."""
    query = (
        select(AircraftRow, PersonRow.name, StandingRow)
        .outerjoin(PersonRow, PersonRow.id == AircraftRow.owner_id)
        .outerjoin(StandingRow, StandingRow.aircraft_id == AircraftRow.id)
        .where(AircraftRow.id == aircraft_id)
    )
    found = work.session.execute(query).first()
    if found is None:
        raise Refused("The airplane is no longer in the fleet.", "Go back to the fleet list.")
    return _sheet(*found)


def _sheet(row: AircraftRow, owner: str | None, stands: StandingRow | None) -> AircraftSheet:
    return AircraftSheet(
        aircraft_id=row.id,
        registration=row.registration,
        maker=row.maker,
        model=row.model,
        serial=row.serial,
        year_built=row.year_built,
        category=row.category,
        uses=tuple(row.uses),
        features=tuple(row.features),
        counts={key: int(count) for key, count in row.counts.items()},
        owner_id=row.owner_id,
        owner=owner or "",
        base=row.base,
        stated_hours_per_month=row.stated_hours_per_month,
        hours_now=stands.hours_now if stands else None,
        landings_now=stands.landings_now if stands else None,
        read_on=stands.read_on if stands else None,
        hours_per_month=stands.hours_per_month if stands else None,
        state=stands.state if stands else "",
        notes=row.notes,
        version=row.version,
    )


def find_aircraft(work: Work, registration: str) -> int:
    """The id of the airplane with this registration, in either case and with or without spaces.

    Raises Refused, with registrations that are near to it, when there is none.
    """
    wanted = "".join(registration.split()).upper()
    found = work.session.scalar(select(AircraftRow.id).where(AircraftRow.registration == wanted))
    if found is not None:
        return found
    known = list(work.session.scalars(select(AircraftRow.registration).order_by(AircraftRow.registration)))
    same = [each for each in known if each.upper() == wanted]
    if same:
        return find_exactly(work, same[0])
    near = get_close_matches(wanted, known, n=3, cutoff=0.5) or known[:3]
    raise Refused(
        f"There is no airplane {wanted} in this fleet.",
        f"Did you mean {' or '.join(near)}?" if near else "Add the airplane first.",
    )


def find_exactly(work: Work, registration: str) -> int:
    """The id of the airplane with exactly this registration, which is known to exist."""
    return work.session.execute(
        select(AircraftRow.id).where(AircraftRow.registration == registration)
    ).scalar_one()


def registrations(work: Work, owner_id: int | None = None) -> tuple[tuple[int, str], ...]:
    """Every airplane (of an owner) as its id and registration, by registration: one query."""
    query = select(AircraftRow.id, AircraftRow.registration).order_by(AircraftRow.registration)
    if owner_id is not None:
        query = query.where(AircraftRow.owner_id == owner_id)
    return tuple((row[0], row[1]) for row in work.session.execute(query))


def registration_of(work: Work, aircraft_id: int) -> str:
    """The airplane's registration; empty when it is gone."""
    return work.session.scalar(select(AircraftRow.registration).where(AircraftRow.id == aircraft_id)) or ""


def owner_of(work: Work, aircraft_id: int) -> int | None:
    """The person who owns the airplane, where written down."""
    return work.session.scalar(select(AircraftRow.owner_id).where(AircraftRow.id == aircraft_id))
