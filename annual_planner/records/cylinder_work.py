"""Work on cylinders after which their compression readings start a new series."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from annual_planner.records.edits import Changed
from annual_planner.records.engine_hours import check_day, check_hours
from annual_planner.records.plug_shelf import PlugShelf, type_of
from annual_planner.records.row_edits import AddRow, RemoveRow, Subject
from annual_planner.store.plug_facts import fitted_engine
from annual_planner.store.writing import field_of, values_of
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.store.session import Work


@dataclass(frozen=True, slots=True)
class RecordCylinderChange:
    """Write down work on a cylinder after which its readings start a new series."""

    assembly_id: int
    cylinder: int
    changed_on: date
    engine_hours: Decimal | None
    what: str
    serial: str = ""
    library: PlugShelf | None = field(default=None, repr=False, compare=False)

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return f"work on cylinder {self.cylinder}"

    def apply(self, work: Work, today: date) -> Changed:
        """Write it down. Raises Refused for a cylinder unknown, a future day, or when nobody says what."""
        engine = fitted_engine(work, self.assembly_id)
        kind = type_of(engine, self.library)
        if self.cylinder not in kind.firing_order:
            last = kind.cylinder_count
            raise Refused(f"{kind.title} has no cylinder {self.cylinder}.", f"Its cylinders are 1 to {last}.")
        check_day(self.changed_on, today)
        if self.engine_hours is not None:
            check_hours(engine, self.engine_hours, self.changed_on, at_least=None)
        if not self.what.strip():
            raise Refused("Nobody said what was done.", "Say it, such as changed, overhauled, valves lapped.")
        values = {
            "assembly_id": self.assembly_id,
            "cylinder": self.cylinder,
            "changed_on": self.changed_on,
            "engine_hours": self.engine_hours,
            "what": self.what.strip(),
            "serial": self.serial.strip(),
        }
        of = Subject("compression", self.says, engine.aircraft_id)
        return AddRow(of, "cylinder_change", values).apply(work, today)


@dataclass(frozen=True, slots=True)
class RemoveCylinderChange:
    """Remove work on a cylinder that was written down by mistake."""

    change_id: int

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "removal of work on a cylinder"

    def apply(self, work: Work, today: date) -> Changed:
        """Remove it. Raises Refused when it is gone already."""
        held = values_of(work, "cylinder_change", self.change_id, said="work on a cylinder")
        engine = fitted_engine(work, field_of(held, "assembly_id", int))
        of = Subject("compression", self.says, engine.aircraft_id)
        return RemoveRow(of, "cylinder_change", self.change_id).apply(work, today)
