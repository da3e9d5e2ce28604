"""Builds small fleets with a real database, so that planning has something to stand on."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

from annual_planner.records.edits import Changed, Edit
from annual_planner.store.bulk import insert_many
from annual_planner.store.opening import open_fleet
from annual_planner.store.session import Fleet, Work
from annual_planner.trade.intervals import next_due
from annual_planner.trade.periods import DuePoint, Force, Interval, Point
from annual_planner.trade.standing import due_state

TODAY = date(2026, 5, 4)
START = date(2026, 5, 11)
REGISTRATION = "N012AP"
FEATURES = [
    "metal_skin", "low_wing", "flaps", "fixed_gear", "nosewheel", "wheels", "oleo", "hydraulic_brakes",
    "opposed", "carburetor", "oil_filter", "magnetos", "starter", "fuel_pump", "cabin_heat", "fixed_pitch",
    "vacuum", "electrical", "alternator", "position_lights", "radios", "transponder", "elt",
]  # fmt: skip
OWNER, MECHANIC, HELPER, INSPECTOR = 1, 2, 3, 4
AIRPLANE = 1


def empty_fleet(folder: Path) -> Fleet:
    return open_fleet(folder / "small.fleet", create=True)


def small_fleet(folder: Path, *, engines: int = 1, requirements: list[dict[str, Any]] | None = None) -> Fleet:
    """One airplane with an owner, a mechanic, a helper and an inspector; 1,500.0 h, 10 h a month."""
    fleet = empty_fleet(folder)
    with fleet.work("a test") as work:
        _people(work)
        _airplane(work, engines)
        for values in usual_requirements() if requirements is None else requirements:
            add_requirement(work, **values)
    return fleet


def _people(work: Work) -> None:
    names = ["Olive Tarn", "Mel Rook", "Hal Finch", "Ina Marsh"]
    people = [
        {"id": n, "name": name, "roles": ["owner" if n == OWNER else "mechanic"], "contact": ""}
        for n, name in enumerate(names, 1)
    ]
    insert_many(work, "person", people)
    held = [
        (OWNER, "pilot", ["private"]),
        (MECHANIC, "mechanic", ["airframe", "powerplant"]),
        (INSPECTOR, "mechanic", ["airframe", "powerplant"]),
        (INSPECTOR, "inspection authorization", []),
    ]
    insert_many(work, "certificate", [_certificate(n, *each) for n, each in enumerate(held, 1)])


def _certificate(row_id: int, person_id: int, kind: str, ratings: list[str]) -> dict[str, Any]:
    return {
        "id": row_id, "person_id": person_id, "kind": kind, "number": f"X{row_id}", "ratings": ratings,
        "valid_from": date(2025, 4, 1), "expires_on": None, "activity_met": True, "base_moved_on": None,
        "base_notice_on": None, "months_worked_in_24": Decimal(24),
    }  # fmt: skip


def _airplane(work: Work, engines: int) -> None:
    counts = {"engines": engines, "cylinders": 4 * engines, "plugs": 8 * engines, "wheels": 3}
    aircraft = {
        "id": AIRPLANE, "registration": REGISTRATION, "maker": "Heron Works", "model": "H2", "serial": "17",
        "year_built": 1979, "category": "standard", "uses": [], "features": FEATURES, "counts": counts,
        "owner_id": OWNER, "base": "a meadow", "stated_hours_per_month": Decimal(10), "notes": "",
    }  # fmt: skip
    insert_many(work, "aircraft", [aircraft])
    for n in range(1, engines + 1):
        _engine(work, n)
    standing = {
        "aircraft_id": AIRPLANE, "comes_first_on": TODAY, "first_requirement_id": None, "first_title": "",
        "state": "in date", "overdue": 0, "due_soon": 0, "annual_due_on": None, "hours_now": Decimal(1500),
        "landings_now": None, "read_on": TODAY, "hours_per_month": Decimal(10),
        "worked_out_on": TODAY,
    }  # fmt: skip
    insert_many(work, "aircraft_standing", [standing])


def _engine(work: Work, n: int) -> None:
    engine = {
        "id": n, "kind": "engine", "maker": "Heron Works", "model": "E4", "serial": f"E-{n}",
        "hours_since_overhaul_at_fitting": None,
    }  # fmt: skip
    insert_many(work, "assembly", [engine])
    fitted = {
        "id": n, "assembly_id": n, "aircraft_id": AIRPLANE, "position": n, "fitted_on": date(2020, 1, 1),
        "airframe_hours_at_fitting": Decimal(1000), "assembly_hours_at_fitting": Decimal(0),
        "removed_on": None, "airframe_hours_at_removal": None, "assembly_hours_at_removal": None,
    }  # fmt: skip
    insert_many(work, "installation", [fitted])


def usual_requirements() -> list[dict[str, Any]]:
    """An annual, a transponder test soon due, an oil change, a far one, a directive of its own, a pump."""
    return [
        {"id": 1, "key": "annual", "title": "Annual inspection", "every": Interval(calendar_months=12),
         "done_on": date(2025, 5, 20)},
        {"id": 2, "key": "transponder", "title": "Transponder test", "every": Interval(calendar_months=24),
         "done_on": date(2024, 8, 12)},
        {"id": 3, "key": "oil_change", "title": "Oil and filter change", "every": Interval(hours=Decimal(50)),
         "done_on": date(2026, 4, 1), "done_hours": Decimal(490), "force": Force.RECOMMENDED, "engine": 1},
        {"id": 4, "key": "engine_hoses", "title": "Engine hoses", "every": Interval(months=72),
         "done_on": date(2025, 1, 10), "force": Force.RECOMMENDED},
        {"id": 5, "key": "", "title": "Look at the widget bracket", "every": Interval(hours=Decimal(100)),
         "done_on": date(2026, 1, 10), "done_hours": Decimal(1460), "force": Force.DIRECTIVE},
        {"id": 6, "key": "vacuum_pump", "title": "Vacuum pump", "every": Interval(months=24),
         "done_on": date(2025, 3, 2), "force": Force.RECOMMENDED},
    ]  # fmt: skip


def add_requirement(
    work: Work,
    *,
    id: int,  # noqa: A002 - the column is called so
    key: str,
    title: str,
    every: Interval | None,
    done_on: date | None,
    done_hours: Decimal | None = None,
    force: Force = Force.RULE,
    engine: int = 0,
    fixed_on: date | None = None,
) -> None:
    """A requirement, its last doing and its due row; hours fall due at 10 h a month."""
    written = every or Interval(days=1)
    limits = ("hours", "cycles", "calendar_months", "months", "days")
    row = {
        **{f"every_{name}": getattr(every, name) if every else None for name in limits},
        "id": id, "aircraft_id": AIRPLANE, "assembly_id": engine or None, "key": key, "title": title,
        "source": "a test", "citation": f"source {id}", "force": force.value, "logic": written.logic.value,
        "recurring": written.recurring, "enroute_excess_hours": written.enroute_excess_hours,
        "effective_on": None, "effective_hours": None, "fixed_on": fixed_on, "directive_number": "",
        "directive_revised_on": None, "terminated": "", "note": "",
    }  # fmt: skip
    insert_many(work, "requirement", [row])
    last = Point(done_on, done_hours) if done_on is not None else None
    if last is not None:
        insert_many(work, "compliance", [_doing(id, last)])
    due = next_due(every, last, fixed_on=fixed_on).value
    insert_many(work, "due", [_due_row(id, due, force, engine)])


def _doing(requirement_id: int, last: Point) -> dict[str, Any]:
    return {
        "id": requirement_id, "requirement_id": requirement_id, "done_on": last.on, "done_hours": last.hours,
        "done_cycles": None, "method": "", "entry": "", "done_by": "", "enroute": False,
    }  # fmt: skip


def _due_row(requirement_id: int, due: DuePoint, force: Force, engine: int) -> dict[str, Any]:
    now = Decimal(500) if engine else Decimal(1500)
    left = due.hours - now if due.hours is not None else None
    forecast = date.fromordinal(TODAY.toordinal() + int(left * 3)) if left is not None else None
    days = [day for day in (due.on, forecast) if day is not None]
    return {
        "requirement_id": requirement_id, "aircraft_id": AIRPLANE, "due_on": due.on, "due_hours": due.hours,
        "due_cycles": None, "hours_left": left, "state": due_state(due, Point(TODAY, now), force=force).value,
        "first_limit": "", "forecast_on": forecast, "early_on": forecast, "late_on": forecast,
        "comes_first_on": min(days, default=date.max),
    }  # fmt: skip


def add_discrepancy(
    work: Work, row_id: int, text: str, *, zone: str = "engine", disposition: str = ""
) -> None:
    row = {
        "id": row_id, "aircraft_id": AIRPLANE, "found_on": date(2026, 2, 1), "zone": zone, "text": text,
        "airworthy": True, "disposition": disposition, "closed_on": None, "hours_estimate": Decimal(2),
    }  # fmt: skip
    insert_many(work, "discrepancy", [row])


def applied(fleet: Fleet, edit: Edit, by: str = "a test") -> Changed:
    """Apply one edit in a transaction of its own."""
    with fleet.work(by) as work:
        return edit.apply(work, TODAY)
