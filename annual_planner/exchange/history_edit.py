"""Writing a read history into the fleet as one edit, and an engine's history out in the same layout."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from annual_planner.exchange.history_cells import joined
from annual_planner.exchange.history_checks import seen_of
from annual_planner.exchange.plug_history import HEADINGS, HistoryLine, HistoryPreview, HistoryShelf
from annual_planner.exchange.tables import Cell, as_csv
from annual_planner.records.edits import Changed
from annual_planner.records.engine_hours import check_hours
from annual_planner.records.row_edits import AddRow, Subject, Together
from annual_planner.store.plug_facts import fitted_engine, has_tag, open_stays
from annual_planner.store.writing import rows_where
from annual_planner.trade.answer import said_date
from annual_planner.trade.engines import place
from annual_planner.trade.plug_check import decided
from annual_planner.trade.plugs import Damage
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.store.plug_rows import CheckLine, EngineHistory
    from annual_planner.store.session import Work

REGULATED_PSI = 80.0


@dataclass(frozen=True, slots=True)
class ApplyHistory:
    """Write everything a file holds for one engine: all of it or nothing."""

    assembly_id: int
    preview: HistoryPreview
    shelf: HistoryShelf

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "history of an engine from a file"

    def apply(self, work: Work, today: date) -> Changed:
        """Write it down.

        Raises Refused while the file has a fault, and where the fleet already knows a plug or a test of a
        day, has a plug in a place, or its engine can't have had the hours.
        """
        if self.preview.faults:
            raise Refused(f"The file has {len(self.preview.faults)} faults.", "Mend every one of them first.")
        engine = fitted_engine(work, self.assembly_id)
        for line in self.preview.lines:
            for column in ("engine_hours", "until_hours"):
                hours = line.number_of(column)
                if hours is not None:
                    check_hours(engine, hours, line.day(), at_least=None)
        self._check_fleet(work)
        together = Together(work, Subject("plug", self.says, engine.aircraft_id))
        self._write_plugs(together)
        self._write_tests(together)
        changed = together.settled(today)
        return replace(changed, kinds=changed.kinds | {"compression"})

    def _check_fleet(self, work: Work) -> None:
        known = [str(line.get("tag")) for line in self.preview.of("plug") if has_tag(work, _tag(line))]
        if known:
            raise Refused(
                f"The fleet already has plugs called {', '.join(known[:8])}.", "Give these other tags."
            )
        stands = open_stays(work, self.assembly_id)
        taken = [
            _at(line) for line in self.preview.of("stay") if not line.get("until") and _at(line) in stands
        ]
        if taken:
            raise Refused(
                f"Plugs sit in {', '.join(sorted(taken))} already.",
                "Take them out first, or end these stays.",
            )
        tests = rows_where(work, "compression_test", assembly_id=self.assembly_id).values()
        twice = sorted({on for on in self.preview.tests() if any(row["tested_on"] == on for row in tests)})
        if twice:
            raise Refused(
                f"This engine already has a test of {', '.join(map(said_date, twice[:8]))}.",
                "Leave these lines out.",
            )

    def _write_plugs(self, together: Together) -> None:
        ids, types = {}, {}
        for line in self.preview.of("plug"):
            types[_tag(line)] = self.shelf.plug_type(str(line.get("type")))
            ids[_tag(line)] = together.write(AddRow(together.of, "spark_plug", _plug_values(line)))
        for line in self.preview.of("stay"):
            values = {"plug_id": ids[_tag(line)], "assembly_id": self.assembly_id, **_stay_values(line)}
            together.write(AddRow(together.of, "plug_stay", values))
        for line in self.preview.of("look"):
            seen = seen_of(line)
            decision = decided(seen, types[_tag(line)], says=self.shelf.conditions_say()).value
            values = {
                "plug_id": ids[_tag(line)],
                "assembly_id": self.assembly_id if line.get("place") else None,
                **_look_values(line),
                "verdict": decision.verdict.value,
            }
            together.write(AddRow(together.of, "plug_check", values))

    def _write_tests(self, together: Together) -> None:
        of = replace(together.of, kind="compression")
        for on, lines in self.preview.tests().items():
            values = {"assembly_id": self.assembly_id, "tested_on": on, **_test_values(lines[0])}
            test_id = together.write(AddRow(of, "compression_test", values))
            for line in lines:
                together.write(AddRow(of, "cylinder_reading", {"test_id": test_id, **_reading_values(line)}))
        for line in self.preview.of("work"):
            values = {
                "assembly_id": self.assembly_id,
                "cylinder": line.get("cylinder"),
                "changed_on": line.day(),
                "engine_hours": line.number_of("engine_hours"),
                "what": line.get("work"),
                "serial": line.get("serial") or "",
            }
            together.write(AddRow(of, "cylinder_change", values))


def _tag(line: HistoryLine) -> str:
    return str(line.get("tag"))


def _at(line: HistoryLine) -> str:
    return str(place(str(line.get("place"))))


def _float(line: HistoryLine, column: str) -> float | None:
    value = line.number_of(column)
    return None if value is None else float(value)


def _plug_values(line: HistoryLine) -> dict[str, object]:
    return {
        "type_key": line.get("type"),
        "tag": _tag(line),
        "bought_on": line.get("date"),
        "hours_before": line.number_of("hours_before"),
        "scrapped_on": line.get("scrapped"),
        "scrapped_why": line.get("scrapped_why") or "",
        "note": line.get("note") or "",
    }


def _stay_values(line: HistoryLine) -> dict[str, object]:
    return {
        "place": _at(line),
        "fitted_on": line.day(),
        "engine_hours_at_fitting": line.number_of("engine_hours"),
        "removed_on": line.get("until"),
        "engine_hours_at_removal": line.number_of("until_hours"),
        "gasket_out": None,
        "fitted_by_rotation_id": None,
        "removed_by_rotation_id": None,
        "why": line.get("note") or "",
    }


def _look_values(line: HistoryLine) -> dict[str, object]:
    seen = seen_of(line)
    return {
        "place": _at(line) if line.get("place") else "",
        "looked_on": line.day(),
        "engine_hours": line.number_of("engine_hours"),
        "stage": line.get("stage"),
        "conditions": [each.value for each in seen.conditions],
        "damage": [each.value for each in seen.damage],
        "dropped": seen.dropped,
        "gaps_in": list(seen.gaps_in),
        "set_gap_in": _float(line, "set_gap_in"),
        "electrode_in": seen.electrode_in,
        "oval_in": list(seen.oval_in) if seen.oval_in else None,
        "resistance_ohm": seen.resistance_ohm,
        "sparks_under_pressure": seen.sparks_under_pressure,
        "rotation_id": None,
        "note": line.get("note") or "",
    }


def _test_values(line: HistoryLine) -> dict[str, object]:
    return {
        "engine_hours": line.number_of("engine_hours"),
        "minutes_since_shutdown": line.get("minutes_since_shutdown"),
        "oil_temperature_c": _float(line, "oil_temperature_c"),
        "cold": line.get("cold") is True,
        "regulated_psi": _float(line, "regulated_psi") or REGULATED_PSI,
        "restrictor_in": _float(line, "restrictor_in"),
        "tester": line.get("tester") or "",
        "master_psi": _float(line, "master_psi"),
        "ambient_psi_a": _float(line, "ambient_psi_a"),
        "elevation_ft": _float(line, "elevation_ft"),
        "altimeter_inhg": _float(line, "altimeter_inhg"),
        "safety_ticked": [],
        "package_id": None,
    }


def _reading_values(line: HistoryLine) -> dict[str, object]:
    heard = line.get("heard")
    return {
        "cylinder": line.get("cylinder"),
        "reading_psi": _float(line, "reading_psi"),
        "first_psi": _float(line, "first_psi"),
        "heard": list(heard) if isinstance(heard, tuple) else [],
        "rechecked": [],
        "note": line.get("note") or "",
    }


def history_csv(history: EngineHistory, assembly_id: int) -> str:
    """The history of one engine in the layout that is read; what other engines did to its plugs stays out."""
    rows = [
        *_plug_lines(history, assembly_id),
        *_stay_lines(history, assembly_id),
        *_look_lines(history, assembly_id),
        *_reading_lines(history),
        *_work_lines(history),
    ]
    return as_csv(HEADINGS, [[row.get(name) for name in HEADINGS] for row in rows])


Line = Mapping[str, Cell]


def _ours(history: EngineHistory, assembly_id: int) -> set[int]:
    return {stay.plug_id for stay in history.stays if stay.assembly_id == assembly_id}


def _plug_lines(history: EngineHistory, assembly_id: int) -> Iterator[Line]:
    for plug_id in sorted(_ours(history, assembly_id)):
        plug = history.plugs[plug_id]
        yield {
            "record": "plug", "date": plug.bought_on, "tag": plug.tag, "type": plug.type_key,
            "hours_before": plug.hours_before, "scrapped": plug.scrapped_on,
            "scrapped_why": plug.scrapped_why, "note": plug.note,
        }  # fmt: skip


def _stay_lines(history: EngineHistory, assembly_id: int) -> Iterator[Line]:
    for stay in history.stays:
        if stay.assembly_id == assembly_id:
            yield {
                "record": "stay", "date": stay.fitted_on, "engine_hours": stay.engine_hours_at_fitting,
                "tag": history.plugs[stay.plug_id].tag, "place": stay.place, "until": stay.removed_on,
                "until_hours": stay.engine_hours_at_removal, "note": stay.why,
            }  # fmt: skip


def _look_lines(history: EngineHistory, assembly_id: int) -> Iterator[Line]:
    ours = _ours(history, assembly_id)
    for check in history.checks:
        if check.plug_id in ours and check.assembly_id in (assembly_id, None):
            yield _look_line(check, history.plugs[check.plug_id].tag)


def _look_line(check: CheckLine, tag: str) -> Line:
    return {
        "record": "look", "date": check.looked_on, "engine_hours": check.engine_hours, "tag": tag,
        "place": check.place, "stage": check.stage, "condition": joined(check.conditions),
        "damage": joined(Damage(each).name.casefold() for each in check.damage),
        "dropped": "yes" if check.dropped else "", "gap_in": joined(check.gaps_in),
        "set_gap_in": _number(check.set_gap_in), "electrode_in": _number(check.electrode_in),
        "oval_in": joined(check.oval_in or ()), "resistance_ohm": _number(check.resistance_ohm),
        "sparks": _said(check.sparks_under_pressure), "note": check.note,
    }  # fmt: skip


def _reading_lines(history: EngineHistory) -> Iterator[Line]:
    tests = {test.test_id: test for test in history.tests}
    for reading in history.readings:
        test = tests[reading.test_id]
        yield {
            "record": "reading", "date": test.tested_on, "engine_hours": test.engine_hours,
            "cylinder": reading.cylinder, "reading_psi": _number(reading.reading_psi),
            "first_psi": _number(reading.first_psi), "heard": joined(reading.heard),
            "regulated_psi": _number(test.regulated_psi), "restrictor_in": _number(test.restrictor_in),
            "tester": test.tester, "master_psi": _number(test.master_psi),
            "ambient_psi_a": _number(test.ambient_psi_a),
            "minutes_since_shutdown": test.minutes_since_shutdown,
            "oil_temperature_c": _number(test.oil_temperature_c),
            "elevation_ft": _number(test.elevation_ft), "altimeter_inhg": _number(test.altimeter_inhg),
            "cold": "yes" if test.cold else "",
            "note": reading.note,
        }  # fmt: skip


def _work_lines(history: EngineHistory) -> Iterator[Line]:
    for change in history.changes:
        yield {
            "record": "work", "date": change.changed_on, "engine_hours": change.engine_hours,
            "cylinder": change.cylinder, "work": change.what, "serial": change.serial,
        }  # fmt: skip


def _number(value: float | None) -> Decimal | None:
    return None if value is None else Decimal(str(value))


def _said(answer: bool | None) -> str:
    return "" if answer is None else "yes" if answer else "no"
