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


class Verdict(StrEnum):
    """What becomes of a plug."""

    CLEAN = "clean"
    REPLACE_SOON = "replace soon"
    REPLACE = "replace"


class Condition(StrEnum):
    """What the firing end of a used plug looks like."""

    NORMAL = "normal"
    WORN = "worn"
    CARBON_FOULED = "carbon fouled"
    OIL_FOULED = "oil fouled"
    LEAD_FOULED = "lead fouled"
    GRAPHITE_FOULED = "graphite fouled"
    BRIDGED = "bridged"
    FUSED = "fused"
    CRACKED_NOSE = "cracked nose"
    OVERHEATED = "overheated"
    METAL_SPRAYED = "metal sprayed"
    COPPER_RUN_OUT = "copper run-out"
    FLASHOVER = "flashover"


class Damage(StrEnum):
    """Faults that reject a plug at first sight."""

    CERAMIC = "ceramic chipped, cracked or crazed"
    THREADS = "threads nicked, stripped, crossed or corroded"
    BARREL = "barrel dented, bent, cracked or out of round"
    CONNECTOR_SEAT = "connector seat nicked or corroded"
    HEXAGON = "hexagon rounded"
    LOOSE_ELECTRODE = "fine-wire electrode loose"
    IMPACT = "marks of impact or metal"


FIRST_SIGHT = "AC 43.13-1B 8-17; loose electrode, impact and crazing: an engine maintenance manual"


@dataclass(frozen=True, slots=True)
class ConditionSays:
    """What a condition means: how it looks, its causes, what to look at next, and the verdict it forces.

    `discrepancy`: what is written up on the cylinder, empty where nothing is.
    """

    condition: Condition
    looks_like: str
    causes: tuple[str, ...]
    look_next: tuple[str, ...]
    verdict: Verdict
    source: str
    discrepancy: str = ""
