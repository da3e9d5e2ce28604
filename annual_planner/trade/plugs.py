"""Spark plugs: their types, what a used one says, and whether it goes back in."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum


class Thread(StrEnum):
    """The thread that screws into the cylinder head."""

    MM14 = "14 mm"
    MM18 = "18 mm"


class Electrode(StrEnum):
    """What the electrodes are made like."""

    MASSIVE = "massive"
    FINE_WIRE = "fine_wire"


@dataclass(frozen=True, slots=True)
class PlugType:
    """A type of plug as its maker describes it.

    Gap limits and electrode sizes in inch. `electrode_in`: the centre electrode's size when new, and
    `wear_limit_in` the size at or under which it is rejected. `resistance_limit_ohm`: None where the maker
    gives none. `price`: of one plug, in the shop's money.
    """

    key: str
    title: str
    maker: str
    thread: Thread
    electrode: Electrode
    gap_low_in: float
    gap_high_in: float
    electrode_in: float
    wear_limit_in: float
    resistance_limit_ohm: float | None
    price: Decimal
    source: str
