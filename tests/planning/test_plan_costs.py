"""What the hours of a plan cost: the shop's own figure for a person, else that of the table."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import date, datetime
from decimal import Decimal
from pathlib import Path

import pytest

from annual_planner.__main__ import main
from annual_planner.library.shelf import Library, load_library
from annual_planner.planning.card_jobs import Asked, asked_of_package
from annual_planner.planning.crew.laid_out import LaidOut
from annual_planner.planning.crew.open_time import said_moment
from annual_planner.planning.crew.solve import lay_out
from annual_planner.planning.explain import explain
from annual_planner.planning.packages import BuildPackage
from annual_planner.planning.plan_costs import cost_of_plan
from annual_planner.planning.work_plan import KeepPlan, work_places
from annual_planner.records.apply import apply
from annual_planner.records.people import ChangePerson
from annual_planner.store.fleet_reads import find_aircraft, people
from annual_planner.store.opening import open_fleet
from annual_planner.store.packages import package_dates
from annual_planner.store.session import Fleet
from annual_planner.trade.refused import Refused
from annual_planner.trade.shop_floor import OWN_FIGURE
from annual_planner.trade.working import as_lines
from demo_fleet.loader import DEMO_TODAY

NOW = datetime(2026, 5, 4, 8)  # noqa: DTZ001 - the shop's own clock
AIRPLANE, INSPECTOR, MECHANIC = "N012MH", "Marit Holloway", "Tobin Ashgrove"
WHO = "a test"


@pytest.fixture(scope="module")
def fleet(module_sample: Path) -> Iterator[Fleet]:
    with open_fleet(module_sample) as opened:
        yield opened


@pytest.fixture(scope="module")
def package(fleet: Fleet, library: Library) -> int:
    with fleet.reading() as work:
        plane = find_aircraft(work, AIRPLANE)
    made = apply(fleet, BuildPackage(plane, date(2026, 5, 11), "Annual", library), WHO, DEMO_TODAY)
    assert made.made_id is not None
    return made.made_id


def asked(fleet: Fleet, package: int, library: Library) -> Asked:
    with fleet.reading() as work:
        return asked_of_package(work, package, library, NOW)


def by_hand(plan: LaidOut, question: Asked) -> dict[str, float]:
    """Hours of each person by name."""
    spent = [
        (key, (piece.end - piece.start).total_seconds() / 3600)
        for place in work_places(plan)
        for key in place.people
        for piece in place.pieces
    ]
    return {each.name: sum(h for key, h in spent if key == each.key) for each in question.problem.people}


def test_a_person_costs_what_the_shop_says_and_else_what_the_table_says_of_their_kind(
    fleet: Fleet, package: int, library: Library
) -> None:
    before = {each.name: each.cost_per_hour for each in asked(fleet, package, library).problem.people}
    assert (before[INSPECTOR], before[MECHANIC]) == (
        library.floor.hour_costs.inspector,
        library.floor.hour_costs.mechanic,
    )
    with fleet.reading() as work:
        who = next(each.person_id for each in people(work) if each.name == MECHANIC)
    change = ChangePerson(who, {"cost_per_hour": None}, {"cost_per_hour": Decimal("61.25")})
    changed = apply(fleet, change, WHO, DEMO_TODAY)
    question = asked(fleet, package, library)
    costs = {each.name: each.cost_per_hour for each in question.problem.people}
    assert costs == {**before, MECHANIC: Decimal("61.25")}

    worked = cost_of_plan(question, plan := lay_out(question.problem, seconds=0, effort=0.0).value)
    hours = by_hand(plan, question)
    assert worked.value == sum(Decimal(str(hours[name])) * cost for name, cost in costs.items())
    told = {each.name: (each.value, each.source) for each in worked.working.inputs}
    assert told[f"an hour of {MECHANIC}"] == ("61.25", OWN_FIGURE)
    assert told[f"an hour of {INSPECTOR}"] == (
        f"{before[INSPECTOR]:.2f}",
        "as of an inspector in layout.toml",
    )
    assert f"Figures of layout.toml: {library.floor.hour_costs.source}." in worked.working.assumptions
    assert len(told) == len(costs)
    assert any(f"{MECHANIC}: {hours[MECHANIC]:g} h × 61.25" in line for line in as_lines(worked.working))
    assert changed.back is not None
    apply(fleet, changed.back, WHO, DEMO_TODAY)
    assert {e.name: e.cost_per_hour for e in asked(fleet, package, library).problem.people} == before


def test_a_shops_own_table_counts_where_nothing_is_written_down(
    fleet: Fleet, package: int, tmp_path: Path
) -> None:
    text = "[hour_costs]\ninspector = 140\nmechanic = 99\nhelper = 30\nowner = 1\nsource = 'our price list'\n"
    (tmp_path / "layout.toml").write_text(text, encoding="utf-8")
    question = asked(fleet, package, load_library(tmp_path))
    costs = {each.name: each.cost_per_hour for each in question.problem.people}
    assert (costs[INSPECTOR], costs[MECHANIC]) == (140, 99)
    assert {each.rests_on for each in question.hour_costs.values()} == {"our price list"}


def test_the_cost_of_the_kept_plan_is_explained_once_there_is_one(
    fleet: Fleet, package: int, library: Library
) -> None:
    with fleet.reading() as work, pytest.raises(Refused, match="isn't laid out yet"):
        explain(work, f"{AIRPLANE} cost", library, DEMO_TODAY)
    question = asked(fleet, package, library)
    plan = lay_out(question.problem, seconds=0, effort=0.0).value
    apply(fleet, KeepPlan(package, plan, NOW.astimezone()), WHO, DEMO_TODAY)
    with fleet.reading() as work:
        working = explain(work, f"{AIRPLANE} cost", library, DEMO_TODAY)
    assert working.result == cost_of_plan(question, plan).working.result


def test_when_the_work_is_done_is_explained_by_the_plan_that_is_kept(
    fleet: Fleet, package: int, library: Library
) -> None:
    question = asked(fleet, package, library)
    plan = lay_out(question.problem, seconds=0, effort=0.0).value
    apply(fleet, KeepPlan(package, plan, NOW.astimezone()), WHO, DEMO_TODAY)
    last = max(work_places(plan), key=lambda place: place.ends)
    number = question.cards[last.job].number
    with fleet.reading() as work:
        package_number = package_dates(work, package).number
        chain = explain(work, f"{package_number.lower()} plan", library, DEMO_TODAY)
        card = explain(work, f"{AIRPLANE} card {number} when", library, DEMO_TODAY)
        likely = explain(work, f"{AIRPLANE} promise", library, DEMO_TODAY)
        week = explain(work, f"{AIRPLANE} week", library, DEMO_TODAY)
        with pytest.raises(Refused, match="no card 9999"):
            explain(work, f"{AIRPLANE} card 9999 when", library, DEMO_TODAY)
    assert any(last.title in step.text + step.result for step in chain.steps)
    assert card.result == f"{said_moment(last.starts)} to {said_moment(last.ends)}"
    assert {each.name: each.value for each in card.inputs}["slack"] == "0"
    assert likely.steps
    assert week.title == f"{AIRPLANE}: its week"


def test_scripts_get_the_cost_with_its_working(
    fleet: Fleet, package: int, library: Library, capsys: pytest.CaptureFixture[str]
) -> None:
    with fleet.reading() as work:
        number = package_dates(work, package).number
    words = [
        "layout",
        "--fleet",
        str(fleet.path),
        "--package",
        number,
        "--from",
        "2026-05-11",
        "--seconds",
        "0",
    ]
    assert main([*words, "--as", "json"]) == 0
    cost = json.loads(capsys.readouterr().out)["cost"]
    assert cost["working"]["result"] == f"{Decimal(cost['amount']):,.2f} in the shop's own money"
    sources = {each["name"]: each["source"] for each in cost["working"]["inputs"]}
    assert sources[f"an hour of {INSPECTOR}"].startswith("as of an inspector in layout.toml")
    assert main(words) == 0
    assert "cost of the plan's hours: " in capsys.readouterr().out
