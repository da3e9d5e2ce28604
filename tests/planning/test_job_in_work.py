"""Cards in work go on where they are: no gate or card still open, and no person elsewhere, makes a clash."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from random import Random

import pytest

from annual_planner.library.shelf import Library
from annual_planner.planning.card_jobs import Asked, asked_of_package
from annual_planner.planning.crew.laid_out import LaidOut
from annual_planner.planning.crew.solve import lay_out
from annual_planner.records.apply import apply
from annual_planner.records.awaited_parts import ExpectPart
from annual_planner.records.shop import SetOpenHours
from annual_planner.store.fleet_reads import people
from annual_planner.store.packages import card_lines
from annual_planner.store.rows import CardLine
from annual_planner.store.session import Fleet
from annual_planner.store.shop_reads import shop
from annual_planner.store.writing import add, change
from annual_planner.trade.refused import Refused
from demo_fleet.loader import DEMO_TODAY
from tests.planning.crew.checker import broken

SECOND_DAY = datetime(2026, 5, 12, 8)  # noqa: DTZ001 - the shop's own clock
SATURDAY = datetime(2026, 5, 16, 10)  # noqa: DTZ001 - the shop's own clock
WHO = "a test"


def included(fleet: Fleet, package: int) -> list[CardLine]:
    with fleet.reading() as work:
        return [card for card in card_lines(work, package) if card.included]


def put(fleet: Fleet, cards: list[CardLine], state: str, *, by: str | None = None) -> None:
    """Bring cards to a state, with somebody's clock running on them."""
    with fleet.work(WHO) as work:
        who = next((each.person_id for each in people(work) if each.name == by), None)
        for card in cards:
            change(work, "work_card", card.card_id, {}, {"state": state})
            if who is not None:
                started = (SECOND_DAY - timedelta(hours=1)).astimezone()
                add(work, "worked_time", {"card_id": card.card_id, "person_id": who, "started_at": started})


def named(fleet: Fleet, package: int, *keys: str) -> list[CardLine]:
    return [card for card in included(fleet, package) if card.key in keys]


def asked(fleet: Fleet, package: int, library: Library, now: datetime = SECOND_DAY) -> Asked:
    with fleet.reading() as work:
        return asked_of_package(work, package, library, now)


def planned(question: Asked) -> LaidOut:
    plan = lay_out(question.problem, seconds=0, effort=0.0).value
    assert broken(question.problem, plan) == []
    return plan


def test_work_that_has_begun_is_not_held_by_records_still_unread_or_hot_checks_still_open(
    fleet: Fleet, package: int, library: Library
) -> None:
    put(fleet, named(fleet, package, "open_cabin", "clean_engine"), "in work")
    question = asked(fleet, package, library)
    plan = planned(question)
    assert plan.place("open_cabin").starts == plan.place("clean_engine").starts == SECOND_DAY
    assert plan.place("gate: records read").starts > SECOND_DAY
    assert plan.place("open_fuselage").starts >= plan.place("gate: records read").starts


def test_who_is_on_a_card_goes_on_with_it_when_they_are_there(
    fleet: Fleet, package: int, library: Library
) -> None:
    put(fleet, named(fleet, package, "replace_fasteners"), "in work", by="Edmund Pellworth")
    question = asked(fleet, package, library)
    place = planned(question).place("replace_fasteners")
    assert question.problem.person(place.people[0]).name == "Edmund Pellworth"
    assert place.starts.weekday() == 5
    assert planned(asked(fleet, package, library, SATURDAY)).place("replace_fasteners").starts == SATURDAY


def test_of_two_cards_begun_by_the_only_one_who_may_do_them_one_goes_on_and_one_follows(
    fleet: Fleet, package: int, library: Library
) -> None:
    put(fleet, named(fleet, package, "inspect_tires", "inspect_windows"), "in work")
    plan = planned(asked(fleet, package, library))
    starts = sorted(plan.place(key).starts for key in ("inspect_tires", "inspect_windows"))
    assert starts[0] == SECOND_DAY < starts[1]


def test_one_person_on_a_card_for_two_and_somebody_who_may_not_do_it_are_no_fault(
    fleet: Fleet, package: int, library: Library
) -> None:
    put(fleet, named(fleet, package, "inspect_cockpit_controls"), "in work", by="Marit Holloway")
    put(fleet, named(fleet, package, "open_tail"), "in work", by="Wendell Okoro-Lind")
    plan = planned(asked(fleet, package, library))
    assert plan.place("inspect_cockpit_controls").starts == plan.place("open_tail").starts == SECOND_DAY


def test_a_card_in_work_that_waits_for_its_part_is_laid_when_that_has_come(
    fleet: Fleet, package: int, library: Library
) -> None:
    (card,) = named(fleet, package, "service_battery")
    put(fleet, [card], "in work")
    apply(fleet, ExpectPart(package, "battery box screw", date(2026, 5, 14), card.card_id), WHO, DEMO_TODAY)
    plan = planned(asked(fleet, package, library))
    assert plan.place("service_battery").starts >= datetime(2026, 5, 14, 8)  # noqa: DTZ001


def test_a_run_begun_late_in_the_day_is_laid_where_the_hot_checks_can_follow_it(
    fleet: Fleet, package: int, library: Library
) -> None:
    put(fleet, named(fleet, package, "hot_receive", "research_documents_aboard"), "done")
    put(fleet, named(fleet, package, "hot_run"), "in work", by="Marit Holloway")
    plan = planned(asked(fleet, package, library, SECOND_DAY.replace(hour=16)))
    waited = plan.place("hot_compression").starts - plan.place("hot_run").ends
    assert timedelta() <= waited <= timedelta(minutes=90)


def test_where_nobody_is_left_that_is_said_whatever_is_in_work(
    fleet: Fleet, package: int, library: Library
) -> None:
    put(fleet, named(fleet, package, "open_tail", "research_bought_in"), "in work")
    with fleet.reading() as work:
        week = tuple(each for each in shop(work).open_hours if each.person_id is None)
    apply(fleet, SetOpenHours(None, week, ()), WHO, DEMO_TODAY)
    with pytest.raises(Refused, match="nobody here may do it"):
        asked(fleet, package, library)


@pytest.mark.parametrize("number", range(4))
def test_whatever_is_in_work_and_done_the_rest_is_laid_out_around_it(
    fleet: Fleet, package: int, library: Library, number: int
) -> None:
    chance, cards = Random(number), included(fleet, package)
    chosen = chance.sample(cards, 30)
    put(fleet, chosen[:8], "in work")
    put(fleet, chosen[8:], "done")
    question = asked(fleet, package, library)
    plan = planned(question)
    held = [job for job in question.problem.jobs if job.pinned is not None]
    assert held
    assert all(plan.place(job.key).starts == job.pinned.start for job in held if job.pinned is not None)
