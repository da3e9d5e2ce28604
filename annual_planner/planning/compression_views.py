"""Compression tests and cylinders as a reader sees them: judged, with leak paths, recheck and trend."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from annual_planner.library.compression import CompressionFacts
from annual_planner.planning.engine_view import CylinderView, ReadingView, TestView
from annual_planner.store.plug_rows import CylinderChangeLine, CylinderLine, EngineHistory, TestLine
from annual_planner.trade.compression import (
    Conditions,
    JudgedCylinder,
    JudgedTest,
    JudgingRule,
    judged_test,
    lowest_good_psi,
)
from annual_planner.trade.cylinder_trend import CylinderTrend, cylinder_trend
from annual_planner.trade.pressure import STANDARD_PSI_A, ambient_pressure
from annual_planner.trade.recheck import LeakPath, Recheck, RecheckDone, leak_paths_heard, recheck
from annual_planner.trade.refused import Refused
from annual_planner.trade.series import CylinderWork, TimedReading
from annual_planner.trade.working import Worked


def judged_tests(history: EngineHistory, rule: JudgingRule, facts: CompressionFacts) -> tuple[TestView, ...]:
    """Every test of an engine, newest first."""
    lines: dict[int, list[CylinderLine]] = {}
    for line in history.readings:
        lines.setdefault(line.test_id, []).append(line)
    return tuple(_test(test, lines.get(test.test_id, []), rule, facts) for test in history.tests)


def made_of(test: TestLine) -> tuple[Conditions, str]:
    """How a test was made, and where the air of its day comes from."""
    air, said = _air(test)
    return Conditions(test.regulated_psi, air, test.restrictor_in, test.master_psi), said


def _air(test: TestLine) -> tuple[float, str]:
    if test.ambient_psi_a is not None:
        return test.ambient_psi_a, "as written down"
    if test.elevation_ft is None:
        return STANDARD_PSI_A, "not written down: standard air at sea level assumed"
    setting = test.altimeter_inhg
    said = "from the field's elevation" if setting is None else "from elevation and altimeter setting"
    return ambient_pressure(test.elevation_ft, setting).value, said


def _test(
    line: TestLine, readings: Sequence[CylinderLine], rule: JudgingRule, facts: CompressionFacts
) -> TestView:
    made, air = made_of(line)
    judged, refused = _judged(readings, made, rule)
    lowest = _lowest(made, rule)
    by_number = {each.cylinder: each for each in judged.value.cylinders} if judged else {}
    return TestView(
        line=line,
        made=made,
        air=air,
        readings=tuple(_reading(each, by_number, lowest, facts) for each in readings),
        judged=judged,
        lowest_good=lowest,
        refused=refused,
    )


def _judged(
    readings: Sequence[CylinderLine], made: Conditions, rule: JudgingRule
) -> tuple[Worked[JudgedTest] | None, str]:
    try:
        return judged_test({each.cylinder: each.reading_psi for each in readings}, made, rule), ""
    except Refused as refused:
        return None, str(refused)


def _lowest(made: Conditions, rule: JudgingRule) -> Worked[float] | None:
    try:
        return lowest_good_psi(made, rule)
    except Refused:
        return None


def _reading(
    line: CylinderLine,
    judged: Mapping[int, JudgedCylinder],
    lowest: Worked[float] | None,
    facts: CompressionFacts,
) -> ReadingView:
    done = tuple(as_done(each) for each in line.rechecked)
    first = line.reading_psi if line.first_psi is None else line.first_psi
    return ReadingView(
        line=line,
        judged=judged.get(line.cylinder),
        paths=_paths(line.heard, facts),
        rechecked=done,
        recheck=None if lowest is None else _recheck(first, lowest.value, done, facts),
    )


def _paths(heard: Sequence[str], facts: CompressionFacts) -> Worked[tuple[LeakPath, ...]]:
    """Where air was heard; a path that a shop's table no longer has is left out."""
    known = {path.key for path in facts.paths}
    return leak_paths_heard([each for each in heard if each in known], facts.paths)


def as_done(stored: Mapping[str, object]) -> RecheckDone:
    """A rung of the ladder as it is kept."""
    psi = stored.get("reading_psi")
    return RecheckDone(
        step=str(stored.get("step", "")),
        reading_psi=float(psi) if isinstance(psi, int | float) else None,
        damage=str(stored.get("damage") or ""),
        left_out=str(stored.get("left_out") or ""),
    )


def _recheck(
    first_psi: float, lowest_psi: float, done: Sequence[RecheckDone], facts: CompressionFacts
) -> Worked[Recheck] | None:
    """Where a low cylinder stands on the ladder; None for one that was good at once."""
    if first_psi >= lowest_psi and not done:
        return None
    try:
        return recheck(first_psi, lowest_psi, done, facts.ladder)
    except Refused:
        return None


def cylinder_views(
    cylinders: Sequence[int],
    tests: Sequence[TestView],
    changes: Sequence[CylinderChangeLine],
    rule: JudgingRule,
) -> tuple[CylinderView, ...]:
    """Every cylinder with its trend over the tests, given newest first."""
    return tuple(_cylinder(number, tests, changes, rule) for number in sorted(cylinders))


def _cylinder(
    number: int, tests: Sequence[TestView], changes: Sequence[CylinderChangeLine], rule: JudgingRule
) -> CylinderView:
    own = tuple(each for each in changes if each.cylinder == number)
    trend, refused = _trend(number, tests, own, rule)
    latest = next((test for test in tests if test.reading(number) is not None), None)
    return CylinderView(
        cylinder=number,
        trend=trend,
        refused=refused,
        changes=own,
        latest=latest.reading(number) if latest else None,
        latest_test=latest,
    )


def _trend(
    number: int, tests: Sequence[TestView], changes: Sequence[CylinderChangeLine], rule: JudgingRule
) -> tuple[Worked[CylinderTrend] | None, str]:
    timed = [_timed(test, reading) for test in reversed(tests) if (reading := test.reading(number))]
    work = [CylinderWork(each.changed_on, f"cylinder {each.what}") for each in reversed(changes)]
    try:
        return cylinder_trend(number, timed, rule, work), ""
    except Refused as refused:
        return None, str(refused)


def _timed(test: TestView, reading: ReadingView) -> TimedReading:
    line = test.line
    return TimedReading(
        on=line.tested_on,
        hours=line.engine_hours,
        reading_psi=reading.line.reading_psi,
        made=test.made,
        tester=line.tester,
        cold=line.cold,
        after_work=line.after_work,
    )
