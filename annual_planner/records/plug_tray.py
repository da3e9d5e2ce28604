"""Plugs taken out of an engine into the tray, and the gaskets that came out with them."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from annual_planner.records.edits import Changed
from annual_planner.records.engine_hours import check_day, check_hours
from annual_planner.records.planned_places import check_planned
from annual_planner.records.plug_shelf import PlugShelf, type_of
from annual_planner.records.row_edits import AddRow, ChangeRow, Subject, Together
from annual_planner.store.plug_facts import (
    FittedEngine,
    OpenStay,
    fitted_engine,
    latest_known_hours,
    open_rotation,
    open_stays,
    rotation_line,
)
from annual_planner.store.writing import field_of, values_of
from annual_planner.trade.engines import EngineType, place
from annual_planner.trade.refused import Refused
from annual_planner.trade.rotation import usual
from annual_planner.trade.said import said_hours

if TYPE_CHECKING:
    from annual_planner.store.session import Work

GOING_IN, IN_THE_TRAY = "going in", "in the tray"
"""When the plugs change place: as they go in, or already in the box."""


@dataclass(frozen=True, slots=True)
class TakeOutPlugs:
    """Take plugs out of an engine into the tray; into the open one where there is one.

    `places`: as written on the tray, '3T'. `scheme_key`: the scheme they will go back by, empty for the usual
    one. Makes the rotation, or gives the open one's id.
    """

    assembly_id: int
    on: date
    engine_hours: Decimal
    places: tuple[str, ...]
    moved: str = GOING_IN
    scheme_key: str = ""
    package_id: int | None = None
    library: PlugShelf | None = field(default=None, repr=False, compare=False)

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return f"plug out of {self.places[0]}" if len(self.places) == 1 else f"{len(self.places)} plugs out"

    def apply(self, work: Work, today: date) -> Changed:
        """Write it down.

        Raises Refused for a place the engine doesn't have or that is empty, for hours that go backwards, and
        for a day before a plug was fitted or after today.
        """
        engine = fitted_engine(work, self.assembly_id)
        together = Together(work, Subject("plug", self.says, engine.aircraft_id))
        kind = type_of(engine, self.library)
        stays = self._checked(work, engine, kind, today)
        rotation_id = self._rotation(work, together, kind)
        for stay in stays:
            together.write(self._out(together.of, stay, rotation_id))
        return together.settled(today, made_id=rotation_id)

    def _checked(self, work: Work, engine: FittedEngine, kind: EngineType, today: date) -> list[OpenStay]:
        if self.moved not in (GOING_IN, IN_THE_TRAY):
            raise Refused(
                f"Plugs don't change place '{self.moved}'.", f"Say '{GOING_IN}' or '{IN_THE_TRAY}'."
            )
        if not self.places:
            raise Refused("No place was named.", "Name the places whose plugs come out, such as 3T.")
        known = latest_known_hours(work, self.assembly_id, self.on)
        check_hours(engine, self.engine_hours, self.on, at_least=known)
        held = open_stays(work, self.assembly_id)
        stays = [_held(kind, held, each) for each in dict.fromkeys(self.places)]
        for stay in stays:
            since = f"plug {stay.tag} was fitted"
            check_day(self.on, today, not_before=stay.fitted_on, since=since)
        return stays

    def _rotation(self, work: Work, together: Together, kind: EngineType) -> int:
        lying = open_rotation(work, self.assembly_id)
        if lying is None:
            return together.write(AddRow(together.of, "plug_rotation", self._values(kind)))
        if lying.engine_hours != self.engine_hours:
            raise Refused(
                f"The tray already holds plugs taken out at {said_hours(lying.engine_hours)}, "
                f"not at {said_hours(self.engine_hours)}.",
                "Put those in first, or give the same hours.",
            )
        return lying.rotation_id

    def _values(self, kind: EngineType) -> dict[str, object]:
        return {
            "assembly_id": self.assembly_id,
            "rotated_on": self.on,
            "engine_hours": self.engine_hours,
            "scheme_key": self.scheme_key or usual(kind).key,
            "moved": self.moved,
            "state": "out",
            "departures": {},
            "package_id": self.package_id,
        }

    def _out(self, of: Subject, stay: OpenStay, rotation_id: int) -> ChangeRow:
        wants = {
            "removed_on": self.on,
            "engine_hours_at_removal": self.engine_hours,
            "removed_by_rotation_id": rotation_id,
        }
        return ChangeRow(of, "plug_stay", stay.stay_id, dict.fromkeys(wants), wants)


def _held(kind: EngineType, held: dict[str, OpenStay], at: str) -> OpenStay:
    named = str(kind.checked(place(at)))
    if named not in held:
        raise Refused(f"There is no plug in {named}.", "Choose a place that holds one.")
    return held[named]


@dataclass(frozen=True, slots=True)
class ChangeRotation:
    """Write other values into a rotation that is still out: scheme_key, moved, planned, note, package_id.

    `planned`, by place: what goes there instead of the scheme's plug, as `Planned.as_stored` gives it.
    """

    rotation_id: int
    saw: dict[str, object]
    wants: dict[str, object]
    library: PlugShelf | None = field(default=None, repr=False, compare=False)

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "rotation"

    def apply(self, work: Work, today: date) -> Changed:
        """Write them. Raises Refused for a rotation that is done, or a field that isn't chosen here."""
        line = rotation_line(work, self.rotation_id)
        if line.state != "out":
            raise Refused("These plugs are back in the engine.", "Choose the scheme of the next rotation.")
        wrong = set(self.wants) - {"scheme_key", "moved", "planned", "note", "package_id"}
        if wrong:
            raise Refused(
                f"{', '.join(sorted(wrong))} isn't changed here.", "Take the rotation back instead."
            )
        engine = fitted_engine(work, line.assembly_id)
        if "planned" in self.wants:
            check_planned(work, type_of(engine, self.library), self.wants["planned"], line.planned)
        of = Subject("plug", self.says, engine.aircraft_id)
        return ChangeRow(of, "plug_rotation", self.rotation_id, self.saw, self.wants).apply(work, today)


@dataclass(frozen=True, slots=True)
class SetGasketOut:
    """Say whether a plug's gasket came out with it; None takes the answer back."""

    stay_id: int
    saw: bool | None
    wants: bool | None

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "gasket of a plug"

    def apply(self, work: Work, today: date) -> Changed:
        """Write it down. Raises Refused while the plug is still in."""
        held = values_of(work, "plug_stay", self.stay_id, said="plug's stay")
        if held["removed_on"] is None:
            raise Refused(f"The plug in {held['place']} is still in.", "Take it out first.")
        engine = fitted_engine(work, field_of(held, "assembly_id", int))
        of = Subject("plug", self.says, engine.aircraft_id)
        saw, wants = {"gasket_out": self.saw}, {"gasket_out": self.wants}
        return ChangeRow(of, "plug_stay", self.stay_id, saw, wants).apply(work, today)
