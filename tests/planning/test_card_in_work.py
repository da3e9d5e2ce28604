"""One card as it is worked, on a planned package."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from decimal import Decimal

from annual_planner.planning.card_in_work import CardInWork, card_in_work
from annual_planner.planning.in_order import line_in_order
from annual_planner.records.card_results import RecordResult
from annual_planner.records.card_work import StartWork
from annual_planner.records.predecessors import as_in_order, open_predecessors
from annual_planner.store.packages import card_lines
from tests.planning.conftest import Planned
from tests.planning.fleet import MECHANIC, TODAY

NINE = datetime(2026, 5, 4, 9, tzinfo=UTC)


def read(planned: Planned, card_id: int) -> CardInWork:
    with planned.fleet.reading() as work:
        return card_in_work(work, card_id, planned.library, TODAY, at=NINE + timedelta(hours=1.5))


def test_the_records_and_the_plan_see_a_card_s_place_in_the_order_alike(settled: Planned) -> None:
    with settled.fleet.reading() as work:
        for card in card_lines(work, settled.package_id):
            assert as_in_order(card) == line_in_order(card)


def test_no_planned_order_meets_a_card_that_waits_for_itself(settled: Planned) -> None:
    """Worked in the order of the plan, nothing unsafe is ever in the way."""
    finished: set[int] = set()
    with settled.fleet.reading() as work:
        for card in settled.view().cards:
            ahead = open_predecessors(work, card.card_id).value
            assert not [each for each in ahead if not each.safe and each.card_id not in finished], card.title
            finished.add(card.card_id)


def test_a_card_in_work_shows_time_results_limits_and_who_may(planned: Planned) -> None:
    first = planned.view().cards[0]
    planned.apply(StartWork(first.card_id, MECHANIC, NINE, why="first of the day"))
    view = read(planned, first.card_id)
    assert (view.card.state, view.package.state, view.hours_used) == ("in work", "in work", Decimal("1.50"))
    assert [each.name for each in view.people_on] == ["Mel Rook"]
    assert {each.name: each.may_do for each in view.who}["Mel Rook"] == "may do"
    assert "Mel Rook's time still runs" in view.left


def test_a_result_out_of_limits_asks_for_its_discrepancy(planned: Planned) -> None:
    pressing = next(
        card for card in planned.view().cards if card.content.get("template") == "hot_compression"
    )
    title = "Reading at 80 psi, cylinder 2"
    planned.apply(RecordResult(pressing.card_id, title, "52", MECHANIC, NINE))
    view = read(planned, pressing.card_id)
    measure = next(each for each in view.measures if each.title == title)
    assert (measure.says, measure.limits) == ("OUT of limits", "60 to 80 psi")
    assert f"'{title}' is out of limits and no discrepancy is written down" in view.left
    assert sum(each.title.startswith("Reading at 80 psi") for each in view.measures) == 4
