"""Tables of card templates, with their hours, parts and measurements."""

from __future__ import annotations

import re
from decimal import Decimal, InvalidOperation
from typing import Annotated, Any, Self

from pydantic import AfterValidator, Field, PlainValidator, StrictBool, StringConstraints, model_validator

from annual_planner.library.files import Kind
from annual_planner.library.rows import Exact, Note, Row, Text, Texts, Word, Words, a_number
from annual_planner.trade.cards import (
    CardTemplate,
    CountWord,
    Hours,
    Measurement,
    Part,
    Per,
    Phase,
    Quantity,
    Subject,
    WorkKind,
)

MEASURE_UNITS = (
    "psi", "in", "mm", "rpm", "°F", "V", "A", "mA", "Ω", "kΩ", "mΩ", "in-lb", "ft-lb", "lb", "gal", "qt",
    "inHg", "deg", "ft", "min", "s", "%", "h", "kt", "ppm",
)  # fmt: skip
PART_UNITS = (
    "each", "set", "pair", "qt", "gal", "oz", "lb", "ft", "can", "tube", "bottle", "bag", "roll", "sheet",
)  # fmt: skip

LARGEST_QUANTITY = 10_000
LONGEST_WORK_HOURS = 1000
"""Hours that one card may take; common sense, no source."""
LARGEST_LIMIT = 1_000_000
"""Beyond anything that is read on an airplane, in any of the units."""

_TIMES_WORD = re.compile(r"^(?:(?P<times>\d+(?:\.\d+)?) ?[*×] ?)?(?P<word>[a-z]+)$")


def _quantity(found: Any) -> Quantity:
    words = ", ".join(CountWord)
    expected = (
        f"a number above 0 to {LARGEST_QUANTITY}, or one times a word of {words} (such as '2 * wheels')"
    )
    if isinstance(found, int | Decimal) and not isinstance(found, bool) and _within(found, LARGEST_QUANTITY):
        return Quantity(Decimal(found))
    matched = _TIMES_WORD.match(found) if isinstance(found, str) else None
    if matched is None or matched["word"] not in tuple(CountWord):
        raise ValueError(expected)
    times = Decimal(matched["times"] or 1)
    if not _within(times, LARGEST_QUANTITY):
        raise ValueError(expected)
    return Quantity(times, CountWord(matched["word"]))


def _within(number: int | Decimal, largest: int) -> bool:
    return Decimal(number).is_finite() and 0 < number <= largest


def _hours(found: Any) -> Hours:
    expected = "three numbers of hours: low, likely, high, none below the one before it, all above 0 to 1000"
    try:
        low, likely, high = (Decimal(a_number(each)) for each in found)
    except (TypeError, ValueError, InvalidOperation):
        raise ValueError(expected) from None
    if not (all(_within(each, LONGEST_WORK_HOURS) for each in (low, likely, high)) and low <= likely <= high):
        raise ValueError(expected)
    return Hours(low, likely, high)


def _measure_unit(unit: str) -> str:
    if unit not in MEASURE_UNITS:
        raise ValueError(f"a unit of {', '.join(MEASURE_UNITS)}")
    return unit


def _part_unit(unit: str) -> str:
    if unit not in PART_UNITS:
        raise ValueError(f"a unit of {', '.join(PART_UNITS)}")
    return unit


def _listed(ref: str) -> str:
    matched = re.match(r"^A\(c\)\((\d+)\)$", ref)
    if matched is None or not 1 <= int(matched[1]) <= 31:
        raise ValueError("an item of Part 43 Appendix A(c), A(c)(1) to A(c)(31)")
    return ref


class PartRow(Row):
    """A part within a card."""

    name: Text
    quantity: Annotated[Quantity, PlainValidator(_quantity)] = Quantity(Decimal(1))
    unit: Annotated[str, AfterValidator(_part_unit)] = "each"
    consumable: StrictBool = False


Limit = Annotated[Exact, Field(ge=-LARGEST_LIMIT, le=LARGEST_LIMIT)]


class MeasurementRow(Row):
    """A measurement within a card."""

    name: Text
    unit: Annotated[str, AfterValidator(_measure_unit)]
    low: Limit | None = None
    high: Limit | None = None
    per: Per = Per.AIRPLANE
    note: Note = ""
    needs: Words = ()
    excludes: Words = ()

    @model_validator(mode="after")
    def _possible(self) -> Self:
        if self.low is not None and self.high is not None and self.low > self.high:
            raise ValueError("low not above high")
        if self.low is None and self.high is None and not self.note:
            raise ValueError("a note that says where the limits come from, as there are none here")
        return self


class CardRow(Row):
    """One [[card]], as it stands in resources/cards/ or in the folder `cards` of a shop.

    Needed: key, title, zone, phase, kind, subject, hours = [low, likely, high], three to eight steps, and
    references. A part's quantity is a number, a counted word such as "plugs", or "2 * wheels". A measurement
    without limits says in its note where they come from. A shop's card of a shipped key takes its place.
    """

    key: Word
    title: Text
    zone: Word
    phase: Phase
    kind: WorkKind
    subject: Subject
    hours: Annotated[Hours, PlainValidator(_hours)]
    steps: Annotated[Texts, Field(min_length=3, max_length=8)]
    panels: Words = ()
    tools: Texts = ()
    parts: tuple[PartRow, ...] = ()
    measurements: tuple[MeasurementRow, ...] = ()
    cautions: Words = ()
    references: Annotated[Texts, Field(min_length=1)]
    covers: tuple[Annotated[str, StringConstraints(pattern=r"^[DR]-")], ...] = ()
    preventive: tuple[Annotated[str, AfterValidator(_listed)], ...] = ()
    needs: Words = ()
    excludes: Words = ()
    after: Words = ()
    merge_key: Word | None = None
    owner_note: Text | None = None
    per_engine: StrictBool = False
    inspector: StrictBool = False
    on_condition: StrictBool = False
    settles: Words = ()
    turns_propeller: StrictBool = False
    makes_propeller_safe: StrictBool = False
    complex: StrictBool = False
    major: StrictBool = False

    def value(self) -> CardTemplate:
        """Give the trade's value."""
        fields = dict(self)
        fields["parts"] = tuple(Part(**dict(each)) for each in self.parts)
        fields["measurements"] = tuple(Measurement(**dict(each)) for each in self.measurements)
        return CardTemplate(**fields)


CARDS = Kind("cards", "card", CardRow)
