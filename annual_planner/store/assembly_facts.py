"""What fitting and removing an assembly asks of the fleet."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from sqlalchemy import Select, func, select

from annual_planner.store.mappings import AircraftRow, AssemblyRow, InstallationRow
from annual_planner.store.session import Work
from annual_planner.trade.refused import Refused


@dataclass(frozen=True, slots=True)
class Stay:
    """One stay of an assembly on an airplane, with both hours at its fitting."""

    installation_id: int
    assembly_id: int
    aircraft_id: int
    registration: str
    kind: str
    position: int
    maker: str
    model: str
    serial: str
    hours_since_overhaul: Decimal | None
    """At its last fitting."""
    fitted_on: date
    airframe_hours_at_fitting: Decimal
    assembly_hours_at_fitting: Decimal
    removed_on: date | None
    assembly_hours_at_removal: Decimal | None

    @property
    def said(self) -> str:
        """How people call it: 'engine 1 (Brindle B-100, serial E5)'."""
        serial = f"serial {self.serial}" if self.serial else ""
        what = ", ".join(part for part in (f"{self.maker} {self.model}".strip(), serial) if part)
        return f"{self.kind} {self.position} ({what})" if what else f"{self.kind} {self.position}"


_COLUMNS: tuple[Any, ...] = (
    InstallationRow.id,
    AssemblyRow.id,
    AircraftRow.id,
    AircraftRow.registration,
    AssemblyRow.kind,
    InstallationRow.position,
    AssemblyRow.maker,
    AssemblyRow.model,
    AssemblyRow.serial,
    AssemblyRow.hours_since_overhaul_at_fitting,
    InstallationRow.fitted_on,
    InstallationRow.airframe_hours_at_fitting,
    InstallationRow.assembly_hours_at_fitting,
    InstallationRow.removed_on,
    InstallationRow.assembly_hours_at_removal,
)
"""In the order of Stay's fields."""


def _stays() -> Select[Any]:
    return (
        select(*_COLUMNS)
        .select_from(InstallationRow)
        .join(AssemblyRow, AssemblyRow.id == InstallationRow.assembly_id)
        .join(AircraftRow, AircraftRow.id == InstallationRow.aircraft_id)
        .order_by(InstallationRow.fitted_on.desc(), InstallationRow.id.desc())
    )


def stays_at(work: Work, aircraft_id: int, kind: str, position: int) -> list[Stay]:
    """What is or was fitted in that place of an airplane, the newest first."""
    query = _stays().where(
        InstallationRow.aircraft_id == aircraft_id,
        AssemblyRow.kind == kind,
        InstallationRow.position == position,
    )
    return [Stay(*row) for row in work.session.execute(query)]


def last_stay_of(work: Work, kind: str, maker: str, model: str, serial: str) -> Stay | None:
    """The newest stay, anywhere in the fleet, of the assembly with that serial; None without a serial."""
    if not serial.strip():
        return None
    same = [
        func.lower(column) == value.strip().lower()
        for column, value in (
            (AssemblyRow.kind, kind),
            (AssemblyRow.maker, maker),
            (AssemblyRow.model, model),
            (AssemblyRow.serial, serial),
        )
    ]
    row = work.session.execute(_stays().where(*same).limit(1)).first()
    return Stay(*row) if row is not None else None


def fitted_stay(work: Work, assembly_id: int) -> Stay:
    """Where an assembly is fitted now. Raises Refused where it is fitted nowhere."""
    query = _stays().where(InstallationRow.assembly_id == assembly_id, InstallationRow.removed_on.is_(None))
    row = work.session.execute(query.limit(1)).first()
    if row is None:
        raise Refused("It is no longer fitted.", "Look at the airplane's assemblies again.")
    return Stay(*row)
