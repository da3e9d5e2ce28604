from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from annual_planner.records.apply import apply
from annual_planner.records.many_readings import NewReading, RecordReadings, look_through
from annual_planner.records.readings import RecordReading, ReplaceMeter
from annual_planner.store.fleet_reads import aircraft_sheet, readings
from annual_planner.store.session import Fleet
from annual_planner.trade.refused import Refused
from tests.fleets import ANN, TODAY, airplane, made


def new(day: str, hours: str, meter: str = "") -> NewReading:
    return NewReading(date.fromisoformat(day), Decimal(hours), meter)


def faults(fleet: Fleet, plane: int, *given: NewReading) -> list[str]:
    with fleet.reading() as work:
        return [each.refused for each in look_through(work, plane, given, TODAY)]


def test_many_readings_are_one_change_that_is_taken_back_as_one(fleet: Fleet) -> None:
    plane = made(fleet, airplane())
    pasted = (new("2026-04-02", "1530.5"), new("2026-02-01", "1508"), new("2026-01-04", "1500.0"))
    changed = apply(fleet, RecordReadings(plane, pasted), ANN, TODAY)
    assert changed.kinds == {"reading", "due"}
    with fleet.reading() as work:
        assert [line.meter_hours for line in readings(work, plane)] == [
            Decimal("1530.5"), Decimal(1508), Decimal("1500.0"),
        ]  # fmt: skip
        assert aircraft_sheet(work, plane).hours_now == Decimal("1530.5")
    assert changed.back is not None
    apply(fleet, changed.back, ANN, TODAY)
    with fleet.reading() as work:
        assert len(readings(work, plane)) == 1
        assert aircraft_sheet(work, plane).hours_now == Decimal("1500.0")


def test_each_wrong_one_is_named_and_none_is_taken(fleet: Fleet) -> None:
    plane = made(fleet, airplane())
    apply(fleet, RecordReading(plane, date(2026, 3, 1), Decimal(1515)), ANN, TODAY)
    pasted = (
        new("2026-02-01", "9508"),
        new("2026-02-10", "1510"),
        new("2026-02-10", "1511"),
        new("2026-03-01", "1516"),
        new("2026-03-20", "1509"),
        new("2026-05-05", "1530"),
        new("2026-04-01", "1529", "hour meter"),
        new("2026-04-02", "1530", "Tach"),
    )
    said = faults(fleet, plane, *pasted)
    wanted = ("More hours", "", "has a reading already", "has a reading already", "goes back", "after today")
    for got, want in zip(said, wanted, strict=False):
        assert want in got if want else got == ""
    assert "count by its" in said[6]
    assert said[7] == ""
    with pytest.raises(Refused, match="And 3 more") as refused:
        apply(fleet, RecordReadings(plane, pasted), ANN, TODAY)
    assert "nothing was recorded" in refused.value.remedy
    with fleet.reading() as work:
        assert len(readings(work, plane)) == 2


def test_a_reading_goes_to_the_meter_that_was_fitted_on_its_day(fleet: Fleet) -> None:
    plane = made(fleet, airplane())
    apply(fleet, ReplaceMeter(plane, date(2026, 3, 1), Decimal("1520.0"), Decimal("2.0")), ANN, TODAY)
    pasted = (new("2026-02-01", "1508"), new("2026-04-01", "12"))
    apply(fleet, RecordReadings(plane, pasted), ANN, TODAY)
    with fleet.reading() as work:
        hours = {line.read_on: line.hours for line in readings(work, plane)}
    assert (hours[date(2026, 2, 1)], hours[date(2026, 4, 1)]) == (Decimal(1508), Decimal(1530))
