"""Engines invented by hand with plugs, looks and tests, worked out by the trade's own functions."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

from annual_planner.library.compression import load_compression
from annual_planner.library.conditions import load_conditions
from annual_planner.library.engines import load_engines
from annual_planner.planning.engine_view import (
    CylinderView,
    EngineView,
    LookView,
    PlaceView,
    PlugView,
    ReadingView,
    TestView,
)
from annual_planner.store.plug_rows import (
    CheckLine,
    CylinderChangeLine,
    CylinderLine,
    EnginePlace,
    PlugLine,
    RotationLine,
    StayLine,
    TestLine,
)
from annual_planner.trade.compression import Conditions, judged_test, lowest_good_psi
from annual_planner.trade.cylinder_trend import cylinder_trend
from annual_planner.trade.engine_compression import judging_rule_of, restrictor_of
from annual_planner.trade.engines import EngineType, Place
from annual_planner.trade.firing import polarities
from annual_planner.trade.plug_check import PlugSeen, decided
from annual_planner.trade.plug_set import PlugStanding, Prices, reach, set_outlook
from annual_planner.trade.plugs import Condition, PlugType, Verdict
from annual_planner.trade.recheck import leak_paths_heard
from annual_planner.trade.refused import Refused
from annual_planner.trade.rotation import rotation, schemes, usual
from annual_planner.trade.rotation_search import proposed
from annual_planner.trade.series import CylinderWork, TimedReading
from annual_planner.trade.torque import plug_torque
from annual_planner.trade.wear import PlugLook, plug_wear, wear_limits

TODAY = date(2026, 5, 4)
HOURS = (Decimal(812), Decimal(915), Decimal("1010.5"), Decimal(1108), Decimal("1213.6"))
BY_CYLINDERS = {4: "wrenlake_o4", 6: "wrenlake_o6", 9: "ostermoor_r9", 14: "ostermoor_r14"}
TO_ANNUAL = Decimal(110)
PRICES = Prices(Decimal(40), Decimal(95), Decimal(1), Decimal("0.2"))


def engine_of(cylinders: int) -> EngineType:
    """An engine type of the library with so many cylinders."""
    return load_engines().engine(BY_CYLINDERS[cylinders])


def sample_engine(
    cylinders: int = 6, *, position: int = 1, engines: int = 1, demo: bool = True, bare: bool = False
) -> EngineView:
    """A whole engine: `bare` has a type and nothing on record."""
    engine, facts = engine_of(cylinders), load_compression()
    rule = judging_rule_of(engine)
    tests = () if bare else tuple(reversed([_test(engine, number) for number in range(len(HOURS))]))
    places = tuple(_place(engine, at, number, bare=bare) for number, at in enumerate(engine.places))
    standing = [
        PlugStanding(str(each.place), each.plug.run_hours, each.plug.wear.value.electrode)
        for each in places
        if each.plug and each.plug.wear and each.plug.run_hours is not None
    ]
    title = f"Vexley Motor Works {engine.title} VX-{21876 + position}"
    return EngineView(
        aircraft_id=1,
        registration="N012AP",
        position=position,
        positions=tuple(
            EnginePlace(each, each, f"{title[:-1]}{each}", engine.key, HOURS[-1])
            for each in range(1, engines + 1)
        ),
        assembly_id=position,
        engine_title=title,
        engine_type=engine,
        engine_hours=HOURS[-1],
        today=TODAY,
        demo=demo,
        places=places,
        tray=None,
        spares=(),
        removed=(),
        rotations=() if bare else (_rotation(engine),),
        schemes=tuple(rotation(engine, each) for each in schemes(engine)),
        scheme_key=usual(engine).key,
        proposal=proposed(engine),
        sparks=polarities(engine),
        torque=plug_torque(engine),
        restrictor=restrictor_of(engine),
        rule=rule,
        hours_to_annual=None,
        hours_to_annual_refused="",
        outlook=set_outlook(standing, TO_ANNUAL, PRICES) if standing else None,
        outlook_refused="" if standing else "No plug is on record.",
        tests=tests,
        cylinders=tuple(_cylinder(engine, number, tests) for number in sorted(engine.firing_order)),
        leak_paths=facts.paths,
        ladder=facts.ladder,
    )


def _place(engine: EngineType, at: Place, number: int, *, bare: bool) -> PlaceView:
    spark = next(each for each in polarities(engine).value if each.place == at)
    next_place = usual(engine).moves[at]
    empty = PlaceView(at, spark.magneto, spark.polarity, next_place, None, None, None, None)
    if bare or number == 5:
        return empty
    plug = _plug(engine, at, number)
    assert plug.wear is not None
    assert plug.run_hours is not None
    standing = PlugStanding(str(at), plug.run_hours, plug.wear.value.electrode)
    return replace(
        empty, plug=plug, stay=plug.stays[0], hours_here=Decimal("105.6"), reach=reach(standing, TO_ANNUAL)
    )


def _plug(engine: EngineType, at: Place, number: int) -> PlugView:
    kind = engine.plug_types_at(at)[0]
    tag = f"B{2041 + 7 * number}"
    line = PlugLine(number, kind.key, tag, date(2024, 5, 6), Decimal(0), None, "", False, "", 1)
    stay = StayLine(
        number, number, 1, str(at), date(2025, 5, 12), Decimal(1108), None, None, None, 1, None, "", 1
    )
    looks = _looks(kind, at, number)
    wear = plug_wear(tag, [_trade_look(each) for each in looks], wear_limits(kind))
    last = looks[-1]
    return PlugView(
        line=line,
        plug_type=kind,
        run_hours=Decimal("401.6"),
        looks=tuple(reversed(looks)),
        stays=(stay,),
        last_gap_in=last.line.set_gap_in or last.largest_gap_in,
        last_gap_on=last.line.looked_on,
        hours_since_set=Decimal("105.6"),
        wear=wear,
    )


def _looks(kind: PlugType, at: Place, number: int) -> list[LookView]:
    """Five looks: the gap grows without being set on two plugs of three, and the electrode thins."""
    sets = number % 3 == 2
    grown = 0.0009 + 0.0002 * (number % 4)
    looks: list[LookView] = []
    gap = 0.016
    for step, life in enumerate((0, 96, 198, 296, 402)):
        gap = 0.016 if sets and step else gap
        gap = round(gap + (grown if step else 0), 4)
        thin = kind.electrode_in * (1 - 0.095 * step * (1 if number % 5 else 1.25))
        looks.append(
            _look(kind, at, number, step, life, gap, 0.016 if sets and step else None, round(thin, 4))
        )
    return looks


def _look(
    kind: PlugType,
    at: Place,
    number: int,
    step: int,
    life: int,
    gap: float,
    set_to: float | None,
    thin: float,
) -> LookView:
    on = TODAY - timedelta(days=365 * (4 - step) + 2)
    seen = PlugSeen(conditions=(Condition.WORN,), gaps_in=(gap,), electrode_in=thin)
    line = CheckLine(
        10 * number + step, number, 1, str(at), on, HOURS[step], "after cleaning", ("worn",), (), False,
        (gap,), set_to, thin, None, 1200.0, True, "clean", "", None, "", 1,
    )  # fmt: skip
    return LookView(line, Decimal(life), seen, decided(seen, kind, says=load_conditions()), Verdict.CLEAN)


def _trade_look(look: LookView) -> PlugLook:
    line = look.line
    return PlugLook(look.life_hours, line.place, line.gaps_in[0], line.set_gap_in, line.electrode_in)


def _reading(cylinder: int, step: int) -> float:
    """Most stay; cylinder 3 falls steadily, cylinder 2 jumps about."""
    if cylinder == 3:
        return 77.0 - 2.5 * step
    return float(75 + (cylinder * 5 + step * 3) % 4)


def _test(engine: EngineType, step: int) -> TestView:
    facts, rule = load_compression(), judging_rule_of(engine)
    hole = restrictor_of(engine).value
    made = Conditions(restrictor_in=hole, master_psi=44.0)
    line = TestLine(
        step, 1, TODAY - timedelta(days=365 * (4 - step) + 2), HOURS[step], 20, None, step == 1, 80.0, hole,
        "bench 2", 44.0, None, None, None, "", (), None, "", 1,
    )  # fmt: skip
    psi = {cylinder: _reading(cylinder, step) for cylinder in engine.firing_order}
    judged = judged_test(psi, made, rule)
    readings = tuple(
        ReadingView(
            CylinderLine(
                100 * step + each.cylinder, step, each.cylinder, each.reading_psi, None, (), (), "", 1
            ),
            each,
            leak_paths_heard((), facts.paths),
            (),
            None,
        )
        for each in judged.value.cylinders
    )
    return TestView(line, made, "", readings, judged, lowest_good_psi(made, rule), "")


def _cylinder(engine: EngineType, number: int, tests: tuple[TestView, ...]) -> CylinderView:
    timed = [
        TimedReading(
            each.line.tested_on,
            each.line.engine_hours,
            found.line.reading_psi,
            each.made,
            "bench 2",
            each.line.cold,
        )
        for each in reversed(tests)
        if (found := each.reading(number))
    ]
    changed = date(2024, 6, 1)
    work = [CylinderWork(changed, "cylinder changed")] if number == 4 and tests else []
    changes = tuple(
        CylinderChangeLine(1, 1, 4, changed, Decimal("1012"), "cylinder changed", "C-88", 1) for _ in work
    )
    refused = "" if tests else "no test on record"
    try:
        trend = cylinder_trend(number, timed, judging_rule_of(engine), work) if tests else None
    except Refused as why:
        trend, refused = None, str(why)
    latest = tests[0].reading(number) if tests else None
    return CylinderView(number, trend, refused, changes, latest, tests[0] if tests else None)


def _rotation(engine: EngineType) -> RotationLine:
    return RotationLine(
        1, 1, date(2025, 5, 12), Decimal(1108), usual(engine).key, "going in", "in", {}, {},
        len(engine.places), None, "", 1,
    )  # fmt: skip
