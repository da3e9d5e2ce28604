"""What is asked of one airplane before many doings of its requirements are written down."""

from __future__ import annotations

from datetime import date
from typing import NamedTuple

from sqlalchemy import select

from annual_planner.store.mappings import AssemblyRow, ComplianceRow, InstallationRow, RequirementRow
from annual_planner.store.record_facts import Counted, counted_query, counted_row
from annual_planner.store.session import Work


class CountedHere(NamedTuple):
    """A requirement of the airplane, with what it is called by and what it counts on, in words."""

    counted: Counted
    names: frozenset[str]
    """Its title and the number of its directive, in small letters."""
    counts_on: str
    """'airframe', 'engine 1', 'propeller 1' …"""


def requirements_counted(work: Work, aircraft_id: int) -> list[CountedHere]:
    """Every requirement of an airplane with what it counts on; one query."""
    query = (
        counted_query()
        .add_columns(RequirementRow.directive_number, AssemblyRow.kind, InstallationRow.position)
        .outerjoin(AssemblyRow, AssemblyRow.id == RequirementRow.assembly_id)
        .where(RequirementRow.aircraft_id == aircraft_id)
        .order_by(RequirementRow.id)
    )
    return [_here(tuple(row)) for row in work.session.execute(query)]


def _here(row: tuple[object, ...]) -> CountedHere:
    *facts, directive, kind, position = row
    need = counted_row(facts)
    names = frozenset(str(name).casefold() for name in (need.title, directive) if name)
    counts_on = "airframe" if kind in (None, "airframe") else f"{kind} {position or ''}".strip()
    return CountedHere(need, names, counts_on)


def days_done(work: Work, aircraft_id: int) -> set[tuple[int, date]]:
    """Each requirement of an airplane and each day on which it is written down as done; one query."""
    query = (
        select(ComplianceRow.requirement_id, ComplianceRow.done_on)
        .join(RequirementRow, RequirementRow.id == ComplianceRow.requirement_id)
        .where(RequirementRow.aircraft_id == aircraft_id)
    )
    return {(row[0], row[1]) for row in work.session.execute(query)}
