"""What one piece of work on an annual is made of, before it belongs to any airplane."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum


class Phase(StrEnum):
    """The parts of an annual in the order they are worked."""

    RESEARCH = "research"
    HOT_CHECKS = "hot_checks"
    OPEN = "open"
    CLEAN = "clean"
    INSPECT = "inspect"
    SERVICE = "service"
    REPAIR = "repair"
    CLOSE = "close"
    RUN_UP = "run_up"
    RECORDS = "records"

    @property
    def order(self) -> int:
        """Place in the order of the work, from 0."""
        return tuple(Phase).index(self)


class WorkKind(StrEnum):
    """What sort of work a card is; decides who may do it and which entry it needs."""

    RESEARCH = "research"
    OPEN = "open"
    CLEAN = "clean"
    INSPECT = "inspect"
    TEST = "test"
    SERVICE = "service"
    REPLACE = "replace"
    REPAIR = "repair"
    ADJUST = "adjust"
    CLOSE = "close"
    RUN_UP = "run_up"
    RECORD = "record"


class Subject(StrEnum):
    """Which part of the airplane a card belongs to, as the ratings of Part 65 and Part 145 cut it."""

    AIRFRAME = "airframe"
    ENGINE = "engine"
    PROPELLER = "propeller"
    INSTRUMENT = "instrument"
    RADIO = "radio"
    PITOT_STATIC = "pitot-static"
    TRANSPONDER = "transponder"
    RECORDS = "records"


class CountWord(StrEnum):
    """Things an airplane has a number of; a quantity on a card may be a multiple of one."""

    PLUGS = "plugs"
    CYLINDERS = "cylinders"
    ENGINES = "engines"
    WHEELS = "wheels"


class Per(StrEnum):
    """What a measurement is taken once for."""

    AIRPLANE = "airplane"
    ENGINE = "engine"
    CYLINDER = "cylinder"
    PLUG = "plug"
    WHEEL = "wheel"


ENGINE_ZONES = ("engine", "propeller")
"""Zones that an airplane has once for each engine."""


@dataclass(frozen=True, slots=True)
class Hours:
    """Working hours of one person: at best, as a rule, at worst."""

    low: Decimal
    likely: Decimal
    high: Decimal

    @property
    def expected(self) -> Decimal:
        """Three-point mean (low + 4 likely + high) / 6; common practice, no source."""
        return (self.low + 4 * self.likely + self.high) / 6

    @property
    def spread(self) -> Decimal:
        """Three-point standard deviation (high - low) / 6; common practice, no source."""
        return (self.high - self.low) / 6


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number, or a number times something the airplane has (`2 × wheels`)."""

    times: Decimal
    word: CountWord | None = None

    def for_counts(self, counts: Mapping[str, int]) -> Decimal:
        """Give the number for an airplane with these counts. KeyError when its word isn't counted."""
        return self.times if self.word is None else self.times * counts[self.word]

    def __str__(self) -> str:
        if self.word is None:
            return str(self.times)
        return str(self.word) if self.times == 1 else f"{self.times} × {self.word}"


@dataclass(frozen=True, slots=True)
class Part:
    """Something that is used up or fitted. `consumable`: bought by the bottle or the bag."""

    name: str
    quantity: Quantity
    unit: str = "each"
    consumable: bool = False


@dataclass(frozen=True, slots=True)
class Measurement:
    """A number to be taken; None limits come from the maker's data, as the note says.

    `needs`, `excludes`: features as on a card, where only some airplanes have this to be measured.
    """

    name: str
    unit: str
    low: Decimal | None = None
    high: Decimal | None = None
    per: Per = Per.AIRPLANE
    note: str = ""
    needs: tuple[str, ...] = ()
    excludes: tuple[str, ...] = ()

    def fits(self, features: frozenset[str]) -> bool:
        """Say whether an airplane with these features has this to be measured."""
        return features.issuperset(self.needs) and features.isdisjoint(self.excludes)


@dataclass(frozen=True, slots=True)
class Caution:
    """A warning shown wherever a card names its key."""

    key: str
    title: str
    text: str


@dataclass(frozen=True, slots=True)
class Panel:
    """A plate, door, fairing or cowling that comes off or open, on airplanes with all of `needs`."""

    key: str
    title: str
    needs: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Zone:
    """A place on the airplane, the panels that open it, and the cautions that repair there calls for."""

    key: str
    title: str
    panels: tuple[Panel, ...] = ()
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Feature:
    """Something an airplane may have, on which cards and requirements depend."""

    key: str
    title: str
    group: str = ""


@dataclass(frozen=True, slots=True)
class InspectionItem:
    """One item of the scope of an annual: Appendix D to Part 43, or the engine run of 43.15(c)(2).

    `applies_to` names features of which one at least is needed; empty means every airplane. `never_because`
    is the reason why no airplane has it (an envelope), else empty.
    """

    id: str
    ref: str
    group: str
    subject: str
    look_for: tuple[str, ...]
    applies_to: tuple[str, ...] = ()
    never_because: str = ""


@dataclass(frozen=True, slots=True)
class CardTemplate:
    """What a work card is made from.

    `needs`: features all of which the airplane must have; `excludes`: features none of which it may have.
    `after`: keys of cards that must be finished first. Cards with one `merge_key`
    are one job on one airplane. `settles`: keys of requirements that are met by doing this
    card. `turns_propeller`: the work moves the propeller by hand, by air or by the engine. `complex`: complex
    assembly work, which is never preventive maintenance (14 CFR 1.1). `major`: a major repair or alteration,
    approved by the holder of an inspection authorization on approved data (14 CFR 65.95(a)(1)).
    """

    key: str
    title: str
    zone: str
    phase: Phase
    kind: WorkKind
    subject: Subject
    hours: Hours
    steps: tuple[str, ...]
    panels: tuple[str, ...] = ()
    tools: tuple[str, ...] = ()
    parts: tuple[Part, ...] = ()
    measurements: tuple[Measurement, ...] = ()
    cautions: tuple[str, ...] = ()
    references: tuple[str, ...] = ()
    covers: tuple[str, ...] = ()
    preventive: tuple[str, ...] = ()
    needs: tuple[str, ...] = ()
    excludes: tuple[str, ...] = ()
    after: tuple[str, ...] = ()
    merge_key: str | None = None
    owner_note: str | None = None
    per_engine: bool = False
    inspector: bool = False
    on_condition: bool = False
    """Only goes into a visit when something asks for it: a worn tire, a due interval, an owner's wish."""
    settles: tuple[str, ...] = ()
    turns_propeller: bool = False
    makes_propeller_safe: bool = False
    complex: bool = False
    major: bool = False

    def fits(self, features: frozenset[str]) -> bool:
        """Say whether an airplane with these features has what the card is about."""
        return features.issuperset(self.needs) and features.isdisjoint(self.excludes)
