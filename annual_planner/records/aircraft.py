"""Airplanes: taken into the fleet with what is fitted, and changed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from annual_planner.records.edits import Changed
from annual_planner.records.row_edits import AddRow, ChangeRow, Subject, Together
from annual_planner.store.record_facts import is_taken
from annual_planner.trade.refused import Refused
from annual_planner.trade.said import said_date

if TYPE_CHECKING:
    from annual_planner.store.session import Work

CHANGEABLE = frozenset(
    {
        "registration", "maker", "model", "serial", "year_built", "category", "uses", "features", "counts",
        "owner_id", "base", "stated_hours_per_month", "notes",
    }
)  # fmt: skip
"""Fields of an airplane that `ChangeAircraft` takes."""


@dataclass(frozen=True, slots=True)
class NewAssembly:
    """An engine, propeller or life-limited part as it is fitted when the airplane joins the fleet."""

    kind: str
    """'engine', 'propeller' or what the part is called."""
    maker: str
    model: str
    serial: str
    hours_now: Decimal = Decimal(0)
    hours_since_overhaul: Decimal | None = None
    position: int = 1


@dataclass(frozen=True, slots=True)
class AddAircraft:
    """Take an airplane into the fleet, with its hours on the day its meter was read.

    `meter_hours` is what the meter shows where that is not the airframe's time in service.
    """

    registration: str
    maker: str
    model: str
    serial: str
    year_built: int | None
    category: str = "standard"
    uses: tuple[str, ...] = ()
    features: tuple[str, ...] = ()
    counts: Mapping[str, int] = field(default_factory=dict)
    owner_id: int | None = None
    base: str = ""
    stated_hours_per_month: Decimal | None = None
    hours_now: Decimal = Decimal(0)
    read_on: date | None = None
    """The day of the reading; today when left out."""
    landings: int | None = None
    assemblies: tuple[NewAssembly, ...] = ()
    meter_hours: Decimal | None = None
    notes: str = ""

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return f"airplane {self.registration}"

    def apply(self, work: Work, today: date) -> Changed:
        """Write down the airplane, its meter and first reading, the airframe and what is fitted.

        Raises Refused, with every fault found, for what can't be or is there already.
        """
        self._check(work, today)
        of = Subject("aircraft", self.says)
        together = Together(work, of, exists=False)
        aircraft_id = together.write(AddRow(of, "aircraft", self._values()))
        together.of = Subject("aircraft", self.says, aircraft_id)
        self._write_meter(together, aircraft_id, self.read_on or today)
        airframe = NewAssembly("airframe", self.maker, self.model, self.serial, self.hours_now)
        for each in (airframe, *self.assemblies):
            self._fit(together, aircraft_id, each, self.read_on or today)
        return together.settled(today, made_id=aircraft_id)

    def _check(self, work: Work, today: date) -> None:
        faults = []
        if not _registration(self.registration):
            faults.append("The registration is missing.")
        elif is_taken(work, _registration(self.registration)):
            faults.append(f"{_registration(self.registration)} is already in this fleet.")
        if self.year_built is not None and not 1903 <= self.year_built <= today.year:
            faults.append(f"It can't have been built in {self.year_built}.")
        if self.read_on is not None and self.read_on > today:
            faults.append(f"{said_date(self.read_on)}, the day of the reading, is after today.")
        numbers = [
            self.hours_now,
            self.meter_hours or Decimal(0),
            *(each.hours_now for each in self.assemblies),
        ]
        faults += [f"{number} h can't be." for number in numbers if not number.is_finite() or number < 0]
        if faults:
            raise Refused(" ".join(faults), "Correct it, then add the airplane again.")

    def _values(self) -> dict[str, object]:
        return {
            "registration": _registration(self.registration),
            "maker": self.maker,
            "model": self.model,
            "serial": self.serial,
            "year_built": self.year_built,
            "category": self.category,
            "uses": self.uses,
            "features": self.features,
            "counts": dict(self.counts),
            "owner_id": self.owner_id,
            "base": self.base,
            "stated_hours_per_month": self.stated_hours_per_month,
            "notes": self.notes,
        }

    def _write_meter(self, together: Together, aircraft_id: int, on: date) -> None:
        shown = self.hours_now if self.meter_hours is None else self.meter_hours
        meter: dict[str, object] = {
            "aircraft_id": aircraft_id,
            "kind": "tach",
            "fitted_on": on,
            "offset_hours": self.hours_now - shown,
        }
        meter_id = together.write(AddRow(together.of, "meter", meter))
        reading: dict[str, object] = {
            "meter_id": meter_id,
            "aircraft_id": aircraft_id,
            "read_on": on,
            "meter_hours": shown,
            "landings": self.landings,
        }
        together.write(AddRow(together.of, "meter_reading", reading))

    def _fit(self, together: Together, aircraft_id: int, assembly: NewAssembly, on: date) -> None:
        made: dict[str, object] = {
            "kind": assembly.kind,
            "maker": assembly.maker,
            "model": assembly.model,
            "serial": assembly.serial,
            "hours_since_overhaul_at_fitting": assembly.hours_since_overhaul,
        }
        assembly_id = together.write(AddRow(together.of, "assembly", made))
        stay: dict[str, object] = {
            "assembly_id": assembly_id,
            "aircraft_id": aircraft_id,
            "position": assembly.position,
            "fitted_on": on,
            "airframe_hours_at_fitting": self.hours_now,
            "assembly_hours_at_fitting": assembly.hours_now,
        }
        together.write(AddRow(together.of, "installation", stay))


@dataclass(frozen=True, slots=True)
class ChangeAircraft:
    """Write other particulars of an airplane; `saw` and `wants` by field (see CHANGEABLE)."""

    aircraft_id: int
    saw: Mapping[str, object]
    wants: Mapping[str, object]

    @property
    def says(self) -> str:
        """What the menu calls it."""
        fields = ", ".join(sorted(self.wants)).replace("_id", "").replace("_", " ")
        return f"change of {fields}"

    def apply(self, work: Work, today: date) -> Changed:
        """Write them. Raises Refused for a field there is not, ChangedMeanwhile as every change does."""
        unknown = sorted({*self.saw, *self.wants} - CHANGEABLE)
        if unknown:
            raise Refused(f"An airplane has no '{unknown[0]}' to change.", "Change one of its particulars.")
        wants = dict(self.wants)
        if "registration" in wants:
            wants["registration"] = self._checked_registration(work, str(wants["registration"]))
        of = Subject("aircraft", self.says, self.aircraft_id)
        return ChangeRow(of, "aircraft", self.aircraft_id, self.saw, wants).apply(work, today)

    def _checked_registration(self, work: Work, wanted: str) -> str:
        registration = _registration(wanted)
        if not registration:
            raise Refused("The registration is missing.", "Write it down.")
        if registration != self.saw.get("registration") and is_taken(work, registration):
            raise Refused(f"{registration} is already in this fleet.", "Check the registration.")
        return registration


def _registration(text: str) -> str:
    return "".join(text.split()).upper()
