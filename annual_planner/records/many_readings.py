"""Many meter readings of one airplane at once: each looked at first, then all of them or none."""

from __future__ import annotations

from bisect import bisect_left, bisect_right, insort
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from annual_planner.records.edits import Changed
from annual_planner.records.readings import check_meter_shows, check_not_future
from annual_planner.records.row_edits import AddRow, Subject, Together
from annual_planner.store.record_facts import CountingMeter, counting_meters, counting_readings, meter_on
from annual_planner.trade.refused import Refused
from annual_planner.trade.said import said_date, said_hours
from annual_planner.trade.usage import Reading, check_readings

if TYPE_CHECKING:
    from annual_planner.store.session import Work


@dataclass(frozen=True, slots=True)
class NewReading:
    """What a meter showed on a day. `meter`: its kind, empty for the one whose hours count."""

    read_on: date
    meter_hours: Decimal
    meter: str = ""
    landings: int | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class Looked:
    """What would become of one reading."""

    meter_id: int = 0
    refused: str = ""
    """Why it can't be taken; empty when it can."""
    stands: bool = False
    """The same reading is in the fleet already: nothing is written for it."""


def look_through(
    work: Work, aircraft_id: int, readings: Sequence[NewReading], today: date
) -> tuple[Looked, ...]:
    """What would become of each, in the order given; a fixed few queries, however many there are.

    They are gone through by day, each checked against those in the fleet and those taken before it, so that
    one wrong figure is not blamed on the right ones that follow.
    """
    meters, held = counting_meters(work, aircraft_id), counting_readings(work, aircraft_id)
    check = _Check(meters, held, today)
    by_day = sorted(range(len(readings)), key=lambda place: readings[place].read_on)
    looked = {place: check.look(readings[place]) for place in by_day}
    return tuple(looked[place] for place in range(len(readings)))


class _Check:
    """Readings in the fleet, and those taken so far."""

    def __init__(self, meters: Sequence[CountingMeter], held: Sequence[Reading], today: date) -> None:
        self._meters = meters
        self._held = {reading.on: reading for reading in held}
        self._all = sorted(held, key=_day)
        self._today = today

    def look(self, new: NewReading) -> Looked:
        try:
            return self._taken(new)
        except Refused as refused:
            return Looked(refused=refused.said)

    def _taken(self, new: NewReading) -> Looked:
        check_not_future(new.read_on, self._today)
        check_meter_shows(new.meter_hours, new.landings)
        meter = self._meter(new)
        reading = Reading(new.read_on, new.meter_hours, meter.offset_hours)
        stands = self._held.get(new.read_on)
        if stands is not None and stands.hours == reading.hours:
            return Looked(meter.meter_id, stands=True)
        at = bisect_left(self._all, new.read_on, key=_day)
        if at < bisect_right(self._all, new.read_on, key=_day):
            raise Refused(f"{said_date(new.read_on)} has a reading already: {_shows(self._all[at])}.")
        for neighbour in self._all[max(0, at - 1) : at + 1]:
            check_readings([neighbour, reading])
        insort(self._all, reading, key=_day)
        return Looked(meter.meter_id)

    def _meter(self, new: NewReading) -> CountingMeter:
        """The counting meter that was in the airplane on that day. Raises Refused for another kind."""
        meter = meter_on(self._meters, new.read_on)
        if new.meter.casefold() not in ("", meter.kind.casefold()):
            raise Refused(f"The hours of this airplane count by its {meter.kind}, not by ‘{new.meter}’.")
        return meter


def _day(reading: Reading) -> date:
    return reading.on


def _shows(reading: Reading) -> str:
    return said_hours(reading.meter_hours)


@dataclass(frozen=True, slots=True)
class RecordReadings:
    """Write down many readings of one airplane; those that stand in the fleet already are left alone."""

    aircraft_id: int
    readings: tuple[NewReading, ...]

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return f"{len(self.readings)} readings"

    def apply(self, work: Work, today: date) -> Changed:
        """Write all down and refresh what is due once. Raises Refused, with the reasons, for any at fault."""
        together = Together(work, Subject("reading", self.says, self.aircraft_id))
        looked = look_through(work, self.aircraft_id, self.readings, today)
        faults = [
            f"{said_date(new.read_on)}: {each.refused}"
            for new, each in zip(self.readings, looked, strict=True)
            if each.refused
        ]
        if faults:
            more = f" And {len(faults) - 3} more." if len(faults) > 3 else ""
            raise Refused(
                " ".join(faults[:3]) + more, "Correct them, then paste again; nothing was recorded."
            )
        for new, each in zip(self.readings, looked, strict=True):
            if not each.stands:
                together.write(AddRow(together.of, "meter_reading", self._values(new, each.meter_id)))
        return together.settled(today)

    def _values(self, new: NewReading, meter_id: int) -> dict[str, object]:
        return {
            "meter_id": meter_id,
            "aircraft_id": self.aircraft_id,
            "read_on": new.read_on,
            "meter_hours": new.meter_hours,
            "landings": new.landings,
            "note": new.note,
        }
