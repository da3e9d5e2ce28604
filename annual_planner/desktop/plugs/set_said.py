"""The plugs of an engine together, in a sentence: which won't last, and what changing them costs when."""

from __future__ import annotations

from annual_planner.planning.engine_view import EngineView
from annual_planner.trade.plug_set import Reach

WORDS = {
    Reach.WORN: "at the limit now",
    Reach.SHORT: "won't reach the next annual",
    Reach.DOUBT: "may not reach the next annual",
    Reach.UNKNOWN: "without a forecast",
}
"""Each way with the places it is of; how many reach it is said without them."""


def set_said(view: EngineView) -> str:
    """Which plugs won't reach the next annual, and what changing them costs now or at their own visit."""
    if view.outlook is None:
        return view.outlook_refused
    value = view.outlook.value
    count, enough = sum(map(len, value.places.values())), len(value.places[Reach.ENOUGH])
    if enough == count:
        return f"All {count} plugs reach the next annual."
    told = [
        f"{len(value.places[way])} {words} ({', '.join(value.places[way])})"
        for way, words in WORDS.items()
        if value.places[way]
    ]
    told += [f"{enough} last until then" if enough > 1 else "1 lasts until then"] if enough else []
    said = f"Of {count} plugs {', '.join(told)}."
    if not value.cost_later:
        return said
    return f"{said} Changed now {value.cost_now}; later, at a visit of their own, {value.cost_later}."
