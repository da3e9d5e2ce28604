"""Plugs and cylinders of one engine as text tables for the terminal."""

from __future__ import annotations

from annual_planner.exchange.tables import Cell, as_table
from annual_planner.planning.engine_view import CylinderView, EngineView, PlaceView, TestView, TraySlot


def engine_table(view: EngineView) -> str:
    """Places, tray, set outlook, cylinders and the newest test, each under its heading."""
    hours = "hours not known" if view.engine_hours is None else f"{view.engine_hours:f} h"
    head = (
        f"{view.registration} engine {view.position}: {view.engine_title}, {view.engine_type.title}, {hours}"
    )
    parts = [head, _plugs(view), _tray(view), _outlook(view), _cylinders(view), _newest(view)]
    return "\n\n".join(part for part in parts if part)


def _plugs(view: EngineView) -> str:
    rows = [_place(each) for each in view.places]
    return as_table(
        ("place", "plug", "hours", "gap in", "magneto", "polarity", "next", "wears out", "next annual"), rows
    )


def _place(each: PlaceView) -> list[Cell]:
    plug = each.plug
    gap = plug.last_gap_in if plug else None
    return [
        str(each.place),
        plug.tag if plug else "empty",
        plug.run_hours if plug else None,
        None if gap is None else f"{gap:.3f}",
        each.magneto.value,
        each.polarity.value,
        str(each.next_place),
        plug.wear.value.electrode.said if plug and plug.wear else None,
        each.reach.value if each.reach else None,
    ]


def _tray(view: EngineView) -> str:
    if view.tray is None:
        return ""
    rows = [_slot(each) for each in view.tray.slots]
    table = as_table(("out of", "plug", "gasket out", "verdict", "goes to"), rows)
    return f"tray: {view.tray.gaskets.said}\n{table}"


def _slot(each: TraySlot) -> list[Cell]:
    gasket = {True: "yes", False: "missing", None: None}[each.gasket_out]
    verdict = each.verdict.value if each.verdict else None
    goes = str(each.next_place) if each.next_place else "stays out"
    return [str(each.place), each.plug.tag, gasket, verdict, goes]


def _outlook(view: EngineView) -> str:
    if view.outlook is None:
        return f"set until the next annual: {view.outlook_refused}"
    value = view.outlook.value
    said = f"set until the next annual: {view.outlook.working.result}"
    if not value.cost_later:
        return said
    costs = f"changed now {value.cost_now}, with life given up of {value.given_up}; later {value.cost_later}"
    return f"{said}\n{costs} at a visit of their own, in the shop's own money"


def _cylinders(view: EngineView) -> str:
    return as_table(("cylinder", "latest psi", "of", "trend"), [_cylinder(each) for each in view.cylinders])


def _cylinder(each: CylinderView) -> list[Cell]:
    latest, test = each.latest, each.latest_test
    said = each.trend.value.trend.said if each.trend else each.refused
    psi = f"{latest.line.reading_psi:g}" if latest else None
    return [each.cylinder, psi, test.line.tested_on if test else None, said]


def _newest(view: EngineView) -> str:
    if not view.tests:
        return "no compression test is written down"
    test = view.tests[0]
    said = test.judged.working.result if test.judged else test.refused
    rows = _readings(test)
    return f"compression test of {test.line.tested_on}: {said}\n" + as_table(
        ("cylinder", "psi", "verdict", "air heard at"), rows
    )


def _readings(test: TestView) -> list[list[Cell]]:
    return [
        [
            each.line.cylinder,
            f"{each.line.reading_psi:g}/{test.line.regulated_psi:g}",
            each.judged.verdict.value if each.judged else None,
            ", ".join(path.heard_at for path in each.paths.value),
        ]
        for each in test.readings
    ]
