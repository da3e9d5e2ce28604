"""What a look at a plug may say in a history: stages, sizes, a verdict, and the tray it was made at."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from annual_planner.exchange.history_layout import HistoryFile, HistoryLine, HistoryShelf, LineFault
from annual_planner.records.plug_looks import check_setting
from annual_planner.trade.plug_check import AFTER, BEFORE, Decision, PlugSeen, decided, overruled
from annual_planner.trade.plugs import Condition, Damage, PlugType, Verdict
from annual_planner.trade.refused import Refused

STAGES = (BEFORE, AFTER)
VERDICTS: Mapping[str, Verdict] = {each.value: each for each in Verdict}


def seen_of(line: HistoryLine) -> PlugSeen:
    """What a look saw. Raises Refused for a damage of no known name."""
    gaps, oval = line.get("gap_in"), line.get("oval_in")
    conditions, sparks = line.get("condition"), line.get("sparks")
    electrode, ohm = line.number_of("electrode_in"), line.number_of("resistance_ohm")
    return PlugSeen(
        conditions=conditions if isinstance(conditions, tuple) else (Condition.NORMAL,),
        dropped=line.get("dropped") is True,
        damage=_damage(line.get("damage")),
        gaps_in=gaps if isinstance(gaps, tuple) else (),
        electrode_in=None if electrode is None else float(electrode),
        oval_in=(oval[0], oval[1]) if isinstance(oval, tuple) and len(oval) == 2 else None,
        resistance_ohm=None if ohm is None else float(ohm),
        sparks_under_pressure=sparks if isinstance(sparks, bool) else None,
    )


def _damage(words: object) -> tuple[Damage, ...]:
    if not isinstance(words, tuple):
        return ()
    names = {each.name.casefold(): each for each in Damage}
    unknown = [word for word in words if str(word).casefold() not in names]
    if unknown:
        raise Refused(f"'{unknown[0]}' is no damage.", f"Use {', '.join(names)}.")
    return tuple(names[str(word).casefold()] for word in words)


def decision_of(line: HistoryLine, plug_type: PlugType, shelf: HistoryShelf) -> Decision:
    """What a look decided: what was seen says it, unless its line has another verdict with a reason.

    Raises Refused for what can't be seen together, and for another verdict without a reason or of a dropped
    plug.
    """
    decision = decided(seen_of(line), plug_type, says=shelf.conditions_say()).value
    verdict, because = VERDICTS.get(line.text("verdict")), line.text("overruled_because")
    if verdict is None or (verdict is decision.verdict and not because):
        return decision
    return overruled(decision, verdict, because)


def look_faults(file: HistoryFile) -> Iterator[LineFault]:
    """Faults of looks, by line and column."""
    types = {line.get("tag"): line.text("type") for line in file.of("plug")}
    yield from _of_trays(file)
    for line in file.of("look"):
        yield from _by_itself(line)
        yield from _decided(line, types.get(line.get("tag"), ""), file.shelf)


def _of_trays(file: HistoryFile) -> Iterator[LineFault]:
    """A plug is looked at in the tray of a rotation that took it out, once for each stage."""
    lay = {(line.get("tag"), line.get("removed_by")) for line in file.of("stay")}
    first: dict[tuple[object, ...], int] = {}
    for line in file.of("look"):
        if line.get("rotation") is None:
            continue
        which = (line.get("tag"), line.get("rotation"))
        if which not in lay:
            yield line.fault("rotation", f"no stay says that {line.text('rotation')} took this plug out")
        looked = (*which, line.get("stage"))
        if looked in first:
            yield line.fault("stage", f"looked at {line.text('stage')} in line {first[looked]} already")
        first.setdefault(looked, line.number)


def _by_itself(line: HistoryLine) -> Iterator[LineFault]:
    if line.get("stage") not in STAGES:
        yield line.fault("stage", f"neither {' nor '.join(STAGES)}")
    if isinstance(oval := line.get("oval_in"), tuple) and len(oval) != 2:
        yield line.fault("oval_in", "two sizes with | between them")
    if line.get("verdict") and line.text("verdict") not in VERDICTS:
        yield line.fault("verdict", f"none of {', '.join(VERDICTS)}")
    if line.get("overruled_because") and not line.get("verdict"):
        yield line.fault("verdict", "which one was decided?")
    set_in, gaps = line.number_of("set_gap_in"), line.get("gap_in")
    try:
        check_setting(gaps if isinstance(gaps, tuple) else (), None if set_in is None else float(set_in))
    except Refused as refused:
        yield line.fault("set_gap_in", str(refused))


def _decided(line: HistoryLine, type_key: str, shelf: HistoryShelf) -> Iterator[LineFault]:
    try:
        known = shelf.plug_type(type_key)
    except Refused:
        return  # said already of the plug itself
    try:
        decision = decided(seen_of(line), known, says=shelf.conditions_say()).value
    except Refused as refused:
        yield line.fault("", str(refused))
        return
    try:
        decision_of(line, known, shelf)
    except Refused as refused:
        column = "overruled_because" if decision.may_be_overruled else "verdict"
        yield line.fault(column, f"what was seen says {decision.verdict}. {refused}")
