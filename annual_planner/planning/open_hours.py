"""When the shop is open and its people work, as open time: weeks, days off, and public holidays."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime, time, timedelta

from annual_planner.planning.crew.open_time import Calendar, Span, weekly
from annual_planner.store.shop_reads import OpenStretch, Shop

COUNTRY = "US"


def shop_hours(place: Shop, first_on: date, last_on: date) -> Calendar:
    """The shop's open time between two days, both counted in."""
    own = [each for each in place.open_hours if each.person_id is None]
    return weekly(first_on, last_on, _by_weekday(own), _closed(place, first_on, last_on))


def hours_of(
    place: Shop, person_id: int, first_on: date, last_on: date
) -> tuple[Calendar | None, tuple[Span, ...]]:
    """A person's own open time, None where it is the shop's, and the stretches when they are away."""
    own = [each for each in place.open_hours if each.person_id == person_id]
    away = tuple(
        Span(
            datetime.combine(each.first_on, time.min),
            datetime.combine(each.last_on + timedelta(days=1), time.min),
        )
        for each in place.days_off
        if each.person_id == person_id and each.last_on >= first_on and each.first_on <= last_on
    )
    hours = weekly(first_on, last_on, _by_weekday(own), _closed(place, first_on, last_on)) if own else None
    return hours, away


def _by_weekday(stretches: Iterable[OpenStretch]) -> dict[int, list[tuple[time, time]]]:
    found: dict[int, list[tuple[time, time]]] = {}
    for each in stretches:
        found.setdefault(each.weekday, []).append((_time(each.from_minute), _time(each.to_minute)))
    return found


def _time(minute: int) -> time:
    """A time of day; midnight at the end of a day is 0:00, which the calendar reads as that."""
    return time(minute // 60 % 24, minute % 60)


def public_holidays(first_on: date, last_on: date) -> dict[date, str]:
    """The country's public holidays between two days, both counted in, by their names: closed days."""
    import holidays

    found = holidays.country_holidays(COUNTRY, years=range(first_on.year, last_on.year + 1))
    return {day: found[day] for day in sorted(found) if first_on <= day <= last_on}


def _closed(place: Shop, first_on: date, last_on: date) -> set[date]:
    """Days the shop is closed: its own days off and the public holidays of the country."""
    days = set(public_holidays(first_on, last_on))
    for each in place.days_off:
        if each.person_id is None:
            days |= {
                each.first_on + timedelta(days=n) for n in range((each.last_on - each.first_on).days + 1)
            }
    return {day for day in days if first_on <= day <= last_on}
