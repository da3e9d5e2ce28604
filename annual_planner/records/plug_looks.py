"""Looks at plugs, before and after cleaning, with the verdict and what it raises on the cylinder."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from annual_planner.records.edits import Changed
from annual_planner.records.engine_hours import check_day
from annual_planner.records.plug_shelf import PlugShelf, shelf_or_shipped
from annual_planner.records.row_edits import AddRow, ChangeRow, Subject, Together
from annual_planner.store.plug_facts import (
    fitted_engine,
    has_look,
    has_open_discrepancy,
    lying_plugs,
    rotation_line,
    where_fitted,
)
from annual_planner.store.writing import field_of, values_of
from annual_planner.trade.engines import place
from annual_planner.trade.gaps import WIDEST_MEASURED_IN
from annual_planner.trade.plug_check import AFTER, BEFORE, Decision, PlugSeen, decided, overruled
from annual_planner.trade.plugs import Condition, Damage, Verdict
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.store.session import Work

KEPT_OPEN_OHM = 1e9
"""Stands for an open plug, because no end of ohms can be written down."""


@dataclass(frozen=True, slots=True)
class _CameOutOf:
    """Where a plug that is looked at came from; all None or empty for one of the drawer."""

    assembly_id: int | None = None
    aircraft_id: int | None = None
    place: str = ""
    engine_hours: Decimal | None = None
    out_on: date | None = None


@dataclass(frozen=True, slots=True)
class RecordPlugCheck:
    """Write down one look at one plug: of the tray of a rotation, or of the drawer where that is None.

    `overruled_verdict` with `overruled_because`: what a person decided otherwise. `set_gap_in`: what the gap
    was set to, None where it was left.
    """

    plug_id: int
    rotation_id: int | None
    stage: str
    looked_on: date
    seen: PlugSeen
    set_gap_in: float | None = None
    overruled_verdict: Verdict | None = None
    overruled_because: str = ""
    note: str = ""
    library: PlugShelf | None = field(default=None, repr=False, compare=False)

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return f"look at a plug {self.stage}"

    def apply(self, work: Work, today: date) -> Changed:
        """Write it down; a condition that tells of the cylinder is raised there as a discrepancy, once.

        Raises Refused for a plug still in an engine or not in this tray, a second look of the same stage,
        what can't be seen together or measured, a verdict overruled without a reason, or a dropped plug's.
        """
        plug = values_of(work, "spark_plug", self.plug_id, said="plug")
        came = self._came_out_of(work, f"{plug['tag']}")
        check_day(self.looked_on, today, not_before=came.out_on, since="the plug came out")
        if self.stage not in (BEFORE, AFTER):
            raise Refused(f"There is no look '{self.stage}'.", f"Say '{BEFORE}' or '{AFTER}'.")
        decision = decision_of(self.seen, f"{plug['type_key']}", self.library)
        if self.overruled_verdict is not None:
            decision = overruled(decision, self.overruled_verdict, self.overruled_because)
        check_setting(self.seen.gaps_in, self.set_gap_in)
        together = Together(work, Subject("plug", self.says, came.aircraft_id))
        made = together.write(AddRow(together.of, "plug_check", self._values(came, decision)))
        raise_on_cylinder(work, together, came, f"{plug['tag']}", decision, self.looked_on)
        return together.settled(today, made_id=made)

    def _came_out_of(self, work: Work, tag: str) -> _CameOutOf:
        if self.rotation_id is None:
            sits = where_fitted(work, self.plug_id)
            if sits is not None:
                raise Refused(f"Plug {tag} still sits in {sits.place}.", "Take it out before looking at it.")
            return _CameOutOf()
        line = rotation_line(work, self.rotation_id)
        found = next((p for p in lying_plugs(work, self.rotation_id) if p.plug_id == self.plug_id), None)
        if found is None:
            raise Refused(f"Plug {tag} isn't in this tray.", "Choose a plug that came out.")
        if has_look(work, self.plug_id, self.rotation_id, self.stage):
            raise Refused(f"Plug {tag} was looked at {self.stage} already.", "Change that look instead.")
        engine = fitted_engine(work, line.assembly_id)
        return _CameOutOf(
            line.assembly_id, engine.aircraft_id, found.place, line.engine_hours, line.rotated_on
        )

    def _values(self, came: _CameOutOf, decision: Decision) -> dict[str, object]:
        return {
            "plug_id": self.plug_id,
            "assembly_id": came.assembly_id,
            "place": came.place,
            "looked_on": self.looked_on,
            "engine_hours": came.engine_hours,
            "stage": self.stage,
            **seen_as_stored(self.seen),
            "set_gap_in": self.set_gap_in,
            "verdict": decision.verdict.value,
            "overruled_because": decision.overruled_because,
            "rotation_id": self.rotation_id,
            "note": self.note,
        }


def decision_of(seen: PlugSeen, type_key: str, library: PlugShelf | None) -> Decision:
    """What a look at a plug of that type says. Raises Refused for what can't be."""
    shelf = shelf_or_shipped(library)
    return decided(seen, shelf.plug_type(type_key), says=shelf.conditions_say()).value


def check_setting(gaps_in: tuple[float, ...], set_gap_in: float | None) -> None:
    """Raise Refused for a setting that can't be, or that would have levered the gap open."""
    if set_gap_in is None:
        return
    if not 0 < set_gap_in <= WIDEST_MEASURED_IN:
        raise Refused(f"A gap can't be set to {set_gap_in:g} in.", "Enter inches, such as 0.016.")
    if gaps_in and set_gap_in > max(gaps_in):
        raise Refused(
            f"A gap of {max(gaps_in):g} in isn't opened to {set_gap_in:g} in: levering cracks the nose.",
            "A gap that is too small rejects the plug; else correct one of the two numbers.",
        )


def raise_on_cylinder(
    work: Work, together: Together, came: _CameOutOf, tag: str, decision: Decision, found_on: date
) -> None:
    """Write up on the cylinder what the plug tells of it, unless it stands there open already."""
    if came.aircraft_id is None or came.assembly_id is None or not came.place:
        return
    at = place(came.place)
    for said in decision.discrepancies:
        text = f"Cylinder {at.cylinder}, {at.row.words} plug {tag}: {said}"
        if has_open_discrepancy(work, came.aircraft_id, came.assembly_id, at.cylinder, text):
            continue
        values = {
            "aircraft_id": came.aircraft_id,
            "found_on": found_on,
            "zone": "engine",
            "text": text,
            "airworthy": None,
            "assembly_id": came.assembly_id,
            "cylinder": at.cylinder,
            "how_found": "plug check",
        }
        of = Subject("discrepancy", f"discrepancy on cylinder {at.cylinder}", came.aircraft_id)
        together.write(AddRow(of, "discrepancy", values))


def seen_as_stored(seen: PlugSeen) -> dict[str, object]:
    """What was seen as the columns of a look."""
    return {
        "conditions": [each.value for each in seen.conditions],
        "damage": [each.value for each in seen.damage],
        "dropped": seen.dropped,
        "gaps_in": list(seen.gaps_in),
        "electrode_in": seen.electrode_in,
        "oval_in": list(seen.oval_in) if seen.oval_in is not None else None,
        "resistance_ohm": None if seen.resistance_ohm is None else min(seen.resistance_ohm, KEPT_OPEN_OHM),
        "sparks_under_pressure": seen.sparks_under_pressure,
    }


def seen_from_stored(held: Mapping[str, object]) -> PlugSeen:
    """What was seen, from the columns of a look."""
    oval, sparks = _numbers(held["oval_in"]), held["sparks_under_pressure"]
    return PlugSeen(
        conditions=tuple(Condition(each) for each in _texts(held["conditions"])),
        dropped=bool(held["dropped"]),
        damage=tuple(Damage(each) for each in _texts(held["damage"])),
        gaps_in=_numbers(held["gaps_in"]),
        electrode_in=_number(held["electrode_in"]),
        oval_in=(oval[0], oval[1]) if len(oval) == 2 else None,
        resistance_ohm=_number(held["resistance_ohm"]),
        sparks_under_pressure=sparks if isinstance(sparks, bool) else None,
    )


def _texts(value: object) -> tuple[str, ...]:
    return tuple(str(each) for each in value) if isinstance(value, list | tuple) else ()


def _numbers(value: object) -> tuple[float, ...]:
    return tuple(float(each) for each in value) if isinstance(value, list | tuple) else ()


def _number(value: object) -> float | None:
    return float(value) if isinstance(value, int | float) else None


_SEEN = frozenset(
    (
        "conditions", "damage", "dropped", "gaps_in", "electrode_in", "oval_in", "resistance_ohm",
        "sparks_under_pressure",
    )
)  # fmt: skip
_MAY_CHANGE = _SEEN | {"looked_on", "set_gap_in", "verdict", "overruled_because", "note"}


@dataclass(frozen=True, slots=True)
class ChangePlugCheck:
    """Write other values into a look; the verdict follows from them unless a reason overrules it.

    `saw` and `wants` by field, as a look is kept (see `seen_as_stored`); with 'verdict' goes
    'overruled_because'.
    """

    check_id: int
    saw: Mapping[str, object]
    wants: Mapping[str, object]
    library: PlugShelf | None = field(default=None, repr=False, compare=False)

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "correction of a look at a plug"

    def apply(self, work: Work, today: date) -> Changed:
        """Check it as a new look is checked and write it. Raises ChangedMeanwhile as every change does."""
        wrong = sorted(set(self.wants) - _MAY_CHANGE)
        if wrong:
            raise Refused(f"{', '.join(wrong)} of a look can't be changed.", "Record another look instead.")
        held = values_of(work, "plug_check", self.check_id, said="look")
        came = _came_from(work, held)
        plug = values_of(work, "spark_plug", field_of(held, "plug_id", int), said="plug")
        after = {**held, **self.wants}
        decision = _decided_again(after, self.wants, f"{plug['type_key']}", self.library)
        check_setting(_numbers(after["gaps_in"]), _number(after["set_gap_in"]))
        looked_on = field_of(after, "looked_on", date)
        check_day(looked_on, today, not_before=came.out_on, since="the plug came out")
        together = Together(work, Subject("plug", self.says, came.aircraft_id))
        wants = {
            **self.wants,
            "verdict": decision.verdict.value,
            "overruled_because": decision.overruled_because,
        }
        together.write(ChangeRow(together.of, "plug_check", self.check_id, self.saw, wants))
        raise_on_cylinder(work, together, came, f"{plug['tag']}", decision, looked_on)
        return together.settled(today, made_id=self.check_id)


def _decided_again(
    after: Mapping[str, object], wants: Mapping[str, object], type_key: str, library: PlugShelf | None
) -> Decision:
    """The verdict of a changed look: what was seen says it, unless somebody gives a reason for another."""
    decision = decision_of(seen_from_stored(after), type_key, library)
    because = str(after["overruled_because"] or "")
    if "verdict" in wants or because:
        wanted = Verdict(str(after["verdict"]))
        return decision if wanted is decision.verdict else overruled(decision, wanted, because)
    return decision


def _came_from(work: Work, held: Mapping[str, object]) -> _CameOutOf:
    assembly_id, rotation_id = held["assembly_id"], held["rotation_id"]
    aircraft_id = fitted_engine(work, assembly_id).aircraft_id if isinstance(assembly_id, int) else None
    return _CameOutOf(
        assembly_id if isinstance(assembly_id, int) else None,
        aircraft_id,
        str(held["place"]),
        None,
        rotation_line(work, rotation_id).rotated_on if isinstance(rotation_id, int) else None,
    )
