"""The working behind every number of an engine's page, asked for in words.

After the registration: 'engine' (all of it in short) or 'engine 2', then 'plug 3T' (wear, its looks),
'cylinder 2' (trend and readings), 'rotation', 'proposal', 'polarity', 'test' (the newest) or
'test 2026-03-01', 'torque', 'restrictor', 'set', 'hours' (to the next annual), 'tray'.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from annual_planner.library.shelf import Library
from annual_planner.planning.engine_view import (
    CylinderView,
    EngineView,
    PlaceView,
    PlugView,
    ReadingView,
    TestView,
    TraySlot,
)
from annual_planner.planning.engines import read_engine
from annual_planner.store.session import Work
from annual_planner.trade.engines import place
from annual_planner.trade.refused import Refused
from annual_planner.trade.said import said_date
from annual_planner.trade.working import Input, Rule, Step, Working

THINGS = (
    "'plug 3T', 'cylinder 2', 'rotation', 'proposal', 'polarity', 'test' with or without a day, 'torque', "
    "'restrictor', 'set', 'hours' or 'tray'"
)
ASK = f"After 'engine' and its position ask for {THINGS}."


def explain_engine(
    work: Work, aircraft_id: int, words: Sequence[str], library: Library, today: date
) -> Working:
    """The working of what the words after 'engine' ask for; position 1 where none is given.

    Raises Refused where nothing of the kind is there, with what can be asked for.
    """
    position, asked = (int(words[0]), words[1:]) if words and words[0].isdecimal() else (1, words)
    return explained(read_engine(work, aircraft_id, position, library, today), asked)


def explained(view: EngineView, asked: Sequence[str]) -> Working:
    """The working of one thing of an engine. Raises Refused where there is none, with the choices."""
    match list(asked):
        case []:
            return _overview(view)
        case ["plug", at]:
            return plug_working(view, at)
        case ["cylinder", number]:
            return cylinder_working(view, number)
        case ["test", *day]:
            return judged_working(view, day)
        case [thing]:
            return _one(view, thing)
        case _:
            raise Refused(f"'{' '.join(asked)}' is nothing of an engine.", ASK)


def _one(view: EngineView, thing: str) -> Working:
    if thing == "tray":
        return tray_working(view)
    known: dict[str, Working | None] = {
        "rotation": view.scheme.working,
        "proposal": view.proposal.working,
        "polarity": view.sparks.working,
        "torque": view.torque.working,
        "restrictor": view.restrictor.working,
        "set": view.outlook.working if view.outlook else None,
        "hours": view.hours_to_annual.working if view.hours_to_annual else None,
    }
    if thing not in known:
        raise Refused(f"'{thing}' is nothing of an engine.", ASK)
    working = known[thing]
    if working is None:
        raise Refused(view.outlook_refused if thing == "set" else view.hours_to_annual_refused)
    return working


def _overview(view: EngineView) -> Working:
    """Everything of one engine in short, with what can be asked for."""
    steps = [
        *(Step(f"plug {at.place}", _wear_said(at)) for at in view.places if at.plug is not None),
        *(Step(f"cylinder {each.cylinder}", _trend_said(each)) for each in view.cylinders),
    ]
    outlook = view.outlook.working.result if view.outlook else view.outlook_refused
    return Working(
        title=f"Engine {view.position} of {view.registration}, {view.engine_type.title}",
        result=outlook,
        inputs=(
            _amount(
                "engine hours",
                None if view.engine_hours is None else f"{view.engine_hours:f}",
                "h",
                "not known",
            ),
        ),
        steps=tuple(steps),
        rules=(Rule("this program's overview", "each line has a working of its own"),),
        assumptions=(ASK,),
    )


def _wear_said(at: PlaceView) -> str:
    return at.plug.wear.working.result if at.plug and at.plug.wear else "its type is not in the library"


def _trend_said(each: CylinderView) -> str:
    return each.trend.working.result if each.trend else each.refused


def plug_working(view: EngineView, at: str) -> Working:
    """One plug of the engine or its tray: its wear, its hours, its looks with their verdicts.

    Refused for a place that holds none.
    """
    wanted = view.engine_type.checked(place(at))
    fitted, slot = view.at(wanted), view.tray.slot(wanted) if view.tray else None
    plug = fitted.plug or (slot.plug if slot else None)
    if plug is None:
        raise Refused(f"There is no plug in {wanted}.", "Ask for a place that holds one.")
    wear = plug.wear.working if plug.wear else None
    return Working(
        title=f"Plug {plug.tag} in {wanted}",
        result=wear.result if wear else f"type {plug.type_title} is not in the library",
        inputs=_plug_inputs(plug, fitted),
        steps=tuple(Step(f"in {_stay_said(plug, n)}") for n in range(len(plug.stays))),
        parts=(
            *([wear] if wear else []),
            *(look.decision.working for look in plug.looks if look.decision is not None),
        ),
    )


def _amount(name: str, said: str | None, unit: str, without: str) -> Input:
    """A figure with its unit, or the words for there being none."""
    return Input(name, without) if said is None else Input(name, said, unit)


def _plug_inputs(plug: PlugView, fitted: PlaceView) -> tuple[Input, ...]:
    run, since = plug.run_hours, plug.hours_since_set
    gap = plug.last_gap_in
    return (
        _amount("hours run", None if run is None else f"{run:f}", "h", "not known"),
        _amount("hours since its gap was set", None if since is None else f"{since:f}", "h", "not known"),
        _amount("gap as last left", None if gap is None else f"{gap:.3f}", "in", "not measured"),
        Input("magneto", fitted.magneto.value),
        Input("polarity", fitted.polarity.value),
        Input("goes next to", str(fitted.next_place)),
    )


def _stay_said(plug: PlugView, number: int) -> str:
    stay = plug.stays[number]
    until = "today" if stay.removed_on is None else said_date(stay.removed_on)
    hours = stay.engine_hours_at_removal
    ends = "" if hours is None else f" to {hours:f}"
    begins = f"{stay.engine_hours_at_fitting:f}"
    return f"{stay.place} from {said_date(stay.fitted_on)} to {until}, engine hours {begins}{ends}"


def cylinder_working(view: EngineView, number: str) -> Working:
    """One cylinder: its trend, the newest reading as judged, where air was heard, the recheck.

    Refused for a cylinder that the engine doesn't have.
    """
    each = view.cylinder(int(number)) if number.isdecimal() else None
    if each is None:
        last = view.engine_type.cylinder_count
        raise Refused(f"This engine has no cylinder {number}.", f"Its cylinders are numbered 1 to {last}.")
    parts = [each.trend.working] if each.trend else []
    if each.latest is not None and each.latest_test is not None:
        parts += _reading_parts(each.latest_test, each.latest)
    return Working(
        title=f"Cylinder {each.cylinder} of engine {view.position}",
        result=_trend_said(each),
        steps=tuple(Step(f"{said_date(change.changed_on)}: {change.what}") for change in each.changes),
        parts=tuple(parts),
    )


def _reading_parts(test: TestView, reading: ReadingView) -> list[Working]:
    judged = test.judged.working.parts if test.judged else ()
    own = [part for part in judged if part.title.endswith(f"cylinder {reading.line.cylinder}")]
    heard = [reading.paths.working] if reading.line.heard else []
    return [*own, *heard, *([reading.recheck.working] if reading.recheck else [])]


def judged_working(view: EngineView, day: Sequence[str]) -> Working:
    """One compression test as it was judged, the newest where no day is given.

    Refused where there is none of that day, and where it can't be judged.
    """
    found = _test_of(view, day)
    if found.judged is None:
        raise Refused(found.refused)
    working = found.judged.working
    limit = [found.lowest_good.working] if found.lowest_good else []
    rechecks = [each.recheck.working for each in found.readings if each.recheck is not None]
    return Working(
        title=f"{working.title} of {said_date(found.line.tested_on)}",
        result=working.result,
        inputs=(
            *working.inputs,
            Input("air of the day", f"{found.made.ambient_psi_a:.3f}", "psi", found.air),
        ),
        steps=working.steps,
        rules=working.rules,
        assumptions=working.assumptions,
        parts=(*working.parts, *limit, *rechecks),
    )


def _test_of(view: EngineView, day: Sequence[str]) -> TestView:
    if not view.tests:
        raise Refused("No compression test of this engine is written down.", "Record one first.")
    if not day:
        return view.tests[0]
    found = next((each for each in view.tests if each.line.tested_on.isoformat() == " ".join(day)), None)
    if found is None:
        days = ", ".join(each.line.tested_on.isoformat() for each in view.tests)
        raise Refused(f"There is no compression test of {' '.join(day)}.", f"There are: {days}.")
    return found


def tray_working(view: EngineView) -> Working:
    """The open tray: gaskets counted, verdicts, and what goes in where. Refused where none is open."""
    tray = view.tray
    if tray is None:
        raise Refused("No plugs of this engine lie in the tray.", "Take them out first.")
    goes = (tray.goes_in.working,) if tray.goes_in else ()
    refused = (tray.goes_in_refused,) if tray.goes_in_refused else ()
    return Working(
        title=f"Tray of engine {view.position} of {view.registration}",
        result=tray.gaskets.said,
        inputs=(Input("taken out", said_date(tray.line.rotated_on)),),
        steps=tuple(Step(f"{slot.place}, plug {slot.plug.tag}", _slot_said(slot)) for slot in tray.slots),
        assumptions=refused,
        parts=goes,
    )


def _slot_said(slot: TraySlot) -> str:
    verdict = slot.verdict.value if slot.verdict else "not looked at yet"
    return f"{verdict}; {'stays out' if slot.next_place is None else f'goes to {slot.next_place}'}"
