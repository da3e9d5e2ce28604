"""Engine types: where the cylinders stand, in which order they fire, and which magneto feeds which plug."""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum

from annual_planner.trade.plugs import PlugType, Thread
from annual_planner.trade.refused import Refused

_PLACE = re.compile(r"([1-9][0-9]?)([TBFR])")


class Layout(StrEnum):
    """How the cylinders stand around the crankshaft."""

    OPPOSED = "opposed"
    INLINE = "inline"
    V = "v"
    RADIAL_SINGLE = "radial_single_row"
    RADIAL_DOUBLE = "radial_double_row"

    @property
    def is_radial(self) -> bool:
        """Drawn from the front, not from above."""
        return self in (Layout.RADIAL_SINGLE, Layout.RADIAL_DOUBLE)


class Row(StrEnum):
    """Which of the two plugs of a cylinder: the letter written on the tray."""

    TOP = "T"
    BOTTOM = "B"
    FRONT = "F"
    REAR = "R"

    @property
    def other(self) -> Row:
        """The row of the cylinder's other plug."""
        return _OTHER[self]

    @property
    def words(self) -> str:
        """The row in words."""
        return self.name.lower()


_OTHER = {Row.TOP: Row.BOTTOM, Row.BOTTOM: Row.TOP, Row.FRONT: Row.REAR, Row.REAR: Row.FRONT}


class Magneto(StrEnum):
    """One of the two magnetos, named as seen from the rear of the engine."""

    LEFT = "left"
    RIGHT = "right"


class MagnetoPhase(StrEnum):
    """Whether both magnetos give the two plugs of one cylinder the same spark polarity."""

    AGREE = "agree"
    OPPOSED = "opposed"
    UNKNOWN = "unknown"


class PolarityRule(StrEnum):
    """What the ignition makes of spark polarity."""

    BY_FIRING_INDEX = "by_firing_index"
    ALTERNATING = "alternating"
    ALL_ALIKE = "all_alike"
    UNKNOWN = "unknown"


class RestrictorChoice(StrEnum):
    """How the restrictor of the compression tester is chosen: by the bore, or fixed by the engine's maker."""

    BY_BORE = "by_bore"
    FIXED = "fixed"


class CompressionKind(StrEnum):
    """Which kind of limit the engine's maker gives for a compression reading."""

    LEAKAGE_LIMIT = "leakage_limit"
    MASTER_ORIFICE = "master_orifice"
    SPREAD = "spread"


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """Where a plug sits: cylinder number and row, written '3T'."""

    cylinder: int
    row: Row

    def __str__(self) -> str:
        return f"{self.cylinder}{self.row.value}"


def place(text: str) -> Place:
    """Read a place as it is written on the tray. Raises Refused where it is none.

    >>> place("12f")
    Place(cylinder=12, row=<Row.FRONT: 'F'>)
    """
    found = _PLACE.fullmatch(text.strip().upper())
    if found is None:
        raise Refused(
            f"'{text}' is no place of a plug.",
            "Write the cylinder's number and T, B, F or R for top, bottom, front or rear, such as 3T.",
        )
    return Place(int(found[1]), Row(found[2]))


@dataclass(frozen=True, slots=True)
class CylinderAt:
    """Where a cylinder stands in the drawing: x to the right, y down, in cylinder spacings."""

    number: int
    x: float
    y: float


@dataclass(frozen=True, slots=True)
class RestrictorRule:
    """The tester's restrictor; `fixed_in` (diameter, inch) and `source` where the maker fixes it."""

    choice: RestrictorChoice
    fixed_in: float | None = None
    source: str = ""


@dataclass(frozen=True, slots=True)
class CompressionRule:
    """The maker's limit: lowest reading at 80 psi, or spread between cylinders, psi; None where not given."""

    kind: CompressionKind
    source: str
    lowest_psi: float | None = None
    spread_psi: float | None = None


@dataclass(frozen=True, slots=True)
class TorqueRange:
    """The engine maker's plug torque, N·m, both ends allowed, and where it comes from."""

    low_nm: float
    high_nm: float
    source: str


@dataclass(frozen=True, slots=True)
class RowPlugs:
    """The plug types one row takes."""

    row: Row
    plug_types: tuple[PlugType, ...]


@dataclass(frozen=True, slots=True)
class EngineType:
    """Everything the plug and cylinder work needs to know of a type of engine.

    `rows`: the two rows with the plug types each takes. `left_feeds`: the places the left magneto fires; the
    right one fires all others. `firing_order`: cylinder numbers.
    """

    key: str
    title: str
    maker: str
    layout: Layout
    firing_order: tuple[int, ...]
    cylinders: tuple[CylinderAt, ...]
    rows: tuple[RowPlugs, RowPlugs]
    left_feeds: frozenset[Place]
    phase: MagnetoPhase
    polarity: PolarityRule
    thread: Thread
    torque: TorqueRange
    bore_in: float
    restrictor: RestrictorRule
    compression: CompressionRule
    note: str = ""

    @property
    def cylinder_count(self) -> int:
        """How many cylinders it has."""
        return len(self.firing_order)

    @property
    def places(self) -> tuple[Place, ...]:
        """Every place of a plug, by cylinder, then by row as the type lists them."""
        return tuple(Place(number, each.row) for number in sorted(self.firing_order) for each in self.rows)

    @property
    def rows_differ(self) -> bool:
        """Whether the rows take different plugs, so that none may change its row."""
        first, second = (frozenset(each.key for each in row.plug_types) for row in self.rows)
        return first != second

    def plug_types_at(self, at: Place) -> tuple[PlugType, ...]:
        """The plug types that may sit at a place. Raises Refused where the engine has no such place."""
        self.checked(at)
        return next(each.plug_types for each in self.rows if each.row is at.row)

    def magneto_at(self, at: Place) -> Magneto:
        """The magneto that fires a place. Raises Refused where the engine has no such place."""
        self.checked(at)
        return Magneto.LEFT if at in self.left_feeds else Magneto.RIGHT

    def checked(self, at: Place) -> Place:
        """Give the place back. Raises Refused where the engine has no such place."""
        if at.cylinder in self.firing_order and any(each.row is at.row for each in self.rows):
            return at
        rows = " and ".join(each.row.words for each in self.rows)
        raise Refused(
            f"{self.title} has no place {at}.",
            f"It has cylinders 1 to {self.cylinder_count}, each with a {rows} plug.",
        )
