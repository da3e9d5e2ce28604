"""The plugs of an engine together, in a sentence: which won't last, and what changing them costs when."""

from __future__ import annotations

from annual_planner.planning.engine_view import EngineView
from annual_planner.trade.plug_set import Reach

WORDS = {Reach.WORN: "at the limit now", Reach.UNKNOWN: "without a forecast"}


def set_said(view: EngineView) -> str:
    """Which plugs won't reach the next annual, and what changing them costs now or at their own visit."""
    if view.outlook is None:
        return view.outlook_refused
    value = view.outlook.value
    count = sum(map(len, value.places.values()))
    told = [
        f"{len(places)} {WORDS.get(way, way)} ({', '.join(places)})"
        for way, places in value.places.items()
        if places and way is not Reach.ENOUGH
    ]
    said = f"Of {count} plugs: {', '.join(told)}." if told else f"All {count} plugs reach the next annual."
    if not value.cost_later:
        return said
    return f"{said} Changed now {value.cost_now}; later, at a visit of their own, {value.cost_later}."
