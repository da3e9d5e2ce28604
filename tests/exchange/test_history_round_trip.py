"""An engine's history goes out to a file, into an engine with none, and out again: nothing of it is lost."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import closing
from dataclasses import asdict
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sqlalchemy import text

from annual_planner.exchange.history_edit import ApplyHistory
from annual_planner.exchange.history_out import history_csv
from annual_planner.exchange.plug_history import read_plug_history
from annual_planner.library.shelf import load_library
from annual_planner.records.apply import apply
from annual_planner.store.bulk import insert_many
from annual_planner.store.opening import open_fleet
from annual_planner.store.plug_reads import engine_history, engine_places
from annual_planner.store.plug_rows import EngineHistory, EnginePlace
from annual_planner.store.session import Fleet
from annual_planner.trade.compression_safety import SAFETY_STEPS
from annual_planner.trade.plug_check import PlugSeen, decided
from annual_planner.trade.plugs import Condition, Damage, Verdict
from demo_fleet.loader import DEMO_TODAY

LIBRARY = load_library()
ENGINE = LIBRARY.engine("wrenlake_o4")
PLUG = LIBRARY.plug_type("brannock_m18")
NO_LONGER_THERE = (
    "cylinder_reading", "compression_test", "cylinder_change", "plug_check", "plug_stay", "plug_rotation",
    "spark_plug",
)  # fmt: skip
NOT_TOLD = ("plug_id", "stay_id", "check_id", "rotation_id", "test_id", "reading_id", "change_id",
            "assembly_id", "fitted_by_rotation_id", "removed_by_rotation_id", "package_id", "planned",
            "version")  # fmt: skip
"""Ids differ from fleet to fleet; a package and what is only planned stay out of the file."""


@pytest.fixture(scope="module")
def fleet(module_sample: Path) -> Iterator[Fleet]:
    """The demo fleet; each test empties it of plugs and tests when it has read what it wants."""
    with closing(open_fleet(module_sample)) as opened:
        yield opened


def empty(fleet: Fleet) -> None:
    with fleet.work("a test") as work:
        for table in NO_LONGER_THERE:
            work.session.execute(text(f"DELETE FROM {table}"))


def engines_of(fleet: Fleet) -> list[EnginePlace]:
    with fleet.reading() as work:
        aircraft = work.session.scalars(text("SELECT id FROM aircraft ORDER BY id")).all()
        return [each for aircraft_id in aircraft for each in engine_places(work, aircraft_id)]


def history_of(fleet: Fleet, assembly_id: int) -> EngineHistory:
    with fleet.reading() as work:
        return engine_history(work, assembly_id)


def read_in(fleet: Fleet, engine: EnginePlace, content: str) -> None:
    kind = LIBRARY.engine(engine.type_key)
    preview = read_plug_history(content, engine=kind, shelf=LIBRARY, today=DEMO_TODAY)
    assert [str(fault) for fault in preview.faults] == []
    apply(fleet, ApplyHistory(engine.assembly_id, preview, LIBRARY), "a test", DEMO_TODAY)


def told(history: EngineHistory) -> dict[str, list[str]]:
    """Everything a history tells but ids; what refers to a rotation or plug is held by the file's bytes."""
    parts: dict[str, Sequence[Any]] = {
        "plugs": tuple(history.plugs.values()), "stays": history.stays, "looks": history.checks,
        "rotations": history.rotations, "tests": history.tests, "readings": history.readings,
        "works": history.changes,
    }  # fmt: skip
    return {
        name: sorted(str({k: v for k, v in asdict(line).items() if k not in NOT_TOLD}) for line in lines)
        for name, lines in parts.items()
    }


def test_every_engine_of_the_demo_comes_back_as_it_went_out(fleet: Fleet) -> None:
    engines = [each for each in engines_of(fleet) if history_of(fleet, each.assembly_id).tests]
    was = {each: history_of(fleet, each.assembly_id) for each in engines}
    files = {each: history_csv(was[each], each.assembly_id) for each in engines}
    everything = "".join(files.values())
    assert min(everything.count(f"\n{kind},") for kind in ("rotation", "recheck", "look", "work")) > 0
    empty(fleet)
    for engine, content in files.items():
        read_in(fleet, engine, content)
    for engine, content in files.items():
        now = history_of(fleet, engine.assembly_id)
        assert history_csv(now, engine.assembly_id) == content
        assert told(now) == told(was[engine])


words = st.text(st.sampled_from("ab Ä=+-@'\",;|\n#0ß→") | st.characters(codec="utf-8"), max_size=12)
oil_c = st.floats(-40, 120).map(lambda found: round(found, 12))
SCHEMES = ["next_in_firing_order_other_row", "mirror_cylinder_other_row"]
tests_of_a_day = st.integers(1, 2)
gaps = st.lists(st.floats(0.001, 0.06), max_size=2).map(tuple)
psi = st.integers(0, 80).map(float) | st.floats(0, 80).map(lambda found: round(found, 12))


@st.composite
def steps(draw: st.DrawFn) -> list[dict[str, object]]:
    keys = draw(st.lists(st.sampled_from(["run_again", "stake", "oil"]), unique=True, max_size=3))
    found = [
        draw(st.sampled_from((
            {"reading_psi": draw(psi), "damage": "", "left_out": ""},
            {"reading_psi": None, "damage": "a burnt edge", "left_out": ""},
            {"reading_psi": None, "damage": "", "left_out": f"none here{draw(words)}".strip()},
        )))
        for _ in keys
    ]  # fmt: skip
    return [{"step": key, **each} for key, each in zip(keys, found, strict=True)]


class Rows:
    """Rows of one engine's history, put together by draws, as a fleet would hold them."""

    def __init__(self, draw: st.DrawFn, assembly_id: int) -> None:
        self.draw, self.assembly_id = draw, assembly_id
        self.tables: dict[str, list[dict[str, Any]]] = {name: [] for name in reversed(NO_LONGER_THERE)}
        self.on, self.hours = date(2020, 1, 6), Decimal("100")

    def add(self, table: str, **values: object) -> int:
        rows = self.tables[table]
        rows.append({"id": len(rows) + 1, **values})
        return len(rows)

    def words(self) -> str:
        return self.draw(words)

    def go_on(self) -> None:
        self.on += timedelta(days=self.draw(st.integers(1, 300)))
        self.hours += Decimal(self.draw(st.integers(0, 500))) / 100

    def plug(self) -> int:
        number = len(self.tables["spark_plug"]) + 1
        return self.add(
            "spark_plug", type_key=PLUG.key, tag=f"P{number}{self.draw(st.sampled_from(['', ' b', '=']))}",
            bought_on=self.draw(st.none() | st.just(self.on)), scrapped_on=None, scrapped_why="", spare=False,
            hours_before=self.draw(st.sampled_from([None, Decimal(0), Decimal("12.5")])), note=self.words(),
        )  # fmt: skip

    def fit(self, plug: int, at: str, rotation: int | None, why: str = "") -> None:
        self.add(
            "plug_stay", plug_id=plug, assembly_id=self.assembly_id, place=at, fitted_on=self.on,
            engine_hours_at_fitting=self.hours, removed_on=None, engine_hours_at_removal=None,
            gasket_out=None, fitted_by_rotation_id=rotation, removed_by_rotation_id=None, why=why,
        )  # fmt: skip

    def look(self, plug: int, at: str, rotation: int | None, stage: str) -> Verdict:
        draw = self.draw
        found = draw(gaps)
        seen = PlugSeen(
            draw(st.sampled_from([(Condition.NORMAL,), (Condition.WORN, Condition.OIL_FOULED)])),
            draw(st.booleans()), draw(st.sampled_from([(), tuple(Damage)[:2]])), found,
            draw(st.none() | st.floats(0.01, PLUG.electrode_in)), draw(st.sampled_from([None, (0.05, 0.07)])),
            draw(st.sampled_from([None, 1500.0, 1e9])), draw(st.sampled_from([None, True, False])),
        )  # fmt: skip
        verdict = decided(seen, PLUG, says=LIBRARY.conditions_say()).value.verdict
        other = not seen.dropped and draw(st.booleans())
        self.add(
            "plug_check", plug_id=plug, assembly_id=self.assembly_id if at else None, place=at,
            looked_on=self.on, engine_hours=self.hours, stage=stage,
            conditions=[each.value for each in seen.conditions], damage=[each.value for each in seen.damage],
            dropped=seen.dropped, gaps_in=list(found),
            set_gap_in=max(found) if found and draw(st.booleans()) else None, electrode_in=seen.electrode_in,
            oval_in=list(seen.oval_in) if seen.oval_in else None, resistance_ohm=seen.resistance_ohm,
            sparks_under_pressure=seen.sparks_under_pressure,
            verdict=draw(st.sampled_from(Verdict)).value if other else verdict.value,
            overruled_because=f"because {self.words()}".strip() if other else "", rotation_id=rotation,
            note=self.words(),
        )  # fmt: skip
        return verdict

    def rotate(self, *, leave: bool) -> None:
        """Take every plug out, look at each, and put others or the same back in turn; or leave them out."""
        number = self.add(
            "plug_rotation", assembly_id=self.assembly_id, rotated_on=self.on, engine_hours=self.hours,
            scheme_key=self.draw(st.sampled_from(SCHEMES)),
            moved=self.draw(st.sampled_from(["going in", "in the tray"])), state="out" if leave else "in",
            departures={}, planned={}, new_gaskets=self.draw(st.none() | st.integers(0, 8)), package_id=None,
            note=self.words(),
        )  # fmt: skip
        sits = [stay for stay in self.tables["plug_stay"] if stay["removed_on"] is None]
        for stay in sits:
            stay.update(removed_on=self.on, engine_hours_at_removal=self.hours, removed_by_rotation_id=number,
                        gasket_out=self.draw(st.sampled_from([None, True, False])))  # fmt: skip
            self.look(stay["plug_id"], stay["place"], number, "before cleaning")
        for stay in () if leave else self.draw(st.permutations(sits)):
            self._back(stay, sits, number)

    def _back(self, stay: dict[str, Any], sits: list[dict[str, Any]], number: int) -> None:
        free = {each["place"] for each in sits} - {
            each["place"] for each in self.tables["plug_stay"] if each["removed_on"] is None
        }
        plug = self.tables["spark_plug"][stay["plug_id"] - 1]
        if self.draw(st.booleans()):
            why = self.words().strip()
            at = self.draw(st.sampled_from(sorted(free)))
            self.fit(stay["plug_id"], at, number, why)
            if why:
                self.tables["plug_rotation"][number - 1]["departures"][at] = why
        elif self.draw(st.booleans()):
            plug.update(scrapped_on=self.on, scrapped_why=f"worn {self.words()}".strip())
            self.fit(self.plug(), self.draw(st.sampled_from(sorted(free))), number)
        else:
            plug.update(spare=True)

    def test(self) -> None:
        draw = self.draw
        number = self.add(
            "compression_test", assembly_id=self.assembly_id, tested_on=self.on, engine_hours=self.hours,
            minutes_since_shutdown=draw(st.none() | st.integers(0, 90)),
            oil_temperature_c=draw(st.none() | oil_c), cold=draw(st.booleans()),
            regulated_psi=80.0, restrictor_in=draw(st.sampled_from([None, 0.04, 0.06])), tester=self.words(),
            master_psi=draw(st.sampled_from([None, 42.5])), ambient_psi_a=draw(st.none() | st.just(14.5)),
            elevation_ft=draw(st.sampled_from([None, -50.0, 1200.0])), altimeter_inhg=None,
            after_work=self.words(), package_id=None, note=self.words(),
            safety_ticked=draw(st.sampled_from([[], [each.key for each in SAFETY_STEPS]])),
        )  # fmt: skip
        for cylinder in draw(st.lists(st.integers(1, 4), unique=True, min_size=1)):
            done, first = draw(steps()), draw(psi)
            again = [each["reading_psi"] for each in done if each["reading_psi"] is not None]
            self.add(
                "cylinder_reading", test_id=number, cylinder=cylinder,
                reading_psi=again[-1] if again else first,
                first_psi=first if done else draw(st.sampled_from([None, first])),
                heard=draw(st.sampled_from([[], ["exhaust", "breather"]])), rechecked=done, note=self.words(),
            )  # fmt: skip

    def work(self) -> None:
        self.add(
            "cylinder_change", assembly_id=self.assembly_id, cylinder=self.draw(st.integers(1, 4)),
            changed_on=self.on, engine_hours=self.draw(st.sampled_from([None, self.hours])),
            what=f"changed {self.words()}".strip(), serial=self.words().strip(),
        )  # fmt: skip


@st.composite
def histories(draw: st.DrawFn, assembly_id: int) -> dict[str, list[dict[str, Any]]]:
    rows = Rows(draw, assembly_id)
    for at in draw(st.lists(st.sampled_from(["1T", "2B", "4T"]), unique=True)):
        rows.fit(rows.plug(), at, None)
    for _ in range(draw(st.integers(0, 2))):
        rows.go_on()
        for _ in range(draw(tests_of_a_day)):
            rows.test()
        rows.rotate(leave=False)
        rows.work()
    if draw(st.booleans()) and any(stay["removed_on"] is None for stay in rows.tables["plug_stay"]):
        rows.go_on()
        rows.rotate(leave=True)
    return rows.tables


@settings(max_examples=25)
@given(data=st.data())
def test_any_history_comes_back_byte_for_byte(fleet: Fleet, data: st.DataObject) -> None:
    engine = next(each for each in engines_of(fleet) if each.type_key == ENGINE.key)
    tables = data.draw(histories(engine.assembly_id))
    empty(fleet)
    with fleet.work("a test") as work:
        for name, rows in tables.items():
            insert_many(work, name, rows)
    was = history_of(fleet, engine.assembly_id)
    out = history_csv(was, engine.assembly_id)
    empty(fleet)
    if not any(tables.values()):
        return
    read_in(fleet, engine, out)
    now = history_of(fleet, engine.assembly_id)
    assert history_csv(now, engine.assembly_id) == out
    assert [len(lines) for lines in told(now).values()] == [len(lines) for lines in told(was).values()]
