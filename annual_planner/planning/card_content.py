"""What a stored card's `content` holds: the template as used on this airplane, with its numbers resolved.

As JSON: `template`, `subject`, `engine` (0 = not of one engine), `steps`, `panels`, `panel_titles`, `tools`,
`parts` (name, quantity as text, unit, consumable), `measurements` (name, unit, low, high, per, note, count),
`cautions`, `references`, `covers`, `preventive`, `after` (keys of cards of the same package), `merge_key`,
`owner_note`, `settles`, `turns_propeller`, `makes_propeller_safe`, `complex` (assembly work), `major` (repair
or alteration), `inspector`, `inspection`, `requirements` (ids of the weighed requirements that asked for the
card), `merged` (titles of cards taken into this one).
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import asdict, dataclass
from decimal import Decimal
from typing import Any

from annual_planner.trade.cards import CardTemplate, CountWord, Measurement, Part, Per
from annual_planner.trade.refused import Refused


@dataclass(frozen=True, slots=True)
class UsedPart:
    """A part with its quantity on this airplane."""

    name: str
    quantity: str
    unit: str
    consumable: bool


@dataclass(frozen=True, slots=True)
class ToMeasure:
    """A number to be taken `count` times; limits as text, None where the maker's data give them."""

    name: str
    unit: str
    low: str | None
    high: str | None
    per: str
    note: str
    count: int


@dataclass(frozen=True, slots=True)
class CardContent:
    """The content of one card; fields as in the module's description."""

    template: str = ""
    subject: str = "airframe"
    engine: int = 0
    steps: tuple[str, ...] = ()
    panels: tuple[str, ...] = ()
    panel_titles: tuple[str, ...] = ()
    tools: tuple[str, ...] = ()
    parts: tuple[UsedPart, ...] = ()
    measurements: tuple[ToMeasure, ...] = ()
    cautions: tuple[str, ...] = ()
    references: tuple[str, ...] = ()
    covers: tuple[str, ...] = ()
    preventive: tuple[str, ...] = ()
    after: tuple[str, ...] = ()
    merge_key: str = ""
    owner_note: str = ""
    settles: tuple[str, ...] = ()
    turns_propeller: bool = False
    makes_propeller_safe: bool = False
    complex: bool = False
    major: bool = False
    inspector: bool = False
    inspection: str = ""
    requirements: tuple[int, ...] = ()
    merged: tuple[str, ...] = ()


def as_stored(content: CardContent) -> dict[str, Any]:
    """The content as plain values that JSON can hold."""
    return _plain(asdict(content))  # type: ignore[no-any-return]


def _plain(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _plain(each) for key, each in value.items()}
    return [_plain(each) for each in value] if isinstance(value, list | tuple) else value


def from_stored(stored: Mapping[str, Any]) -> CardContent:
    """The content of a stored card; what it doesn't hold stays empty."""
    known = {name: _tight(stored[name]) for name in CardContent.__slots__ if name in stored}
    known["parts"] = tuple(UsedPart(**part) for part in stored.get("parts", ()))
    known["measurements"] = tuple(ToMeasure(**each) for each in stored.get("measurements", ()))
    return CardContent(**known)


def _tight(value: Any) -> Any:
    return tuple(value) if isinstance(value, list) else value


def counts_for(counts: Mapping[str, int], engine: int) -> dict[str, int]:
    """How many of each thing one card is about: the airplane's, or one engine's share where it has several.

    Where an airplane's sheet leaves cylinders or plugs out, two plugs a cylinder are taken (common practice,
    no source); one engine where engines aren't counted.
    """
    full = dict(counts)
    engines = full.setdefault("engines", 1)
    if "cylinders" in full:
        full.setdefault("plugs", 2 * full["cylinders"])
    elif "plugs" in full:
        full["cylinders"] = full["plugs"] // 2
    if engine and engines > 1:
        shared = ("cylinders", "plugs")
        full.update({word: full[word] // engines for word in shared if word in full}, engines=1)
    return full


def used_parts(template: CardTemplate, counts: Mapping[str, int]) -> tuple[UsedPart, ...]:
    """The template's parts with their quantities. Refused when the airplane's sheet leaves a count out."""
    return tuple(_used(part, counts) for part in template.parts)


def _used(part: Part, counts: Mapping[str, int]) -> UsedPart:
    try:
        quantity = part.quantity.for_counts(counts)
    except KeyError as missing:
        raise Uncounted([part.quantity.word]) from missing
    return UsedPart(part.name, f"{quantity:f}", part.unit, part.consumable)


class Uncounted(Refused):
    """The airplane's sheet leaves out how many of some things it has: quantities can't be told."""

    def __init__(self, words: Iterable[CountWord | None]) -> None:
        self.words = tuple(dict.fromkeys(words))
        named = " and ".join(str(word) for word in self.words)
        super().__init__(
            f"How many {named} the airplane has isn't written on its sheet.",
            f"Write the number of {named} on the airplane's page, then plan again.",
        )


def to_measure(
    template: CardTemplate, counts: Mapping[str, int], features: Collection[str] = ()
) -> tuple[ToMeasure, ...]:
    """The template's measurements that these features ask for, each with how often it is taken."""
    has = frozenset(features)
    return tuple(_measured(each, counts) for each in template.measurements if each.fits(has))


def _measured(each: Measurement, counts: Mapping[str, int]) -> ToMeasure:
    count = 1 if each.per is Per.AIRPLANE else counts.get(f"{each.per.value}s", 1)
    low, high = _text(each.low), _text(each.high)
    return ToMeasure(each.name, each.unit, low, high, each.per.value, each.note, count)


def _text(limit: Decimal | None) -> str | None:
    return None if limit is None else f"{limit:f}"
