from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from annual_planner.records.apply import apply
from annual_planner.records.due_state import explain_usage
from annual_planner.records.readings import CorrectReading, RecordReading, RemoveReading, ReplaceMeter
from annual_planner.store.bulk import insert_many
from annual_planner.store.fleet_reads import aircraft_sheet, readings
from annual_planner.store.refusals import ChangedMeanwhile
from annual_planner.store.session import Fleet
from annual_planner.trade.refused import Refused
from annual_planner.trade.working import as_lines
from tests.fleets import ANN, TODAY, airplane, made


def test_a_reading_moves_the_airplanes_hours_and_landings_on(fleet: Fleet) -> None:
    plane = made(fleet, airplane())
    changed = apply(fleet, RecordReading(plane, date(2026, 4, 2), Decimal("1530.5"), 2044), ANN, TODAY)
    assert changed.kinds == {"reading", "due"}
    with fleet.reading() as work:
        sheet = aircraft_sheet(work, plane)
    assert (sheet.hours_now, sheet.landings_now) == (Decimal("1530.5"), 2044)
    assert sheet.read_on == date(2026, 4, 2)


@pytest.mark.parametrize(
    ("read_on", "hours", "said"),
    [
        (date(2026, 4, 2), "1499.9", "go back"),
        (date(2025, 12, 24), "1500.1", "go back"),
        (date(2026, 1, 4), "1500.0", "already down as read"),
        (date(2026, 5, 5), "1510", "after today"),
        (date(2026, 1, 5), "1600", "More hours than there are"),
        (date(2026, 4, 2), "-1", "can't show"),
        (date(2026, 4, 2), "NaN", "can't show"),
    ],
)
def test_what_a_meter_can_not_have_shown_is_refused_and_leaves_nothing(
    fleet: Fleet, read_on: date, hours: str, said: str
) -> None:
    plane = made(fleet, airplane())
    with pytest.raises(Refused, match=said) as refused:
        apply(fleet, RecordReading(plane, read_on, Decimal(hours)), ANN, TODAY)
    assert refused.value.remedy
    with fleet.reading() as work:
        assert len(readings(work, plane)) == 1


def test_hours_that_go_back_point_to_a_replaced_meter(fleet: Fleet) -> None:
    plane = made(fleet, airplane())
    with pytest.raises(Refused, match="say the meter was replaced"):
        apply(fleet, RecordReading(plane, TODAY, Decimal("3.0")), ANN, TODAY)


def test_hours_go_on_over_a_replaced_meter_and_back_again_when_undone(fleet: Fleet) -> None:
    plane = made(fleet, airplane())
    replaced = ReplaceMeter(plane, date(2026, 3, 1), Decimal("1520.0"), Decimal("2.0"))
    changed = apply(fleet, replaced, ANN, TODAY)
    reading = apply(fleet, RecordReading(plane, date(2026, 4, 2), Decimal("12.5")), ANN, TODAY)
    with fleet.reading() as work:
        assert aircraft_sheet(work, plane).hours_now == Decimal("1530.5")
        assert [line.hours for line in readings(work, plane)][:2] == [Decimal("1530.5"), Decimal(1520)]
    assert reading.back is not None
    assert changed.back is not None
    apply(fleet, reading.back, ANN, TODAY)
    apply(fleet, changed.back, ANN, TODAY)
    made(fleet, RecordReading(plane, date(2026, 4, 2), Decimal("1525.0")))
    with fleet.reading() as work:
        assert aircraft_sheet(work, plane).hours_now == Decimal("1525.0")


def test_a_reading_of_the_time_before_is_one_of_the_meter_that_was_in_it_then(fleet: Fleet) -> None:
    plane = made(fleet, airplane())
    apply(fleet, ReplaceMeter(plane, date(2026, 3, 1), Decimal("1520.0"), Decimal("2.0")), ANN, TODAY)
    made(fleet, RecordReading(plane, date(2026, 2, 1), Decimal("1510.0")))
    made(fleet, RecordReading(plane, date(2026, 4, 2), Decimal("12.5")))
    with fleet.reading() as work:
        hours = [line.hours for line in readings(work, plane)]
    assert hours == [Decimal("1530.5"), Decimal(1520), Decimal(1510), Decimal(1500)]


def test_hours_go_on_over_meters_replaced_twice_even_on_one_day(fleet: Fleet) -> None:
    plane = made(fleet, airplane())
    for on, old, new in (((3, 1), "1520.0", "2.0"), ((3, 1), "2.0", "7.0"), ((4, 1), "17.0", "0.0")):
        apply(fleet, ReplaceMeter(plane, date(2026, *on), Decimal(old), Decimal(new)), ANN, TODAY)
    made(fleet, RecordReading(plane, date(2026, 4, 20), Decimal("5.0")))
    made(fleet, RecordReading(plane, date(2026, 3, 15), Decimal("11.0")))
    with fleet.reading() as work:
        assert aircraft_sheet(work, plane).hours_now == Decimal("1535.0")
        assert Decimal("1524.0") in [line.hours for line in readings(work, plane)]


def test_a_second_meter_that_only_runs_along_adds_no_time_in_service(fleet: Fleet) -> None:
    plane = made(fleet, airplane())
    made(fleet, RecordReading(plane, date(2026, 4, 2), Decimal("1530.0")))
    second = {"aircraft_id": plane, "kind": "hour meter", "fitted_on": date(2026, 1, 4), "offset_hours": 0}
    with fleet.work(ANN) as work:
        insert_many(work, "meter", [{**second, "id": 900, "of_record": False, "replaced_on": None}])
        beside = {"meter_id": 900, "aircraft_id": plane, "read_on": date(2026, 4, 20), "note": ""}
        insert_many(work, "meter_reading", [{**beside, "meter_hours": Decimal(1900), "landings": None}])
    made(fleet, RecordReading(plane, date(2026, 5, 1), Decimal("1535.0")))
    with fleet.reading() as work:
        assert aircraft_sheet(work, plane).hours_now == Decimal("1535.0")
        assert "1900" not in "".join(as_lines(explain_usage(work, plane, TODAY)))


def test_a_meter_is_not_replaced_before_it_was_last_read(fleet: Fleet) -> None:
    plane = made(fleet, airplane())
    made(fleet, RecordReading(plane, date(2026, 4, 2), Decimal("1530.0")))
    with pytest.raises(Refused, match="still read"):
        apply(fleet, ReplaceMeter(plane, date(2026, 3, 1), Decimal(1520), Decimal(0)), ANN, TODAY)


def test_a_correction_is_checked_like_a_new_reading_and_left_undone_when_refused(fleet: Fleet) -> None:
    plane = made(fleet, airplane())
    reading = made(fleet, RecordReading(plane, date(2026, 4, 2), Decimal("1530.0")))
    saw = {"meter_hours": Decimal("1530.0")}
    with pytest.raises(Refused, match="go back"):
        apply(fleet, CorrectReading(reading, saw, {"meter_hours": Decimal("1400.0")}), ANN, TODAY)
    apply(fleet, CorrectReading(reading, saw, {"meter_hours": Decimal("1503.0")}), ANN, TODAY)
    with pytest.raises(ChangedMeanwhile):
        apply(fleet, CorrectReading(reading, saw, {"meter_hours": Decimal("1504.0")}), ANN, TODAY)
    with fleet.reading() as work:
        assert readings(work, plane)[0].meter_hours == Decimal("1503.0")


def test_a_removed_reading_can_not_be_removed_twice(fleet: Fleet) -> None:
    plane = made(fleet, airplane())
    reading = made(fleet, RecordReading(plane, date(2026, 4, 2), Decimal("1530.0")))
    apply(fleet, RemoveReading(reading), ANN, TODAY)
    with pytest.raises(Refused, match="no longer"):
        apply(fleet, RemoveReading(reading), ANN, TODAY)


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Fleet:
    from annual_planner.store.opening import open_fleet

    return open_fleet(tmp_path_factory.mktemp("kept") / "kept.fleet", create=True)


@given(flown=st.lists(st.tuples(st.integers(1, 30), st.decimals(0, 20, places=1)), min_size=1, max_size=6))
@settings(max_examples=15, suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow])
def test_readings_taken_in_any_sequence_and_taken_back_leave_what_was(
    kept: Fleet, flown: list[tuple[int, Decimal]]
) -> None:
    number = len(_sheets(kept))
    plane = made(kept, airplane(f"N0{number:04}"))
    before = _seen(kept, plane)
    backs, day, hours = [], date(2026, 1, 4), Decimal("1500.0")
    for days, more in flown:
        day, hours = date.fromordinal(day.toordinal() + days), hours + more
        changed = apply(kept, RecordReading(plane, day, hours), ANN, date(2027, 1, 1))
        assert changed.back is not None
        backs.append(changed.back)
    with kept.reading() as work:
        assert aircraft_sheet(work, plane).hours_now == hours
    for back in reversed(backs):
        apply(kept, back, ANN, TODAY)
    assert _seen(kept, plane) == before


def _sheets(fleet: Fleet) -> list[int]:
    from annual_planner.store.fleet_reads import fleet_ids

    with fleet.reading() as work:
        return fleet_ids(work)


def _seen(fleet: Fleet, plane: int) -> tuple[object, object]:
    with fleet.reading() as work:
        return aircraft_sheet(work, plane), readings(work, plane)
