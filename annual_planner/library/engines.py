"""Tables of engine types and of plug types."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from importlib.resources.abc import Traversable
from typing import Annotated, Self

from pydantic import Field, StringConstraints, field_validator, model_validator

from annual_planner.library.by_key import by_key
from annual_planner.library.faults import Fault, refuse
from annual_planner.library.files import Kind, Shelf, read_shelf, shipped
from annual_planner.library.rows import PLACE, Exact, Note, Real, Text, Whole, Word, Words
from annual_planner.library.rows import Row as Table
from annual_planner.trade.engines import (
    CompressionKind,
    CompressionRule,
    CylinderAt,
    EngineType,
    Layout,
    MagnetoPhase,
    Place,
    PolarityRule,
    RestrictorChoice,
    RestrictorRule,
    Row,
    RowPlugs,
    TorqueRange,
    place,
)
from annual_planner.trade.plugs import Electrode, PlugType, Thread
from annual_planner.trade.refused import Refused

MOST_CYLINDERS = 36
Measure = Annotated[Real, Field(gt=0, le=10_000, allow_inf_nan=False)]
Position = Annotated[Real, Field(ge=-100, le=100, allow_inf_nan=False)]
Number = Annotated[Whole, Field(ge=1, le=MOST_CYLINDERS)]
PlaceText = Annotated[str, StringConstraints(pattern=PLACE)]


class PlugTypeRow(Table):
    """One [[plug_type]]."""

    key: Word
    title: Text
    maker: Text
    thread: Thread
    electrode: Electrode
    gap_low_in: Measure
    gap_high_in: Measure
    electrode_in: Measure
    wear_limit_in: Measure
    resistance_limit_ohm: Measure | None = None
    price: Annotated[Exact, Field(ge=0, le=100_000)]
    source: Text

    @model_validator(mode="after")
    def _possible(self) -> Self:
        if self.gap_low_in >= self.gap_high_in:
            raise ValueError("gap_low_in under gap_high_in")
        if self.wear_limit_in >= self.electrode_in:
            raise ValueError("wear_limit_in under electrode_in")
        return self

    def value(self) -> PlugType:
        """Give the trade's value."""
        return PlugType(**dict(self))


class CylinderRow(Table):
    """Where one cylinder stands in the drawing."""

    number: Number
    x: Position
    y: Position

    def value(self) -> CylinderAt:
        """Give the trade's value."""
        return CylinderAt(self.number, self.x, self.y)


class RowPlugsRow(Table):
    """One row of plugs with the types it takes."""

    row: Row
    plug_types: Annotated[Words, Field(min_length=1)]


class TorqueRow(Table):
    """The engine maker's torque for its plugs."""

    low_nm: Measure
    high_nm: Measure
    source: Text

    @model_validator(mode="after")
    def _possible(self) -> Self:
        if self.low_nm > self.high_nm:
            raise ValueError("low_nm no higher than high_nm")
        return self

    def value(self) -> TorqueRange:
        """Give the trade's value."""
        return TorqueRange(self.low_nm, self.high_nm, self.source)


class RestrictorRow(Table):
    """How the tester's restrictor is chosen."""

    choice: RestrictorChoice
    fixed_in: Measure | None = None
    source: Text

    @model_validator(mode="after")
    def _possible(self) -> Self:
        if (self.choice is RestrictorChoice.FIXED) != (self.fixed_in is not None):
            raise ValueError("fixed_in with the choice 'fixed' and only with it")
        return self

    def value(self) -> RestrictorRule:
        """Give the trade's value."""
        return RestrictorRule(self.choice, self.fixed_in, self.source)


class CompressionRow(Table):
    """The maker's limit for a compression reading."""

    kind: CompressionKind
    source: Text
    lowest_psi: Annotated[Real, Field(gt=0, lt=80)] | None = None
    spread_psi: Annotated[Real, Field(gt=0, lt=80)] | None = None

    @model_validator(mode="after")
    def _possible(self) -> Self:
        if self.kind is CompressionKind.LEAKAGE_LIMIT and self.lowest_psi is None:
            raise ValueError("lowest_psi with the kind 'leakage_limit'")
        if self.kind is CompressionKind.SPREAD and self.spread_psi is None:
            raise ValueError("spread_psi with the kind 'spread'")
        return self

    def value(self) -> CompressionRule:
        """Give the trade's value."""
        return CompressionRule(self.kind, self.source, self.lowest_psi, self.spread_psi)


class EngineRow(Table):
    """One [[engine]]."""

    key: Word
    title: Text
    maker: Text
    layout: Layout
    firing_order: Annotated[tuple[Number, ...], Field(min_length=2, max_length=MOST_CYLINDERS)]
    cylinders: tuple[CylinderRow, ...]
    rows: Annotated[tuple[RowPlugsRow, ...], Field(min_length=2, max_length=2)]
    left_magneto: tuple[PlaceText, ...]
    right_magneto: tuple[PlaceText, ...]
    phase: MagnetoPhase
    polarity: PolarityRule
    thread: Thread
    torque: TorqueRow
    bore_in: Measure
    restrictor: RestrictorRow
    compression: CompressionRow
    note: Note = ""

    @field_validator("firing_order")
    @classmethod
    def _every_cylinder_once(cls, order: tuple[int, ...]) -> tuple[int, ...]:
        if sorted(order) != list(range(1, len(order) + 1)):
            raise ValueError("each cylinder from 1 to the last, once")
        return order

    @field_validator("rows")
    @classmethod
    def _two_of_a_pair(cls, rows: tuple[RowPlugsRow, ...]) -> tuple[RowPlugsRow, ...]:
        if rows[0].row.other is not rows[1].row:
            raise ValueError("rows T and B, or F and R")
        return rows

    @model_validator(mode="after")
    def _whole(self) -> Self:
        _check_layout(self.layout, self.firing_order)
        if sorted(each.number for each in self.cylinders) != sorted(self.firing_order):
            raise ValueError("cylinders to place each cylinder of the firing order, once")
        if len({(each.x, each.y) for each in self.cylinders}) < len(self.cylinders):
            raise ValueError("cylinders to stand apart from each other")
        self._check_wiring()
        return self

    def _check_wiring(self) -> None:
        wired = Counter(_wired(self.left_magneto) + _wired(self.right_magneto))
        needed = {Place(number, each.row) for number in self.firing_order for each in self.rows}
        wrong = sorted({at for at in wired if wired[at] > 1 or at not in needed} | (needed - set(wired)))
        if wrong:
            named = ", ".join(str(at) for at in wrong)
            raise ValueError(f"left_magneto and right_magneto to feed each place once (see {named})")

    def value(self, plug_types: dict[str, PlugType]) -> EngineType:
        """Give the trade's value, its plug types looked up by key."""
        first, second = (
            RowPlugs(each.row, tuple(plug_types[key] for key in each.plug_types)) for each in self.rows
        )
        return EngineType(
            key=self.key,
            title=self.title,
            maker=self.maker,
            layout=self.layout,
            firing_order=self.firing_order,
            cylinders=tuple(each.value() for each in self.cylinders),
            rows=(first, second),
            left_feeds=frozenset(_wired(self.left_magneto)),
            phase=self.phase,
            polarity=self.polarity,
            thread=self.thread,
            torque=self.torque.value(),
            bore_in=self.bore_in,
            restrictor=self.restrictor.value(),
            compression=self.compression.value(),
            note=self.note,
        )


def _wired(places: tuple[str, ...]) -> list[Place]:
    try:
        return [place(each) for each in places]
    except Refused as refused:
        raise ValueError(f"places such as 3T ({refused.said})") from refused


def _check_layout(layout: Layout, order: tuple[int, ...]) -> None:
    count = len(order)
    if layout in (Layout.OPPOSED, Layout.V, Layout.RADIAL_DOUBLE) and count % 2:
        raise ValueError(f"an even number of cylinders for the layout {layout.value}")
    if layout is Layout.RADIAL_SINGLE and count % 2 == 0:
        raise ValueError("an odd number of cylinders for a single row")
    after_itself = zip(order, order[1:] + order[:1], strict=True)
    if layout is Layout.RADIAL_DOUBLE and any((a - b) % 2 == 0 for a, b in after_itself):
        raise ValueError("a firing order that goes from row to row (odd numbers rear, even front)")


ENGINES = Kind("engines", "engine", EngineRow)
PLUG_TYPES = Kind("plugs", "plug_type", PlugTypeRow)


@dataclass(frozen=True, slots=True)
class EngineShelf:
    """Engine types and plug types, in the order of the files."""

    engines: tuple[EngineType, ...]
    plug_types: tuple[PlugType, ...]

    def engine(self, key: str) -> EngineType:
        """The engine type of that key. Raises Refused, with the near keys, where there is none."""
        return by_key(self.engines, key, "engine type")

    def plug_type(self, key: str) -> PlugType:
        """The plug type of that key. Raises Refused, with the near keys, where there is none."""
        return by_key(self.plug_types, key, "plug type")


def load_engines(*folders: Traversable) -> EngineShelf:
    """Read what ships with the program, then each of a shop's folders, whose rows add to or replace by key.

    Raises Refused with every fault of every file; then nothing is loaded.
    """
    return read_engines(shipped(), *folders)


def read_engines(*folders: Traversable) -> EngineShelf:
    """Read these folders only, later ones over earlier ones. Raises Refused like load_engines."""
    engines, plugs = read_shelf(ENGINES, folders), read_shelf(PLUG_TYPES, folders)
    refuse([*plugs.faults, *engines.faults, *plug_type_faults(engines, plugs)])
    return EngineShelf(*values_of(engines, plugs))


def values_of(
    engines: Shelf[EngineRow], plugs: Shelf[PlugTypeRow]
) -> tuple[tuple[EngineType, ...], tuple[PlugType, ...]]:
    """Give the trade's values of shelves without faults."""
    types = {key: each.row.value() for key, each in plugs.entries.items()}
    return tuple(each.row.value(types) for each in engines.entries.values()), tuple(types.values())


def plug_type_faults(engines: Shelf[EngineRow], plugs: Shelf[PlugTypeRow]) -> Iterator[Fault]:
    """Find every plug type that an engine names and that isn't there, or whose thread doesn't fit."""
    for key, entry in engines.entries.items():
        for name in dict.fromkeys(name for row in entry.row.rows for name in row.plug_types):
            if name not in plugs.named:
                yield engines.fault(key, "rows.plug_types", "a known plug type", repr(name))
            elif name in plugs.entries and plugs.entries[name].row.thread is not entry.row.thread:
                expected = f"plug types with a {entry.row.thread.value} thread"
                found = f"{name!r} with {plugs.entries[name].row.thread.value}"
                yield engines.fault(key, "rows.plug_types", expected, found)
