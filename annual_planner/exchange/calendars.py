"""A laid-out package as calendar files, one for each person (RFC 5545)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import UTC, datetime

from annual_planner.planning.crew.laid_out import Place

PRODUCT = "-//Annual Planner//work plan//EN"


def person_calendars(
    places: Sequence[Place], people: Mapping[str, str], title: str, uid_stem: str, made_at: datetime
) -> dict[str, bytes]:
    """A calendar's bytes for each person with work, by name. `people` gives names by key.

    Times are the shop's own clock without a zone, as a calendar on the wall has them. The same plan gives the
    same bytes.
    """
    from icalendar import Calendar

    calendars: dict[str, Calendar] = {}
    for place in places:
        for key in place.people:
            name = people[key]
            if name not in calendars:
                calendars[name] = _new_calendar(title)
            for number, piece in enumerate(place.pieces, 1):
                uid = f"{uid_stem}-{_plain(place.job)}-{number}-{_plain(key)}"
                event = _event(place, uid, piece.start, piece.end, made_at, title)
                calendars[name].add_component(event)
    return {name: calendar.to_ical() for name, calendar in sorted(calendars.items())}


def _new_calendar(title: str):  # type: ignore[no-untyped-def]  # its class is imported late
    from icalendar import Calendar

    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("x-wr-calname", title)
    return calendar


def _event(place: Place, uid: str, start: datetime, end: datetime, made_at: datetime, title: str):  # type: ignore[no-untyped-def]
    from icalendar import Event

    event = Event()
    event.add("uid", uid)
    event.add("dtstamp", made_at.astimezone(UTC))
    event.add("dtstart", start)
    event.add("dtend", end)
    event.add("summary", place.title)
    event.add("description", title)
    return event


def _plain(text: str) -> str:
    return "".join(letter if letter.isalnum() else "-" for letter in text)
