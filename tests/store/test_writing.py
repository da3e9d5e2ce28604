"""Two people at once: the later one is told, and nothing is written over."""

from __future__ import annotations

import threading
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy import text

from annual_planner.records.aircraft import ChangeAircraft
from annual_planner.records.apply import apply
from annual_planner.records.readings import RecordReading
from annual_planner.store.audit import as_plain
from annual_planner.store.bulk import insert_many
from annual_planner.store.columns import HoursColumn
from annual_planner.store.fleet_reads import aircraft_sheet, readings
from annual_planner.store.mappings import PersonRow
from annual_planner.store.refusals import ChangedMeanwhile
from annual_planner.store.session import Fleet
from annual_planner.store.writing import add, change, remove, values_of
from annual_planner.trade.refused import Refused
from tests.fleets import ANN, BEN, TODAY, airplane, made
from tests.trail import newest_lines


def test_the_later_of_two_is_told_who_changed_what_and_nothing_is_written_over(fleet: Fleet) -> None:
    plane = made(fleet, airplane(base="East field"))
    apply(fleet, ChangeAircraft(plane, {"base": "East field"}, {"base": "North field"}), BEN, TODAY)
    with pytest.raises(ChangedMeanwhile) as told:
        apply(fleet, ChangeAircraft(plane, {"base": "East field"}, {"base": "Hill"}), ANN, TODAY)
    assert told.value.by == BEN
    assert told.value.at is not None
    assert (told.value.now, told.value.wants) == ({"base": "North field"}, {"base": "Hill"})
    assert "North field" in told.value.said
    assert "Hill" in told.value.said
    with fleet.reading() as work:
        assert aircraft_sheet(work, plane).base == "North field"


def test_of_two_that_start_together_one_wins_and_the_other_is_told(fleet: Fleet) -> None:
    plane = made(fleet, airplane(base="East field"))
    start = threading.Barrier(2)
    outcomes: dict[str, object] = {}

    def bench(name: str) -> None:
        start.wait()
        try:
            apply(fleet, ChangeAircraft(plane, {"base": "East field"}, {"base": name}), name, TODAY)
            outcomes[name] = "done"
        except ChangedMeanwhile as told:
            outcomes[name] = told

    benches = [threading.Thread(target=bench, args=(name,)) for name in (ANN, BEN)]
    for each in benches:
        each.start()
    for each in benches:
        each.join()
    winner = next(name for name, outcome in outcomes.items() if outcome == "done")
    loser = next(outcome for outcome in outcomes.values() if outcome != "done")
    assert isinstance(loser, ChangedMeanwhile)
    assert loser.by == winner
    with fleet.reading() as work:
        assert aircraft_sheet(work, plane).base == winner


def test_readings_of_two_benches_at_once_are_all_counted(fleet: Fleet) -> None:
    plane = made(fleet, airplane())
    days = [date(2026, 2, day) for day in range(1, 9)]

    def bench(mine: list[date]) -> None:
        for day in mine:
            apply(fleet, RecordReading(plane, day, Decimal("1500.0")), ANN, TODAY)

    benches = [threading.Thread(target=bench, args=(days[n::2],)) for n in range(2)]
    for each in benches:
        each.start()
    for each in benches:
        each.join()
    with fleet.reading() as work:
        assert {line.read_on for line in readings(work, plane)} == {date(2026, 1, 4), *days}
        assert aircraft_sheet(work, plane).read_on == days[-1]


def test_a_row_changed_behind_the_version_counter_is_not_written_over(fleet: Fleet) -> None:
    with fleet.work(ANN) as work:
        person = add(work, "person", {"name": "Olive Tarn", "roles": ["owner"]})
    work_of_mine = fleet.work(ANN)
    work = work_of_mine.__enter__()
    row = work.session.get(PersonRow, person)
    assert row is not None
    work.session.execute(text("UPDATE person SET version = version + 1"))
    row.contact = "mornings"
    with pytest.raises(ChangedMeanwhile):
        work_of_mine.__exit__(None, None, None)
    with fleet.reading() as work:
        assert values_of(work, "person", person)["contact"] == ""


def test_the_number_of_a_removed_row_is_not_given_again(fleet: Fleet) -> None:
    with fleet.work(ANN) as work:
        first = add(work, "person", {"name": "Olive Tarn", "roles": []})
        held = remove(work, "person", first)
        second = add(work, "person", {"name": "Mel Rook", "roles": []})
        assert second != first
        assert add(work, "person", held) == first
        assert values_of(work, "person", first)["name"] == "Olive Tarn"


def test_what_others_refer_to_stays(fleet: Fleet) -> None:
    plane = made(fleet, airplane())
    with pytest.raises(Refused, match="used elsewhere"), fleet.work(ANN) as work:
        remove(work, "aircraft", plane)


def test_a_second_row_of_the_same_name_is_refused(fleet: Fleet) -> None:
    with fleet.work(ANN) as work:
        add(work, "person", {"name": "Olive Tarn", "roles": []}, said="person Olive Tarn")
    with pytest.raises(Refused, match="already there"), fleet.work(ANN) as work:
        add(work, "person", {"name": "Olive Tarn", "roles": []}, said="person Olive Tarn")


def test_every_change_leaves_a_line_with_before_and_after(fleet: Fleet) -> None:
    with fleet.work(BEN) as work:
        person = add(work, "person", {"name": "Olive Tarn", "roles": ("owner",)}, said="person Olive Tarn")
    with fleet.work(ANN) as work:
        change(work, "person", person, {"contact": ""}, {"contact": "mornings"}, said="person Olive Tarn")
    with fleet.reading() as work:
        newest, oldest = newest_lines(work)
    assert (newest.changed_by, newest.before, newest.after) == (ANN, {"contact": ""}, {"contact": "mornings"})
    assert (oldest.changed_by, oldest.what, oldest.row_id) == (BEN, "added person Olive Tarn", person)
    assert newest.changed_at.utcoffset() is not None


def test_rows_added_after_many_with_given_numbers_get_free_ones(fleet: Fleet) -> None:
    people = [{"id": n, "name": f"Person {n}", "roles": [], "contact": ""} for n in range(1, 41)]
    with fleet.work(ANN) as work:
        insert_many(work, "person", people)
        assert add(work, "person", {"name": "One more", "roles": []}) == 41


@given(st.decimals(0, 10_000_000, places=2))
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow])
def test_hours_come_back_as_they_went_in(hours: Decimal) -> None:
    from sqlalchemy.dialects.sqlite import dialect

    column, of = HoursColumn(), dialect()
    assert column.process_result_value(column.process_bind_param(hours, of), of) == hours


def test_the_trail_keeps_numbers_and_days_as_text() -> None:
    plain = as_plain({"hours": Decimal("1E+3"), "on": TODAY, "words": ("a", "b"), "n": 3, "none": None})
    assert plain == {"hours": "1000", "on": "2026-05-04", "words": ["a", "b"], "n": 3, "none": None}
