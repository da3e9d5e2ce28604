from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from annual_planner.records.apply import apply
from annual_planner.records.compliances import RecordCompliance
from annual_planner.records.many_compliances import NewDoing, RecordCompliances, look_through
from annual_planner.records.readings import RecordReading
from annual_planner.records.requirements import AddRequirement
from annual_planner.store.fleet_reads import compliances
from annual_planner.store.session import Fleet
from annual_planner.trade.periods import Interval
from annual_planner.trade.refused import Refused
from tests.fleets import ANN, TODAY, airplane, annual, made
from tests.statements import statements


def new(day: str, requirement: str, hours: str = "", counts_on: str = "") -> NewDoing:
    return NewDoing(
        date.fromisoformat(day), requirement, Decimal(hours) if hours else None, counts_on=counts_on
    )


@pytest.fixture
def plane(fleet: Fleet) -> int:
    """An airplane with an annual and a directive, read twice."""
    plane = made(fleet, airplane())
    made(fleet, annual(plane))
    made(fleet, AddRequirement(plane, "Look at the strut fitting", "directive", Interval(months=12),
                               directive_number="0000-01-02"))  # fmt: skip
    apply(fleet, RecordReading(plane, date(2026, 4, 1), Decimal(1530)), ANN, TODAY)
    return plane


def looked(fleet: Fleet, plane: int, *given: NewDoing) -> list[str]:
    with fleet.reading() as work:
        found = look_through(work, plane, given, TODAY)
    return [each.refused or ("stands" if each.stands else "new") for each in found]


def test_many_doings_are_one_change_that_is_taken_back_as_one(fleet: Fleet, plane: int) -> None:
    pasted = (
        new("2025-06-10", "annual INSPECTION"),
        new("2025-06-10", "0000-01-02"),
        new("2026-02-01", "Look at  the strut fitting", "1512.5"),
    )
    changed = apply(fleet, RecordCompliances(plane, pasted), ANN, TODAY)
    assert changed.kinds == {"compliance", "due"}
    with fleet.reading() as work:
        lines = compliances(work, plane)
    assert {(line.title, line.done_on, line.done_hours) for line in lines} == {
        ("Look at the strut fitting", date(2026, 2, 1), Decimal("1512.5")),
        ("Look at the strut fitting", date(2025, 6, 10), None),
        ("Annual inspection", date(2025, 6, 10), None),
    }
    assert len(lines) == 3
    assert changed.back is not None
    apply(fleet, changed.back, ANN, TODAY)
    with fleet.reading() as work:
        assert compliances(work, plane) == []


def test_each_wrong_one_is_named_and_none_is_taken(fleet: Fleet, plane: int) -> None:
    pasted = (
        new("2025-06-10", "annual inspection"),
        new("2025-06-10", "annual inspection"),
        new("2025-06-10", "Polish the spinner"),
        new("2026-06-10", "annual inspection"),
        new("2026-02-01", "0000-01-02", "1612.5"),
        new("2026-02-01", "0000-01-02", counts_on="engine 1"),
    )
    said = looked(fleet, plane, *pasted)
    assert said[0] == "new"
    for text, part in zip(
        said[1:], ("stands there twice", "no requirement", "after today", "is more than", "on engine 1"),
        strict=True,
    ):  # fmt: skip
        assert part in text
    with pytest.raises(Refused, match="nothing was recorded"):
        apply(fleet, RecordCompliances(plane, pasted), ANN, TODAY)
    with fleet.reading() as work:
        assert compliances(work, plane) == []


def test_what_is_on_record_is_left_alone(fleet: Fleet, plane: int) -> None:
    with fleet.reading() as work:
        need = next(iter(look_through(work, plane, [new("2025-06-10", "annual inspection")], TODAY)))
    assert need.doing is not None
    apply(fleet, RecordCompliance(need.doing.requirement_id, date(2025, 6, 10), None), ANN, TODAY)
    assert looked(fleet, plane, new("2025-06-10", "Annual inspection", "99")) == ["stands"]
    apply(fleet, RecordCompliances(plane, (new("2025-06-10", "Annual inspection"),)), ANN, TODAY)
    with fleet.reading() as work:
        assert len(compliances(work, plane)) == 1


def test_requirements_of_one_title_are_told_apart_by_what_they_count_on(fleet: Fleet, plane: int) -> None:
    made(fleet, AddRequirement(plane, "Look at the strut fitting", "directive", Interval(months=6)))
    [said] = looked(fleet, plane, new("2025-06-10", "Look at the strut fitting"))
    assert "2 times" in said
    assert "say what it counts on" in said


def test_looking_through_a_hundred_takes_no_more_queries_than_one(fleet: Fleet, plane: int) -> None:
    counts = []
    for many in (1, 1, 100):  # the first connects as well
        given = [new(f"{2010 + at // 12}-{1 + at % 12:02}-03", "annual inspection") for at in range(many)]
        with statements(fleet) as sent, fleet.reading() as work:
            look_through(work, plane, given, TODAY)
        counts.append(len(sent))
    assert counts[1] == counts[2]
