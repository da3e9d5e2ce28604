"""What rotations may say in a history, and stays of the rotations that took a plug out or put it in."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from annual_planner.exchange.history_layout import HistoryFile, HistoryLine, LineFault
from annual_planner.planning.engine_facts import engine_facts, scheme_of
from annual_planner.records.plug_tray import GOING_IN, IN_THE_TRAY

MOVED = (GOING_IN, IN_THE_TRAY)


def rotation_faults(file: HistoryFile) -> Iterator[LineFault]:
    """Faults of rotations and of what refers to them, by line and column."""
    named: dict[str, HistoryLine] = {}
    for line in file.of("rotation"):
        name = line.text("rotation")
        if name in named:
            yield line.fault("rotation", f"{name} stands in line {named[name].number} too")
        named.setdefault(name, line)
        yield from _by_itself(file, line)
    yield from _open(file)
    for stay in file.of("stay"):
        yield from _of_stay(stay, named)
    for line in file.of("look"):
        if line.get("rotation") and line.text("rotation") not in named:
            yield line.fault("rotation", _unknown(line.text("rotation")))


def _unknown(name: str) -> str:
    return f"no rotation line is called {name}"


def _by_itself(file: HistoryFile, line: HistoryLine) -> Iterator[LineFault]:
    if line.get("scheme") and scheme_of(file.engine, line.text("scheme")) is None:
        offered = [each.value.scheme.key for each in engine_facts(file.engine).schemes]
        yield line.fault("scheme", f"no scheme of {file.engine.title}; it has {', '.join(offered)}")
    if line.get("moved") and line.text("moved") not in MOVED:
        yield line.fault("moved", f"neither {' nor '.join(MOVED)}")


def _open(file: HistoryFile) -> Iterator[LineFault]:
    """One tray is open at a time, and something lies in it."""
    lie = [line for line in file.of("rotation") if line.get("in_tray")]
    for line in lie[1:]:
        yield line.fault("in_tray", f"the plugs of line {lie[0].number} lie in the tray already")
    took_out = {stay.text("removed_by") for stay in file.of("stay")}
    for line in lie:
        if line.text("rotation") not in took_out:
            yield line.fault("in_tray", "no stay says that this rotation took a plug out")


def _of_stay(stay: HistoryLine, named: Mapping[str, HistoryLine]) -> Iterator[LineFault]:
    if stay.get("removed_by") and stay.until() is None:
        yield stay.fault("removed_by", "its plug is still in: leave it empty")
        return
    for column, on, hours in (
        ("fitted_by", stay.day(), stay.number_of("engine_hours")),
        ("removed_by", stay.until(), stay.number_of("until_hours")),
    ):
        if not stay.get(column):
            continue
        rotation = named.get(stay.text(column))
        if rotation is None:
            yield stay.fault(column, _unknown(stay.text(column)))
        elif on is not None and on < rotation.day():
            yield stay.fault(column, f"{on} is before that rotation: see line {rotation.number}")
        elif hours is not None and hours != rotation.number_of("engine_hours"):
            at = rotation.number_of("engine_hours")
            yield stay.fault(column, f"{hours} h, but {at} h at that rotation: see line {rotation.number}")
