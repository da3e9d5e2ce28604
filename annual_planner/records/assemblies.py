"""Engines, propellers, magnetos and accessories: fitted to an airplane, and removed from it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from decimal import Decimal
from typing import TYPE_CHECKING

from annual_planner.records.edits import Changed
from annual_planner.records.requirements import requirements_to_take_on
from annual_planner.records.row_edits import AddRow, ChangeRow, Subject, Together
from annual_planner.store.assembly_facts import Stay, fitted_stay, last_stay_of, stays_at
from annual_planner.store.record_facts import readings_around
from annual_planner.store.writing import field_of, values_of
from annual_planner.trade.refused import Refused
from annual_planner.trade.requirements import RequirementTemplate
from annual_planner.trade.said import said_date, said_hours

if TYPE_CHECKING:
    from annual_planner.store.session import Work

AIRFRAME = "airframe"
BY_ENGINE = frozenset({"engine", "propeller"})
"""Of these an airplane has as many as it has engines."""


@dataclass(frozen=True, slots=True)
class FitAssembly:
    """Fit an assembly to an airplane, with its own hours and the airframe's on that day.

    One that was in the fleet before (same kind, maker, model and serial) goes on with its history. Of
    `templates`, those that count on the assembly are taken on with it. Hours are time since new.
    """

    aircraft_id: int
    kind: str
    maker: str
    model: str
    serial: str
    fitted_on: date
    airframe_hours: Decimal
    assembly_hours: Decimal
    hours_since_overhaul: Decimal | None = None
    position: int = 1
    templates: Sequence[RequirementTemplate] = field(default=(), repr=False)

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return f"fitting of {self.kind} {self.position}"

    def apply(self, work: Work, today: date) -> Changed:
        """Write it down and work out what is due. Raises Refused, with every fault found."""
        together = Together(work, Subject("aircraft", self.says, self.aircraft_id))
        before = last_stay_of(work, self.kind, self.maker, self.model, self.serial)
        faults = [
            *self._faults(today),
            *_faults_of_hours(work, self.aircraft_id, self.fitted_on, self.airframe_hours),
            *self._faults_of_place(work),
            *self._faults_of_history(before),
        ]
        if faults:
            raise Refused(" ".join(faults), "Correct it, then fit it again.")
        assembly_id = self._assembly(together, before)
        together.write(AddRow(together.of, "installation", self._stay(assembly_id)))
        for each in requirements_to_take_on(work, self.aircraft_id, self.templates, of=assembly_id):
            subject = Subject("requirement", each.says, self.aircraft_id)
            together.write(AddRow(subject, "requirement", each.values()))
        return together.settled(today, made_id=assembly_id)

    def _faults(self, today: date) -> Iterator[str]:
        if self.kind.strip() in ("", AIRFRAME):
            yield "Say what is fitted: an engine, a propeller, a magneto or what it is called."
        if self.fitted_on > today:
            yield f"{said_date(self.fitted_on)} is after today, {said_date(today)}."
        numbers = (self.airframe_hours, self.assembly_hours, self.hours_since_overhaul or Decimal(0))
        yield from (f"{number} h can't be." for number in numbers if not number.is_finite() or number < 0)
        since, new = self.hours_since_overhaul, self.assembly_hours
        if since is not None and all(number.is_finite() for number in numbers) and since > new:
            yield f"{said_hours(since)} since overhaul is more than {said_hours(new)} since new."

    def _faults_of_place(self, work: Work) -> Iterator[str]:
        if self.position < 1:
            yield "Places are counted from 1."
        engines = _engines(work, self.aircraft_id)
        if self.kind in BY_ENGINE and engines and self.position > engines:
            yield f"The airplane has {engines} engine{'' if engines == 1 else 's'}, no place {self.position}."
        stays = stays_at(work, self.aircraft_id, self.kind, self.position)
        if stays and stays[0].removed_on is None:
            yield f"{stays[0].said.capitalize()} is fitted there: remove it first."
        elif stays and stays[0].removed_on is not None and stays[0].removed_on > self.fitted_on:
            yield f"{stays[0].said.capitalize()} was in that place until {said_date(stays[0].removed_on)}."

    def _faults_of_history(self, before: Stay | None) -> Iterator[str]:
        if before is None:
            return
        if before.removed_on is None:
            yield f"It is fitted to {before.registration} as {before.kind} {before.position}."
            return
        had = before.assembly_hours_at_removal
        if had is not None and self.assembly_hours.is_finite() and self.assembly_hours < had:
            yield (
                f"It had {said_hours(had)} when it came off {before.registration}; "
                f"{said_hours(self.assembly_hours)} would be fewer."
            )

    def _assembly(self, together: Together, before: Stay | None) -> int:
        """The id of what is fitted: known already, or written down now."""
        since: dict[str, object] = {"hours_since_overhaul_at_fitting": self.hours_since_overhaul}
        if before is None:
            made = {"kind": self.kind, "maker": self.maker, "model": self.model, "serial": self.serial}
            return together.write(AddRow(together.of, "assembly", {**made, **since}))
        if before.hours_since_overhaul != self.hours_since_overhaul:
            saw: dict[str, object] = {"hours_since_overhaul_at_fitting": before.hours_since_overhaul}
            together.write(ChangeRow(together.of, "assembly", before.assembly_id, saw, since))
        return before.assembly_id

    def _stay(self, assembly_id: int) -> dict[str, object]:
        return {
            "assembly_id": assembly_id,
            "aircraft_id": self.aircraft_id,
            "position": self.position,
            "fitted_on": self.fitted_on,
            "airframe_hours_at_fitting": self.airframe_hours,
            "assembly_hours_at_fitting": self.assembly_hours,
        }


@dataclass(frozen=True, slots=True)
class RemoveAssembly:
    """Take an assembly off its airplane: what counts on its hours isn't due until it is fitted again.

    The reason is kept with the change in the audit trail.
    """

    assembly_id: int
    removed_on: date
    airframe_hours: Decimal
    reason: str

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "removal of an assembly"

    def apply(self, work: Work, today: date) -> Changed:
        """Write it down and work out what is due. Raises Refused, with every fault found."""
        stay = fitted_stay(work, self.assembly_id)
        faults = [
            *self._faults(stay, today),
            *_faults_of_hours(work, stay.aircraft_id, self.removed_on, self.airframe_hours),
        ]
        if faults:
            raise Refused(" ".join(faults), "Correct it, then remove it again.")
        said = f"removal of {stay.said.replace(': ', ' ')}: {self.reason.strip()}"
        own = stay.assembly_hours_at_fitting + self.airframe_hours - stay.airframe_hours_at_fitting
        saw: dict[str, object] = {"removed_on": None}
        wants: dict[str, object] = {
            "removed_on": self.removed_on,
            "airframe_hours_at_removal": self.airframe_hours,
            "assembly_hours_at_removal": own,
        }
        of = Subject("aircraft", said, stay.aircraft_id)
        return ChangeRow(of, "installation", stay.installation_id, saw, wants).apply(work, today)

    def _faults(self, stay: Stay, today: date) -> Iterator[str]:
        if stay.kind == AIRFRAME:
            yield "An airframe stays with its airplane."
        if not self.reason.strip():
            yield "Why it comes off is missing."
        if self.removed_on > today:
            yield f"{said_date(self.removed_on)} is after today, {said_date(today)}."
        if self.removed_on < stay.fitted_on:
            yield f"It was fitted on {said_date(stay.fitted_on)}, after {said_date(self.removed_on)}."
        if not self.airframe_hours.is_finite() or self.airframe_hours < stay.airframe_hours_at_fitting:
            yield f"The airframe had {said_hours(stay.airframe_hours_at_fitting)} when it was fitted."


def _engines(work: Work, aircraft_id: int) -> int:
    """How many engines the airplane is written down with; 0 where it isn't said."""
    held = values_of(work, "aircraft", aircraft_id, said="airplane")
    return int(field_of(held, "counts", dict).get("engines") or 0)


def _faults_of_hours(work: Work, aircraft_id: int, on: date, hours: Decimal) -> Iterator[str]:
    """Airframe hours lie between the reading of a day before and the next one, as far as there are any."""
    if not hours.is_finite():
        return
    before, _ = readings_around(work, aircraft_id, on - timedelta(days=1))
    _, after = readings_around(work, aircraft_id, on)
    said = f"The airframe can't have had {said_hours(hours)}"
    if before is not None and hours < before.hours:
        yield f"{said}: it had {said_hours(before.hours)} on {said_date(before.on)} already."
    elif before is not None and hours - before.hours > 24 * ((on - before.on).days + 1):
        yield f"{said}: it had {said_hours(before.hours)} on {said_date(before.on)}."
    if after is not None and hours > after.hours:
        yield f"{said}: it had {said_hours(after.hours)} on {said_date(after.on)}, no more."
