"""Engine types made for a test from little more than a firing order."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

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
)
from annual_planner.trade.plugs import Electrode, PlugType, Thread


def plug_type(key: str = "alder", /, **changes: object) -> PlugType:
    """A massive 18 mm plug; `changes` replace its fields."""
    fields: dict[str, object] = {
        "key": key, "title": key.capitalize(), "maker": "Alder & Sons", "thread": Thread.MM18,
        "electrode": Electrode.MASSIVE, "gap_low_in": 0.016, "gap_high_in": 0.021, "electrode_in": 0.1,
        "wear_limit_in": 0.05, "resistance_limit_ohm": None, "price": Decimal(40), "source": "made up",
    }  # fmt: skip
    return PlugType(**(fields | changes))  # type: ignore[arg-type]


def fed_by_left(order: Sequence[int], rows: Sequence[Row], wiring: str) -> frozenset[Place]:
    """Left magneto on the first row, or crossed: first row of odd cylinders and second row of even ones."""
    first, second = rows
    crossed = {Place(each, first if each % 2 else second) for each in order}
    return frozenset(crossed if wiring == "crossed" else {Place(each, first) for each in order})


def engine_type(
    order: Sequence[int],
    *,
    wiring: str = "crossed",
    phase: MagnetoPhase = MagnetoPhase.AGREE,
    polarity: PolarityRule = PolarityRule.BY_FIRING_INDEX,
    rows: tuple[Row, Row] = (Row.TOP, Row.BOTTOM),
    plugs: tuple[tuple[PlugType, ...], tuple[PlugType, ...]] = ((plug_type(),), (plug_type(),)),
    left_feeds: frozenset[Place] | None = None,
) -> EngineType:
    """An engine type with this firing order; the layout plays no part in the computations."""
    return EngineType(
        key="made",
        title="Made-up engine",
        maker="Nobody",
        layout=Layout.INLINE,
        firing_order=tuple(order),
        cylinders=tuple(CylinderAt(each, 0, each) for each in sorted(order)),
        rows=(RowPlugs(rows[0], plugs[0]), RowPlugs(rows[1], plugs[1])),
        left_feeds=fed_by_left(order, rows, wiring) if left_feeds is None else left_feeds,
        phase=phase,
        polarity=polarity,
        thread=Thread.MM18,
        torque=TorqueRange(33.9, 40.7, "made up"),
        bore_in=5.0,
        restrictor=RestrictorRule(RestrictorChoice.BY_BORE),
        compression=CompressionRule(CompressionKind.LEAKAGE_LIMIT, "made up", lowest_psi=60),
    )
