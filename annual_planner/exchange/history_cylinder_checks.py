"""What readings, the steps of their rechecks and works on cylinders may say in a history."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from itertools import pairwise

from annual_planner.exchange.history_layout import (
    OF_ONE_TEST,
    HistoryFile,
    HistoryLine,
    LineFault,
    TestKey,
    by_test,
)
from annual_planner.library.compression import load_compression
from annual_planner.records.compression_checks import MOST_OIL_C, MOST_RESTRICTOR_IN
from annual_planner.trade.compression_safety import SAFETY_STEPS
from annual_planner.trade.pressure import ambient_pressure
from annual_planner.trade.recheck import RecheckStep
from annual_planner.trade.refused import Refused

MOST_PSI = Decimal(80)
"""Regulated pressure where a line gives none."""
_FOUND = ("reading_psi", "seen", "left_out")
"""One of these tells what a step of a recheck came to."""


def cylinder_faults(file: HistoryFile) -> Iterator[LineFault]:
    """Faults of readings, rechecks and works, by line and column."""
    facts = load_compression()
    paths = sorted(each.key for each in facts.paths)
    for line in (*file.of("reading"), *file.of("work")):
        yield from _cylinder(file, line)
        yield from _known(line, "heard", paths)
        yield from _known(line, "safety", [each.key for each in SAFETY_STEPS])
        yield from _pressures(line)
    yield from _tests(file)
    yield from _rechecks(file, {each.key: each for each in facts.ladder})


def _cylinder(file: HistoryFile, line: HistoryLine) -> Iterator[LineFault]:
    if line.get("cylinder") not in file.engine.firing_order:
        yield line.fault("cylinder", f"{file.engine.title} has cylinders 1 to {file.engine.cylinder_count}")


def _known(line: HistoryLine, column: str, known: Sequence[str]) -> Iterator[LineFault]:
    keys = line.get(column)
    for key in keys if isinstance(keys, tuple) else ():
        if key not in known:
            yield line.fault(column, f"'{key}' is none of {', '.join(known)}")


def regulated(line: HistoryLine) -> Decimal:
    """The regulated pressure of a reading, psi."""
    return line.number_of("regulated_psi") or MOST_PSI


def _pressures(line: HistoryLine) -> Iterator[LineFault]:
    given = line.number_of("regulated_psi")
    if given is not None and not 0 < given <= 200:
        yield line.fault("regulated_psi", f"{given} psi can't be")
        return
    for column in ("reading_psi", "first_psi", "master_psi"):
        yield from _above(line, column, regulated(line))
    for column in ("restrictor_in", "ambient_psi_a"):
        if line.number_of(column) == 0:
            yield line.fault(column, "0 can't be: leave it empty where it isn't known")
    for column, most in (("restrictor_in", MOST_RESTRICTOR_IN), ("oil_temperature_c", MOST_OIL_C)):
        value = line.number_of(column)
        if value is not None and value > most:
            yield line.fault(column, f"{value} can't be: it is at most {most:g}")
    elevation, setting = line.number_of("elevation_ft"), line.number_of("altimeter_inhg")
    if elevation is None and setting is not None:
        yield line.fault("altimeter_inhg", "a setting needs the field's elevation_ft")
    elif elevation is not None:
        try:
            ambient_pressure(float(elevation), None if setting is None else float(setting))
        except Refused as refused:
            yield line.fault("elevation_ft", str(refused))


def _above(line: HistoryLine, column: str, put_in: Decimal) -> Iterator[LineFault]:
    psi = line.number_of(column)
    if psi is not None and psi > put_in:
        yield line.fault(column, f"{psi} psi is above the {put_in} psi put in")


def _tests(file: HistoryFile) -> Iterator[LineFault]:
    tests = by_test(file.of("reading"))
    for lines in tests.values():
        yield from _one_test(lines)
    firsts = [lines[0] for lines in tests.values()]
    known = [(line, hours) for line in firsts if (hours := line.number_of("engine_hours")) is not None]
    for (_, before), (line, hours) in pairwise(known):
        if hours < before:
            yield line.fault("engine_hours", f"{hours} h after {before} h at the test before")


def _one_test(lines: Sequence[HistoryLine]) -> Iterator[LineFault]:
    first, cylinders = lines[0], set()
    for line in lines:
        if line.get("cylinder") in cylinders:
            said = f"cylinder {line.get('cylinder')} is read twice on {line.day()}"
            yield line.fault("cylinder", f"{said}: number the tests of one day in the column test")
        cylinders.add(line.get("cylinder"))
        for column in OF_ONE_TEST:
            if line.get(column) != first.get(column):
                said = f"not as in line {first.number}: the readings of one day are one test"
                yield line.fault(column, said)


def _rechecks(file: HistoryFile, ladder: Mapping[str, RecheckStep]) -> Iterator[LineFault]:
    readings = {(line.test(), line.get("cylinder")): line for line in file.of("reading")}
    done: dict[tuple[TestKey, object], list[HistoryLine]] = {}
    for line in file.of("recheck"):
        done.setdefault((line.test(), line.get("cylinder")), []).append(line)
    for which, steps in done.items():
        reading = readings.get(which)
        if reading is None:
            yield steps[0].fault(
                "cylinder", f"no reading of cylinder {which[1]} in the test of {which[0][0]}"
            )
            continue
        yield from _one_recheck(reading, steps, ladder)


def _one_recheck(
    reading: HistoryLine, steps: Sequence[HistoryLine], ladder: Mapping[str, RecheckStep]
) -> Iterator[LineFault]:
    first: dict[str, int] = {}
    for line in steps:
        key = line.text("step")
        if key not in ladder:
            yield line.fault("step", f"'{key}' is none of {', '.join(ladder)}")
        elif key in first:
            yield line.fault("step", f"'{key}' stands in line {first[key]} too")
        elif ladder[key].read_again and all(line.get(column) is None for column in _FOUND):
            yield line.fault("reading_psi", "what did it read then? Else say what was seen, or why left out")
        first.setdefault(key, line.number)
        yield from _above(line, "reading_psi", regulated(reading))
    again = [psi for line in steps if (psi := line.number_of("reading_psi")) is not None]
    if again and again[-1] != reading.number_of("reading_psi"):
        said = f"{reading.number_of('reading_psi')} psi, but the recheck ended with {again[-1]} psi"
        yield reading.fault("reading_psi", said)
