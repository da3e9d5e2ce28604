"""Any small fleet: airplanes flown unevenly, with requirements of every kind, written down as rows."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from hypothesis import strategies as st

from annual_planner.store.bulk import insert_many
from annual_planner.store.session import Work
from annual_planner.trade.periods import Force, Interval, Logic

FROM = date(2026, 3, 1)
"""About when doings and dates lie."""
ENGINE_LAG_HOURS = Decimal(300)
"""What an engine has less than its airframe."""


@dataclass(frozen=True)
class SomeNeed:
    """One requirement with its last doing."""

    interval: Interval | None
    force: Force
    on_engine: bool
    fixed_on: date | None
    effective_on: date | None
    done_on: date | None
    done_hours: Decimal
    done_cycles: int
    ended: bool


@dataclass(frozen=True)
class SomeAirplane:
    """One airplane: days, hours and landings from one reading to the next, and what it must have done."""

    flown: tuple[tuple[int, Decimal, int], ...]
    first_read_on: date
    stated_hours_per_month: Decimal | None
    needs: tuple[SomeNeed, ...]


_tenths = st.integers(0, 400).map(lambda tenths: Decimal(tenths) / 10)
_calendar = st.one_of(
    st.just({}),
    st.integers(5, 150).map(lambda days: {"days": days}),
    st.integers(1, 5).map(lambda months: {"months": months}),
    st.integers(1, 5).map(lambda months: {"calendar_months": months}),
)


@st.composite
def _intervals(draw: st.DrawFn) -> Interval | None:
    limits: dict[str, Any] = dict(draw(_calendar))
    if draw(st.booleans()):
        limits["hours"] = Decimal(draw(st.integers(5, 120)))
    if draw(st.integers(0, 2)) == 0:
        limits["cycles"] = draw(st.integers(5, 120))
    logic = draw(st.sampled_from((Logic.FIRST, Logic.FIRST, Logic.LAST)))
    return Interval(**limits, logic=logic, recurring=draw(st.integers(0, 9)) > 0) if limits else None


_near = st.integers(-150, 60).map(lambda days: FROM + timedelta(days=days))
_needs = st.builds(
    SomeNeed,
    interval=_intervals(),
    force=st.sampled_from(Force),
    on_engine=st.booleans(),
    fixed_on=st.one_of(st.none(), st.none(), _near),
    effective_on=st.one_of(st.none(), _near),
    done_on=st.one_of(_near, _near, st.none()),
    done_hours=_tenths,
    done_cycles=st.integers(0, 200),
    ended=st.integers(0, 9).map(lambda chance: chance == 0),
)
airplanes = st.builds(
    SomeAirplane,
    flown=st.lists(st.tuples(st.integers(1, 70), _tenths, st.integers(0, 40)), max_size=14).map(tuple),
    first_read_on=st.integers(-760, -60).map(lambda days: FROM + timedelta(days=days)),
    stated_hours_per_month=st.sampled_from((None, Decimal(10), Decimal("2.5"))),
    needs=st.lists(_needs, min_size=1, max_size=6).map(tuple),
)


def write(work: Work, fleet: tuple[SomeAirplane, ...]) -> None:
    """Put these airplanes, numbered from 1, in place of all that are there; nothing is kept of them yet."""
    for table in (
        "due", "aircraft_standing", "compliance", "requirement", "installation", "assembly", "meter_reading",
        "meter", "aircraft",
    ):  # fmt: skip
        work.session.connection().exec_driver_sql(f"DELETE FROM {table}")
    for number, plane in enumerate(fleet, 1):
        _write_airplane(work, number, plane)
        for place, need in enumerate(plane.needs, 1):
            _write_need(work, number, 100 * number + place, need)


def _write_airplane(work: Work, number: int, plane: SomeAirplane) -> None:
    aircraft = {
        "id": number, "registration": f"N0{number:02}AP", "maker": "Harrow", "model": "Kestrel 2",
        "serial": "", "year_built": 1980, "category": "standard", "uses": [], "features": ["wheels"],
        "counts": {"engines": 1}, "owner_id": None, "base": "",
        "stated_hours_per_month": plane.stated_hours_per_month, "notes": "",
    }  # fmt: skip
    meter = {
        "id": number, "aircraft_id": number, "kind": "tach", "fitted_on": date(2000, 1, 1),
        "offset_hours": Decimal(0), "of_record": True, "replaced_on": None,
    }  # fmt: skip
    engine = {
        "id": number, "kind": "engine", "maker": "Brindle", "model": "B-100", "serial": f"E{number}",
        "hours_since_overhaul_at_fitting": None,
    }  # fmt: skip
    stay = {
        "id": number, "assembly_id": number, "aircraft_id": number, "position": 1,
        "fitted_on": date(2020, 1, 1), "airframe_hours_at_fitting": ENGINE_LAG_HOURS,
        "assembly_hours_at_fitting": Decimal(0), "removed_on": None, "airframe_hours_at_removal": None,
        "assembly_hours_at_removal": None,
    }  # fmt: skip
    for table, row in (
        ("aircraft", aircraft),
        ("meter", meter),
        ("assembly", engine),
        ("installation", stay),
    ):
        insert_many(work, table, [row])
    insert_many(work, "meter_reading", _readings(number, plane))


def _readings(number: int, plane: SomeAirplane) -> list[dict[str, Any]]:
    on, hours, landings = plane.first_read_on, Decimal(1000), 2000
    rows = []
    for days, flown, landed in plane.flown:
        on, hours, landings = on + timedelta(days=days), hours + min(flown, Decimal(days)), landings + landed
        rows.append(
            {"meter_id": number, "aircraft_id": number, "read_on": on, "meter_hours": hours,
             "landings": landings, "note": ""}
        )  # fmt: skip
    return rows


def _write_need(work: Work, aircraft_id: int, row_id: int, need: SomeNeed) -> None:
    every = need.interval
    limits = ("hours", "cycles", "calendar_months", "months", "days")
    begins = Decimal(1000) - (ENGINE_LAG_HOURS if need.on_engine else Decimal(0))
    row = {
        **{f"every_{name}": getattr(every, name) if every else None for name in limits},
        "id": row_id, "aircraft_id": aircraft_id, "assembly_id": aircraft_id if need.on_engine else None,
        "key": "", "title": f"Requirement {row_id}", "source": "a test", "citation": "",
        "force": need.force.value, "logic": every.logic.value if every else Logic.FIRST.value,
        "recurring": every.recurring if every else True, "enroute_excess_hours": Decimal(0),
        "effective_on": need.effective_on, "effective_hours": begins if need.effective_on else None,
        "fixed_on": need.fixed_on, "directive_number": "", "directive_revised_on": None,
        "terminated": "replaced" if need.ended else "", "note": "Its own note." if row_id % 2 else "",
    }  # fmt: skip
    insert_many(work, "requirement", [row])
    if need.done_on is not None:
        doing = {
            "requirement_id": row_id, "done_on": need.done_on, "done_hours": begins + need.done_hours,
            "done_cycles": 2000 + need.done_cycles, "method": "", "entry": "", "done_by": "",
            "enroute": False,
        }  # fmt: skip
        insert_many(work, "compliance", [doing])
