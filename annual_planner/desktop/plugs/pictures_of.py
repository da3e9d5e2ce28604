"""Compressions and gaps of an engine as charts: runs, limits and the band of the one that stands out."""

from __future__ import annotations

from datetime import date

from annual_planner.desktop.columns import day_text
from annual_planner.desktop.plugs.as_marks import judged_word, psi_text
from annual_planner.desktop.plugs.marks import gap_text
from annual_planner.desktop.plugs.trend_picture import Band, Picture, Point, Run
from annual_planner.planning.engine_view import EngineView, PlugView, TestView
from annual_planner.trade.engines import Place
from annual_planner.trade.trends import Trend


def compression_picture(view: EngineView, loud: int | None) -> tuple[Picture, str]:
    """Readings of every cylinder over engine hours, and what is said of the one that stands out."""
    tests = sorted((t for t in view.tests if t.line.engine_hours is not None), key=lambda t: t.line.tested_on)
    runs = tuple(
        Run(f"Cylinder {number}", _readings(view, tests, number), loud=number == loud)
        for number in sorted(view.engine_type.firing_order)
    )
    limits = _psi_limits(tests[-1]) if tests else ()
    found = view.cylinder(loud or 0)
    trend = found.trend.value.trend if found is not None and found.trend is not None else None
    said = _said(trend, found.refused if found is not None else "")
    now = float(view.engine_hours) if view.engine_hours is not None else None
    return Picture(runs, "psi, as read", 0, limits, _band(trend, runs), now, "psi"), said


def _readings(view: EngineView, tests: list[TestView], cylinder: int) -> tuple[Point, ...]:
    """Readings in order; the line breaks where the trend begins a new series, and around a cold test."""
    began = _new_series(view, cylinder)
    points: list[Point] = []
    after_cold = False
    for test in tests:
        reading, on = test.reading(cylinder), test.line.tested_on
        if reading is None or test.line.engine_hours is None:
            continue
        taken = psi_text(reading.line.reading_psi, test.line.regulated_psi)
        said = [f"{day_text(on)}: {taken}, {judged_word(reading)}"]
        said += ["cold, not for the trend"] if test.line.cold else []
        said += [f"a new series: {began[on]}"] if on in began and not test.line.cold else []
        broken = test.line.cold or after_cold or on in began
        hours, psi = float(test.line.engine_hours), reading.line.reading_psi
        points.append(Point(hours, psi, test.line.test_id, "; ".join(said), breaks=broken))
        after_cold = test.line.cold
    return tuple(points)


def _new_series(view: EngineView, cylinder: int) -> dict[date, str]:
    """The days on which tests of a cylinder begin a new series, and why."""
    found = view.cylinder(cylinder)
    series = found.trend.value.series if found is not None and found.trend is not None else ()
    return {each.tests[0].on: each.began for each in series[1:]}


def _psi_limits(test: TestView) -> tuple[tuple[float, str], ...]:
    if test.lowest_good is None:
        return ()
    return ((test.lowest_good.value, f"limit {test.lowest_good.value:g}"),)


def held_plugs(view: EngineView) -> list[tuple[Place, PlugView]]:
    """Every plug in the engine or its tray, with its place, in the order of the places."""
    held = {each.place: each.plug for each in view.places if each.plug is not None}
    held.update({slot.place: slot.plug for slot in (view.tray.slots if view.tray is not None else ())})
    return [(at, held[at]) for at in view.engine_type.places if at in held]


def gap_picture(view: EngineView, loud: int | None) -> tuple[Picture, str]:
    """Gaps of every plug over engine hours, and what is said of the one that stands out."""
    held = held_plugs(view)
    runs = tuple(
        Run(f"{at} {plug.tag}", _gaps(plug, view.assembly_id), loud=plug.plug_id == loud) for at, plug in held
    )
    plug = next((plug for _at, plug in held if plug.plug_id == loud), None)
    limits: tuple[tuple[float, str], ...] = ()
    if plug is not None and plug.plug_type is not None:
        low, high = plug.plug_type.gap_low_in, plug.plug_type.gap_high_in
        limits = ((low, f"least {gap_text(low)}"), (high, f"most {gap_text(high)}"))
    wear = plug.wear.value if plug is not None and plug.wear is not None else None
    said = (
        "No forecast." if wear is None else f"Gap: {wear.gap.trend.said}. Electrode: {wear.electrode.said}."
    )
    band = _band(wear.gap.trend, runs) if wear is not None else None
    now = float(view.engine_hours) if view.engine_hours is not None else None
    return Picture(runs, "gap, inch", 3, limits, band, now, "in"), said


def _gaps(plug: PlugView, assembly_id: int) -> tuple[Point, ...]:
    """Gap as found at each look, and as it was set after it: a line goes from set to found."""
    points: list[Point] = []
    for look in sorted(plug.looks, key=lambda each: (each.line.looked_on, each.line.check_id)):
        line, gap = look.line, look.largest_gap_in
        if gap is None or line.engine_hours is None or line.assembly_id != assembly_id:
            continue
        where = f" in {line.place}" if line.place else ""
        _add(points, float(line.engine_hours), gap, line.check_id, f"{day_text(line.looked_on)}{where}: gap")
        if line.set_gap_in is not None:
            said = f"{day_text(line.looked_on)}{where}: set to"
            _add(points, float(line.engine_hours), line.set_gap_in, line.check_id, said)
    return tuple(points)


def _add(points: list[Point], hours: float, gap_in: float, key: int, said: str) -> None:
    """Add a gap; one at the same hours as the last is after work on the plug and begins a new line."""
    last = points[-1] if points else None
    if last is not None and last.hours == hours and last.value == gap_in:
        return
    at_once = last is not None and last.hours == hours
    points.append(Point(hours, gap_in, key, f"{said} {gap_text(gap_in)} in", breaks=at_once))


def _band(trend: Trend | None, runs: tuple[Run, ...]) -> Band | None:
    """Early, likely and late edge as engine hours; none without a forecast."""
    if trend is None or trend.outlook is None:
        return None
    last = next((run.points[-1].hours for run in runs if run.loud and run.points), None)
    if last is None:
        return None
    out = trend.outlook
    return Band(last + out.early_hours, last + out.likely_hours, last + out.late_hours)


def _said(trend: Trend | None, refused: str) -> str:
    said = trend.said if trend is not None else refused
    return f"{said[:1].upper()}{said[1:]}." if said else "No test yet."
