"""What lines of a plug history must say of each other: plugs known, one plug a place, one life, one test."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from itertools import pairwise
from typing import TYPE_CHECKING

from annual_planner.library.compression import load_compression
from annual_planner.trade.engines import EngineType, place
from annual_planner.trade.plug_check import PlugSeen, decided
from annual_planner.trade.plug_life import Stay, overlap
from annual_planner.trade.plugs import Condition, Damage
from annual_planner.trade.pressure import ambient_pressure
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.exchange.plug_history import HistoryLine, HistoryShelf, LineFault

STAGES = ("before cleaning", "after cleaning")
OF_ONE_TEST = (
    "engine_hours",
    "regulated_psi",
    "restrictor_in",
    "tester",
    "master_psi",
    "ambient_psi_a",
    "minutes_since_shutdown",
    "oil_temperature_c",
    "elevation_ft",
    "altimeter_inhg",
    "cold",
)
MOST_PSI = Decimal(80)
"""Regulated pressure where a line gives none."""


@dataclass(frozen=True, slots=True)
class _File:
    """All good lines of a file, with what they are held against."""

    lines: Sequence[HistoryLine]
    engine: EngineType
    shelf: HistoryShelf
    today: date

    def of(self, record: str) -> list[HistoryLine]:
        return [line for line in self.lines if line.record == record]


def checked(
    lines: Sequence[HistoryLine], engine: EngineType, shelf: HistoryShelf, today: date
) -> list[LineFault]:
    """Every fault that a line has by itself against engine and library, or together with others."""
    file = _File(lines, engine, shelf, today)
    return [
        *_days(file),
        *_plugs(file),
        *_tags_known(file),
        *_places(file),
        *_stay_ends(file),
        *_scrapped(file),
        *_lives(file),
        *_places_once(file),
        *_looks(file),
        *_cylinders(file),
        *_tests(file),
    ]


def _fault(line: HistoryLine, column: str, said: str) -> LineFault:
    from annual_planner.exchange.plug_history import LineFault

    return LineFault(line.number, column, said)


def _days(file: _File) -> Iterator[LineFault]:
    for line in file.lines:
        for column in ("date", "until", "scrapped"):
            on = line.get(column)
            if isinstance(on, date) and on > file.today:
                yield _fault(line, column, f"{on} is after today")


def _plugs(file: _File) -> Iterator[LineFault]:
    first: dict[str, int] = {}
    takes = {each.key for row in file.engine.rows for each in row.plug_types}
    for line in file.of("plug"):
        tag, key = str(line.get("tag")), str(line.get("type"))
        if tag in first:
            yield _fault(line, "tag", f"plug {tag} stands in line {first[tag]} too")
        first.setdefault(tag, line.number)
        try:
            file.shelf.plug_type(key)
        except Refused as refused:
            yield _fault(line, "type", str(refused))
            continue
        if key not in takes:
            yield _fault(line, "type", f"{file.engine.title} takes {', '.join(sorted(takes))}")


def _tags_known(file: _File) -> Iterator[LineFault]:
    known = {line.get("tag") for line in file.of("plug")}
    for line in (*file.of("stay"), *file.of("look")):
        if line.get("tag") not in known:
            yield _fault(line, "tag", f"no plug line tells of which type {line.get('tag')} is")


def _places(file: _File) -> Iterator[LineFault]:
    types = {line.get("tag"): line.get("type") for line in file.of("plug")}
    for line in (*file.of("stay"), *file.of("look")):
        if line.get("place") is None:
            continue
        try:
            at = file.engine.checked(place(str(line.get("place"))))
        except Refused as refused:
            yield _fault(line, "place", str(refused))
            continue
        fits = {each.key for each in file.engine.plug_types_at(at)}
        if line.record == "stay" and types.get(line.get("tag"), next(iter(fits))) not in fits:
            yield _fault(line, "place", f"{at} takes {', '.join(sorted(fits))}")


def _stay_ends(file: _File) -> Iterator[LineFault]:
    for line in file.of("stay"):
        until, hours = line.get("until"), line.number_of("engine_hours")
        end = line.number_of("until_hours")
        if (until is None) is not (end is None):
            yield _fault(line, "until", "until and until_hours go together: fill both or neither")
        elif isinstance(until, date) and until < line.day():
            yield _fault(line, "until", "before the day it was fitted")
        elif end is not None and hours is not None and end < hours:
            yield _fault(line, "until_hours", f"{end} h is less than {hours} h when it was fitted")


def _scrapped(file: _File) -> Iterator[LineFault]:
    """A scrapped plug sits nowhere, came out before that day, and somebody said why."""
    for line in file.of("plug"):
        on = line.get("scrapped")
        if not isinstance(on, date):
            if line.get("scrapped_why"):
                yield _fault(line, "scrapped", "on which day?")
            continue
        if not line.get("scrapped_why"):
            yield _fault(line, "scrapped_why", "scrapping a plug needs a reason")
        for stay in file.of("stay"):
            until = stay.get("until")
            if stay.get("tag") == line.get("tag") and (not isinstance(until, date) or until > on):
                yield _fault(
                    line, "scrapped", f"it still sits in {stay.get('place')} then: line {stay.number}"
                )


def stay_of(line: HistoryLine) -> Stay:
    """A stay line as the trade counts it."""
    until = line.get("until")
    return Stay(
        str(line.get("place")),
        line.day(),
        line.number_of("engine_hours") or Decimal(0),
        until if isinstance(until, date) else None,
        line.number_of("until_hours"),
    )


def _lives(file: _File) -> Iterator[LineFault]:
    yield from _overlaps(file, "tag", "plug {} is in two places at once")


def _places_once(file: _File) -> Iterator[LineFault]:
    yield from _overlaps(file, "place", "two plugs are in {} at once")


def _overlaps(file: _File, by: str, said: str) -> Iterator[LineFault]:
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
            yield _fault(line, by, f"{said.format(name)}: see line {other.number}")


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


def _looks(file: _File) -> Iterator[LineFault]:
    types = {line.get("tag"): str(line.get("type")) for line in file.of("plug")}
    for line in file.of("look"):
        if line.get("stage") not in STAGES:
            yield _fault(line, "stage", f"neither {' nor '.join(STAGES)}")
        if isinstance(oval := line.get("oval_in"), tuple) and len(oval) != 2:
            yield _fault(line, "oval_in", "two sizes with | between them")
        try:
            known = file.shelf.plug_type(types.get(line.get("tag"), ""))
        except Refused:
            continue  # said already of the plug itself
        try:
            decided(seen_of(line), known, says=file.shelf.conditions_say())
        except Refused as refused:
            yield _fault(line, "", str(refused))


def _cylinders(file: _File) -> Iterator[LineFault]:
    paths = {each.key for each in load_compression().paths}
    for line in (*file.of("reading"), *file.of("work")):
        if line.get("cylinder") not in file.engine.firing_order:
            yield _fault(
                line, "cylinder", f"{file.engine.title} has cylinders 1 to {file.engine.cylinder_count}"
            )
        heard = line.get("heard")
        for key in heard if isinstance(heard, tuple) else ():
            if key not in paths:
                yield _fault(line, "heard", f"'{key}' is none of {', '.join(sorted(paths))}")
        yield from _pressures(line)


def _pressures(line: HistoryLine) -> Iterator[LineFault]:
    regulated = line.number_of("regulated_psi")
    if regulated is not None and not 0 < regulated <= 200:
        yield _fault(line, "regulated_psi", f"{regulated} psi can't be")
        return
    for column in ("reading_psi", "first_psi", "master_psi"):
        psi = line.number_of(column)
        if psi is not None and psi > (regulated or MOST_PSI):
            yield _fault(line, column, f"{psi} psi is above the {regulated or MOST_PSI} psi put in")
    for column in ("restrictor_in", "ambient_psi_a"):
        if line.number_of(column) == 0:
            yield _fault(line, column, "0 can't be: leave it empty where it isn't known")
    elevation, setting = line.number_of("elevation_ft"), line.number_of("altimeter_inhg")
    if elevation is None and setting is not None:
        yield _fault(line, "altimeter_inhg", "a setting needs the field's elevation_ft")
    elif elevation is not None:
        try:
            ambient_pressure(float(elevation), None if setting is None else float(setting))
        except Refused as refused:
            yield _fault(line, "elevation_ft", str(refused))


def _tests(file: _File) -> Iterator[LineFault]:
    by_day: dict[date, list[HistoryLine]] = {}
    for line in file.of("reading"):
        by_day.setdefault(line.day(), []).append(line)
    for lines in by_day.values():
        yield from _one_test(lines)
    firsts = [by_day[on][0] for on in sorted(by_day)]
    known = [(line, hours) for line in firsts if (hours := line.number_of("engine_hours")) is not None]
    for (_, before), (line, hours) in pairwise(known):
        if hours < before:
            yield _fault(line, "engine_hours", f"{hours} h after {before} h at the test before")


def _one_test(lines: Sequence[HistoryLine]) -> Iterator[LineFault]:
    first, cylinders = lines[0], set()
    for line in lines:
        if line.get("cylinder") in cylinders:
            yield _fault(line, "cylinder", f"cylinder {line.get('cylinder')} is read twice on {line.day()}")
        cylinders.add(line.get("cylinder"))
        for column in OF_ONE_TEST:
            if line.get(column) != first.get(column):
                said = f"not as in line {first.number}: the readings of one day are one test"
                yield _fault(line, column, said)
