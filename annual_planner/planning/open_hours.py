"""When the shop is open and its people work, as open time: weeks, days off, and public holidays.

Everything that asks whether a day is open asks here.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, datetime, time, timedelta

from annual_planner.library.public_holidays import public_holidays
from annual_planner.planning.crew.open_time import Calendar, ClosedDay, Span, weekly
from annual_planner.store.shop_reads import DaysOff, OpenStretch, Shop


def shop_hours(place: Shop, first_on: date, last_on: date) -> Calendar:
    """The shop's open time between two days, both counted in."""
    return _hours(place, None, first_on, last_on)


def hours_of(
    place: Shop, person_id: int, first_on: date, last_on: date
) -> tuple[Calendar | None, tuple[Span, ...]]:
    """A person's own open time, None where it is the shop's, and the stretches when they are away."""
    has_own = any(each.person_id == person_id for each in place.open_hours)
    away = tuple(
        Span(
            datetime.combine(each.first_on, time.min),
            datetime.combine(each.last_on + timedelta(days=1), time.min),
        )
        for each in _off(place, person_id, first_on, last_on)
    )
    return (_hours(place, person_id, first_on, last_on) if has_own else None), away


def minutes_of(place: Shop, person_id: int, first_on: date, last_on: date) -> dict[date, int]:
    """Minutes a person works on each day between two, both counted in; days without any left out."""
    own, _ = hours_of(place, person_id, first_on, last_on)
    minutes = (own if own is not None else shop_hours(place, first_on, last_on)).minutes_by_day()
    away = dict(_days_off(place, person_id, first_on, last_on))
    return {day: count for day, count in minutes.items() if day not in away}


def closed_days(place: Shop, first_on: date, last_on: date) -> tuple[ClosedDay, ...]:
    """Days between two, both counted in, on which the shop is closed though it isn't by its week.

    Its own days off and the public holidays it keeps, in order, each with its reason.
    """
    found: dict[date, list[str]] = {}
    for day, name in public_holidays(place.holidays_of, first_on, last_on).items():
        found.setdefault(day, []).append(name)
    for day, why in _days_off(place, None, first_on, last_on):
        found.setdefault(day, []).append(why)
    return tuple(ClosedDay(day, "; ".join(filter(None, found[day]))) for day in sorted(found))


def workday_holidays(place: Shop, first_on: date, last_on: date) -> dict[date, str]:
    """The public holidays between two days on which the shop would be open by its week, with their names."""
    weekdays = {each.weekday for each in place.open_hours if each.person_id is None}
    found = public_holidays(place.holidays_of, first_on, last_on)
    return {day: name for day, name in found.items() if day.weekday() in weekdays}


def _hours(place: Shop, person_id: int | None, first_on: date, last_on: date) -> Calendar:
    own = [each for each in place.open_hours if each.person_id == person_id]
    closed = (day.on for day in closed_days(place, first_on, last_on))
    return weekly(first_on, last_on, _by_weekday(own), closed)


def _by_weekday(stretches: Iterable[OpenStretch]) -> dict[int, list[tuple[time, time]]]:
    found: dict[int, list[tuple[time, time]]] = {}
    for each in stretches:
        found.setdefault(each.weekday, []).append((_time(each.from_minute), _time(each.to_minute)))
    return found


def _time(minute: int) -> time:
    """A time of day; midnight at the end of a day is 0:00, which the calendar reads as that."""
    return time(minute // 60 % 24, minute % 60)


def _off(place: Shop, person_id: int | None, first_on: date, last_on: date) -> Iterable[DaysOff]:
    """The written days off of the shop (None) or of a person that meet these days."""
    return (
        each
        for each in place.days_off
        if each.person_id == person_id and each.last_on >= first_on and each.first_on <= last_on
    )


def _days_off(
    place: Shop, person_id: int | None, first_on: date, last_on: date
) -> Iterator[tuple[date, str]]:
    """Each day between two that is written down as off, with why."""
    for each in _off(place, person_id, first_on, last_on):
        begins, ends = max(each.first_on, first_on), min(each.last_on, last_on)
        for n in range((ends - begins).days + 1):
            yield begins + timedelta(days=n), each.why
