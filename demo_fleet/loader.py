"""Builds a fleet file from the demo's data files: the same day gives the same file."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from datetime import date, timedelta
from pathlib import Path
from typing import Any

from annual_planner.library.shelf import load_library
from annual_planner.records.due_state import refresh
from annual_planner.store.bulk import insert_many
from annual_planner.store.fleet_reads import set_fleet_fact
from annual_planner.store.opening import open_fleet
from annual_planner.store.refusals import NoFleetYet
from annual_planner.store.server import is_server
from annual_planner.store.session import Fleet, Work
from annual_planner.trade.refused import Refused
from demo_fleet.airplane import airplane_rows
from demo_fleet.discrepancies import discrepancy_rows
from demo_fleet.engines import engine_rows, shop_of
from demo_fleet.shop_rows import TABLES as SHOP
from demo_fleet.shop_rows import shop_rows
from demo_fleet.written import Demo, WrittenPerson, read_demo

DEMO_TODAY = date(2026, 5, 4)
DEMO_AIRPLANE = "N012MH"
"""The airplane of the guided plan."""

WEDNESDAY = 2


def demo_visit(today: date) -> date:
    """First day of the guided visit.

    A Wednesday in a week or so: its owner, who comes on Saturdays, has one before it and one within.
    """
    soon = today + timedelta(days=7)
    return soon + timedelta(days=(WEDNESDAY - soon.weekday()) % 7)


BY = "demo"
ORDER = (
    "person", "certificate", "aircraft", "assembly", "installation", "meter", "meter_reading",
    "requirement", "compliance", "discrepancy", "discrepancy_step",
    "spark_plug", "plug_rotation", "plug_stay", "plug_check",
    "compression_test", "cylinder_reading", "cylinder_change", *SHOP,
)  # fmt: skip
"""Tables in the order in which they refer to each other."""

Rows = dict[str, list[dict[str, Any]]]


def build_demo(where: Path | str, *, today: date = DEMO_TODAY) -> None:
    """Make a new fleet file with the demo in it, as it stands on `today`; or fill a server's empty database.

    Raises Refused when there is a file, or a fleet, already. What ends half-way leaves no file behind, and in
    a database an empty fleet.
    """
    demo = read_demo()
    rows = demo_rows(demo, today)
    if is_server(str(where)):
        _build_on_server(str(where), rows, today)
        return
    path = Path(where)
    if path.exists():
        raise Refused(f"{path} exists already.", "Name a new file for the demo fleet.")
    with closing(open_fleet(path, create=True)) as fleet:
        try:
            _fill(fleet, rows, today)
        except BaseException:
            fleet.engine.dispose()
            path.unlink(missing_ok=True)
            raise


def _build_on_server(address: str, rows: Rows, today: date) -> None:
    try:
        open_fleet(address, read_only=True).close()
    except NoFleetYet:
        with closing(open_fleet(address, create=True)) as fleet:
            _fill(fleet, rows, today)
    else:
        raise Refused("There is a fleet in that database already.", "Name an empty one for the demo fleet.")


def _fill(fleet: Fleet, rows: Rows, today: date) -> None:
    with fleet.work(BY) as work:
        for table in ORDER:
            insert_many(work, table, rows[table])
        _mark_as_demo(work, today)
        for aircraft in rows["aircraft"]:
            refresh(work, aircraft["id"], today)


def demo_rows(demo: Demo, today: date) -> Rows:
    """Every row of the demo by table, ids given."""
    rows: Rows = {table: [] for table in ORDER}
    people = {person.name: number for number, person in enumerate(demo.people, 1)}
    rows["person"] = [_person_row(people[person.name], person) for person in demo.people]
    rows["certificate"] = list(_certificate_rows(demo))
    library = load_library()
    shop = shop_of(library)
    for aircraft in demo.aircraft:
        build = airplane_rows(aircraft, demo, people, library.requirements, today, rows)
        engine_rows(build, demo.engines, shop)
    airplanes = {each["registration"]: each["id"] for each in rows["aircraft"]}
    rows |= discrepancy_rows(demo.discrepancies, people, airplanes, today)
    rows |= shop_rows(people, airplanes, today)
    return rows


def _mark_as_demo(work: Work, today: date) -> None:
    set_fleet_fact(work, "name", "Demo fleet, Fenny Grass Airfield")
    set_fleet_fact(work, "demo", "yes")
    set_fleet_fact(work, "today", today.isoformat())


def _person_row(person_id: int, person: WrittenPerson) -> dict[str, Any]:
    return {
        "id": person_id,
        "name": person.name,
        "roles": list(person.roles),
        "contact": person.contact,
    }


def _certificate_rows(demo: Demo) -> Iterator[dict[str, Any]]:
    number = 0
    for person_id, person in enumerate(demo.people, 1):
        for certificate in person.certificate:
            number += 1
            yield {
                "id": number,
                "person_id": person_id,
                **certificate.model_dump(exclude={"ratings", "months_worked_in_24"}),
                "ratings": list(certificate.ratings),
                "base_moved_on": None,
                "base_notice_on": None,
                "months_worked_in_24": certificate.months_worked_in_24,
            }
