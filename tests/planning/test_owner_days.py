"""What the owner does on which Saturday, by the plan of the demo's annual, and on paper."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from annual_planner.library.shelf import Library
from annual_planner.paper.work_plan import work_plan_pdf
from annual_planner.planning.assigning import AssignCard
from annual_planner.planning.card_jobs import asked_of_package
from annual_planner.planning.crew.laid_out import LaidOut
from annual_planner.planning.crew.solve import lay_out
from annual_planner.planning.owner_days import Owner, OwnerDay, owner_days, owner_of
from annual_planner.planning.packages import BuildPackage
from annual_planner.planning.reading import read_package
from annual_planner.planning.timeline import bars_of
from annual_planner.records.apply import apply
from annual_planner.records.shop import SetOpenHours
from annual_planner.store.fleet_reads import aircraft_sheet, find_aircraft
from annual_planner.store.opening import open_fleet
from annual_planner.store.rows import CardLine
from annual_planner.store.session import Fleet
from annual_planner.store.shop_reads import OpenStretch, shop
from demo_fleet.loader import DEMO_TODAY

START = date(2026, 5, 11)
NOW = datetime(2026, 5, 11, 8)  # noqa: DTZ001 - the shop's own clock
SATURDAY = 5


@dataclass(frozen=True)
class Laid:
    """The demo's annual, two cards of it given to the owner, laid out by rules."""

    owner: Owner
    given: tuple[CardLine, ...]
    cards: dict[int, CardLine]
    days: tuple[OwnerDay, ...]
    pdf: bytes
    package_id: int
    plan: LaidOut


@pytest.fixture(scope="module")
def laid(module_sample: Path, library: Library) -> Iterator[Laid]:
    with open_fleet(module_sample) as fleet:
        yield lay_out_with_owner(fleet, library)


def lay_out_with_owner(fleet: Fleet, library: Library) -> Laid:
    with fleet.reading() as work:
        aircraft_id = find_aircraft(work, "N012MH")
        week = tuple(each for each in shop(work).open_hours if each.person_id is None)
        owner = owner_of(work, aircraft_sheet(work, aircraft_id))
    assert owner is not None
    saturday = OpenStretch(None, SATURDAY, 8 * 60, 16 * 60)
    apply(fleet, SetOpenHours(None, week, (*week, saturday)), "test", DEMO_TODAY)
    package_id = apply(fleet, BuildPackage(aircraft_id, START, "Annual", library), "test", DEMO_TODAY).made_id
    assert package_id is not None
    with fleet.reading() as work:
        view = read_package(work, package_id, library, DEMO_TODAY)
    numbers = {job.card_number for job in view.owner_jobs}
    given = tuple(card for card in view.cards if card.number in numbers)[:2]
    for card in given:
        apply(fleet, AssignCard(card.card_id, None, owner.person_id), "test", DEMO_TODAY)
    with fleet.reading() as work:
        asked = asked_of_package(work, package_id, library, NOW)
    plan = lay_out(asked.problem, seconds=0, effort=0.0).value
    days = owner_days(plan, asked.cards.values(), owner, library)
    drawn = BytesIO()
    work_plan_pdf(
        bars_of(plan, {person.key: person.name for person in asked.problem.people}, asked, None), drawn,
        registration="N012MH", number="1", finish=plan.said, today=DEMO_TODAY, owner=owner.name,
        owner_days=days,
    )  # fmt: skip
    return Laid(
        owner, given, {card.number: card for card in view.cards}, days, drawn.getvalue(), package_id, plan
    )


def test_the_owners_cards_lie_on_saturdays_with_authority_steps_and_cautions(laid: Laid) -> None:
    pieces = [piece for day in laid.days for piece in day.pieces]
    done = {piece.card_number for piece in pieces}
    assert done >= {card.number for card in laid.given}
    assert all(day.day.weekday() == SATURDAY for day in laid.days)
    assert all(piece.starts.date() == day.day for day in laid.days for piece in day.pieces)
    assert all(piece.authority and piece.steps for piece in pieces)
    named = {key for number in done for key in laid.cards[number].content["cautions"]}
    assert {caution.key for day in laid.days for caution in day.cautions} == named


def test_hours_of_the_days_are_those_of_their_pieces(laid: Laid) -> None:
    for day in laid.days:
        seconds = sum((piece.ends - piece.starts).total_seconds() for piece in day.pieces)
        assert day.hours == pytest.approx(seconds / 3600)


def test_the_paper_says_what_the_owner_does_with_cautions_before_the_steps(laid: Laid) -> None:
    pages = [" ".join(page.extract_text().split()) for page in PdfReader(BytesIO(laid.pdf)).pages]
    own = " ".join(page for page in pages if f"What {laid.owner.name} does" in page)
    for day in laid.days:
        assert f"Saturday {day.day.day} {day.day:%b %Y}" in own
        for piece in day.pieces:
            assert f"Card {piece.card_number}: {piece.title}" in own
            assert piece.authority in own
    caution, step = laid.days[0].cautions[0], laid.days[0].pieces[0].steps[0]
    assert own.index(f"Caution: {caution.title}") < own.index(step[:30])
    assert "Who signs" in own


def test_a_plan_without_the_owner_has_no_days_and_no_sheet(laid: Laid, tmp_path: Path) -> None:
    target = tmp_path / "plan.pdf"
    work_plan_pdf((), target, registration="N012MH", number="1", finish="", today=DEMO_TODAY, owner="X")
    assert "What X does" not in PdfReader(target).pages[0].extract_text()
