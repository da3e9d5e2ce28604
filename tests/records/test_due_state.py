"""The kept due state follows every change of the records, in the same transaction."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from annual_planner.records.aircraft import ChangeAircraft
from annual_planner.records.apply import apply
from annual_planner.records.compliances import RecordCompliance, RemoveCompliance
from annual_planner.records.due_state import explain_due, explain_usage, refresh
from annual_planner.records.readings import RecordReading
from annual_planner.records.requirements import AddRequirement, EndRequirement
from annual_planner.store.fleet_reads import aircraft_sheet, assemblies, due_lines, due_page, fleet_lines
from annual_planner.store.rows import DueLine
from annual_planner.store.session import Fleet
from annual_planner.trade.periods import Interval, Logic
from annual_planner.trade.refused import Refused
from annual_planner.trade.working import as_lines
from tests.fleets import ANN, TODAY, airplane, annual, hundred_hour, made
from tests.statements import statements


def line(fleet: Fleet, requirement: int) -> DueLine:
    with fleet.reading() as work:
        return due_lines(work, [requirement])[0]


def oil(fleet: Fleet, plane: int) -> AddRequirement:
    with fleet.reading() as work:
        engine = next(each.assembly_id for each in assemblies(work, plane) if each.kind == "engine")
    interval = Interval(hours=Decimal(50), calendar_months=4)
    return AddRequirement(plane, "Oil change", "recommended", interval, assembly_id=engine, note="Warm oil.")


def test_an_annual_is_good_to_the_end_of_the_twelfth_month(fleet: Fleet) -> None:
    plane = made(fleet, airplane())
    need = made(fleet, annual(plane))
    assert line(fleet, need).state == "no record"
    made(fleet, RecordCompliance(need, date(2026, 1, 14), Decimal("1500.0")))
    due = line(fleet, need)
    assert (due.due_on, due.state, due.first_limit) == (date(2027, 1, 31), "in date", "date")
    assert (due.last_on, due.comes_first_on) == (date(2026, 1, 14), date(2027, 1, 31))


def test_an_annual_starts_the_hundred_hours_anew(fleet: Fleet) -> None:
    plane = made(fleet, airplane())
    every_year, every_hundred = made(fleet, annual(plane)), made(fleet, hundred_hour(plane))
    made(fleet, RecordReading(plane, date(2026, 3, 1), Decimal("1540.0")))
    made(fleet, RecordCompliance(every_hundred, date(2026, 1, 4), Decimal("1500.0")))
    assert line(fleet, every_hundred).due_hours == Decimal(1600)
    made(fleet, RecordCompliance(every_year, date(2026, 3, 1), Decimal("1540.0")))
    due = line(fleet, every_hundred)
    assert (due.due_hours, due.last_on) == (Decimal(1640), date(2026, 3, 1))


@pytest.mark.parametrize(
    ("done_hours", "enroute", "next_hours"),
    [("1606.0", True, 1700), ("1603.0", False, 1700), ("1595.0", False, 1695), ("1690.0", False, 1790)],
)
def test_hours_flown_to_the_inspection_come_off_the_next_hundred(
    fleet: Fleet, done_hours: str, enroute: bool, next_hours: int
) -> None:
    plane = made(fleet, airplane())
    need = made(fleet, hundred_hour(plane))
    made(fleet, RecordCompliance(need, date(2026, 1, 4), Decimal("1500.0")))
    made(fleet, RecordCompliance(need, date(2026, 4, 20), Decimal(done_hours), enroute=enroute))
    assert line(fleet, need).due_hours == next_hours


def test_hours_count_on_the_assembly_and_not_on_the_airframe(fleet: Fleet) -> None:
    plane = made(fleet, airplane())
    need = made(fleet, oil(fleet, plane))
    made(fleet, RecordCompliance(need, date(2026, 1, 4), Decimal("500.0")))
    made(fleet, RecordReading(plane, date(2026, 4, 1), Decimal("1545.0")))
    due = line(fleet, need)
    assert (due.due_hours, due.hours_left, due.counts_on) == (Decimal(550), Decimal(5), "engine 1")
    assert due.interval == "50 h or 4 calendar months, whichever first"


def test_past_advice_is_due_soon_and_says_so_but_does_not_hold_the_airplane_up(fleet: Fleet) -> None:
    plane = made(fleet, airplane())
    need = made(fleet, oil(fleet, plane))
    made(fleet, RecordCompliance(need, date(2026, 1, 4), Decimal("500.0")))
    made(fleet, RecordReading(plane, date(2026, 4, 1), Decimal("1560.0")))
    due = line(fleet, need)
    assert (due.state, due.note) == (
        "due soon",
        "Past a recommendation, which by itself is not unlawful. Warm oil.",
    )
    assert due.standing == "past advice", "the list doesn't call soon what has passed"
    assert due.comes_first_on == date(2026, 4, 1)
    with fleet.reading() as work:
        stands = fleet_lines(work, [plane])[0]
    assert (stands.state, stands.overdue, stands.due_soon) == ("in date", 0, 0)


def test_hours_expected_within_sixty_days_are_due_soon_with_the_day_in_the_working(fleet: Fleet) -> None:
    plane = made(fleet, airplane())
    need = made(fleet, hundred_hour(plane))
    made(fleet, RecordCompliance(need, date(2026, 1, 4), Decimal("1500.0")))
    made(fleet, RecordReading(plane, date(2026, 4, 1), Decimal(1575)))
    due = line(fleet, need)
    assert due.hours_left == Decimal(25)  # more than the 10 h that count as soon by themselves
    assert due.state == "due soon"
    with fleet.reading() as work:
        stands = fleet_lines(work, [plane])[0]
        told = explain_due(work, need, TODAY)
    assert (stands.state, stands.due_soon) == ("due soon", 1)
    assert any("within the 60 days that count as soon" in text for text in as_lines(told))


def test_a_passed_hour_limit_dates_from_the_reading_beyond_it(fleet: Fleet) -> None:
    plane = made(fleet, airplane())
    need = made(fleet, AddRequirement(plane, "Wing bolts", "directive", Interval(hours=Decimal(50))))
    made(fleet, RecordCompliance(need, date(2026, 1, 4), Decimal("1500.0")))
    for day, hours in ((date(2026, 2, 1), 1549), (date(2026, 3, 1), 1551), (date(2026, 4, 1), 1580)):
        made(fleet, RecordReading(plane, day, Decimal(hours)))
    due = line(fleet, need)
    assert (due.state, due.comes_first_on, due.hours_left) == ("overdue", date(2026, 3, 1), Decimal(-30))


def test_whichever_last_waits_for_the_later_limit(fleet: Fleet) -> None:
    plane = made(fleet, airplane())
    interval = Interval(hours=Decimal(10), calendar_months=12, logic=Logic.LAST)
    need = made(fleet, AddRequirement(plane, "Looked over", "rule", interval))
    made(fleet, RecordCompliance(need, date(2026, 1, 4), Decimal("1500.0")))
    made(fleet, RecordReading(plane, date(2026, 4, 1), Decimal(1520)))
    assert (line(fleet, need).state, line(fleet, need).comes_first_on) == ("in date", date(2027, 1, 31))


def test_hours_limits_are_forecast_from_the_stated_use(fleet: Fleet) -> None:
    plane = made(fleet, airplane())
    need = made(fleet, hundred_hour(plane))
    made(fleet, RecordCompliance(need, date(2026, 1, 4), Decimal("1500.0")))
    due = line(fleet, need)
    assert due.early_on is not None
    assert due.forecast_on is not None
    assert due.late_on is not None
    assert TODAY <= due.early_on <= due.forecast_on <= due.late_on
    assert due.comes_first_on == due.forecast_on
    apply(
        fleet,
        ChangeAircraft(
            plane, {"stated_hours_per_month": Decimal(10)}, {"stated_hours_per_month": Decimal(3)}
        ),
        ANN,
        TODAY,
    )
    later = line(fleet, need).forecast_on
    assert later is not None
    assert later > due.forecast_on


def test_a_terminated_requirement_has_ended_and_leaves_the_fleets_list(fleet: Fleet) -> None:
    plane = made(fleet, airplane())
    need = made(fleet, annual(plane))
    changed = apply(fleet, EndRequirement(need, "on a progressive program"), ANN, TODAY)
    assert line(fleet, need).state == "ended"
    with fleet.reading() as work:
        assert due_page(work) == []
        assert len(due_page(work, aircraft_id=plane)) == 1
    assert changed.back is not None
    apply(fleet, changed.back, ANN, TODAY)
    assert line(fleet, need).state == "no record"


def test_refreshing_asks_the_same_number_of_queries_however_many_requirements(fleet: Fleet) -> None:
    counts = []
    for number, needs in enumerate((1, 25)):
        plane = made(fleet, airplane(f"N0{number}0QA"))
        for place in range(needs):
            made(fleet, replace(annual(plane), key="", title=f"Requirement {place}"))
        with statements(fleet) as sent, fleet.work(ANN) as work:
            refresh(work, plane, TODAY)
        counts.append(len(sent))
    assert counts[0] == counts[1] <= 12, sent


def test_the_working_says_what_is_kept(fleet: Fleet) -> None:
    plane = made(fleet, airplane())
    need = made(fleet, hundred_hour(plane))
    made(fleet, RecordCompliance(need, date(2026, 1, 4), Decimal("1500.0")))
    due = line(fleet, need)
    with fleet.reading() as work:
        working = explain_due(work, need, TODAY)
        usage = explain_usage(work, plane, TODAY)
    assert "1600" in working.result
    assert [part.title for part in working.parts] == [
        "How it stands",
        "When 1600 h will be reached",
        "How the airplane is flown",
    ]
    assert working.parts[0].result == due.state
    assert usage == working.parts[2]
    assert any("10 h a month" in text for text in as_lines(usage))


@pytest.mark.parametrize(
    ("done_on", "hours", "said"),
    [
        (date(1984, 12, 31), None, "before the airplane was built"),
        (date(2026, 5, 5), None, "after today"),
        (date(2026, 1, 3), "1500.1", "more than it had"),
        (date(2026, 1, 5), "1499.9", "less than it had"),
        (date(2026, 2, 1), "-3", "can't be"),
    ],
)
def test_a_doing_that_can_not_have_been_is_refused(
    fleet: Fleet, done_on: date, hours: str | None, said: str
) -> None:
    plane = made(fleet, airplane())
    need = made(fleet, annual(plane))
    done = RecordCompliance(need, done_on, Decimal(hours) if hours else None)
    with pytest.raises(Refused, match=said):
        apply(fleet, done, ANN, TODAY)
    assert line(fleet, need).last_on is None


def test_a_doing_is_written_down_once_a_day(fleet: Fleet) -> None:
    need = made(fleet, annual(made(fleet, airplane())))
    made(fleet, RecordCompliance(need, date(2026, 2, 1), None))
    with pytest.raises(Refused, match="already down"):
        apply(fleet, RecordCompliance(need, date(2026, 2, 1), None), ANN, TODAY)


def test_taking_a_doing_back_restores_the_due_state_before_it(fleet: Fleet) -> None:
    plane = made(fleet, airplane())
    need = made(fleet, annual(plane))
    made(fleet, RecordCompliance(need, date(2025, 5, 20), None))
    before = line(fleet, need)
    changed = apply(fleet, RecordCompliance(need, date(2026, 4, 20), None), ANN, TODAY)
    after = line(fleet, need)
    assert after.due_on == date(2027, 4, 30)
    assert changed.back is not None
    undone = apply(fleet, changed.back, ANN, TODAY)
    assert line(fleet, need) == before
    assert undone.back is not None
    again = apply(fleet, undone.back, ANN, TODAY)
    assert line(fleet, need) == after
    assert again.made_id is not None
    apply(fleet, RemoveCompliance(again.made_id), ANN, TODAY)
    assert line(fleet, need) == before


def test_the_fleets_line_follows_what_comes_first(fleet: Fleet) -> None:
    plane = made(fleet, airplane())
    need = made(fleet, annual(plane))
    made(fleet, RecordCompliance(need, date(2025, 4, 20), None))
    with fleet.reading() as work:
        stands = fleet_lines(work, [plane])[0]
        assert aircraft_sheet(work, plane).state == "overdue"
    assert (stands.state, stands.first_title, stands.overdue) == ("overdue", "Annual inspection", 1)
    assert stands.comes_first_on == stands.annual_due_on == date(2026, 4, 30)
