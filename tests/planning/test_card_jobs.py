"""A package's cards laid out on the demo's shop."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta

import pytest

from annual_planner.library.shelf import Library
from annual_planner.planning.card_jobs import Asked, asked_of_package
from annual_planner.planning.crew.laid_out import LaidOut
from annual_planner.planning.crew.problem import Pauses
from annual_planner.planning.crew.solve import lay_out
from annual_planner.planning.work_plan import (
    KeepPlan,
    PinCard,
    PinInPlan,
    Promise,
    UnpinCard,
    as_bars,
    from_bars,
    kept_plan_of,
    work_places,
)
from annual_planner.records.apply import apply
from annual_planner.records.awaited_parts import ExpectPart
from annual_planner.records.shop import SetOpenHours, SetRoom
from annual_planner.store.fleet_reads import people
from annual_planner.store.packages import card_lines
from annual_planner.store.session import Fleet
from annual_planner.store.shop_reads import card_pins, shop
from annual_planner.store.writing import change
from annual_planner.trade.refused import Refused
from demo_fleet.loader import DEMO_TODAY
from tests.planning.fleet import START

NOW = datetime(2026, 5, 4, 8)  # noqa: DTZ001 - the shop's own clock
WHO = "a test"


def asked(fleet: Fleet, package: int, library: Library, now: datetime = NOW) -> Asked:
    with fleet.reading() as work:
        return asked_of_package(work, package, library, now)


def by_rules(question: Asked) -> LaidOut:
    return lay_out(question.problem, seconds=0, effort=0.0).value


def name_of_first(question: Asked, job: str, plan: LaidOut) -> str:
    return question.problem.person(plan.place(job).people[0]).name


def test_every_included_card_lies_in_the_plan_the_shops_on_or_after_the_visits_start(
    fleet: Fleet, package: int, library: Library
) -> None:
    question = asked(fleet, package, library)
    plan = by_rules(question)
    with fleet.reading() as work:
        included = [card for card in card_lines(work, package) if card.included]
    assert len(question.cards) == len(included)
    assert {place.job for place in work_places(plan)} >= set(question.cards)
    owner = next(each.key for each in question.problem.people if each.name == "Edmund Pellworth")
    assert min(place.starts for place in work_places(plan) if owner not in place.people).date() >= START


def test_only_the_inspector_inspects(fleet: Fleet, package: int, library: Library) -> None:
    question = asked(fleet, package, library)
    plan = by_rules(question)
    inspected = [key for key, card in question.cards.items() if card.doer == "inspector"]
    assert inspected
    assert {name_of_first(question, key, plan) for key in inspected} == {"Marit Holloway"}, (
        "a second pair of hands may help"
    )


def test_the_compression_test_begins_while_the_engine_is_hot(
    fleet: Fleet, package: int, library: Library
) -> None:
    plan = by_rules(asked(fleet, package, library))
    waited = plan.place("hot_compression").starts - plan.place("hot_run").ends
    assert 0 <= waited.total_seconds() <= 90 * 60


def test_work_of_up_to_two_hours_is_finished_on_the_day_it_is_begun(
    fleet: Fleet, package: int, library: Library
) -> None:
    question = asked(fleet, package, library)
    short = [job.key for job in question.problem.jobs if job.seats and job.likely <= 8]
    plan = by_rules(question)
    assert len(short) > 100
    assert [key for key in short if plan.place(key).starts.date() != plan.place(key).ends.date()] == []


def test_where_somebody_works_an_hour_a_day_longer_work_may_lie_over_a_night(
    fleet: Fleet, package: int, library: Library
) -> None:
    with fleet.reading() as work:
        helper = next(each.person_id for each in people(work) if each.name == "Wendell Okoro-Lind")
        week = tuple(each for each in shop(work).open_hours if each.person_id == helper)
    an_hour_a_day = (replace(week[0], to_minute=week[0].from_minute + 60),)
    apply(fleet, SetOpenHours(helper, week, an_hour_a_day), WHO, DEMO_TODAY)
    jobs = [job for job in asked(fleet, package, library).problem.jobs if job.seats]
    assert {job.pauses for job in jobs if 2 <= job.likely <= 4} == {Pauses.BREAKS}
    assert Pauses.ANY in {job.pauses for job in jobs if 4 < job.likely <= 8}


def test_the_engine_runs_after_everything_is_closed_and_the_records_come_last(
    fleet: Fleet, package: int, library: Library
) -> None:
    question = asked(fleet, package, library)
    plan = by_rules(question)
    ran = plan.place("run_up_check").starts
    for key, card in question.cards.items():
        if card.phase in ("open", "clean", "inspect", "service", "repair", "close"):
            assert plan.place(key).ends <= ran or key == "run_up_check", card.title
    last = [plan.place(key).starts for key, card in question.cards.items() if card.phase == "records"]
    assert max(last) >= ran


def test_helpers_do_supervised_work_only_while_a_mechanic_is_there(
    fleet: Fleet, package: int, library: Library
) -> None:
    """On Saturdays no mechanic is in the demo's shop, so its helper has no supervised work then."""
    question = asked(fleet, package, library)
    helper = next(each.key for each in question.problem.people if each.name == "Wendell Okoro-Lind")
    for job in question.problem.jobs:
        card = question.cards.get(job.key)
        if card is not None and card.doer == "helper":
            assert all(helper not in seat.people for seat in job.seats), card.title


def test_done_cards_fall_out_and_a_card_in_work_is_held(fleet: Fleet, package: int, library: Library) -> None:
    with fleet.work(WHO) as work:
        first, second = [card for card in card_lines(work, package) if card.included][:2]
        change(work, "work_card", first.card_id, {}, {"state": "done"})
        change(work, "work_card", second.card_id, {}, {"state": "in work"})
    question = asked(fleet, package, library)
    jobs = {job.key: job for job in question.problem.jobs}
    assert first.key not in jobs
    assert jobs[second.key].pinned is not None


def test_a_card_waits_for_its_part_and_a_part_without_a_day_is_asked_for(
    fleet: Fleet, package: int, library: Library
) -> None:
    with fleet.reading() as work:
        card = next(card for card in card_lines(work, package) if card.key == "hot_oil_drain")
    arrives = date(2026, 5, 14)
    apply(fleet, ExpectPart(package, "drain plug", arrives, card.card_id), WHO, DEMO_TODAY)
    question = asked(fleet, package, library)
    job = next(job for job in question.problem.jobs if job.key == "hot_oil_drain")
    assert (job.not_before, job.arrives) == (datetime(2026, 5, 14, 8), "drain plug comes")  # noqa: DTZ001
    apply(fleet, ExpectPart(package, "seat cover", None), WHO, DEMO_TODAY)
    with pytest.raises(Refused, match="seat cover"):
        asked(fleet, package, library)


def test_a_pinned_card_begins_when_a_person_said(fleet: Fleet, package: int, library: Library) -> None:
    with fleet.reading() as work:
        card = next(
            card for card in card_lines(work, package) if card.key == "research_records" or card.number == 1
        )
    at = datetime(2026, 5, 12, 9).astimezone()
    changed = apply(fleet, PinCard(card.card_id, at), WHO, DEMO_TODAY)
    plan = by_rules(asked(fleet, package, library))
    assert plan.place(card.key).starts == datetime(2026, 5, 12, 9)  # noqa: DTZ001
    apply(fleet, PinCard(card.card_id, at.replace(hour=10)), WHO, DEMO_TODAY)
    apply(fleet, UnpinCard(card.card_id), WHO, DEMO_TODAY)
    with pytest.raises(Refused, match="isn't pinned"):
        apply(fleet, UnpinCard(card.card_id), WHO, DEMO_TODAY)
    assert changed.kinds == {"layout"}


def test_a_plan_comes_back_as_it_was_kept(fleet: Fleet, package: int, library: Library) -> None:
    plan = by_rules(asked(fleet, package, library))
    assert as_bars(from_bars(as_bars(plan))) == as_bars(plan)
    changed = apply(fleet, KeepPlan(package, plan, NOW.astimezone()), WHO, DEMO_TODAY)
    with fleet.reading() as work:
        kept = kept_plan_of(work, package)
    assert kept is not None
    assert kept.plan.places == plan.places
    assert changed.back is not None
    apply(fleet, changed.back, WHO, DEMO_TODAY)
    with fleet.reading() as work:
        assert kept_plan_of(work, package) is None


def test_a_pin_and_the_plan_around_it_are_one_change_and_are_taken_back_as_one(
    fleet: Fleet, package: int, library: Library
) -> None:
    with fleet.reading() as work:
        card = next(card for card in card_lines(work, package) if card.number == 1)
    first, at = by_rules(asked(fleet, package, library)), datetime(2026, 5, 12, 9).astimezone()
    keep = KeepPlan(package, first, NOW.astimezone())
    apply(fleet, PinCard(card.card_id, at), WHO, DEMO_TODAY)
    changed = apply(fleet, PinInPlan(PinCard(card.card_id, at.replace(hour=11)), keep), WHO, DEMO_TODAY)
    with fleet.reading() as work:
        assert card_pins(work, package)[card.card_id].starts_at == at.replace(hour=11)
        assert kept_plan_of(work, package) is not None
    assert changed.back is not None
    apply(fleet, changed.back, WHO, DEMO_TODAY)
    with fleet.reading() as work:
        assert card_pins(work, package)[card.card_id].starts_at == at
        assert kept_plan_of(work, package) is None


def test_a_promise_before_the_visit_is_refused_and_a_kept_one_is_a_goal(
    fleet: Fleet, package: int, library: Library
) -> None:
    with pytest.raises(Refused, match="before the visit"):
        apply(fleet, Promise(package, None, date(2026, 5, 1)), WHO, DEMO_TODAY)
    apply(fleet, Promise(package, None, date(2026, 5, 29)), WHO, DEMO_TODAY)
    promised = {each.name: each.by for each in asked(fleet, package, library).problem.promises}
    assert promised["promised date"] == datetime(2026, 5, 30)  # noqa: DTZ001


def test_hours_of_people_add_up_to_the_work(fleet: Fleet, package: int, library: Library) -> None:
    question = asked(fleet, package, library)
    plan = by_rules(question)
    worked = [
        (piece.end - piece.start) * len(place.people) for place in plan.places for piece in place.pieces
    ]
    total = sum(worked, timedelta()) / timedelta(hours=1)
    wanted = sum(job.likely * len(job.seats) for job in question.problem.jobs) / 4
    assert total == pytest.approx(wanted)


def test_the_shop_says_itself_how_many_a_zone_holds(fleet: Fleet, package: int, library: Library) -> None:
    before = {room.key: room.holds for room in asked(fleet, package, library).problem.rooms}
    apply(fleet, SetRoom("cockpit", None, 5), WHO, DEMO_TODAY)
    after = {room.key: room.holds for room in asked(fleet, package, library).problem.rooms}
    assert after == {**before, "cockpit": 5}
    assert before["cockpit"] == 2
