"""An engine with plugs and tests in it, made through the same edits a person makes."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from annual_planner.records.apply import apply
from annual_planner.records.compression import RecordTest
from annual_planner.records.compression_checks import ReadCylinder
from annual_planner.records.edits import Changed, Edit
from annual_planner.records.plug_stock import AddPlugs, SetEngineType
from annual_planner.records.plug_tray import TakeOutPlugs
from annual_planner.records.plugs_in import FitPlugs
from annual_planner.records.readings import RecordReading
from annual_planner.store.fleet_reads import find_aircraft
from annual_planner.store.opening import Fleet
from annual_planner.store.plug_reads import engine_places
from annual_planner.store.plug_rows import EnginePlace
from annual_planner.trade.compression_safety import SAFETY_STEPS
from annual_planner.trade.engines import EngineType
from tests.fleets import airplane

TODAY = date(2026, 5, 4)
SAFE = tuple(step.key for step in SAFETY_STEPS)


def write(fleet: Fleet, edit: Edit) -> Changed:
    """Apply an edit on the day of the tests."""
    return apply(fleet, edit, "test", TODAY)


def engine_of(fleet: Fleet, registration: str) -> tuple[int, EnginePlace]:
    """An airplane's id and its first engine."""
    with fleet.reading() as work:
        aircraft_id = find_aircraft(work, registration)
        return aircraft_id, engine_places(work, aircraft_id)[0]


def add_airplane(fleet: Fleet, registration: str) -> int:
    """An airplane with one engine that had 500 h in January 2021 and has 800 h now, of no known type."""
    aircraft_id = write(fleet, airplane(registration, read_on=date(2021, 1, 5))).made_id
    assert aircraft_id is not None
    write(fleet, RecordReading(aircraft_id, date(2026, 4, 30), Decimal(1800)))
    return aircraft_id


def fit_out(fleet: Fleet, registration: str, kind: EngineType, tag: str = "K") -> int:
    """Give an airplane's engine a type, and a plug in every place; the airplane's id."""
    aircraft_id, engine = engine_of(fleet, registration)
    if engine.type_key != kind.key:
        write(fleet, SetEngineType(engine.assembly_id, engine.type_key, kind.key))
    assert engine.hours_now is not None
    fitted_hours = engine.hours_now - Decimal(300)
    plugs = {}
    for row in kind.rows:
        places = [at for at in kind.places if at.row is row.row]
        tags = tuple(f"{tag}-{row.row.value}{at.cylinder:02d}" for at in places)
        first = write(fleet, AddPlugs(row.plug_types[0].key, tags, date(2021, 4, 1))).made_id
        assert first is not None
        plugs.update({str(at): first + number for number, at in enumerate(places)})
    write(fleet, FitPlugs(engine.assembly_id, date(2021, 5, 3), fitted_hours, plugs))
    return aircraft_id


def yearly_tests(fleet: Fleet, registration: str, kind: EngineType, low: int) -> None:
    """A test for each of five years, with one cylinder that gets lower and lower."""
    _aircraft_id, engine = engine_of(fleet, registration)
    assert engine.hours_now is not None
    for year in range(5):
        readings = tuple(
            ReadCylinder(number, 76.0 - (number + year) % 3 - (3 * year if number == low else 0))
            for number in sorted(kind.firing_order)
        )
        hours = engine.hours_now - Decimal(250 - 60 * year)
        edit = RecordTest(
            engine.assembly_id,
            date(2021 + year, 5, 3),
            hours,
            readings,
            SAFE,
            restrictor_in=0.060,
            tester="A",
            master_psi=55.0,
        )
        write(fleet, edit)


def take_all_out(fleet: Fleet, registration: str, kind: EngineType) -> int:
    """Take every plug out; the rotation's id."""
    _aircraft_id, engine = engine_of(fleet, registration)
    assert engine.hours_now is not None
    places = tuple(str(at) for at in kind.places)
    made = write(fleet, TakeOutPlugs(engine.assembly_id, TODAY, engine.hours_now, places)).made_id
    assert made is not None
    return made
