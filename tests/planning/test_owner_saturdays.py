"""The demo's owner comes on Saturdays: which cards are the owner's, before the visit, in it, and when not."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from pathlib import Path

import pytest

from annual_planner.__main__ import main
from annual_planner.library.shelf import Library
from annual_planner.planning.card_jobs import Asked, asked_of_package
from annual_planner.planning.crew.laid_out import LaidOut, Place
from annual_planner.planning.crew.solve import lay_out
from annual_planner.planning.owner_days import OwnerDay, owner_days, owner_of
from annual_planner.planning.owner_jobs import SUPERVISED
from annual_planner.planning.package_view import PackageView
from annual_planner.planning.packages import BuildPackage
from annual_planner.planning.reading import read_package
from annual_planner.records.apply import apply
from annual_planner.store.fleet_reads import aircraft_sheet, find_aircraft, packages
from annual_planner.store.opening import open_fleet
from annual_planner.store.session import Fleet
from annual_planner.trade.cards import ENGINE_ZONES
from demo_fleet.loader import DEMO_AIRPLANE, DEMO_TODAY
from tests.planning.crew.annuals import FINISH_ONLY
from tests.planning.crew.checker import broken

MONDAY, WEDNESDAY = date(2026, 5, 11), date(2026, 5, 13)
TODAY = datetime(2026, 5, 4, 8)  # noqa: DTZ001 - the shop's own clock
SATURDAY_BEFORE, SATURDAY_WITHIN = date(2026, 5, 9), date(2026, 5, 16)


@pytest.fixture(scope="module")
def fleet(module_sample: Path) -> Iterator[Fleet]:
    with open_fleet(module_sample) as opened:
        yield opened


@dataclass(frozen=True)
class Laid:
    """One visit laid out by rules."""

    view: PackageView
    question: Asked
    plan: LaidOut
    days: tuple[OwnerDay, ...]
    owner: str

    @property
    def own(self) -> list[Place]:
        return [place for place in self.plan.places if self.owner in place.people]


def visit(fleet: Fleet, library: Library, aircraft_id: int, start: date) -> int:
    """The package of the visit that starts then, planned where it wasn't yet."""
    with fleet.reading() as work:
        planned = [each for each in packages(work, aircraft_id=aircraft_id) if each.start_on == start]
    if planned:
        return planned[0].package_id
    made = apply(fleet, BuildPackage(aircraft_id, start, "Annual", library), "a test", DEMO_TODAY)
    assert made.made_id is not None
    return made.made_id


def laid(fleet: Fleet, library: Library, start: date, now: datetime = TODAY) -> Laid:
    with fleet.reading() as work:
        aircraft_id = find_aircraft(work, DEMO_AIRPLANE)
        owner = owner_of(work, aircraft_sheet(work, aircraft_id))
    assert owner is not None
    package_id = visit(fleet, library, aircraft_id, start)
    with fleet.reading() as work:
        view = read_package(work, package_id, library, DEMO_TODAY)
        question = asked_of_package(work, package_id, library, now)
    plan = lay_out(question.problem, seconds=0, effort=0.0).value
    assert broken(question.problem, plan) == []
    days = owner_days(plan, question.cards.values(), owner, library)
    return Laid(view, question, plan, days, f"person {owner.person_id}")


@pytest.fixture(scope="module")
def over_the_weekend(fleet: Fleet, library: Library) -> Laid:
    return laid(fleet, library, WEDNESDAY)


def test_a_visit_over_a_weekend_has_the_owner_do_cards_on_its_saturday_and_on_the_one_before(
    over_the_weekend: Laid,
) -> None:
    assert [day.day for day in over_the_weekend.days] == [SATURDAY_BEFORE, SATURDAY_WITHIN]
    assert over_the_weekend.days[1].hours >= 2


def test_the_owner_does_only_what_the_preparation_list_offers_and_needs_nobody(
    over_the_weekend: Laid,
) -> None:
    offered = {job.card_number: job.authority for job in over_the_weekend.view.owner_jobs}
    done = [piece for day in over_the_weekend.days for piece in day.pieces]
    assert {piece.card_number for piece in done} <= set(offered)
    assert all(offered[piece.card_number] != SUPERVISED for piece in done), (
        "no mechanic is there on Saturdays"
    )


def test_nobody_is_planned_alone_on_an_airplane_on_jacks(over_the_weekend: Laid) -> None:
    on_jacks = [
        job
        for job in over_the_weekend.question.problem.jobs
        if (card := over_the_weekend.question.cards.get(job.key)) is not None
        and "jacks" in card.content["cautions"]
    ]
    assert "service_wheel_bearings" in {job.key for job in on_jacks}
    assert not any(over_the_weekend.owner in seat.people for job in on_jacks for seat in job.seats)


def test_no_plan_is_later_for_the_owners_work(over_the_weekend: Laid) -> None:
    problem = over_the_weekend.question.problem
    plain = lay_out(problem, seconds=0, effort=0.0, aims=FINISH_ONLY).value
    assert over_the_weekend.plan.finish <= plain.finish
    assert len(over_the_weekend.own) > len([p for p in plain.places if over_the_weekend.owner in p.people])


def test_before_the_visit_the_owner_does_what_waits_for_nothing_and_never_the_engine(
    fleet: Fleet, library: Library
) -> None:
    before = laid(fleet, library, MONDAY)
    cards = before.question.cards
    ahead = [place for place in before.own if place.starts.date() < MONDAY]
    assert ahead
    assert all(before.question.problem.job(place.job).after == () for place in ahead)
    assert not {cards[place.job].zone for place in ahead} & set(ENGINE_ZONES)
    for job in before.question.problem.jobs:
        if job.key in cards and any(before.owner in seat.people for seat in job.seats) and job.after:
            assert job.not_before is not None
            assert job.not_before.date() >= MONDAY, job.title


def test_from_the_visits_start_on_nothing_is_planned_before_it(fleet: Fleet, library: Library) -> None:
    begun = laid(fleet, library, MONDAY, datetime(2026, 5, 11, 8))  # noqa: DTZ001 - the shop's own clock
    assert min(place.starts for place in begun.plan.places).date() == MONDAY
    assert all(job.arrives != "the visit begins" for job in begun.question.problem.jobs)


def test_the_command_names_what_the_owner_does_on_which_saturday(
    fleet: Fleet, over_the_weekend: Laid, capsys: pytest.CaptureFixture[str]
) -> None:
    number = over_the_weekend.view.package.number
    words = ["layout", "--fleet", str(fleet.path), "--package", number, "--from", "2026-05-04"]
    assert main([*words, "--seconds", "0"]) == 0
    table = capsys.readouterr().out
    assert main([*words, "--seconds", "0", "--as", "json"]) == 0
    days = json.loads(capsys.readouterr().out)["owner_days"]
    assert [day["day"] for day in days] == [SATURDAY_BEFORE.isoformat(), SATURDAY_WITHIN.isoformat()]
    assert "Edmund Pellworth on Saturday 16 May 2026: " in table
    for day in days:
        assert day["hours"] > 0
        for card in day["cards"]:
            assert card["authority"]
            assert card["starts"].startswith(day["day"])


def test_hours_more_than_two_weeks_before_the_visit_are_not_counted(fleet: Fleet, library: Library) -> None:
    late = laid(fleet, library, date(2026, 6, 8))
    starts = [place.starts.date() for place in late.own]
    assert starts
    assert min(starts) >= date(2026, 6, 8) - timedelta(days=14)
