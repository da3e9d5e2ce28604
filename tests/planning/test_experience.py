"""What the shop's own visits say about the next one: hours of cards and defects to be found."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from pathlib import Path

import pytest

from annual_planner.library.shelf import Library
from annual_planner.planning.card_jobs import asked_of_package
from annual_planner.planning.crew.findings import Findings
from annual_planner.planning.edits import SetCardHours
from annual_planner.planning.experience import ENOUGH_DOINGS, experience, explain_hours
from annual_planner.planning.explain import explain
from annual_planner.planning.packages import BuildPackage
from annual_planner.records.apply import apply
from annual_planner.records.row_edits import AddRow, Subject
from annual_planner.store.experience import cards_taken, found_before
from annual_planner.store.fleet_reads import find_aircraft, people
from annual_planner.store.opening import open_fleet
from annual_planner.store.packages import card_lines
from annual_planner.store.rows import CardLine
from annual_planner.store.session import Fleet
from demo_fleet.loader import DEMO_TODAY

START = date(2026, 5, 11)
NOW = datetime(2026, 5, 11, 8)  # noqa: DTZ001 - the shop's own clock
EIGHT = datetime(2026, 4, 6, 8, tzinfo=UTC)
CARD = "inspect_brakes"


@pytest.fixture
def fleet(own_sample: Path) -> Iterator[Fleet]:
    with open_fleet(own_sample) as opened:
        yield opened


class Shop:
    """A fleet with visits that are over."""

    def __init__(self, fleet: Fleet, library: Library) -> None:
        self.fleet, self.library = fleet, library
        self.planned = 0
        with fleet.reading() as work:
            self.plane = find_aircraft(work, "N012MH")
            self.first, self.second = [each.person_id for each in people(work)][:2]

    def add(self, table: str, **values: object) -> int:
        of = Subject("record", "record", self.plane)
        made = apply(self.fleet, AddRow(of, table, values), "a test", DEMO_TODAY).made_id
        assert made is not None
        return made

    def past_visit(self, number: int, hours: float, both: bool = False, found: int = 0) -> None:
        """A closed visit on which the card took some hours, of two people at once where both were on it."""
        package = self.add(
            "work_package", aircraft_id=self.plane, number=f"past {number}", title="Annual",
            start_on=date(2020 + number, 4, 6), horizon_on=date(2021 + number, 4, 30), state="closed",
        )  # fmt: skip
        card = self.add(
            "work_card", package_id=package, number=1, key=f"{CARD}#1", title="Brakes", zone="gear_main",
            phase="inspect", kind="inspect", hours_low=Decimal(1), hours_likely=Decimal(1),
            hours_high=Decimal(1), content={"template": CARD}, origin="annual", doer="mechanic",
            signer="mechanic", state="done",
        )  # fmt: skip
        for person in (self.first, self.second)[: 1 + both]:
            self.add(
                "worked_time", card_id=card, person_id=person, started_at=EIGHT,
                stopped_at=EIGHT + timedelta(hours=hours),
            )  # fmt: skip
        for n in range(found):
            self.add(
                "discrepancy", aircraft_id=self.plane, found_on=EIGHT.date(), zone="gear_main",
                text=f"worn {n}", card_id=card,
            )  # fmt: skip

    def new_package(self) -> int:
        """A package of a visit of its own, a week after the one before."""
        start = START + timedelta(weeks=self.planned)
        made = apply(self.fleet, BuildPackage(self.plane, start, "Annual", self.library), "x", DEMO_TODAY)
        self.planned += 1
        assert made.made_id is not None
        return made.made_id

    def card(self, package: int) -> CardLine:
        with self.fleet.reading() as work:
            return next(card for card in card_lines(work, package) if card.key == CARD)

    def findings(self, package: int) -> Findings:
        with self.fleet.reading() as work:
            found = asked_of_package(work, package, self.library, NOW).problem.findings
        assert found is not None
        return found


@pytest.fixture
def shop(fleet: Fleet, library: Library) -> Shop:
    return Shop(fleet, library)


def test_hours_of_a_new_card_follow_those_used_once_there_are_enough(shop: Shop) -> None:
    shipped = shop.card(shop.new_package()).hours_likely
    for number in range(ENOUGH_DOINGS - 1):
        shop.past_visit(number, hours=3 * float(shipped))
    assert shop.card(shop.new_package()).hours_likely == shipped
    shop.past_visit(ENOUGH_DOINGS, hours=3 * float(shipped))
    assert shipped < shop.card(shop.new_package()).hours_likely < 3 * shipped


def test_a_package_planned_before_is_laid_out_with_learned_hours_too_but_not_a_persons_own(
    shop: Shop,
) -> None:
    package = shop.new_package()
    likely = shop.card(package).hours_likely
    for number in range(6):
        shop.past_visit(number, hours=4 * float(likely))

    def steps() -> int:
        with shop.fleet.reading() as work:
            return asked_of_package(work, package, shop.library, NOW).problem.job(CARD).likely

    learned = steps()
    assert learned > 4 * likely
    card = shop.card(package)
    own = (card.hours_low, likely + 10, likely + 20)
    saw = (card.hours_low, card.hours_likely, card.hours_high)
    apply(shop.fleet, SetCardHours(card.card_id, saw, own), "a test", DEMO_TODAY)
    assert steps() == 4 * (likely + 10)


def test_two_people_at_once_on_a_card_count_its_time_once(shop: Shop) -> None:
    shop.past_visit(1, hours=2, both=True)
    with shop.fleet.reading() as work:
        assert [taken.minutes for taken in cards_taken(work)] == [120]
        assert experience(work).used[CARD] == [Decimal(2)]


def test_the_hours_of_a_card_show_their_working(shop: Shop) -> None:
    for number in range(3):
        shop.past_visit(number, hours=5)
    card = shop.card(shop.new_package())
    with shop.fleet.reading() as work:
        working = explain(work, f"N012MH card {card.number} hours", shop.library, DEMO_TODAY)
        hours = explain_hours(work, card, shop.library).value
    assert hours.likely == card.hours_likely
    assert any("5, 5, 5" in each.value for each in working.inputs)


def test_the_number_of_findings_follows_the_shops_own_count(shop: Shop) -> None:
    package = shop.new_package()
    assumed = shop.findings(package)
    assert "assumed" in assumed.number.source
    for number in range(6):
        shop.past_visit(number, hours=1, found=9)
    with shop.fleet.reading() as work:
        before = found_before(work)
    assert (before.found, before.visits) == (54, 6)
    counted = shop.findings(package)
    assert counted.number.mean > assumed.number.mean + 2
    assert "54 found in 6 annuals" in counted.number.source


def test_a_finding_that_waits_for_a_part_holds_what_closes_its_zone(shop: Shop) -> None:
    package = shop.new_package()
    found = shop.findings(package)
    with shop.fleet.reading() as work:
        cards = {card.key: card for card in card_lines(work, package)}
    assert {cards[key].phase for key in set(found.on) - set(found.closed_by)} == {"run_up"}
    closing = [(cards[one], cards[two]) for one, two in found.closed_by.items() if two in cards]
    assert closing
    assert all(two.phase == "close" and one.zone == two.zone for one, two in closing)
