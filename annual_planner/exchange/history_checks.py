"""What lines of a plug history must say of each other: plugs known, one plug a place, one life."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from decimal import Decimal

from annual_planner.exchange.history_cylinder_checks import cylinder_faults
from annual_planner.exchange.history_layout import HistoryFile, HistoryLine, LineFault
from annual_planner.exchange.history_look_checks import look_faults
from annual_planner.exchange.history_rotation_checks import rotation_faults
from annual_planner.trade.engines import place
from annual_planner.trade.plug_life import Stay, overlap
from annual_planner.trade.refused import Refused


def checked(file: HistoryFile) -> list[LineFault]:
    """Every fault that a line has by itself against engine and library, or together with others."""
    return [
        *_days(file),
        *_plugs(file),
        *_tags_known(file),
        *_places(file),
        *_stay_ends(file),
        *_put_away(file),
        *_lives(file),
        *_places_once(file),
        *rotation_faults(file),
        *look_faults(file),
        *cylinder_faults(file),
    ]


def _days(file: HistoryFile) -> Iterator[LineFault]:
    for line in file.lines:
        for column in ("date", "until", "scrapped"):
            on = line.get(column)
            if isinstance(on, date) and on > file.today:
                yield line.fault(column, f"{on} is after today")


def _plugs(file: HistoryFile) -> Iterator[LineFault]:
    first: dict[str, int] = {}
    takes = {each.key for row in file.engine.rows for each in row.plug_types}
    for line in file.of("plug"):
        tag, key = str(line.get("tag")), str(line.get("type"))
        if tag in first:
            yield line.fault("tag", f"plug {tag} stands in line {first[tag]} too")
        first.setdefault(tag, line.number)
        try:
            file.shelf.plug_type(key)
        except Refused as refused:
            yield line.fault("type", str(refused))
            continue
        if key not in takes:
            yield line.fault("type", f"{file.engine.title} takes {', '.join(sorted(takes))}")


def _tags_known(file: HistoryFile) -> Iterator[LineFault]:
    known = {line.get("tag") for line in file.of("plug")}
    for line in (*file.of("stay"), *file.of("look")):
        if line.get("tag") not in known:
            yield line.fault("tag", f"no plug line tells of which type {line.get('tag')} is")


def _places(file: HistoryFile) -> Iterator[LineFault]:
    types = {line.get("tag"): line.get("type") for line in file.of("plug")}
    for line in (*file.of("stay"), *file.of("look")):
        if line.get("place") is None:
            continue
        try:
            at = file.engine.checked(place(str(line.get("place"))))
        except Refused as refused:
            yield line.fault("place", str(refused))
            continue
        fits = {each.key for each in file.engine.plug_types_at(at)}
        if line.record == "stay" and types.get(line.get("tag"), next(iter(fits))) not in fits:
            yield line.fault("place", f"{at} takes {', '.join(sorted(fits))}")


def _stay_ends(file: HistoryFile) -> Iterator[LineFault]:
    for line in file.of("stay"):
        until, hours = line.get("until"), line.number_of("engine_hours")
        end = line.number_of("until_hours")
        if (until is None) is not (end is None):
            yield line.fault("until", "until and until_hours go together: fill both or neither")
        elif isinstance(until, date) and until < line.day():
            yield line.fault("until", "before the day it was fitted")
        elif end is not None and hours is not None and end < hours:
            yield line.fault("until_hours", f"{end} h is less than {hours} h when it was fitted")
        elif until is None and line.get("gasket_out") is not None:
            yield line.fault("gasket_out", "its plug is still in: leave it empty")


def _put_away(file: HistoryFile) -> Iterator[LineFault]:
    """A scrapped plug, or a spare, sits nowhere, came out before that day, and somebody said why."""
    last: dict[str, HistoryLine] = {}
    for stay in sorted(file.of("stay"), key=lambda each: each.until() or date.max):
        last[stay.text("tag")] = stay
    for line in file.of("plug"):
        sat, on = last.get(line.text("tag")), line.get("scrapped")
        until = date.min if sat is None else sat.until() or date.max
        still = f"it still sits in {sat.text('place')} then: line {sat.number}" if sat is not None else ""
        if line.get("spare") and (on is not None or until == date.max):
            yield line.fault("spare", still if on is None else "a scrapped plug is no spare")
        if isinstance(on, date) and until > on:
            yield line.fault("scrapped", still)
        if on is None and line.get("scrapped_why"):
            yield line.fault("scrapped", "on which day?")
        if on is not None and not line.get("scrapped_why"):
            yield line.fault("scrapped_why", "scrapping a plug needs a reason")


def stay_of(line: HistoryLine) -> Stay:
    """A stay line as the trade counts it."""
    return Stay(
        line.text("place"),
        line.day(),
        line.number_of("engine_hours") or Decimal(0),
        line.until(),
        line.number_of("until_hours"),
    )


def _lives(file: HistoryFile) -> Iterator[LineFault]:
    yield from _overlaps(file, "tag", "plug {} is in two places at once")


def _places_once(file: HistoryFile) -> Iterator[LineFault]:
    yield from _overlaps(file, "place", "two plugs are in {} at once")


def _overlaps(file: HistoryFile, by: str, said: str) -> Iterator[LineFault]:
    """The first two stays of one plug, or in one place, that can't both be."""
    grouped: dict[str, list[HistoryLine]] = {}
    for line in file.of("stay"):
        grouped.setdefault(str(line.get(by)).upper() if by == "place" else str(line.get(by)), []).append(line)
    for name, lines in grouped.items():
        stays = [stay_of(line) for line in lines]
        clash = overlap(stays)
        if clash is not None:
            line = next(each for each, stay in zip(lines, stays, strict=True) if stay is clash[1])
            other = next(each for each, stay in zip(lines, stays, strict=True) if stay is clash[0])
            yield line.fault(by, f"{said.format(name)}: see line {other.number}")
