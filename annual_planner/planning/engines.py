"""Plugs and cylinders of one engine put together for a reader, in a fixed number of queries."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from annual_planner.library.shelf import Library
from annual_planner.planning.compression_views import cylinder_views, judged_tests
from annual_planner.planning.engine_facts import EngineFacts, compression_facts, engine_facts, scheme_of
from annual_planner.planning.engine_view import EngineView, PlaceView, PlugView, TraySlot
from annual_planner.planning.plug_outlook import Outlook, outlook_of
from annual_planner.planning.plug_views import Bench, bench_of
from annual_planner.planning.tray_view import open_tray, tray_of
from annual_planner.store.fleet_reads import fleet_fact, fleet_lines
from annual_planner.store.plug_reads import engine_history, engine_places
from annual_planner.store.plug_rows import EngineHistory, EnginePlace, StayLine
from annual_planner.store.rows import FleetLine
from annual_planner.store.session import Work
from annual_planner.trade.engines import EngineType, Place
from annual_planner.trade.next_annual import hours_to_next_annual
from annual_planner.trade.refused import Refused
from annual_planner.trade.rotation import Rotation, Scheme, rotation, usual
from annual_planner.trade.working import Worked


class NoEngineType(Refused):
    """The engine is fitted, but nobody has said of which type it is."""


def read_engine(work: Work, aircraft_id: int, position: int, library: Library, today: date) -> EngineView:
    """Everything a reader needs of one engine of an airplane.

    Raises Refused where it has no engine there or the library doesn't have its type, NoEngineType where
    nobody said which type it is.
    """
    positions = engine_places(work, aircraft_id)
    place = _at(positions, position)
    engine = _type_of(place, library)
    takes = {each.key for row in engine.rows for each in row.plug_types}
    history = engine_history(work, place.assembly_id, takes)
    lines = fleet_lines(work, [aircraft_id])
    facts = engine_facts(engine)
    read = _Read(
        engine, facts, place, history, bench_of(history, place.assembly_id, place.hours_now, library)
    )
    return _view(work, read, lines[0] if lines else None, positions, today, aircraft_id)


def _at(positions: Sequence[EnginePlace], position: int) -> EnginePlace:
    found = next((each for each in positions if each.position == position), None)
    if found is not None:
        return found
    if not positions:
        raise Refused("This airplane has no engine in its records.", "Fit one to it first.")
    known = ", ".join(str(each.position) for each in positions)
    raise Refused(f"This airplane has no engine {position}.", f"It has: {known}.")


def _type_of(place: EnginePlace, library: Library) -> EngineType:
    if not place.type_key:
        raise NoEngineType(
            f"Nobody has said of which type engine {place.position} ({place.title}) is.",
            "Choose its engine type; places, firing order and limits follow from it.",
        )
    return library.engine(place.type_key)


@dataclass(frozen=True, slots=True)
class _Read:
    """What was read of one engine, and what follows from its type."""

    engine: EngineType
    facts: EngineFacts
    place: EnginePlace
    history: EngineHistory
    bench: Bench

    @property
    def scheme(self) -> Scheme:
        """The scheme of the open tray, else of the last rotation, else the usual one."""
        used = [each.scheme_key for each in self.history.rotations]
        found = (scheme_of(self.engine, key) for key in used)
        return next((each for each in found if each is not None), usual(self.engine))

    def offered(self) -> tuple[Worked[Rotation], ...]:
        """The rotations offered, the chosen one among them."""
        schemes, chosen = self.facts.schemes, self.scheme
        if any(each.value.scheme.key == chosen.key for each in schemes):
            return schemes
        return (*schemes, rotation(self.engine, chosen))

    def stays_now(self) -> dict[str, StayLine]:
        """The stays that go on in this engine, by place."""
        return {
            stay.place: stay
            for stay in self.history.stays
            if stay.assembly_id == self.place.assembly_id and stay.removed_on is None
        }


def _view(
    work: Work,
    read: _Read,
    line: FleetLine | None,
    positions: tuple[EnginePlace, ...],
    today: date,
    aircraft_id: int,
) -> EngineView:
    stays, scheme, facts = read.stays_now(), read.scheme, read.facts
    lying = open_tray(read.history)
    shown = {stay.plug_id: read.bench.plug(read.history.plugs[stay.plug_id]) for stay in stays.values()}
    tray = tray_of(read.engine, scheme, lying, read.history, read.bench)
    spares = _spares(read, {*shown, *(slot.plug.plug_id for slot in (tray.slots if tray else ()))})
    due = _to_annual(line, today)
    forecast = outlook_of(
        read.engine, stays, shown, tray, due[0], fleet_fact(work, "price_work_hour"), due[1]
    )
    tests = judged_tests(read.history, facts.rule, compression_facts())
    return EngineView(
        aircraft_id=aircraft_id,
        registration=line.registration if line else "",
        position=read.place.position,
        positions=positions,
        assembly_id=read.place.assembly_id,
        engine_title=read.place.title,
        engine_type=read.engine,
        engine_hours=read.place.hours_now,
        today=today,
        demo=fleet_fact(work, "demo") == "yes",
        places=_places(read, scheme, stays, shown, forecast),
        tray=tray,
        spares=spares,
        removed=_removed(read, shown, tray.slots if tray else (), spares),
        rotations=read.history.rotations,
        schemes=read.offered(),
        scheme_key=scheme.key,
        proposal=facts.proposal,
        sparks=facts.sparks,
        torque=facts.torque,
        restrictor=facts.restrictor,
        rule=facts.rule,
        hours_to_annual=due[0],
        hours_to_annual_refused=due[1],
        outlook=forecast.worked,
        outlook_refused=forecast.refused,
        tests=tests,
        cylinders=cylinder_views(read.engine.firing_order, tests, read.history.changes, facts.rule),
        leak_paths=compression_facts().paths,
        ladder=compression_facts().ladder,
    )


def _to_annual(line: FleetLine | None, today: date) -> tuple[Worked[Decimal] | None, str]:
    due_on, monthly = (line.annual_due_on, line.hours_per_month) if line else (None, None)
    try:
        return hours_to_next_annual(today, due_on, monthly), ""
    except Refused as refused:
        return None, str(refused)


def _places(
    read: _Read,
    scheme: Scheme,
    stays: dict[str, StayLine],
    shown: dict[int, PlugView],
    forecast: Outlook,
) -> tuple[PlaceView, ...]:
    return tuple(_place(read, at, scheme, stays.get(str(at)), shown, forecast) for at in read.engine.places)


def _place(
    read: _Read,
    at: Place,
    scheme: Scheme,
    stay: StayLine | None,
    shown: dict[int, PlugView],
    forecast: Outlook,
) -> PlaceView:
    spark, now = read.facts.spark_at(at), read.place.hours_now
    here = None if stay is None or now is None else max(now - stay.engine_hours_at_fitting, Decimal(0))
    return PlaceView(
        place=at,
        magneto=spark.magneto,
        polarity=spark.polarity,
        next_place=scheme.moves[at],
        plug=shown[stay.plug_id] if stay else None,
        stay=stay,
        hours_here=here,
        reach=forecast.reach.get(str(at)),
    )


def _spares(read: _Read, elsewhere: set[int]) -> tuple[PlugView, ...]:
    """Plugs of the drawer: marked so, and by their stays really in no engine."""
    fitted = {stay.plug_id for stay in read.history.stays if stay.removed_on is None}
    lie = [
        line
        for line in read.history.plugs.values()
        if line.spare and line.scrapped_on is None and line.plug_id not in fitted | elsewhere
    ]
    return tuple(read.bench.plug(line) for line in sorted(lie, key=lambda line: line.tag))


def _removed(
    read: _Read, shown: Iterable[int], slots: Iterable[TraySlot], spares: Iterable[PlugView]
) -> tuple[PlugView, ...]:
    """Plugs that once sat in this engine and are shown nowhere else, the one removed last first."""
    gone = {*shown, *(each.plug_id for each in spares)}
    gone |= {slot.plug.plug_id for slot in slots}
    last: dict[int, date] = {}
    for stay in read.history.stays:
        if stay.assembly_id == read.place.assembly_id and stay.removed_on and stay.plug_id not in gone:
            last[stay.plug_id] = stay.removed_on
    ordered = sorted(last, key=lambda plug_id: (last[plug_id], plug_id), reverse=True)
    return tuple(read.bench.plug(read.history.plugs[each], forecast=False) for each in ordered)
