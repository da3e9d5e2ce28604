"""An engine's view as marks for its drawings: places, cylinders, compartments, arrows."""

from __future__ import annotations

from collections.abc import Mapping

from annual_planner.desktop.plugs.marks import (
    CHECK_AGAIN,
    EMPTY,
    OUT,
    Arrow,
    CylinderMark,
    PlaceMark,
    TrayPlug,
    gap_text,
    verdict_word,
)
from annual_planner.planning.engine_view import EngineView, LookView, PlaceView, ReadingView, TraySlot
from annual_planner.trade.compression import Verdict as Judged
from annual_planner.trade.engines import Place
from annual_planner.trade.plug_set import Reach

REACHES = {
    Reach.WORN: "replace",
    Reach.SHORT: "replace soon",
    Reach.DOUBT: "may not reach",
    Reach.ENOUGH: "reaches annual",
    Reach.UNKNOWN: "no forecast",
}
JUDGED = {Judged.WITHIN: "within limits", Judged.WATCH: "watch", Judged.SUSPECT: CHECK_AGAIN}


def place_marks(view: EngineView) -> dict[Place, PlaceMark]:
    """What stands at every place: of plugs that are out the tray's word, of others how long they last."""
    return {each.place: _place_mark(view, each) for each in view.places}


def _place_mark(view: EngineView, at: PlaceView) -> PlaceMark:
    slot = view.tray.slot(at.place) if view.tray is not None else None
    if slot is not None:
        gap = gap_text(slot_gap(slot))
        return PlaceMark(gap, verdict_word(slot.verdict), out=True, tag=slot.plug.tag)
    if at.plug is None:
        return PlaceMark(word=OUT if view.tray is not None else EMPTY, out=True)
    word = REACHES[at.reach] if at.reach is not None else ""
    return PlaceMark(gap_text(at.plug.last_gap_in), word, tag=at.plug.tag)


def cylinder_marks(view: EngineView) -> dict[int, CylinderMark]:
    """The newest reading of every cylinder."""
    marks = {}
    for each in view.cylinders:
        if each.latest is not None and each.latest_test is not None:
            taken = psi_text(each.latest.line.reading_psi, each.latest_test.line.regulated_psi)
            marks[each.cylinder] = CylinderMark(taken, judged_word(each.latest))
    return marks


def psi_text(reading_psi: float, regulated_psi: float) -> str:
    """A reading as people write it: 74/80."""
    return f"{reading_psi:g}/{regulated_psi:g}"


def judged_word(reading: ReadingView) -> str:
    """The word for what the rule makes of a reading."""
    return JUDGED[reading.judged.verdict] if reading.judged is not None else "not judged"


def last_look(slot: TraySlot) -> LookView | None:
    """The look that counts while a plug lies in the tray."""
    return slot.after or slot.before


def slot_gap(slot: TraySlot) -> float | None:
    """The gap as it now is: set, else as measured at the look that counts."""
    look = last_look(slot)
    if look is None:
        return None
    return look.line.set_gap_in if look.line.set_gap_in is not None else look.largest_gap_in


def tray_plug(slot: TraySlot) -> TrayPlug:
    """A plug as it is drawn in its compartment."""
    gap = gap_text(slot_gap(slot))
    was = gap_text(slot.plug.last_gap_in)
    return TrayPlug(slot.plug.tag, slot.place, gap, verdict_word(slot.verdict), slot.gasket_out, was)


def tray_plugs(view: EngineView, moved: Mapping[Place, Place] | None = None) -> dict[Place, TrayPlug]:
    """What lies in every compartment; `moved`: by the place it came from, where it was laid in the tray."""
    slots = view.tray.slots if view.tray is not None else ()
    where = moved or {}
    return {where.get(slot.place, slot.place): tray_plug(slot) for slot in slots}


def arrows_of(moves: Mapping[Place, Place], scheme: Mapping[Place, Place]) -> tuple[Arrow, ...]:
    """The way of every plug; those that depart from the scheme say so."""
    return tuple(Arrow(old, new, departs=scheme.get(old) != new) for old, new in moves.items() if old != new)
