"""Writing an engine's history of plugs and compression to a file, in the layout in which one is read."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from itertools import groupby
from typing import TYPE_CHECKING

from annual_planner.exchange.history_cells import joined, number, readable
from annual_planner.exchange.history_layout import HEADINGS
from annual_planner.exchange.tables import Cell, as_csv
from annual_planner.planning.plug_views import as_stay
from annual_planner.trade.plug_life import hours_run
from annual_planner.trade.plugs import Damage

if TYPE_CHECKING:
    from annual_planner.store.plug_rows import (
        CheckLine,
        CylinderLine,
        EngineHistory,
        PlugLine,
        StayLine,
        TestLine,
    )

Line = Mapping[str, Cell]
"""One line of the file, by column."""


def history_csv(history: EngineHistory, assembly_id: int) -> str:
    """The history of one engine in the layout that is read.

    What other engines did to its plugs stays out, but for the hours they ran there before they came here.
    """
    ours = _Ours(history, assembly_id)
    lines = [
        *ours.plug_lines(),
        *ours.rotation_lines(),
        *ours.stay_lines(),
        *ours.look_lines(),
        *_test_lines(history),
        *_work_lines(history),
    ]
    rows = (tuple(_readable(line.get(name)) for name in HEADINGS) for line in lines)
    return as_csv(HEADINGS, dict.fromkeys(rows))


def _readable(cell: Cell) -> Cell:
    return readable(cell) if isinstance(cell, str) else cell


@dataclass(frozen=True, slots=True)
class _Ours:
    """What one engine did to its plugs."""

    history: EngineHistory
    assembly_id: int

    @property
    def stays(self) -> list[StayLine]:
        """The stays in this engine, oldest first."""
        return [stay for stay in self.history.stays if stay.assembly_id == self.assembly_id]

    @property
    def plugs(self) -> list[PlugLine]:
        """Every plug that ever sat in it."""
        return [self.history.plugs[each] for each in sorted({stay.plug_id for stay in self.stays})]

    @property
    def rotations(self) -> dict[int | None, str]:
        """What its rotations are called in the file, oldest first."""
        ids = [each.rotation_id for each in reversed(self.history.rotations)]
        return {rotation_id: f"R{n}" for n, rotation_id in enumerate(ids, 1)}

    def plug_lines(self) -> Iterator[Line]:
        for plug in self.plugs:
            yield {
                "record": "plug", "date": plug.bought_on, "tag": plug.tag, "type": plug.type_key,
                "hours_before": number(self._hours_before(plug)), "spare": _yes(plug.spare),
                "scrapped": plug.scrapped_on, "scrapped_why": plug.scrapped_why, "note": plug.note,
            }  # fmt: skip

    def _hours_before(self, plug: PlugLine) -> Decimal | None:
        """Hours a plug had run before its first stay here: elsewhere in the fleet, too."""
        earlier: list[StayLine] = []
        for stay in self.history.stays:
            if stay.plug_id != plug.plug_id:
                continue
            if stay.assembly_id == self.assembly_id:
                break
            earlier.append(stay)
        return hours_run(plug.hours_before, [as_stay(stay) for stay in earlier], None)

    def rotation_lines(self) -> Iterator[Line]:
        names = self.rotations
        for each in reversed(self.history.rotations):
            yield {
                "record": "rotation", "date": each.rotated_on, "engine_hours": number(each.engine_hours),
                "rotation": names[each.rotation_id], "scheme": each.scheme_key, "moved": each.moved,
                "in_tray": _yes(each.state == "out"), "new_gaskets": each.new_gaskets, "note": each.note,
            }  # fmt: skip

    def stay_lines(self) -> Iterator[Line]:
        names = self.rotations
        for stay in self.stays:
            yield {
                "record": "stay", "date": stay.fitted_on,
                "engine_hours": number(stay.engine_hours_at_fitting),
                "tag": self.history.plugs[stay.plug_id].tag, "place": stay.place, "until": stay.removed_on,
                "until_hours": number(stay.engine_hours_at_removal), "gasket_out": _said(stay.gasket_out),
                "fitted_by": names.get(stay.fitted_by_rotation_id, ""),
                "removed_by": names.get(stay.removed_by_rotation_id, ""), "note": stay.why,
            }  # fmt: skip

    def look_lines(self) -> Iterator[Line]:
        names, tags = self.rotations, {plug.plug_id: plug.tag for plug in self.plugs}
        for check in self.history.checks:
            if check.plug_id in tags and check.assembly_id in (self.assembly_id, None):
                yield {**_look_line(check, tags[check.plug_id]), "rotation": names.get(check.rotation_id, "")}


def _look_line(check: CheckLine, tag: str) -> Line:
    return {
        "record": "look", "date": check.looked_on, "engine_hours": number(check.engine_hours), "tag": tag,
        "place": check.place, "stage": check.stage, "condition": joined(check.conditions),
        "damage": joined(Damage(each).name.casefold() for each in check.damage),
        "dropped": _yes(check.dropped), "gap_in": joined(map(number, check.gaps_in)),
        "set_gap_in": number(check.set_gap_in), "electrode_in": number(check.electrode_in),
        "oval_in": joined(map(number, check.oval_in or ())), "resistance_ohm": number(check.resistance_ohm),
        "sparks": _said(check.sparks_under_pressure), "verdict": check.verdict,
        "overruled_because": check.overruled_because, "note": check.note,
    }  # fmt: skip


def _test_lines(history: EngineHistory) -> Iterator[Line]:
    """The readings of every test, oldest first, each followed by the steps of its recheck."""
    readings: dict[int, list[CylinderLine]] = {}
    for reading in history.readings:
        readings.setdefault(reading.test_id, []).append(reading)
    for _, tests in groupby(reversed(history.tests), key=lambda test: test.tested_on):
        for n, test in enumerate(tests, 1):
            for reading in readings.get(test.test_id, []):
                yield from _reading_lines(test, "" if n == 1 else f"{n}", reading)


def _reading_lines(test: TestLine, which: str, reading: CylinderLine) -> Iterator[Line]:
    of: Line = {"date": test.tested_on, "test": which, "cylinder": reading.cylinder}
    yield {
        **of, "record": "reading", "reading_psi": number(reading.reading_psi),
        "first_psi": number(reading.first_psi), "heard": joined(reading.heard), **_conditions(test),
        "note": reading.note,
    }  # fmt: skip
    for step in reading.rechecked:
        psi = step.get("reading_psi")
        yield {
            **of, "record": "recheck", "step": f"{step['step']}",
            "reading_psi": number(psi) if isinstance(psi, int | float) else None,
            "seen": f"{step.get('damage') or ''}", "left_out": f"{step.get('left_out') or ''}",
        }  # fmt: skip


def _conditions(test: TestLine) -> Line:
    return {
        "engine_hours": number(test.engine_hours), "regulated_psi": number(test.regulated_psi),
        "restrictor_in": number(test.restrictor_in), "tester": test.tester,
        "master_psi": number(test.master_psi), "ambient_psi_a": number(test.ambient_psi_a),
        "minutes_since_shutdown": test.minutes_since_shutdown,
        "oil_temperature_c": number(test.oil_temperature_c), "elevation_ft": number(test.elevation_ft),
        "altimeter_inhg": number(test.altimeter_inhg), "cold": _yes(test.cold),
        "after_work": test.after_work, "safety": joined(test.safety_ticked), "test_note": test.note,
    }  # fmt: skip


def _work_lines(history: EngineHistory) -> Iterator[Line]:
    for change in reversed(history.changes):
        yield {
            "record": "work", "date": change.changed_on, "engine_hours": number(change.engine_hours),
            "cylinder": change.cylinder, "work": change.what, "serial": change.serial,
        }  # fmt: skip


def _yes(said: bool) -> str:
    return "yes" if said else ""


def _said(answer: bool | None) -> str:
    return "" if answer is None else "yes" if answer else "no"
