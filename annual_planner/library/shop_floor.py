"""The file of rooms, heat, curing and outside work."""

from __future__ import annotations

import tomllib
from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from importlib.resources.abc import Traversable
from typing import Annotated, Any

from pydantic import Field, ValidationError, field_validator

from annual_planner.library.by_key import nearest
from annual_planner.library.faults import Fault, from_validation, row_name, short
from annual_planner.library.files import said_of
from annual_planner.library.rows import Exact, Real, Row, Text, Whole, Word
from annual_planner.trade.shop_floor import Cure, Defects, HotWindow, HourCosts, SameDay, ShopFloor

FILE = "layout.toml"
Minutes = Annotated[Whole, Field(gt=0, le=60 * 24 * 30)]


class RoomRow(Row):
    """One [[room]]: how many people a zone holds."""

    key: Word
    holds: Annotated[Whole, Field(ge=1, le=20)]


class HotRow(Row):
    """One [[hot]]: a card that must follow another while things are hot."""

    key: Word
    after: Word
    within_min: Minutes
    why: Text
    source: Text


class CureRow(Row):
    """One [[cure]]: what must dry, drain or cure after a card."""

    key: Word
    minutes: Minutes
    why: Text
    source: Text


class OutsideRow(Row):
    """One [[outside]]: how long a doer outside the shop needs."""

    key: Word
    doer: Text
    days: Annotated[Whole, Field(ge=1, le=120)]
    source: Text


class SameDayRow(Row):
    """The [same_day]: work of up to so many hours isn't left lying over a night."""

    up_to_hours: Annotated[Exact, Field(ge=0, le=24)]
    source: Text


Amount = Annotated[Real, Field(ge=0, le=400)]


class DefectsRow(Row):
    """The [defects]: how many an annual turns up, hours of work on one, waits for parts in days."""

    per_annual: Amount
    hours: tuple[Amount, Amount, Amount]
    part_chance: Annotated[Real, Field(ge=0, le=1)]
    part_days: tuple[Amount, Amount, Amount]
    source: Text

    @field_validator("hours", "part_days")
    @classmethod
    def _rise(cls, three: tuple[float, float, float]) -> tuple[float, float, float]:
        if not three[0] <= three[1] <= three[2]:
            raise ValueError("low, likely and high, none below the one before it")
        return three


HourCost = Annotated[Exact, Field(ge=0, le=100_000)]


class HourCostsRow(Row):
    """The [hour_costs]: what an hour of each costs, in the shop's own money."""

    inspector: HourCost
    mechanic: HourCost
    helper: HourCost
    owner: HourCost
    source: Text


class LayoutFile(Row):
    """The whole file."""

    room: tuple[RoomRow, ...] = ()
    hot: tuple[HotRow, ...] = ()
    cure: tuple[CureRow, ...] = ()
    outside: tuple[OutsideRow, ...] = ()
    same_day: SameDayRow | None = None
    defects: DefectsRow | None = None
    hour_costs: HourCostsRow | None = None


@dataclass(frozen=True, slots=True)
class Layouts:
    """The shipped file and then the shop's own, whose rows replace by key; and what is wrong with them."""

    files: tuple[LayoutFile, ...]
    read_faults: tuple[Fault, ...]

    def faults(self, zones: Collection[str], cards: Collection[str]) -> Iterator[Fault]:
        """Every fault, rows about zones and cards that aren't there among them."""
        yield from self.read_faults
        for file in self.files:
            yield from _twice("room", [room.key for room in file.room])
            yield from _twice("hot", [f"{hot.key} after {hot.after}" for hot in file.hot])
            yield from _twice("cure", [cure.key for cure in file.cure])
            yield from _twice("outside", [each.key for each in file.outside])
            for room in file.room:
                yield from _unknown("room", room.key, "key", room.key, zones)
            for hot in file.hot:
                yield from _unknown("hot", hot.key, "key", hot.key, cards)
                yield from _unknown("hot", hot.key, "after", hot.after, cards)
            for cure in file.cure:
                yield from _unknown("cure", cure.key, "key", cure.key, cards)

    def floor(self) -> ShopFloor:
        """All of it together; the files must have no faults."""
        return ShopFloor(
            room_for={row.key: row.holds for file in self.files for row in file.room},
            hot=tuple(
                {
                    (row.key, row.after): HotWindow(row.key, row.after, row.within_min, row.why, row.source)
                    for file in self.files
                    for row in file.hot
                }.values()
            ),
            cures={
                row.key: Cure(row.key, row.minutes, row.why, row.source)
                for file in self.files
                for row in file.cure
            },
            outside_days={row.doer: row.days for file in self.files for row in file.outside},
            same_day=_same_day([file.same_day for file in self.files if file.same_day is not None]),
            defects=_defects([file.defects for file in self.files if file.defects is not None]),
            hour_costs=_hour_costs([file.hour_costs for file in self.files if file.hour_costs is not None]),
        )


def read_layouts(folders: Iterable[Traversable]) -> Layouts:
    """Read the file of each folder that has one, the shipped folder first. Faults are gathered."""
    faults: list[Fault] = []
    files = [file for folder in folders if (file := _read(folder, faults)) is not None]
    return Layouts(tuple(files), tuple(faults))


def _unknown(table: str, key: str, field: str, value: str, known: Collection[str]) -> Iterator[Fault]:
    if value not in known:
        expected = f"a known key ({nearest(value, known)})"
        yield Fault(FILE, row_name(table, key), field, expected, short(value))


def _twice(table: str, keys: Sequence[str]) -> Iterator[Fault]:
    for key, times in Counter(keys).items():
        if times > 1:
            yield Fault(FILE, row_name(table, key), "key", "a key of its own", f"{times} of them")


def _same_day(rows: list[SameDayRow]) -> SameDay:
    """The last file's, as with defects."""
    row = rows[-1]
    return SameDay(row.up_to_hours, row.source)


def _defects(rows: list[DefectsRow]) -> Defects:
    """The last file's, which is the shop's own where it has one; the shipped file always has them."""
    row = rows[-1]
    return Defects(row.per_annual, row.hours, row.part_chance, row.part_days, row.source)


def _hour_costs(rows: list[HourCostsRow]) -> HourCosts:
    """The last file's, as with defects."""
    row = rows[-1]
    return HourCosts(row.inspector, row.mechanic, row.helper, row.owner, row.source)


def _read(folder: Traversable, faults: list[Fault]) -> LayoutFile | None:
    file = folder.joinpath(FILE)
    if not file.is_file():
        return None
    try:
        content = tomllib.loads(file.read_text(encoding="utf-8-sig"), parse_float=Decimal)
    except (ValueError, RecursionError, OSError) as error:  # not TOML, not UTF-8, nested too deep, unreadable
        faults.append(Fault(FILE, "whole file", "", "readable TOML in UTF-8", said_of(error)))
        return None
    try:
        return LayoutFile.model_validate(content)
    except ValidationError as error:
        faults += from_validation(
            error, FILE, "layout", tuple(LayoutFile.model_fields), lambda loc: _row_at(content, loc)
        )
    return None


def _row_at(content: Mapping[str, Any], loc: tuple[int | str, ...]) -> str:
    """The row of an array of tables that a fault stands in; nothing where it stands in none."""
    table, number = (*loc, None)[:2]
    if not (isinstance(table, str) and isinstance(number, int)):
        return ""
    row = content[table][number]
    key = row.get("key") if isinstance(row, Mapping) else None
    return row_name(table, key) if isinstance(key, str) else f"{table} number {number + 1}"
