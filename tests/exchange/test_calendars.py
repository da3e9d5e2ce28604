"""Calendar files, read back by the library's own parser."""

from __future__ import annotations

from datetime import UTC, datetime

from icalendar import Calendar

from annual_planner.exchange.calendars import person_calendars
from annual_planner.planning.crew.laid_out import Place
from annual_planner.planning.crew.open_time import Span

MADE = datetime(2026, 5, 4, 9, tzinfo=UTC)
MORNING = Span(datetime(2026, 5, 11, 8), datetime(2026, 5, 11, 12))  # noqa: DTZ001 - the shop's own clock
AFTER = Span(datetime(2026, 5, 11, 13), datetime(2026, 5, 11, 15))  # noqa: DTZ001
PLACES = (Place("wash#1", "27 Wash; outside, all", MORNING.start, AFTER.end, ("a", "b"), (MORNING, AFTER)),)
PEOPLE = {"a": "Ann Rook", "b": "Bo Tarn", "c": "Cy Ash"}


def calendars() -> dict[str, bytes]:
    return person_calendars(PLACES, PEOPLE, "Package 7", "package-7", MADE)


def test_everybody_with_work_has_a_calendar_with_each_stretch_of_it() -> None:
    made = calendars()
    assert list(made) == ["Ann Rook", "Bo Tarn"]
    events = Calendar.from_ical(made["Ann Rook"]).walk("VEVENT")
    assert [(event.decoded("dtstart"), event.decoded("dtend")) for event in events] == [
        (MORNING.start, MORNING.end), (AFTER.start, AFTER.end),
    ]  # fmt: skip
    assert {str(event["summary"]) for event in events} == {"27 Wash; outside, all"}
    assert len({str(event["uid"]) for event in events}) == 2


def test_the_same_plan_gives_the_same_bytes() -> None:
    assert calendars() == calendars()
