"""One work package put together for a reader: the window, the paper and the command line show the same."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from annual_planner.store.rows import (
    AircraftSheet,
    AssemblyLine,
    CardLine,
    DiscrepancyLine,
    ItemLine,
    PackageLine,
)
from annual_planner.trade.cards import Caution
from annual_planner.trade.coverage import Covered
from annual_planner.trade.working import Working

if TYPE_CHECKING:
    from annual_planner.planning.engine_view import EngineView


@dataclass(frozen=True, slots=True)
class HoursFor:
    """Hours of all included cards that one kind of person must do."""

    doer: str
    cards: int
    low: Decimal
    likely: Decimal
    high: Decimal


@dataclass(frozen=True, slots=True)
class PartNeed:
    """A part or consumable with the quantity over all cards; `reason`: why, where no card says so."""

    name: str
    quantity: Decimal
    unit: str
    consumable: bool
    card_numbers: tuple[int, ...]
    reason: str = ""


@dataclass(frozen=True, slots=True)
class ToolNeed:
    """A tool and the cards that need it."""

    name: str
    card_numbers: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class OwnerJob:
    """One thing the owner may prepare, why, and how to keep safe."""

    card_number: int
    title: str
    why: str
    authority: str
    """'may do and sign (43.3(g), 43.7(f))' or 'under the mechanic's eye, no signature'."""
    steps: tuple[str, ...]
    cautions: tuple[Caution, ...]


@dataclass(frozen=True, slots=True)
class OwnerNote:
    """Something to bring, look up or get ready before the airplane comes in; no maintenance."""

    card_number: int
    """The card it helps."""
    text: str


@dataclass(frozen=True, slots=True)
class DueAfter:
    """When a requirement is next due if everything on the package is done."""

    title: str
    citation: str
    counts_on: str
    """Whose hours the limit counts: 'airframe', 'engine 1' …"""
    done_now: bool
    due_on: date | None
    due_hours: Decimal | None
    state: str
    requirement_id: int = 0


@dataclass(frozen=True, slots=True)
class PackageView:
    """Everything a reader needs of one package. Cards are in the order of work; left-out ones stand apart."""

    package: PackageLine
    aircraft: AircraftSheet
    assemblies: tuple[AssemblyLine, ...]
    horizon_on: date
    today: date
    demo: bool
    items: tuple[ItemLine, ...]
    cards: tuple[CardLine, ...]
    left_out: tuple[CardLine, ...]
    discrepancies: tuple[DiscrepancyLine, ...]
    hours: tuple[HoursFor, ...]
    parts: tuple[PartNeed, ...]
    tools: tuple[ToolNeed, ...]
    owner_jobs: tuple[OwnerJob, ...]
    leave_alone: tuple[str, ...]
    """What the owner is asked to leave alone, each with its reason."""
    coverage: tuple[Covered, ...]
    due_after: tuple[DueAfter, ...]
    cautions: tuple[Caution, ...]
    """Every caution that a card of this package names."""
    order_working: Working
    owner_first: tuple[OwnerNote, ...] = ()
    """What the owner gets ready before the airplane comes in."""
    engines: tuple[EngineView, ...] = ()
    """Plugs and cylinders of the airplane's engines of known type, by position."""
