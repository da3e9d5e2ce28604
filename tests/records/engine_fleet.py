"""An airplane with a four-cylinder engine of a known type and a full set of plugs, for tests."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import cache

from annual_planner.library.shelf import Library, load_library
from annual_planner.planning.engine_view import EngineView
from annual_planner.planning.engines import read_engine
from annual_planner.records.apply import apply
from annual_planner.records.edits import Changed, Edit
from annual_planner.records.plug_stock import AddPlugs, SetEngineType
from annual_planner.records.plug_tray import SetGasketOut, TakeOutPlugs
from annual_planner.records.plugs_in import FitPlugs
from annual_planner.store.plug_facts import lying_plugs, open_stays
from annual_planner.store.plug_reads import engine_places
from annual_planner.store.session import Fleet
from annual_planner.store.writing import mapped
from tests.fleets import ANN, TODAY, airplane, annual, made

FOUR = "wrenlake_o4"
OUT_ON = date(2026, 5, 4)
FITTED_ON = date(2026, 1, 4)
AT_FITTING = Decimal("500.0")
NOW = Decimal("500.0")
TABLES = (
    "spark_plug", "plug_stay", "plug_rotation", "plug_check", "compression_test", "cylinder_reading",
    "cylinder_change", "discrepancy", "assembly",
)  # fmt: skip


@cache
def library() -> Library:
    return load_library()


def plug_key(engine: str = FOUR) -> str:
    return library().engine(engine).rows[0].plug_types[0].key


@dataclass
class Shop:
    """One airplane's engine, and the little that tests do with it."""

    fleet: Fleet
    aircraft_id: int
    assembly_id: int

    def apply(self, edit: Edit) -> Changed:
        return apply(self.fleet, edit, ANN, TODAY)

    def undo(self, changed: Changed) -> Changed:
        assert changed.back is not None
        return self.apply(changed.back)

    def view(self, position: int = 1) -> EngineView:
        with self.fleet.reading() as work:
            return read_engine(work, self.aircraft_id, position, library(), TODAY)

    def plugs(self) -> dict[str, int]:
        with self.fleet.reading() as work:
            return {at: stay.plug_id for at, stay in open_stays(work, self.assembly_id).items()}

    def take_out(self, *places: str) -> int:
        named = places or tuple(str(at) for at in library().engine(FOUR).places)
        made_id = self.apply(TakeOutPlugs(self.assembly_id, OUT_ON, NOW, named, library=library())).made_id
        assert made_id is not None
        return made_id

    def gaskets_out(self, rotation_id: int, *left: str) -> None:
        with self.fleet.reading() as work:
            lying = lying_plugs(work, rotation_id)
        for each in lying:
            self.apply(SetGasketOut(each.stay_id, each.gasket_out, each.place not in left))

    def stored(self) -> dict[str, list[dict[str, object]]]:
        """Every row of every table that plugs and tests touch, but for versions."""
        with self.fleet.reading() as work:
            return {table: _rows(work.session.query(mapped(table))) for table in TABLES}


def _rows(query: object) -> list[dict[str, object]]:
    found = [
        {key: value for key, value in vars(row).items() if key not in ("_sa_instance_state", "version")}
        for row in query  # type: ignore[attr-defined]
    ]
    return sorted(found, key=lambda row: int(str(row["id"])))


def shop(fleet: Fleet, *, fitted: bool = True) -> Shop:
    """The airplane at 1500.0 h, its engine at 500.0 h; with `fitted` a new plug P1… in every place."""
    aircraft_id = made(fleet, airplane())
    made(fleet, annual(aircraft_id))
    with fleet.reading() as work:
        assembly_id = engine_places(work, aircraft_id)[0].assembly_id
    its = Shop(fleet, aircraft_id, assembly_id)
    its.apply(SetEngineType(assembly_id, "", FOUR, library()))
    if fitted:
        places = [str(at) for at in library().engine(FOUR).places]
        tags = tuple(f"P{n}" for n in range(1, len(places) + 1))
        first = its.apply(AddPlugs(plug_key(), tags, FITTED_ON, library=library())).made_id
        assert first is not None
        plugs = {at: first + n for n, at in enumerate(places)}
        its.apply(FitPlugs(assembly_id, FITTED_ON, AT_FITTING, plugs, library=library()))
    return its
