"""Which working belongs to what is chosen on the tab in front."""

from __future__ import annotations

from typing import TYPE_CHECKING

from annual_planner.desktop.plugs.forms import InForm
from annual_planner.desktop.plugs.wrench import WrenchForm
from annual_planner.trade.working import Working

if TYPE_CHECKING:
    from annual_planner.desktop.plugs.page import PlugsPage


def why_here(page: PlugsPage) -> Working | None:
    """The working behind the chosen thing; on the engine, of its plug's wear or of the whole set."""
    view = page.view
    if view is None:
        return None
    if isinstance(page.drawer_form, InForm):
        return view.torque.working
    if isinstance(page.drawer_form, WrenchForm):
        answer = page.drawer_form.answer
        return answer.working if answer is not None else view.torque.working
    front = page.tabs.name_in_front
    if front == "tray":
        return page.tabs.tray.entry.decision.working if page.tabs.tray.entry.decision else _looked(page)
    if front == "rotation":
        return _rotation(page)
    if front == "compression":
        return _compression(page)
    if front == "compare":
        chosen = view.cylinder(page.tabs.compare.small.chosen)
        return chosen.trend.working if chosen is not None and chosen.trend is not None else None
    if front == "trends":
        return page.tabs.trends.working()
    at = page.tabs.engine.drawing.chosen
    plug = view.at(at).plug if at is not None else None
    if plug is not None and plug.wear is not None:
        return plug.wear.working
    return view.outlook.working if view.outlook is not None else view.sparks.working


def _looked(page: PlugsPage) -> Working | None:
    slot = page.tabs.tray.slot
    look = (slot.after or slot.before) if slot is not None else None
    return look.decision.working if look is not None and look.decision is not None else None


def _rotation(page: PlugsPage) -> Working | None:
    view = page.view
    if view is None:
        return None
    if view.tray is not None and view.tray.goes_in is not None:
        return view.tray.goes_in.working
    shown = {each.value.scheme.key: each for each in view.schemes}
    return shown.get(page.tabs.rotation.scheme.value(), view.scheme).working


def _compression(page: PlugsPage) -> Working | None:
    tab = page.tabs.compression
    if not tab.ladder.isHidden() and tab.ladder.working is not None:
        return tab.ladder.working
    for row in tab.readings.rows.values():
        if row.judged is not None and (row.psi.hasFocus() or row.heard.hasFocus()):
            return row.judged.working
    test = tab.chosen_test
    return test.judged.working if test is not None and test.judged is not None else None
