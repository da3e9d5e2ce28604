"""The open tray as a reader sees it: what lies in it, its gaskets, and what goes into every place."""

from __future__ import annotations

from collections.abc import Iterable

from annual_planner.planning.engine_view import GasketCount, TraySlot, TrayView
from annual_planner.planning.plug_views import Bench, newest
from annual_planner.store.plug_rows import EngineHistory, RotationLine, StayLine
from annual_planner.trade.engines import EngineType, Place, place
from annual_planner.trade.going_in import GoesIn, going_in
from annual_planner.trade.plug_check import AFTER, BEFORE
from annual_planner.trade.plugs import Verdict
from annual_planner.trade.refused import Refused
from annual_planner.trade.rotation import Scheme
from annual_planner.trade.working import Worked


def open_tray(history: EngineHistory) -> RotationLine | None:
    """The rotation of an engine whose plugs are still out; None where there is none."""
    return next((each for each in history.rotations if each.state == "out"), None)


def tray_of(
    engine: EngineType, scheme: Scheme, line: RotationLine | None, history: EngineHistory, bench: Bench
) -> TrayView | None:
    """The tray of an open rotation, its slots in the order of the engine's places."""
    if line is None:
        return None
    out = {
        place(stay.place): stay
        for stay in history.stays
        if stay.removed_by_rotation_id == line.rotation_id and not _went_back(history, line, stay)
    }
    slots = tuple(_slot(at, out[at], line, history, bench, scheme) for at in engine.places if at in out)
    goes, refused = _goes_in(engine, scheme, slots)
    return TrayView(line, slots, gaskets_of(slots), goes, refused)


def _went_back(history: EngineHistory, line: RotationLine, stay: StayLine) -> bool:
    """Whether the plug was already fitted again by this rotation, part of which may still be out."""
    return any(
        each.plug_id == stay.plug_id and each.fitted_by_rotation_id == line.rotation_id
        for each in history.stays
    )


def _slot(
    at: Place, stay: StayLine, line: RotationLine, history: EngineHistory, bench: Bench, scheme: Scheme
) -> TraySlot:
    plug = bench.plug(history.plugs[stay.plug_id])
    before, after = (newest(plug.looks, line.rotation_id, stage) for stage in (BEFORE, AFTER))
    look = after or before
    verdict = look.verdict if look else None
    rejected = verdict is Verdict.REPLACE or plug.line.scrapped_on is not None
    return TraySlot(
        place=at,
        plug=plug,
        stay=stay,
        before=before,
        after=after,
        verdict=verdict,
        next_place=None if rejected else scheme.moves[at],
    )


def gaskets_of(slots: Iterable[TraySlot]) -> GasketCount:
    """Gaskets that came out against plugs that did."""
    slots = tuple(slots)
    return GasketCount(
        plugs_out=len(slots),
        gaskets_out=sum(slot.gasket_out is True for slot in slots),
        missing=tuple(slot.place for slot in slots if slot.gasket_out is False),
        not_asked=tuple(slot.place for slot in slots if slot.gasket_out is None),
    )


def _goes_in(
    engine: EngineType, scheme: Scheme, slots: tuple[TraySlot, ...]
) -> tuple[Worked[tuple[GoesIn, ...]] | None, str]:
    rejected = tuple(slot.place for slot in slots if slot.rejected)
    types = {slot.place: slot.plug.line.type_key for slot in slots if not slot.rejected}
    try:
        return going_in(engine, scheme, rejected, types), ""
    except Refused as refused:
        return None, str(refused)
