"""The demo's shop as rows: hours, days off, bays, equipment and what owners wish for."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from datetime import date, time, timedelta
from pathlib import Path
from typing import Any

from demo_fleet.written import Written

TABLES = ("open_hours", "days_off", "shop_thing", "owner_wish")


class WrittenHours(Written):
    """The week of the shop, or of one person."""

    person: str | None = None
    days: tuple[int, ...]
    stretches: tuple[tuple[time, time], ...]


class WrittenOff(Written):
    """Days off, counted from the demo's today."""

    person: str | None = None
    first_in_days: int
    last_in_days: int
    why: str


class WrittenThing(Written):
    """A bay or a piece of equipment."""

    kind: str
    name: str
    count: int = 1


class WrittenWish(Written):
    """What an owner wishes for."""

    airplane: str
    first_in_days: int
    last_in_days: int
    blocked: bool = False
    why: str


class WrittenShop(Written):
    """All of the file."""

    hours: tuple[WrittenHours, ...]
    off: tuple[WrittenOff, ...]
    thing: tuple[WrittenThing, ...]
    wish: tuple[WrittenWish, ...]


def shop_rows(
    people: Mapping[str, int], airplanes: Mapping[str, int], today: date
) -> dict[str, list[dict[str, Any]]]:
    """Rows by table; `people` and `airplanes` give the ids of names and registrations.

    Raises KeyError for a name the demo hasn't got.
    """
    file = Path(__file__).parent / "shop.toml"
    written = WrittenShop.model_validate(tomllib.loads(file.read_text(encoding="utf-8")))
    rows = {
        "open_hours": [row for each in written.hours for row in _hours(each, people)],
        "days_off": [
            {"person_id": people[each.person] if each.person else None, **_days(each, today), "why": each.why}
            for each in written.off
        ],
        "shop_thing": [{"kind": each.kind, "name": each.name, "count": each.count} for each in written.thing],
        "owner_wish": [
            {
                "aircraft_id": airplanes[each.airplane],
                **_days(each, today),
                "blocked": each.blocked,
                "why": each.why,
            }
            for each in written.wish
        ],
    }
    return {table: [{"id": n, **row} for n, row in enumerate(rows[table], 1)] for table in TABLES}


def _hours(written: WrittenHours, people: Mapping[str, int]) -> list[dict[str, Any]]:
    return [
        {
            "person_id": people[written.person] if written.person else None,
            "weekday": day,
            "from_minute": _minute(start),
            "to_minute": _minute(end),
        }
        for day in written.days
        for start, end in written.stretches
    ]


def _minute(at: time) -> int:
    return at.hour * 60 + at.minute


def _days(written: WrittenOff | WrittenWish, today: date) -> dict[str, date]:
    return {
        "first_on": today + timedelta(days=written.first_in_days),
        "last_on": today + timedelta(days=written.last_in_days),
    }
