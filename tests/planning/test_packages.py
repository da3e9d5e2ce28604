from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path

import pytest

from annual_planner.library.shelf import Library
from annual_planner.planning.card_content import from_stored
from annual_planner.planning.in_order import line_in_order
from annual_planner.planning.packages import BuildPackage, RemovePackage
from annual_planner.planning.reading import read_package
from annual_planner.store.mappings import AircraftRow
from annual_planner.store.writing import change, values_of
from annual_planner.trade.cards import Phase
from annual_planner.trade.periods import Force, Interval
from annual_planner.trade.refused import Refused
from annual_planner.trade.sequence import faults
from tests.planning.conftest import Planned, plan
from tests.planning.fleet import (
    AIRPLANE,
    START,
    TODAY,
    add_discrepancy,
    add_requirement,
    applied,
    small_fleet,
    usual_requirements,
)
from tests.statements import statements
from tests.trail import newest_lines


def test_everything_due_before_the_next_annual_would_end_is_weighed(settled: Planned) -> None:
    view = settled.view()
    assert view.horizon_on == date(2027, 5, 31)
    titles = {item.due.title for item in view.items}
    assert "Transponder test" in titles
    assert "Engine hoses" not in titles  # next due in 2031


def test_each_proposal_says_its_reason_in_numbers(settled: Planned) -> None:
    reasons = {item.due.title: item.reason for item in settled.view().items}
    assert reasons["Transponder test"] == (
        "gives up 4 months of 24; left, it needs its own visit about 31 Aug 2026"
    )


def test_cards_are_numbered_from_one_in_a_faultless_order(settled: Planned) -> None:
    view = settled.view()
    assert [card.number for card in view.cards] == list(range(1, len(view.cards) + 1))
    cards = [line_in_order(card) for card in view.cards]
    assert faults([card.key for card in cards], cards) == ()


def test_each_panel_is_opened_by_one_card_and_closed_by_one(settled: Planned) -> None:
    view = settled.view()
    for kind in ("open", "close"):
        panels = [p for c in view.cards if c.kind == kind for p in from_stored(c.content).panels]
        assert len(panels) == len(set(panels))
    opened = {p for c in view.cards if c.kind == "open" for p in from_stored(c.content).panels}
    closed = {p for c in view.cards if c.kind == "close" for p in from_stored(c.content).panels}
    needed = {p for c in view.cards if c.kind not in ("open", "close") for p in from_stored(c.content).panels}
    assert needed <= opened
    assert opened == closed


def test_the_whole_scope_of_an_annual_is_answered(settled: Planned) -> None:
    assert [each.item.ref for each in settled.view().coverage if not each.met] == []


def test_inspection_cards_need_the_inspector_and_the_inspection_entry(settled: Planned) -> None:
    inspecting = [c for c in settled.view().cards if c.phase == Phase.INSPECT and c.kind == "inspect"]
    assert inspecting
    assert {(card.doer, card.signer, card.entry) for card in inspecting} <= {
        ("inspector", "inspector", "43.11")
    }


def test_hours_are_summed_by_who_must_do_the_cards(settled: Planned) -> None:
    view = settled.view()
    assert sum(each.cards for each in view.hours) == len(view.cards)
    assert sum(each.likely for each in view.hours) == sum(card.hours_likely for card in view.cards)
    assert view.package.hours_likely == sum(card.hours_likely for card in view.cards)


def test_a_requirement_without_a_template_gets_a_card_in_its_own_words(
    tmp_path: Path, library: Library
) -> None:
    own = {"id": 9, "key": "", "title": "Look at the widget bracket", "every": Interval(calendar_months=12),
           "done_on": date(2025, 5, 2), "force": Force.DIRECTIVE}  # fmt: skip
    with small_fleet(tmp_path, requirements=[own]) as fleet:
        (card,) = [c for c in plan(fleet, library).view().cards if c.requirement_id == 9]
    assert card.title == "Look at the widget bracket"
    assert card.origin == "due"
    assert "no source" in card.note


def test_what_is_left_has_its_cards_apart(settled: Planned) -> None:
    view = settled.view()
    assert [card.title for card in view.left_out] == ["Look at the widget bracket"]
    assert all(card.number > len(view.cards) for card in view.left_out)


def test_an_open_discrepancy_becomes_a_repair_card(tmp_path: Path, library: Library) -> None:
    with small_fleet(tmp_path) as fleet:
        with fleet.work("a test") as work:
            add_discrepancy(work, 1, "Muffler cracked at the outlet", disposition="correct now")
            add_discrepancy(work, 2, "Paint worn off the step", zone="fuselage", disposition="watch")
        view = plan(fleet, library).view()
    (repair,) = [card for card in view.cards if card.discrepancy_id == 1]
    assert repair.phase == Phase.REPAIR
    assert repair.hours_likely == Decimal(2)
    assert repair.content["cautions"] == ["propeller_live", "hot_engine"], "those of the zone it is in"
    assert repair.note == "Found 1 Feb 2026, correct now"
    assert [card.discrepancy_id for card in view.left_out if card.discrepancy_id] == [2]
    assert {each.discrepancy_id for each in view.discrepancies} == {1, 2}


def test_engine_cards_come_once_for_each_engine_with_its_share_of_parts(
    tmp_path: Path, library: Library
) -> None:
    with small_fleet(tmp_path, engines=2) as fleet:
        view = plan(fleet, library).view()
    tests = [card for card in view.cards if from_stored(card.content).template == "hot_compression"]
    assert [card.title for card in tests] == [
        "Differential compression test, hot (engine 1)",
        "Differential compression test, hot (engine 2)",
    ]
    counts = {
        m.count for card in tests for m in from_stored(card.content).measurements if m.per == "cylinder"
    }
    assert counts == {4}


def test_gaskets_are_as_many_as_plugs(settled: Planned) -> None:
    gaskets = [need for need in settled.view().parts if need.name == "Plug gasket"]
    assert [need.quantity for need in gaskets] == [Decimal(8)]


def test_a_missing_count_is_asked_for(tmp_path: Path, library: Library) -> None:
    with small_fleet(tmp_path) as fleet:
        with fleet.work("a test") as work:
            work.session.get_one(AircraftRow, AIRPLANE).counts = {"engines": 1}
        with pytest.raises(Refused, match="wheels"):
            applied(fleet, BuildPackage(AIRPLANE, START, "Annual", library))


def test_what_is_done_now_counts_from_the_start_and_what_is_left_stands(settled: Planned) -> None:
    after = {each.title: each for each in settled.view().due_after}
    assert after["Annual inspection"].due_on == date(2027, 5, 31)
    assert after["Transponder test"].due_on == date(2028, 5, 31)
    assert after["Engine hoses"].due_on == date(2031, 1, 10)
    assert not after["Engine hoses"].done_now
    assert after["Oil and filter change"].due_hours == Decimal("552.3")  # 500 h, 2.3 h more, 50 h


@pytest.mark.parametrize(
    ("every", "done_at", "next_at"),
    [(100, "1450.0", "1602.3"), (100, "1395.0", "1595.0"), (400, "1490.0", "1902.3")],
    ids=["early", "late by less than the allowance", "not due for years"],
)
def test_the_hundred_hours_count_anew_after_the_annual_as_they_will_on_record(
    tmp_path: Path, library: Library, every: int, done_at: str, next_at: str
) -> None:
    interval = Interval(hours=Decimal(every), enroute_excess_hours=Decimal(10))
    with small_fleet(tmp_path) as fleet:
        with fleet.work("a test") as work:
            add_requirement(
                work, id=8, key="hundred_hour", title="100-hour inspection", every=interval,
                done_on=date(2026, 1, 10), done_hours=Decimal(done_at),
            )  # fmt: skip
        view = plan(fleet, library).view()
    assert ("100-hour inspection" in [item.due.title for item in view.items]) == (every == 100)
    after = {each.title: each for each in view.due_after}
    assert after["100-hour inspection"].due_hours == Decimal(next_at)


def test_the_owner_may_sign_preventive_work_and_open_under_supervision(settled: Planned) -> None:
    jobs = settled.view().owner_jobs
    assert any(job.authority.startswith("may do and sign") for job in jobs)
    assert any(job.authority.startswith("under the mechanic's eye") for job in jobs)
    inspected = {card.number for card in settled.view().cards if from_stored(card.content).inspection}
    assert inspected.isdisjoint(job.card_number for job in jobs)


def test_reading_takes_as_many_queries_for_many_cards_as_for_few(planned: Planned, library: Library) -> None:
    def queries() -> int:
        with statements(planned.fleet) as sent:
            planned.view()
        return len(sent)

    few = queries()
    with planned.fleet.work("a test") as work:
        for n in range(20, 60):
            add_requirement(
                work, id=n, key="", title=f"Thing {n}", every=Interval(calendar_months=12), done_on=TODAY
            )
            add_discrepancy(work, n, f"Defect {n}")
    made = applied(planned.fleet, BuildPackage(AIRPLANE, START + timedelta(days=1), "Second", library))
    planned.package_id = made.made_id or 0
    assert queries() == few
    assert few <= 16


def test_packages_of_one_airplane_and_year_are_counted(planned: Planned, library: Library) -> None:
    made = applied(planned.fleet, BuildPackage(AIRPLANE, START + timedelta(days=1), "Second", library))
    with planned.fleet.reading() as work:
        second = read_package(work, made.made_id or 0, library, TODAY)
    assert planned.view().package.number == "N012AP-2026-1"
    assert second.package.number == "N012AP-2026-2"


def test_taking_a_new_package_back_and_forward_gives_the_same_package(planned: Planned) -> None:
    before = planned.view()
    removed = applied(planned.fleet, RemovePackage(planned.package_id))
    with pytest.raises(Refused):
        planned.view()
    assert removed.back is not None
    applied(planned.fleet, removed.back)
    assert planned.view() == before


def test_planning_is_in_the_audit_trail(settled: Planned) -> None:
    with settled.fleet.reading() as work:
        lines = newest_lines(work, AIRPLANE, 10)
    assert [line.what for line in lines] == ["planned a package"]


def test_a_package_needs_a_title(planned: Planned, library: Library) -> None:
    with pytest.raises(Refused, match="no title"):
        applied(planned.fleet, BuildPackage(AIRPLANE, START, "  ", library))


def test_a_printed_date_is_read_off_the_new_part(tmp_path: Path, library: Library) -> None:
    with small_fleet(tmp_path, requirements=[]) as fleet:
        with fleet.work("a test") as work:
            add_requirement(
                work,
                id=7,
                key="",
                title="Battery by its label",
                every=None,
                done_on=None,
                fixed_on=date(2026, 9, 1),
            )
        (after,) = plan(fleet, library).view().due_after
    assert after.title == "Battery by its label (next: as marked on the new one)"
    assert (after.due_on, after.state) == (None, "in date")


def test_nothing_is_weighed_where_nothing_is_due(tmp_path: Path, library: Library) -> None:
    far = [each for each in usual_requirements() if each["title"] == "Engine hoses"]
    with small_fleet(tmp_path, requirements=far) as fleet:
        assert plan(fleet, library).view().items == ()


def test_a_directive_without_a_card_is_followed_by_a_certificated_person_and_entered(
    settled: Planned,
) -> None:
    view = settled.view()
    cards = (*view.cards, *view.left_out)
    card = next(card for card in cards if card.title == "Look at the widget bracket")
    assert (card.phase, card.doer, card.signer, card.entry) == ("inspect", "mechanic", "mechanic", "43.9")
    steps = card.content["steps"]
    assert any("Follow the directive" in step for step in steps)
    assert any("number and revision date" in step for step in steps)


def test_one_roll_of_safety_wire_serves_many_cards_but_gaskets_add_up(settled: Planned) -> None:
    view = settled.view()
    wire = next(part for part in view.parts if part.name == "Safety wire")
    assert len(wire.card_numbers) > 1
    assert wire.quantity == 1
    gaskets = next(part for part in view.parts if part.name == "Plug gasket")
    assert gaskets.quantity == view.aircraft.counts["plugs"]


def test_a_cowling_of_each_engine_is_opened_and_closed_once_whoever_needs_it(
    tmp_path: Path, library: Library
) -> None:
    with small_fleet(tmp_path, engines=2) as fleet:
        view = plan(fleet, library).view()
    for kind in ("open", "close"):
        cards = [card for card in view.cards if card.kind == kind]
        panels = [panel for card in cards for panel in card.content["panels"]]
        assert len(panels) == len(set(panels))
        assert {"cowling_bottom#1", "cowling_bottom#2"} <= set(panels)
        assert "cowling_bottom" not in panels
    strainer = next(card for card in view.cards if card.key == "service_fuel_strainer")
    assert strainer.content["panels"] == ["cowling_bottom#1", "cowling_bottom#2"]


def test_requirements_of_two_engines_are_told_apart(tmp_path: Path, library: Library) -> None:
    with small_fleet(tmp_path, engines=2) as fleet:
        with fleet.work("a test") as work:
            every, hours = Interval(hours=Decimal(50)), Decimal(490)
            add_requirement(work, id=20, key="oil_change", title="Oil and filter change", engine=2,
                            every=every, done_on=TODAY, done_hours=hours)  # fmt: skip
        view = plan(fleet, library).view()
    titles = [item.due.title for item in view.items]
    assert {"Oil and filter change (engine 1)", "Oil and filter change (engine 2)"} <= set(titles)
    assert "Annual inspection" in titles, "what counts on the airframe keeps its name"


def test_every_count_that_the_sheet_leaves_out_is_asked_for_at_once(tmp_path: Path, library: Library) -> None:
    with small_fleet(tmp_path) as fleet:
        with fleet.work("a test") as work:
            saw = values_of(work, "aircraft", AIRPLANE)
            change(work, "aircraft", AIRPLANE, {"counts": saw["counts"]}, {"counts": {"engines": 1}})
        with pytest.raises(Refused, match=r"number of (wheels and plugs|plugs and wheels)"):
            applied(fleet, BuildPackage(AIRPLANE, START, "Annual inspection", library))


def test_one_visit_is_not_planned_twice(planned: Planned, library: Library) -> None:
    with pytest.raises(Refused, match="planned already: package N012AP-2026-1"):
        applied(planned.fleet, BuildPackage(AIRPLANE, START, "Again", library))
