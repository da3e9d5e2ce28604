"""The shop's hours, days off, bays and equipment: written down and changed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from itertools import pairwise
from typing import TYPE_CHECKING

from annual_planner.records.edits import Changed
from annual_planner.records.row_edits import AddRow, ChangeRow, RemoveRow, Subject, Together
from annual_planner.store.shop_reads import ZONE, OpenStretch
from annual_planner.store.writing import changed_meanwhile, rows_where, values_of
from annual_planner.trade.refused import Refused
from annual_planner.trade.said import said_date

if TYPE_CHECKING:
    from annual_planner.store.session import Work

WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
MINUTES_IN_A_DAY = 24 * 60
KINDS_OF_THING = ("bay", "equipment")
MOST_IN_A_ZONE = 20


@dataclass(frozen=True, slots=True)
class SetOpenHours:
    """Write the week of the shop, or of one person, anew; `saw` is the week that was shown."""

    person_id: int | None
    saw: tuple[OpenStretch, ...]
    wants: tuple[OpenStretch, ...]

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "hours of the shop" if self.person_id is None else "hours of a person"

    def apply(self, work: Work, today: date) -> Changed:
        """Put the stretches in place of the old ones. Refused, with every fault, for hours that can't be."""
        check_week(self.wants)
        held = rows_where(work, "open_hours", person_id=self.person_id)
        if {_stretch(row) for row in held.values()} != set(self.saw):
            raise changed_meanwhile(work, "open_hours", max(held, default=None), self.says)
        together = Together(work, Subject("calendar", self.says))
        for row_id in held:
            together.write(RemoveRow(together.of, "open_hours", row_id))
        for each in self.wants:
            values = {
                "person_id": self.person_id,
                "weekday": each.weekday,
                "from_minute": each.from_minute,
                "to_minute": each.to_minute,
            }
            together.write(AddRow(together.of, "open_hours", values))
        return together.settled(today)


def _stretch(row: Mapping[str, object]) -> OpenStretch:
    names = ("person_id", "weekday", "from_minute", "to_minute")
    return OpenStretch(*(row[name] for name in names))  # type: ignore[arg-type]  # the columns' own types


def check_week(stretches: tuple[OpenStretch, ...]) -> None:
    """Raise Refused, with every fault, for stretches that end before they begin, overlap or leave the day."""
    faults = [
        f"{_day(each)} {clock(each.from_minute)} to {clock(each.to_minute)} is no stretch of a day."
        for each in stretches
        if not (
            0 <= each.weekday < len(WEEKDAYS) and 0 <= each.from_minute < each.to_minute <= MINUTES_IN_A_DAY
        )
    ]
    ordered = sorted(stretches, key=lambda each: (each.weekday, each.from_minute))
    faults += [
        f"{_day(later)} {clock(later.from_minute)} begins before {clock(earlier.to_minute)}, "
        "when the stretch before it ends."
        for earlier, later in pairwise(ordered)
        if earlier.weekday == later.weekday and later.from_minute < earlier.to_minute
    ]
    if faults:
        raise Refused(" ".join(faults), "Give each stretch a start before its end, one after the other.")


def _day(each: OpenStretch) -> str:
    return WEEKDAYS[each.weekday] if 0 <= each.weekday < len(WEEKDAYS) else f"Day {each.weekday}"


def clock(minute: int) -> str:
    """Minutes after midnight as a clock shows them.

    >>> clock(485)
    '08:05'
    """
    return f"{minute // 60:02d}:{minute % 60:02d}"


@dataclass(frozen=True, slots=True)
class AddDaysOff:
    """Write down days, both ends included, when a person is away or the shop (None) is closed."""

    person_id: int | None
    first_on: date
    last_on: date
    why: str = ""

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return f"days off from {said_date(self.first_on)}"

    def apply(self, work: Work, today: date) -> Changed:
        """Write them down. Refused when the last day is before the first."""
        check_days(self.first_on, self.last_on)
        values = {
            "person_id": self.person_id,
            "first_on": self.first_on,
            "last_on": self.last_on,
            "why": self.why.strip(),
        }
        return AddRow(Subject("calendar", self.says), "days_off", values).apply(work, today)


def check_days(first_on: date, last_on: date) -> None:
    """Raise Refused when the last day is before the first."""
    if last_on < first_on:
        raise Refused(
            f"{said_date(last_on)} is before {said_date(first_on)}.", "Give the first day, then the last."
        )


@dataclass(frozen=True, slots=True)
class RemoveDaysOff:
    """Take days off away again."""

    days_off_id: int

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "removal of days off"

    def apply(self, work: Work, today: date) -> Changed:
        """Remove them."""
        return RemoveRow(Subject("calendar", self.says), "days_off", self.days_off_id).apply(work, today)


@dataclass(frozen=True, slots=True)
class AddShopThing:
    """Write down a bay or a piece of shared equipment, and how many of it there are."""

    kind: str
    name: str
    count: int = 1

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return f"{self.kind} '{self.name}'"

    def apply(self, work: Work, today: date) -> Changed:
        """Write it down. Refused for an unknown kind, an empty name or fewer than one."""
        check_thing(self.kind, self.name, self.count)
        check_free(work, self.name)
        values = {"kind": self.kind, "name": self.name.strip(), "count": self.count}
        return AddRow(Subject("calendar", self.says), "shop_thing", values).apply(work, today)


def check_thing(kind: str, name: str, count: int) -> None:
    """Raise Refused, with every fault, for what can't be a bay or a piece of equipment."""
    faults = [] if kind in KINDS_OF_THING else [f"There is no kind '{kind}' of thing in a shop."]
    if not name.strip():
        faults.append("It has no name.")
    if count < 1:
        faults.append(f"{count} of it can't be shared.")
    if faults:
        raise Refused(" ".join(faults), "Give a bay or equipment its name and how many there are, 1 or more.")


def check_free(work: Work, name: str, *, other_than: int | None = None) -> None:
    """Raise Refused when another bay or piece of equipment has this name already."""
    wanted = name.strip().casefold()
    for row_id, row in rows_where(work, "shop_thing").items():
        if row_id != other_than and str(row["name"]).casefold() == wanted:
            raise Refused(
                f"There is already {row['kind']} '{row['name']}'.",
                "Change how many of it there are, or give this one another name.",
            )


@dataclass(frozen=True, slots=True)
class ChangeShopThing:
    """Write another name or number of a bay or piece of equipment; `saw` and `wants` by field."""

    thing_id: int
    saw: Mapping[str, object]
    wants: Mapping[str, object]

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "change of a bay or equipment"

    def apply(self, work: Work, today: date) -> Changed:
        """Write it. Refused as when it is added, ChangedMeanwhile as every change."""
        after = {**values_of(work, "shop_thing", self.thing_id, said="bay or equipment"), **self.wants}
        count = after["count"]
        check_thing(str(after["kind"]), str(after["name"]), count if isinstance(count, int) else 0)
        check_free(work, str(after["name"]), other_than=self.thing_id)
        of = Subject("calendar", self.says)
        return ChangeRow(of, "shop_thing", self.thing_id, self.saw, self.wants).apply(work, today)


@dataclass(frozen=True, slots=True)
class RemoveShopThing:
    """Take a bay or a piece of equipment away."""

    thing_id: int

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "removal of a bay or equipment"

    def apply(self, work: Work, today: date) -> Changed:
        """Remove it."""
        return RemoveRow(Subject("calendar", self.says), "shop_thing", self.thing_id).apply(work, today)


@dataclass(frozen=True, slots=True)
class SetRoom:
    """Write down how many people a zone holds; None: as many as the program's own table says."""

    zone: str
    saw: int | None
    wants: int | None

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return f"room in {self.zone.replace('_', ' ')}"

    def apply(self, work: Work, today: date) -> Changed:
        """Write it. Refused for a number no zone holds, ChangedMeanwhile as every change."""
        if self.wants is not None and not 1 <= self.wants <= MOST_IN_A_ZONE:
            raise Refused(
                f"{self.wants} people can't be in a zone.", f"Give a number from 1 to {MOST_IN_A_ZONE}."
            )
        name = f"{ZONE}{self.zone}"
        held = {row_id: row["count"] for row_id, row in rows_where(work, "shop_thing", name=name).items()}
        now = next(iter(held.values()), None)
        if now != self.saw:
            saw, wants, holds = ({"people": each} for each in (self.saw, self.wants, now))
            row_id = max(held, default=None)
            raise changed_meanwhile(work, "shop_thing", row_id, self.says, saw=saw, wants=wants, now=holds)
        together = Together(work, Subject("calendar", self.says))
        for row_id in held:
            together.write(RemoveRow(together.of, "shop_thing", row_id))
        if self.wants is not None:
            values = {"kind": "room", "name": name, "count": self.wants}
            together.write(AddRow(together.of, "shop_thing", values))
        return together.settled(today)
