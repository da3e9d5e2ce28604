"""Lists are one query for one page, by an index, in every order their columns have."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import fields
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from annual_planner.records.apply import apply
from annual_planner.records.compliances import RecordCompliance
from annual_planner.records.people import AddPerson
from annual_planner.store import fleet_reads as reads
from annual_planner.store.bulk import insert_many
from annual_planner.store.due_days import with_turning_lines
from annual_planner.store.rows import DueLine, FleetLine
from annual_planner.store.session import Fleet, Work
from annual_planner.store.signed_reads import signed_of
from annual_planner.store.sorting import Then
from annual_planner.trade.people import Certificate, CertificateKind
from annual_planner.trade.refused import Refused
from tests.fleets import ANN, TODAY, airplane, annual, made
from tests.statements import statements


def plan(fleet: Fleet, read: Callable[[Work], object]) -> list[str]:
    """How the database goes about what is read."""
    with statements(fleet) as sent, fleet.reading() as work:
        read(work)
    [(statement, parameters)] = sent.selects
    with fleet.engine.connect() as connection:
        rows = connection.exec_driver_sql(f"EXPLAIN QUERY PLAN {statement}", parameters)
        return [str(row[3]) for row in rows]


@pytest.fixture
def three(fleet: Fleet) -> Fleet:
    """Three airplanes of two owners, one of them with an annual long past."""
    olive, hal = (made(fleet, AddPerson(name, ("owner",))) for name in ("Olive Tarn", "Hal Finch"))
    planes = [
        made(fleet, airplane("N012AP", owner_id=olive, base="East")),
        made(fleet, airplane("N034BQ", owner_id=hal, model="Merlin 4", maker="Aldon")),
        made(fleet, airplane("N056CR", model="Wren")),
    ]
    for plane, year in zip(planes, (2025, 2024, 2026), strict=True):
        need = made(fleet, annual(plane))
        apply(fleet, RecordCompliance(need, date(year, 1, 3), None), ANN, TODAY)
    return fleet


def airplanes(work: Work, **asked: Any) -> list[FleetLine]:
    return reads.fleet_lines(work, reads.fleet_ids(work, **asked))


def dues(work: Work, **asked: Any) -> list[DueLine]:
    return reads.due_lines(work, reads.due_ids(work, **asked))


def registrations(lines: list[FleetLine]) -> list[str]:
    return [line.registration for line in lines]


def test_what_comes_first_is_first(three: Fleet) -> None:
    with three.reading() as work:
        lines = airplanes(work)
    assert registrations(lines) == ["N034BQ", "N012AP", "N056CR"]
    assert [line.state for line in lines] == ["overdue", "overdue", "in date"]
    assert lines[0].comes_first_on == date(2025, 1, 31)
    assert (lines[0].first_title, lines[0].owner, lines[0].overdue) == ("Annual inspection", "Hal Finch", 1)


@pytest.mark.parametrize(
    ("search", "found"),
    [("n034", ["N034BQ"]), ("MERLIN", ["N034BQ"]), ("olive", ["N012AP"]), ("wren n05", ["N056CR"]),
     ("%", []), ("_", []), ("east", ["N012AP"]), ("", ["N034BQ", "N012AP", "N056CR"])],
)  # fmt: skip
def test_every_word_searched_for_is_in_the_line(three: Fleet, search: str, found: list[str]) -> None:
    with three.reading() as work:
        assert registrations(airplanes(work, search=search)) == found


def test_an_owner_sees_their_own(three: Fleet) -> None:
    with three.reading() as work:
        owner = next(each.person_id for each in reads.people(work) if each.name == "Olive Tarn")
        assert registrations(airplanes(work, owner_id=owner)) == ["N012AP"]
        assert {line.registration for line in dues(work, owner_id=owner)} == {"N012AP"}


def test_lists_sort_by_each_of_their_columns(three: Fleet) -> None:
    with three.reading() as work:
        ids = ("aircraft_id", "owner_id")
        for name in [each.name for each in fields(FleetLine) if each.name not in ids]:
            up = airplanes(work, order=name)
            down = airplanes(work, order=name, descending=True)
            assert len(up) == len(down) == 3, name
            assert in_order([getattr(line, name) for line in up], name)
            assert in_order([getattr(line, name) for line in down], name, descending=True)
        for name in [each.name for each in fields(DueLine) if not each.name.endswith("_id")]:
            values = [getattr(line, name) for line in dues(work, order=name)]
            assert in_order(values, name)


def in_order(values: list[Any], name: str, *, descending: bool = False) -> bool:
    values = [None if name == "owner" and value == "" else value for value in values]
    known = [value for value in values if value is not None]
    if name == "state":
        known = [("overdue", "no record", "due soon", "in date", "ended").index(value) for value in known]
    unknown_last = values[len(known) :] == [None] * (len(values) - len(known))
    return unknown_last and known == sorted(known, reverse=descending)


def test_a_second_order_sorts_what_the_first_leaves_equal(three: Fleet) -> None:
    with three.reading() as work:
        by_state = airplanes(work, order="state", then=Then("registration", descending=True))
        assert registrations(by_state) == ["N034BQ", "N012AP", "N056CR"]
        by_state = airplanes(work, order="state", then=Then("registration"))
        assert registrations(by_state) == ["N012AP", "N034BQ", "N056CR"]
        turned = airplanes(work, order="state", descending=True, then=Then("registration"))
        assert registrations(turned) == ["N056CR", "N012AP", "N034BQ"]
        unknown_last = airplanes(work, order="state", then=Then("owner", descending=True))
        assert [line.owner for line in unknown_last] == ["Olive Tarn", "Hal Finch", ""]
        by_title = dues(work, order="title", then=Then("registration", descending=True))
        assert [line.registration for line in by_title] == ["N056CR", "N034BQ", "N012AP"]
        with pytest.raises(Refused, match="no order by"):
            reads.fleet_ids(work, then=Then("colour"))


def test_an_unknown_order_is_refused(three: Fleet) -> None:
    with three.reading() as work, pytest.raises(Refused, match="no order by"):
        airplanes(work, order="colour")


def test_lines_by_id_keep_the_order_asked_for_and_leave_out_what_is_gone(three: Fleet) -> None:
    with three.reading() as work:
        ids = reads.fleet_ids(work, order="registration", descending=True)
        assert registrations(reads.fleet_lines(work, [*ids, 999])) == ["N056CR", "N034BQ", "N012AP"]
        needs = reads.due_ids(work)
        assert [line.requirement_id for line in reads.due_lines(work, needs[::-1])] == needs[::-1]


def test_due_lists_can_be_cut_by_day_and_state(three: Fleet) -> None:
    with three.reading() as work:
        assert len(reads.due_ids(work, until=date(2026, 1, 31))) == 2
        assert len(reads.due_ids(work, state="in date")) == 1
        assert len(reads.due_ids(work, search="merlin annual")) == 1
        assert [line.requirement_id for line in reads.due_page(work, limit=1)] == reads.due_ids(work)[:1]


def test_a_near_registration_is_offered(three: Fleet) -> None:
    with three.reading() as work:
        assert reads.find_aircraft(work, " n012 ap") == reads.fleet_ids(work, search="N012AP")[0]
        with pytest.raises(Refused, match="N012AP"):
            reads.find_aircraft(work, "N012AQ")


def test_each_list_is_one_query_however_long(three: Fleet) -> None:
    asks: list[Callable[[Work], object]] = [
        reads.fleet_ids, lambda work: reads.fleet_lines(work, [1, 2, 3]), reads.due_page,
        reads.due_ids, lambda work: reads.due_lines(work, [1, 2, 3]),
        lambda work: reads.aircraft_sheet(work, 1),
        lambda work: reads.assemblies(work, 1), lambda work: reads.readings(work, 1),
        lambda work: reads.compliances(work, 1), reads.discrepancies, reads.packages,
    ]  # fmt: skip
    for ask in asks:
        with statements(three) as sent, three.reading() as work:
            ask(work)
        assert len(sent.selects) == 1, sent


@pytest.fixture
def many(tmp_path: Path) -> Iterator[Fleet]:
    """Enough kept lines for the database to have a choice."""
    from annual_planner.store.opening import open_fleet

    with open_fleet(tmp_path / "many.fleet", create=True) as fleet:
        from tests.benchmarks.fleet_page import fill

        fill(fleet, aircraft=60, requirements=20)
        with fleet.work(ANN) as work:
            work.session.connection().exec_driver_sql("ANALYZE")
        yield fleet


def test_the_first_page_comes_from_an_index_and_is_not_sorted(many: Fleet) -> None:
    for read, index in (
        (reads.fleet_ids, "ix_aircraft_standing_comes_first"),
        (reads.due_page, "ix_due_comes_first"),
    ):
        steps = plan(many, read)
        assert any(f"USING INDEX {index}" in step or f"COVERING INDEX {index}" in step for step in steps), (
            steps
        )
        assert not any("TEMP B-TREE" in step for step in steps), steps
        scans = [step for step in steps if step.startswith("SCAN")]
        assert all("INDEX" in step for step in scans), steps


def test_a_second_order_keeps_the_index_of_the_first(many: Fleet) -> None:
    steps = plan(many, lambda work: reads.due_ids(work, then=Then("title")))
    assert any("INDEX ix_due_comes_first" in step for step in steps), steps
    assert "USE TEMP B-TREE FOR ORDER BY" not in steps, steps


def test_one_airplanes_lists_look_up_and_never_scan(many: Fleet) -> None:
    asks: list[Callable[[Work], object]] = [
        lambda work: reads.due_page(work, aircraft_id=7),
        lambda work: reads.aircraft_sheet(work, 7),
        lambda work: reads.assemblies(work, 7),
        lambda work: reads.readings(work, 7),
        lambda work: reads.compliances(work, 7),
        lambda work: reads.discrepancies(work, 7),
        lambda work: reads.due_ids(work, until=TODAY),
    ]
    for ask in asks:
        steps = plan(many, ask)
        assert not any(step.startswith("SCAN") for step in steps), steps


def test_what_is_fitted_carries_its_own_hours(three: Fleet) -> None:
    with three.reading() as work:
        fitted = {line.kind: line for line in reads.assemblies(work, 1)}
    assert fitted["airframe"].hours_now == Decimal("1500.0")
    assert (fitted["engine"].hours_now, fitted["engine"].hours_since_overhaul) == (Decimal(500), Decimal(500))


def test_a_person_is_given_with_what_they_hold(fleet: Fleet) -> None:
    held = Certificate(CertificateKind.MECHANIC, "1", frozenset({"powerplant", "airframe"}))
    person = made(fleet, AddPerson("Mel Rook", ("mechanic",), certificates=(held,)))
    with fleet.reading() as work:
        assert reads.person_values(work)[person].certificates == (held,)
        assert reads.people(work)[0].holds == "mechanic (airframe, powerplant)"


def test_open_discrepancies_leave_out_closed_ones(three: Fleet) -> None:
    rows = [
        {"id": 1, "text": "Baffle cracked", "zone": "engine", "closed_on": date(2026, 3, 5)},
        {"id": 2, "text": "Screw missing", "zone": "wing", "closed_on": None},
    ]
    with three.work(ANN) as work:
        of = {"aircraft_id": 1, "found_on": date(2026, 3, 1), "airworthy": None}
        insert_many(work, "discrepancy", [of | row for row in rows])
    with three.reading() as work:
        assert [each.text for each in reads.discrepancies(work, 1)] == ["Screw missing"]
        assert len(reads.discrepancies(work, 1, open_only=False)) == 2


def test_packages_are_given_with_their_included_cards(three: Fleet) -> None:
    with three.work(ANN) as work:
        insert_many(
            work,
            "work_package",
            [{"id": 1, "aircraft_id": 1, "number": "N012AP-2026-1", "title": "Annual", "start_on": TODAY,
              "horizon_on": date(2027, 6, 30), "state": "planning", "hours_at_start": None}],
        )  # fmt: skip
        insert_many(work, "work_card", [card(n, included=n < 3) for n in range(1, 4)])
    with three.reading() as work:
        [line] = reads.packages(work)
        assert (line.cards, line.hours_likely, line.registration) == (2, Decimal("3.0"), "N012AP")
        assert reads.fleet_lines(work, [1])[0].open_package_id == 1


def card(number: int, *, included: bool) -> dict[str, Any]:
    return {
        "package_id": 1, "number": number, "key": "k", "title": "t", "zone": "z", "phase": "inspect",
        "kind": "inspect", "hours_low": Decimal(1), "hours_likely": Decimal("1.5"), "hours_high": Decimal(2),
        "content": {}, "origin": "own", "included": included, "doer": "owner", "signer": "", "entry": "",
        "note": "",
    }  # fmt: skip


def test_what_is_signed_about_a_row_is_looked_up_with_what_corrects_it(many: Fleet) -> None:
    steps = plan(many, lambda work: signed_of(work, "log_entry", [7]))
    assert not any(step.startswith("SCAN") for step in steps), steps
    assert any("INDEX ix_signed_record_corrects_id" in step for step in steps), steps


def test_due_lines_are_counted_as_they_are_listed(three: Fleet) -> None:
    with three.reading() as work:
        owners = [None, *{line.owner_id for line in reads.fleet_lines(work, reads.fleet_ids(work))}]
        for owner_id in owners:
            assert reads.due_count(work, owner_id=owner_id) == len(reads.due_ids(work, owner_id=owner_id))


def test_the_fleets_due_list_goes_through_one_table_alone(many: Fleet) -> None:
    steps = plan(many, reads.due_ids)
    assert len(steps) == 1, steps


def test_what_a_new_day_changes_is_found_by_an_index(many: Fleet) -> None:
    steps = plan(many, lambda work: with_turning_lines(work, TODAY))
    assert ["ix_due_looks_again" in step for step in steps] == [True], steps
