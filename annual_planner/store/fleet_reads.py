"""Every reader of the fleet in one place: each is one query (or a fixed few) for one page of frozen rows."""

from __future__ import annotations

from annual_planner.store.aircraft_reads import (
    FLEET_ORDERS,
    aircraft_sheet,
    find_aircraft,
    fleet_ids,
    fleet_lines,
    owner_of,
    registration_of,
    registrations,
)
from annual_planner.store.due_reads import DUE_ORDERS, due_count, due_ids, due_lines, due_page
from annual_planner.store.people_reads import fleet_fact, people, person_values, set_fleet_fact
from annual_planner.store.record_reads import assemblies, compliances, discrepancies, packages, readings

__all__ = [
    "DUE_ORDERS",
    "FLEET_ORDERS",
    "aircraft_sheet",
    "assemblies",
    "compliances",
    "discrepancies",
    "due_count",
    "due_ids",
    "due_lines",
    "due_page",
    "find_aircraft",
    "fleet_fact",
    "fleet_ids",
    "fleet_lines",
    "owner_of",
    "packages",
    "people",
    "person_values",
    "readings",
    "registration_of",
    "registrations",
    "set_fleet_fact",
]
