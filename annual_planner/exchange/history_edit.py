"""Writing a history that was read from a file into the fleet, as one edit."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING

from annual_planner.exchange.history_cylinder_checks import regulated
from annual_planner.exchange.history_layout import HistoryLine, HistoryShelf
from annual_planner.exchange.history_look_checks import decision_of, seen_of
from annual_planner.exchange.plug_history import HistoryPreview
from annual_planner.records.compression import rung_as_stored
from annual_planner.records.edits import Changed
from annual_planner.records.engine_hours import check_hours
from annual_planner.records.plug_tray import GOING_IN
from annual_planner.records.row_edits import AddRow, Subject, Together
from annual_planner.store.plug_facts import FittedEngine, fitted_engine, known_tags, open_rotation, open_stays
from annual_planner.store.writing import rows_where
from annual_planner.trade.engines import place
from annual_planner.trade.plugs import PlugType
from annual_planner.trade.recheck import RecheckDone
from annual_planner.trade.refused import Refused
from annual_planner.trade.rotation import usual
from annual_planner.trade.said import said_date

if TYPE_CHECKING:
    from annual_planner.store.session import Work


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
        self._check_hours(engine)
        self._check_fleet(work)
        together = Together(work, Subject("plug", self.says, engine.aircraft_id))
        self._write_plugs(together, self._write_rotations(together, engine))
        self._write_tests(together)
        changed = together.settled(today)
        return replace(changed, kinds=changed.kinds | {"compression"})

    def _check_hours(self, engine: FittedEngine) -> None:
        """Raise Refused for hours that the engine can't have had, naming the first line with such hours."""
        for line in self.preview.lines:
            for column, on in (("engine_hours", line.get("date")), ("until_hours", line.until())):
                hours = line.number_of(column)
                if hours is None or not isinstance(on, date):
                    continue
                try:
                    check_hours(engine, hours, on, at_least=None)
                except Refused as refused:
                    raise Refused(f"{line.fault(column, refused.said)}", refused.remedy) from refused

    def _check_fleet(self, work: Work) -> None:
        known = sorted(known_tags(work, [line.text("tag") for line in self.preview.of("plug")]))
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
        lies = any(line.get("in_tray") for line in self.preview.of("rotation"))
        if lies and open_rotation(work, self.assembly_id) is not None:
            raise Refused(
                "Plugs of this engine lie in the tray already.",
                "Put them in first, or leave in_tray empty and end that rotation in the file.",
            )
        self._check_tests(work)

    def _check_tests(self, work: Work) -> None:
        held = {
            row["tested_on"]
            for row in rows_where(work, "compression_test", assembly_id=self.assembly_id).values()
        }
        twice = sorted({on for on, _ in self.preview.tests() if on in held})
        if twice:
            raise Refused(
                f"This engine already has a test of {', '.join(map(said_date, twice[:8]))}.",
                "Leave these lines out.",
            )

    def _write_rotations(self, together: Together, engine: FittedEngine) -> dict[str, int]:
        """The rotations' ids by their name in the file."""
        stays = self.preview.of("stay")
        return {
            line.text("rotation"): together.write(
                AddRow(together.of, "plug_rotation", self._rotation_values(line, stays, engine))
            )
            for line in self.preview.of("rotation")
        }

    def _rotation_values(
        self, line: HistoryLine, stays: Sequence[HistoryLine], engine: FittedEngine
    ) -> dict[str, object]:
        by_it = [each for each in stays if each.get("fitted_by") == line.get("rotation")]
        return {
            "assembly_id": self.assembly_id,
            "rotated_on": line.day(),
            "engine_hours": line.number_of("engine_hours"),
            "scheme_key": line.text("scheme") or usual(self.shelf.engine(engine.type_key)).key,
            "moved": line.text("moved") or GOING_IN,
            "state": "out" if line.get("in_tray") else "in",
            "departures": {_at(each): each.text("note") for each in by_it if each.get("note")},
            "new_gaskets": line.get("new_gaskets"),
            "package_id": None,
            "note": line.text("note"),
        }

    def _write_plugs(self, together: Together, rotations: Mapping[str, int]) -> None:
        ids: dict[str, int] = {}
        types: dict[str, PlugType] = {}
        for line in self.preview.of("plug"):
            types[line.text("tag")] = self.shelf.plug_type(line.text("type"))
            ids[line.text("tag")] = together.write(AddRow(together.of, "spark_plug", _plug_values(line)))
        for line in self.preview.of("stay"):
            values = {
                "plug_id": ids[line.text("tag")],
                "assembly_id": self.assembly_id,
                "fitted_by_rotation_id": rotations.get(line.text("fitted_by")),
                "removed_by_rotation_id": rotations.get(line.text("removed_by")),
                **_stay_values(line),
            }
            together.write(AddRow(together.of, "plug_stay", values))
        for line in self.preview.of("look"):
            decision = decision_of(line, types[line.text("tag")], self.shelf)
            values = {
                "plug_id": ids[line.text("tag")],
                "assembly_id": self.assembly_id if line.get("place") else None,
                **_look_values(line),
                "verdict": decision.verdict.value,
                "overruled_because": decision.overruled_because,
                "rotation_id": rotations.get(line.text("rotation")),
            }
            together.write(AddRow(together.of, "plug_check", values))

    def _write_tests(self, together: Together) -> None:
        of = replace(together.of, kind="compression")
        rechecks = self.preview.rechecks()
        for (on, which), lines in self.preview.tests().items():
            values = {"assembly_id": self.assembly_id, "tested_on": on, **_test_values(lines[0])}
            test_id = together.write(AddRow(of, "compression_test", values))
            for line in lines:
                steps = rechecks.get(((on, which), line.get("cylinder")), [])
                reading = {"test_id": test_id, **_reading_values(line, steps)}
                together.write(AddRow(of, "cylinder_reading", reading))
        for line in self.preview.of("work"):
            values = {
                "assembly_id": self.assembly_id,
                "cylinder": line.get("cylinder"),
                "changed_on": line.day(),
                "engine_hours": line.number_of("engine_hours"),
                "what": line.get("work"),
                "serial": line.text("serial"),
            }
            together.write(AddRow(of, "cylinder_change", values))


def _at(line: HistoryLine) -> str:
    return str(place(line.text("place")))


def _float(line: HistoryLine, column: str) -> float | None:
    value = line.number_of(column)
    return None if value is None else float(value)


def _plug_values(line: HistoryLine) -> dict[str, object]:
    return {
        "type_key": line.get("type"),
        "tag": line.text("tag"),
        "bought_on": line.get("date"),
        "hours_before": line.number_of("hours_before"),
        "scrapped_on": line.get("scrapped"),
        "scrapped_why": line.text("scrapped_why"),
        "spare": line.get("spare") is True,
        "note": line.text("note"),
    }


def _stay_values(line: HistoryLine) -> dict[str, object]:
    return {
        "place": _at(line),
        "fitted_on": line.day(),
        "engine_hours_at_fitting": line.number_of("engine_hours"),
        "removed_on": line.get("until"),
        "engine_hours_at_removal": line.number_of("until_hours"),
        "gasket_out": line.get("gasket_out"),
        "why": line.text("note"),
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
        "note": line.text("note"),
    }


def _test_values(line: HistoryLine) -> dict[str, object]:
    return {
        "engine_hours": line.number_of("engine_hours"),
        "minutes_since_shutdown": line.get("minutes_since_shutdown"),
        "oil_temperature_c": _float(line, "oil_temperature_c"),
        "cold": line.get("cold") is True,
        "regulated_psi": float(regulated(line)),
        "restrictor_in": _float(line, "restrictor_in"),
        "tester": line.text("tester"),
        "master_psi": _float(line, "master_psi"),
        "ambient_psi_a": _float(line, "ambient_psi_a"),
        "elevation_ft": _float(line, "elevation_ft"),
        "altimeter_inhg": _float(line, "altimeter_inhg"),
        "after_work": line.text("after_work"),
        "safety_ticked": list(_words(line, "safety")),
        "package_id": None,
        "note": line.text("test_note"),
    }


def _reading_values(line: HistoryLine, steps: Sequence[HistoryLine]) -> dict[str, object]:
    return {
        "cylinder": line.get("cylinder"),
        "reading_psi": _float(line, "reading_psi"),
        "first_psi": _float(line, "first_psi"),
        "heard": list(_words(line, "heard")),
        "rechecked": [rung_as_stored(_step_done(step)) for step in steps],
        "note": line.text("note"),
    }


def _step_done(line: HistoryLine) -> RecheckDone:
    return RecheckDone(
        line.text("step"), _float(line, "reading_psi"), line.text("seen"), line.text("left_out")
    )


def _words(line: HistoryLine, column: str) -> tuple[str, ...]:
    found = line.get(column)
    return found if isinstance(found, tuple) else ()
