"""Meter readings: taken, corrected, removed; a meter replaced by another."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from annual_planner.records.edits import Changed
from annual_planner.records.row_edits import AddRow, ChangeRow, RemoveRow, Subject, Together
from annual_planner.store.record_facts import (
    counting_meters,
    has_reading_on,
    meter_of_record,
    meter_on,
    offset_of_meter,
    readings_around,
)
from annual_planner.store.writing import field_of, values_of
from annual_planner.trade.refused import Refused
from annual_planner.trade.said import said_date, said_hours
from annual_planner.trade.usage import Reading, check_readings

if TYPE_CHECKING:
    from annual_planner.store.session import Work


@dataclass(frozen=True, slots=True)
class RecordReading:
    """Write down what the airplane's meter showed at the end of a day: the one that was in it on that day."""

    aircraft_id: int
    read_on: date
    meter_hours: Decimal
    landings: int | None = None
    note: str = ""

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return f"reading of {said_date(self.read_on)}"

    def apply(self, work: Work, today: date) -> Changed:
        """Check it against the readings around it and write it down.

        Raises Refused for a future day, a second reading of one day, and hours that go back or on too far.
        """
        together = Together(work, Subject("reading", self.says, self.aircraft_id))
        meter = meter_on(counting_meters(work, self.aircraft_id), self.read_on)
        _check_day(work, meter.meter_id, self.read_on, today)
        check_meter_shows(self.meter_hours, self.landings)
        reading = Reading(self.read_on, self.meter_hours, meter.offset_hours)
        _check_between(reading, *readings_around(work, self.aircraft_id, self.read_on))
        made = together.write(AddRow(together.of, "meter_reading", self._values(meter.meter_id)))
        return together.settled(today, made_id=made)

    def _values(self, meter_id: int) -> dict[str, object]:
        return {
            "meter_id": meter_id,
            "aircraft_id": self.aircraft_id,
            "read_on": self.read_on,
            "meter_hours": self.meter_hours,
            "landings": self.landings,
            "note": self.note,
        }


@dataclass(frozen=True, slots=True)
class CorrectReading:
    """Write other values into a reading; `saw` and `wants` by field: read_on, meter_hours, landings, note."""

    reading_id: int
    saw: Mapping[str, object]
    wants: Mapping[str, object]

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "correction of a reading"

    def apply(self, work: Work, today: date) -> Changed:
        """Check it as a new reading is checked and write it. Raises ChangedMeanwhile as every change does."""
        held = values_of(work, "meter_reading", self.reading_id, said="reading")
        aircraft_id = field_of(held, "aircraft_id", int)
        together = Together(work, Subject("reading", self.says, aircraft_id))
        made = together.write(ChangeRow(together.of, "meter_reading", self.reading_id, self.saw, self.wants))
        self._check(work, aircraft_id, today)
        return together.settled(today, made_id=made)

    def _check(self, work: Work, aircraft_id: int, today: date) -> None:
        values = values_of(work, "meter_reading", self.reading_id, said="reading")
        read_on, hours, landings = values["read_on"], values["meter_hours"], values["landings"]
        if not isinstance(read_on, date) or not isinstance(hours, Decimal):
            raise Refused("A reading has a day and hours.", "Write both down.")
        meter_id = field_of(values, "meter_id", int)
        _check_day(work, meter_id, read_on, today, without=self.reading_id)
        check_meter_shows(hours, landings if isinstance(landings, int) else None)
        around = readings_around(work, aircraft_id, read_on, without=self.reading_id)
        _check_between(Reading(read_on, hours, offset_of_meter(work, meter_id)), *around)


@dataclass(frozen=True, slots=True)
class RemoveReading:
    """Remove a reading that was taken down by mistake."""

    reading_id: int

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "removal of a reading"

    def apply(self, work: Work, today: date) -> Changed:
        """Remove it. Raises Refused when it is gone already."""
        held = values_of(work, "meter_reading", self.reading_id, said="reading")
        of = Subject("reading", self.says, field_of(held, "aircraft_id", int))
        return RemoveRow(of, "meter_reading", self.reading_id).apply(work, today)


@dataclass(frozen=True, slots=True)
class ReplaceMeter:
    """Put a new meter in place of the old one; the airplane's hours go on from the old one's last figure."""

    aircraft_id: int
    on: date
    old_meter_hours: Decimal
    new_meter_hours: Decimal

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return f"meter replaced on {said_date(self.on)}"

    def apply(self, work: Work, today: date) -> Changed:
        """Close the old meter with a last reading and open the new one.

        Raises Refused for a future day, for hours that don't fit the readings around, and for a day before
        one on which the old meter was read.
        """
        together = Together(work, Subject("reading", self.says, self.aircraft_id))
        meter = meter_of_record(work, self.aircraft_id)
        check_not_future(self.on, today)
        check_meter_shows(self.old_meter_hours, None)
        check_meter_shows(self.new_meter_hours, None)
        last = Reading(self.on, self.old_meter_hours, meter.offset_hours)
        before, after = readings_around(work, self.aircraft_id, self.on)
        if after is not None and after.on > self.on:
            raise Refused(
                f"The old meter was still read on {said_date(after.on)}.", "Give the day it was taken out."
            )
        _check_between(last, before, None)
        if not has_reading_on(work, meter.meter_id, self.on):
            closing = RecordReading(
                self.aircraft_id, self.on, self.old_meter_hours, note="last of this meter"
            )
            together.write(AddRow(together.of, "meter_reading", closing._values(meter.meter_id)))
        saw: dict[str, object] = {"of_record": True, "replaced_on": None}
        wants: dict[str, object] = {"of_record": False, "replaced_on": self.on}
        together.write(ChangeRow(together.of, "meter", meter.meter_id, saw, wants))
        made = together.write(AddRow(together.of, "meter", self._new(meter.kind, last.hours)))
        return together.settled(today, made_id=made)

    def _new(self, kind: str, hours: Decimal) -> dict[str, object]:
        return {
            "aircraft_id": self.aircraft_id,
            "kind": kind,
            "fitted_on": self.on,
            "offset_hours": hours - self.new_meter_hours,
            "of_record": True,
            "replaced_on": None,
        }


def _check_day(work: Work, meter_id: int, read_on: date, today: date, *, without: int | None = None) -> None:
    check_not_future(read_on, today)
    if has_reading_on(work, meter_id, read_on, without=without):
        raise Refused(
            f"The meter is already down as read on {said_date(read_on)}.", "Correct that reading instead."
        )


def check_not_future(day: date, today: date) -> None:
    """Raise Refused for a day still to come."""
    if day > today:
        raise Refused(
            f"{said_date(day)} is after today, {said_date(today)}.",
            "Write down what has been, on its own day.",
        )


def check_meter_shows(meter_hours: Decimal, landings: int | None) -> None:
    """Raise Refused for figures that no meter and no count can show."""
    if not meter_hours.is_finite() or meter_hours < 0:
        raise Refused(f"A meter can't show {meter_hours} h.", "Read it again.")
    if landings is not None and landings < 0:
        raise Refused(f"{landings} landings can't be.", "Count them from 0 up.")


def _check_between(reading: Reading, before: Reading | None, after: Reading | None) -> None:
    """Raise Refused when the hours go back or on faster than the clock between it and its neighbours."""
    if before is not None and reading.hours < before.hours:
        raise _goes_back(reading, before)
    if after is not None and after.hours < reading.hours:
        raise _goes_back(after, reading)
    for neighbour in (before, after):
        if neighbour is not None:
            check_readings([neighbour, reading])


def _goes_back(later: Reading, earlier: Reading) -> Refused:
    return Refused(
        f"The meter would go back: {said_hours(earlier.hours)} on {said_date(earlier.on)}, "
        f"{said_hours(later.hours)} on {said_date(later.on)}.",
        "Read it again. If the meter was replaced, say the meter was replaced: then the hours go on.",
    )
