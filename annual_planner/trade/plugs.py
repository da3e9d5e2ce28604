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


_SAYS = (
    ConditionSays(
        Condition.NORMAL,
        "dry, light tan to grey, little deposit, corners evenly worn",
        ("heat range and mixture are right",),
        ("clean, gap and test it",),
        Verdict.CLEAN,
        "common practice, no source",
    ),
    ConditionSays(
        Condition.WORN,
        "electrodes rounded or thin, gap wide",
        ("the spark and hot gas have carried metal away", "the magneto needs more voltage for it"),
        ("measure the electrode against half of its new size", "measure the gap"),
        Verdict.CLEAN,
        "AC 43.13-1B 8-16 b(2)",
    ),
    ConditionSays(
        Condition.CARBON_FOULED,
        "dull black soot",
        (
            "mixture rich at idle, or so lean that it misfires",
            "leaking primer",
            "long idling",
            "plug too cold",
        ),
        ("idle mixture and primer", "heat range of the plug"),
        Verdict.CLEAN,
        "FAA-H-8083-32 ch 4; AC 43.13-1B fig 8-6",
    ),
    ConditionSays(
        Condition.OIL_FOULED,
        "wet and black",
        ("oil past rings or valve guides", "oil past the impeller's seal"),
        ("which cylinders it is: the bottom plugs show it first", "compression, then the borescope"),
        Verdict.CLEAN,
        "FAA-H-8083-32 ch 4; AC 43.13-1B fig 8-6b",
    ),
    ConditionSays(
        Condition.LEAD_FOULED,
        "hard grey-brown beads or glaze around the nose",
        ("leaded fuel that didn't vaporise: cool cylinder, rich mixture, low power",),
        ("leaning and head temperatures in use", "the last run before shut-down"),
        Verdict.CLEAN,
        "AC 43.13-1B fig 8-6a",
    ),
    ConditionSays(
        Condition.GRAPHITE_FOULED,
        "shiny film on the insulator",
        ("thread compound got onto the nose",),
        ("how compound is put on: none on the first two or three threads",),
        Verdict.CLEAN,
        "FAA-H-8083-32 ch 4; the cause from memory",
    ),
    ConditionSays(
        Condition.BRIDGED,
        "a particle across the gap",
        ("a loose deposit, mostly in a bottom plug",),
        ("whether it comes off without force; if not, replace", "the cylinder's deposits"),
        Verdict.CLEAN,
        "AC 43.13-1B 8-16 c",
    ),
    ConditionSays(
        Condition.FUSED,
        "electrodes run together",
        ("pre-ignition, as its cause or its effect",),
        ("cylinder and piston, inside, by borescope", "timing, mixture and heat range"),
        Verdict.REPLACE,
        "AC 43.13-1B 8-16 b",
        "Plug fused: inspect cylinder and piston for pre-ignition damage before further running.",
    ),
    ConditionSays(
        Condition.CRACKED_NOSE,
        "tip of the insulator cracked or gone",
        ("dropped, or force while gapping", "detonation"),
        ("cylinder and piston, and where the missing piece is",),
        Verdict.REPLACE,
        "AC 43.13-1B 8-16 b(1), 8-17 a",
        "Plug nose cracked: inspect cylinder and piston, and account for missing ceramic.",
    ),
    ConditionSays(
        Condition.OVERHEATED,
        "nose white or blistered, electrodes burnt",
        ("plug too hot, loose, or with a bad gasket", "lean, early timing, bad cooling, detonation"),
        ("find the cause before the next run: heat range, gasket, mixture, timing, baffles",),
        Verdict.REPLACE,
        "general engine manuals",
        "Plug overheated: find the cause before the next run.",
    ),
    ConditionSays(
        Condition.METAL_SPRAYED,
        "beads of metal",
        ("in one cylinder: its piston is coming apart", "in every cylinder alike: induction or impeller"),
        ("stop: inspect the cylinder and piston before further running", "screens and filter for metal"),
        Verdict.REPLACE,
        "AC 43.13-1B 8-16 d",
        "Metal on the plug: inspect cylinder, piston and screens before further running.",
    ),
    ConditionSays(
        Condition.COPPER_RUN_OUT,
        "a drop of copper out of the centre electrode",
        ("its core got too hot",),
        ("the cylinder; don't take carbon for run-out",),
        Verdict.REPLACE,
        "an engine maintenance manual; US Army TM 1-1500-204-23-1",
        "Copper run out of the plug: look at the cylinder for overheating.",
    ),
    ConditionSays(
        Condition.FLASHOVER,
        "tracks in the terminal well",
        ("moisture or dirt in the well",),
        ("the lead's spring and seal", "recondition the well before use"),
        Verdict.CLEAN,
        "AC 43.13-1B 8-16 e",
    ),
)
CONDITIONS = {each.condition: each for each in _SAYS}
"""What every condition says, in the order people meet them."""
