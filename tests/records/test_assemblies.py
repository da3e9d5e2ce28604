"""Engines and accessories fitted and removed, with what is due following at once."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from annual_planner.library.shelf import load_library
from annual_planner.records.apply import apply
from annual_planner.records.assemblies import FitAssembly, RemoveAssembly
from annual_planner.records.compliances import RecordCompliance
from annual_planner.records.readings import RecordReading
from annual_planner.records.requirements import AddRequirement
from annual_planner.store.fleet_reads import assemblies, due_page
from annual_planner.store.rows import AssemblyLine, DueLine
from annual_planner.store.session import Fleet
from annual_planner.trade.periods import Interval
from annual_planner.trade.refused import Refused
from tests.fleets import ANN, TODAY, airplane, made

CHANGED_ON = date(2026, 4, 10)


def fitted(fleet: Fleet, plane: int) -> dict[str, AssemblyLine]:
    with fleet.reading() as work:
        lines = assemblies(work, plane)
    return {f"{line.kind} {line.serial}": line for line in lines}


def due(fleet: Fleet, need: int) -> DueLine:
    with fleet.reading() as work:
        return next(line for line in due_page(work, aircraft_id=1) if line.requirement_id == need)


def new_engine(plane: int, **given: object) -> FitAssembly:
    values: dict[str, object] = {
        "kind": "engine",
        "maker": "Brindle",
        "model": "B-100",
        "serial": "E6",
        "fitted_on": CHANGED_ON,
        "airframe_hours": Decimal(1520),
        "assembly_hours": Decimal(0),
        "hours_since_overhaul": Decimal(0),
    }
    return FitAssembly(plane, **{**values, **given})  # type: ignore[arg-type]


@pytest.fixture
def plane(fleet: Fleet) -> int:
    """1500.0 h on 4 January 2026 with engine E5 at 500.0 h; 1530 h on 20 April."""
    plane = made(fleet, airplane())
    apply(fleet, RecordReading(plane, date(2026, 4, 20), Decimal(1530)), ANN, TODAY)
    return plane


def test_what_counts_on_an_engine_is_not_due_once_it_is_off_and_comes_back_when_taken_back(
    fleet: Fleet, plane: int
) -> None:
    engine = fitted(fleet, plane)["engine E5"].assembly_id
    need = made(
        fleet, AddRequirement(plane, "Oil change", "rule", Interval(hours=Decimal(50)), assembly_id=engine)
    )
    apply(fleet, RecordCompliance(need, date(2026, 1, 4), Decimal(500)), ANN, TODAY)
    before = due(fleet, need)
    assert (before.due_hours, before.hours_left) == (Decimal(550), Decimal(20))
    off = RemoveAssembly(engine, CHANGED_ON, Decimal(1520), "overhaul: at the maker's")
    changed = apply(fleet, off, ANN, TODAY)
    assert changed.kinds == {"aircraft", "due"}
    line = fitted(fleet, plane)["engine E5"]
    assert (line.removed_on, line.hours_now) == (CHANGED_ON, Decimal(520))
    assert line.why_removed == "overhaul: at the maker's"
    assert (due(fleet, need).state, due(fleet, need).due_hours) == ("ended", None)
    assert changed.back is not None
    apply(fleet, changed.back, ANN, TODAY)
    assert due(fleet, need) == before
    assert fitted(fleet, plane)["engine E5"].removed_on is None


def test_another_engine_takes_on_what_counts_on_engines_and_leaves_the_rest(fleet: Fleet, plane: int) -> None:
    old = fitted(fleet, plane)["engine E5"].assembly_id
    apply(fleet, RemoveAssembly(old, CHANGED_ON, Decimal(1520), "worn"), ANN, TODAY)
    changed = apply(fleet, new_engine(plane, templates=load_library().requirements), ANN, TODAY)
    with fleet.reading() as work:
        lines = due_page(work, aircraft_id=plane)
    assert lines
    assert {line.counts_on for line in lines} == {"engine 1"}
    assert fitted(fleet, plane)["engine E6"].hours_now == Decimal(10)
    assert fitted(fleet, plane)["engine E6"].hours_since_overhaul == Decimal(10)
    assert changed.back is not None
    apply(fleet, changed.back, ANN, TODAY)
    with fleet.reading() as work:
        assert due_page(work, aircraft_id=plane) == []
    assert "engine E6" not in fitted(fleet, plane)


def test_an_engine_that_comes_back_from_overhaul_goes_on_with_its_history(fleet: Fleet, plane: int) -> None:
    engine = fitted(fleet, plane)["engine E5"].assembly_id
    apply(fleet, RemoveAssembly(engine, date(2026, 2, 1), Decimal(1505), "overhaul"), ANN, TODAY)
    back = new_engine(plane, serial="e5", assembly_hours=Decimal(505))
    assert made(fleet, back) == engine
    with fleet.reading() as work:
        stays = [line for line in assemblies(work, plane) if line.assembly_id == engine]
    assert [(stay.hours_now, stay.hours_since_overhaul) for stay in stays] == [
        (Decimal(515), Decimal(10)),
        (Decimal(505), None),
    ]


WRONG_FITTINGS: tuple[tuple[dict[str, object], str], ...] = (
    ({}, "is fitted there: remove it first"),
    ({"position": 2}, "has 1 engine, no place 2"),
    ({"kind": "airframe"}, "Say what is fitted"),
    ({"fitted_on": date(2026, 5, 5)}, "after today"),
    ({"airframe_hours": Decimal(1531)}, "1530 h on 20 Apr 2026, no more"),
    ({"airframe_hours": Decimal(1499)}, "1500 h on 4 Jan 2026 already"),
    ({"airframe_hours": Decimal("NaN")}, "can't be"),
    ({"hours_since_overhaul": Decimal(9)}, "since overhaul is more than"),
    ({"serial": "E5"}, "It is fitted to N012AP as engine 1"),
)
WRONG_REMOVALS = (
    (date(2026, 5, 5), 1530, "worn", "after today"),
    (date(2026, 1, 3), 1500, "worn", "was fitted on 4 Jan 2026"),
    (CHANGED_ON, 1490, "worn", "had 1500 h when it was fitted"),
    (CHANGED_ON, 1520, " ", "Why it comes off"),
)


def test_what_can_not_have_been_fitted_or_removed_is_refused_and_leaves_nothing(
    fleet: Fleet, plane: int
) -> None:
    before = fitted(fleet, plane)
    for given, said in WRONG_FITTINGS:
        with pytest.raises(Refused, match=said):
            apply(fleet, new_engine(plane, **given), ANN, TODAY)
    for on, hours, reason, said in WRONG_REMOVALS:
        engine = before["engine E5"].assembly_id
        with pytest.raises(Refused, match=said):
            apply(fleet, RemoveAssembly(engine, on, Decimal(hours), reason), ANN, TODAY)
    assert fitted(fleet, plane) == before


def test_an_airframe_stays_and_fewer_hours_than_at_removal_are_refused(fleet: Fleet, plane: int) -> None:
    lines = fitted(fleet, plane)
    with pytest.raises(Refused, match="stays with its airplane"):
        apply(
            fleet,
            RemoveAssembly(lines["airframe 17"].assembly_id, CHANGED_ON, Decimal(1520), "x"),
            ANN,
            TODAY,
        )
    engine = lines["engine E5"].assembly_id
    apply(fleet, RemoveAssembly(engine, CHANGED_ON, Decimal(1520), "worn"), ANN, TODAY)
    with pytest.raises(Refused, match="520 h when it came off N012AP"):
        apply(fleet, new_engine(plane, serial="E5", assembly_hours=Decimal(519)), ANN, TODAY)
    with pytest.raises(Refused, match="no longer fitted"):
        apply(fleet, RemoveAssembly(engine, CHANGED_ON, Decimal(1520), "worn"), ANN, TODAY)
