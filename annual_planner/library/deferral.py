"""The table of equipment by kind of flight, which the deferral questions start from."""

from __future__ import annotations

from importlib.resources.abc import Traversable
from typing import Annotated

from pydantic import AfterValidator, Field, model_validator

from annual_planner.library.faults import refuse
from annual_planner.library.files import Kind, read_shelf, shipped
from annual_planner.library.rows import Row, Text, Word
from annual_planner.trade.deferral import Equipment, Flight, Needed


def _a_list_of_its_own(flight: Flight) -> Flight:
    if flight is Flight.IFR_NIGHT:
        raise ValueError("'VFR day', 'VFR night' or 'IFR'")
    return flight


class NeededRow(Row):
    """One rule that asks for an item."""

    flight: Annotated[Flight, AfterValidator(_a_list_of_its_own)]
    citation: Text
    only: Word | None = None
    only_asks: Text | None = None

    @model_validator(mode="after")
    def _asked_in_words(self) -> NeededRow:
        if (self.only is None) != (self.only_asks is None):
            raise ValueError("'only' and 'only_asks' together")
        return self


class EquipmentRow(Row):
    """One [[equipment]]."""

    key: Word
    title: Text
    needed: Annotated[tuple[NeededRow, ...], Field(max_length=4)] = ()

    def value(self) -> Equipment:
        """Give the trade's value."""
        needed = (Needed(n.flight, n.citation, n.only or "", n.only_asks or "") for n in self.needed)
        return Equipment(self.key, self.title, tuple(needed))


EQUIPMENT = Kind("deferral", "equipment", EquipmentRow)


def load_equipment(*folders: Traversable) -> tuple[Equipment, ...]:
    """Read what ships with the program, then a shop's folders. Refused with every fault of every file."""
    shelf = read_shelf(EQUIPMENT, (shipped(), *folders))
    refuse(shelf.faults)
    return tuple(entry.row.value() for entry in shelf.entries.values())
