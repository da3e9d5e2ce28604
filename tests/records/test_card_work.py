"""Doing a card: time by person, order, results, states; and every edit taken back."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from typing import Any

import pytest

from annual_planner.records.apply import apply
from annual_planner.records.card_results import (
    AddNote,
    ChangeNote,
    RecordResult,
    RemoveNote,
    RemovePart,
    UsePart,
)
from annual_planner.records.card_work import RemoveStretch, SetCardState, SetStretch, StartWork, StopWork
from annual_planner.records.discrepancy_found import RaiseDiscrepancy
from annual_planner.records.edits import Edit
from annual_planner.records.people import AddPerson
from annual_planner.records.predecessors import open_predecessors
from annual_planner.records.row_edits import AddRow, Subject
from annual_planner.store import card_reads
from annual_planner.store.packages import card_line, package_dates
from annual_planner.store.refusals import ChangedMeanwhile
from annual_planner.store.session import Fleet
from annual_planner.store.writing import rows_where
from annual_planner.trade.refused import Refused
from tests.fleets import ANN, TODAY, airplane, made

NINE = datetime(2026, 5, 4, 9, tzinfo=UTC)
READING = {"name": "Reading at 80 psi", "unit": "psi", "low": "60", "high": "80", "per": "cylinder",
           "note": "", "count": 4}  # fmt: skip


def later(hours: float) -> datetime:
    return NINE + timedelta(hours=hours)


class Shop:
    """A package with five cards: a run, propeller safe, compression, a look inside, closing up."""

    def __init__(self, fleet: Fleet) -> None:
        self.fleet = fleet
        self.plane = made(fleet, airplane())
        self.mel = made(fleet, AddPerson("Mel Rook", ("mechanic",)))
        self.ina = made(fleet, AddPerson("Ina Marsh", ("mechanic",)))
        of = Subject("card", "card", self.plane)
        values: dict[str, object] = {
            "aircraft_id": self.plane, "number": "N012AP-2026-1", "title": "Annual", "start_on": TODAY,
            "horizon_on": date(2027, 6, 30), "state": "planning", "hours_at_start": None,
        }  # fmt: skip
        self.package = made(fleet, AddRow(of, "work_package", values))
        self.run = self._card(1, "Run it warm", "hot_checks", "run_up")
        self.safe = self._card(
            2, "Make the propeller safe", "hot_checks", "service", makes_propeller_safe=True
        )
        self.press = self._card(
            3, "Compression", "hot_checks", "test", turns_propeller=True, measurements=[READING]
        )
        self.look = self._card(4, "Look inside", "inspect", "inspect", panels=["cowling_top"])
        self.close = self._card(5, "Close up", "close", "close", panels=["cowling_top"])
        self.paint = self._card(6, "Wash it", "clean", "clean", zone="fuselage")
        self.polish = self._card(7, "Polish", "service", "service", zone="fuselage", after=["c6"])

    def _card(
        self, number: int, title: str, phase: str, kind: str, zone: str = "engine", **content: Any
    ) -> int:
        values: dict[str, object] = {
            "package_id": self.package, "number": number, "key": f"c{number}", "title": title, "zone": zone,
            "phase": phase, "kind": kind, "hours_low": Decimal(1), "hours_likely": Decimal(2),
            "hours_high": Decimal(3), "content": content, "origin": "annual", "doer": "mechanic",
            "signer": "mechanic", "included": True,
        }  # fmt: skip
        return made(self.fleet, AddRow(Subject("card", "card", self.plane), "work_card", values))

    def do(self, edit: Edit) -> Edit:
        back = apply(self.fleet, edit, ANN, TODAY).back
        assert back is not None
        return back

    def done(self, *cards: int) -> None:
        for card in cards:
            self.do(SetCardState(card, "open", "done", self.mel, NINE, "in the order of the day"))

    def state(self, card: int) -> str:
        with self.fleet.reading() as work:
            return card_line(work, card).state

    def package_state(self) -> str:
        with self.fleet.reading() as work:
            return package_dates(work, self.package).state

    def everything(self) -> dict[str, object]:
        with self.fleet.reading() as work:
            names = ("worked_time", "card_result", "card_note", "part_used", "work_card", "work_package")
            return {name: rows_where(work, name) for name in names}


@pytest.fixture
def shop(fleet: Fleet) -> Shop:
    return Shop(fleet)


def test_the_first_start_puts_card_and_package_in_work_and_comes_back_whole(shop: Shop) -> None:
    before = shop.everything()
    back = shop.do(StartWork(shop.run, shop.mel, NINE))
    assert (shop.state(shop.run), shop.package_state()) == ("in work", "in work")
    forth = shop.do(back)
    assert shop.everything() == before
    shop.do(forth)
    assert (shop.state(shop.run), shop.package_state()) == ("in work", "in work")


def test_a_person_is_on_one_card_at_a_time(shop: Shop) -> None:
    shop.do(StartWork(shop.run, shop.mel, NINE))
    with pytest.raises(Refused, match="Mel Rook is on card 1"):
        shop.do(StartWork(shop.paint, shop.mel, later(1)))
    shop.do(StartWork(shop.paint, shop.ina, later(1)))
    shop.do(StopWork(shop.paint, shop.ina, later(2)))
    shop.do(StartWork(shop.paint, shop.mel, later(1), stops_other=True))
    with shop.fleet.reading() as work:
        assert [s.hours() for s in card_reads.stretches(work, shop.run)] == [Decimal("1.00")]
        assert [s.card_id for s in card_reads.open_stretches(work, shop.mel)] == [shop.paint]


def test_a_stretch_left_open_overnight_is_asked_about(shop: Shop) -> None:
    stretch = made(shop.fleet, StartWork(shop.run, shop.mel, NINE))
    with pytest.raises(Refused, match="left open since 4 May 2026 09:00"):
        shop.do(StartWork(shop.paint, shop.mel, later(24), stops_other=True))
    shop.do(SetStretch(stretch, (NINE, None), (NINE, later(3))))
    shop.do(StartWork(shop.paint, shop.mel, later(24)))
    with shop.fleet.reading() as work:
        assert card_reads.left_open(card_reads.open_stretches(work), later(25)) == ()
        assert len(card_reads.left_open(card_reads.open_stretches(work), later(50))) == 1


def test_time_that_meets_other_time_of_the_person_is_refused(shop: Shop) -> None:
    first = made(shop.fleet, StartWork(shop.run, shop.mel, NINE))
    shop.do(StopWork(shop.run, shop.mel, later(1)))
    second = made(shop.fleet, StartWork(shop.paint, shop.mel, later(1)))
    with pytest.raises(Refused, match="on card 6"):
        shop.do(SetStretch(first, (NINE, later(1)), (NINE, later(2))))
    with pytest.raises(Refused, match="end is before"):
        shop.do(SetStretch(first, (NINE, later(1)), (NINE, later(-1))))
    shop.do(shop.do(RemoveStretch(second)))
    with shop.fleet.reading() as work:
        assert len(card_reads.open_stretches(work)) == 1


def test_what_is_not_safe_before_its_predecessors_is_refused_whatever_the_reason(shop: Shop) -> None:
    with pytest.raises(Refused, match="propeller is always treated as live"):
        shop.do(StartWork(shop.press, shop.mel, NINE, why="in a hurry"))
    with pytest.raises(Refused, match="hot checks while the engine is hot"):
        shop.do(StartWork(shop.look, shop.mel, NINE, why="in a hurry"))
    shop.done(shop.run, shop.safe, shop.press)
    with pytest.raises(Refused, match="nothing is closed over"):
        shop.do(SetCardState(shop.close, "open", "done", shop.mel, NINE, "in a hurry"))
    shop.done(shop.look, shop.close)


def test_what_may_safely_wait_is_asked_for_a_reason(shop: Shop) -> None:
    with shop.fleet.reading() as work:
        (before,) = open_predecessors(work, shop.polish).value
    assert (before.number, before.safe) == (6, True)
    with pytest.raises(Refused, match="should come first"):
        shop.do(StartWork(shop.polish, shop.mel, NINE))
    shop.do(StartWork(shop.polish, shop.mel, NINE, why="the hose is frozen"))
    with shop.fleet.reading() as work:
        assert card_line(work, shop.polish).state_why == "the hose is frozen"


def test_results_are_judged_changed_and_taken_away(shop: Shop) -> None:
    title = "Reading at 80 psi, cylinder 3"
    before = shop.everything()
    back = shop.do(RecordResult(shop.press, title, "72 psi", shop.mel, NINE))
    with pytest.raises(ChangedMeanwhile):
        shop.do(RecordResult(shop.press, title, "58", shop.mel, NINE))
    shop.do(shop.do(RecordResult(shop.press, title, "58", shop.mel, NINE, saw="72 psi")))
    with shop.fleet.reading() as work:
        (result,) = card_reads.results(work, shop.press)
        assert (result.value, result.within, result.name) == (72.0, True, "Mel Rook")
    shop.do(RecordResult(shop.press, title, "58", shop.mel, NINE, saw="72 psi"))
    with shop.fleet.reading() as work:
        assert card_reads.results(work, shop.press)[0].within is False
        assert card_reads.doing_lines(work, shop.package)[2].out_of_limits == 1
    shop.do(shop.do(RecordResult(shop.press, title, "", shop.mel, NINE, saw="58")))
    shop.do(RecordResult(shop.press, title, "72 psi", shop.mel, NINE, saw="58"))
    shop.do(back)
    assert shop.everything() == before
    with pytest.raises(Refused, match="asks for no"):
        shop.do(RecordResult(shop.press, "Height", "3", shop.mel, NINE))


def test_notes_and_parts_are_written_and_taken_back(shop: Shop) -> None:
    before = shop.everything()
    note = made(shop.fleet, AddNote(shop.run, "Mag drop rough on the left ", shop.mel, NINE))
    shop.do(shop.do(ChangeNote(note, "Mag drop rough on the left", "Rough on the right")))
    part = made(shop.fleet, UsePart(shop.run, "gasket", Decimal(2), "each", cost=Decimal("3.20")))
    with shop.fleet.reading() as work:
        assert card_reads.notes(work, shop.run)[0].text == "Mag drop rough on the left"
        assert card_reads.parts_used(work, card_id=shop.run)[0].cost == Decimal("3.20")
    shop.do(RemoveNote(note))
    shop.do(RemovePart(part))
    assert shop.everything() == before
    for wrong in (AddNote(shop.run, " ", shop.mel, NINE), UsePart(shop.run, "x", Decimal(0)),
                  UsePart(shop.run, "x", Decimal("NaN")), UsePart(shop.run, "", Decimal(1))):  # fmt: skip
        with pytest.raises(Refused):
            shop.do(wrong)


def test_a_finished_card_stops_the_clock_and_is_reopened_only_with_a_reason(shop: Shop) -> None:
    shop.do(StartWork(shop.run, shop.mel, NINE))
    shop.do(SetCardState(shop.run, "in work", "done", shop.mel, later(2)))
    with shop.fleet.reading() as work:
        card = card_line(work, shop.run)
        assert (card.done_by_id, card.done_on) == (shop.mel, TODAY)
        assert card_reads.open_stretches(work) == ()
        assert card_reads.doing_lines(work, shop.package)[0].hours_used == Decimal("2.00")
    with pytest.raises(Refused, match="needs a reason"):
        shop.do(SetCardState(shop.run, "done", "open", shop.mel, later(3)))
    with pytest.raises(Refused, match="is done"):
        shop.do(StartWork(shop.run, shop.mel, later(3)))
    shop.do(SetCardState(shop.run, "done", "open", shop.mel, later(3), "rough again"))
    assert (shop.state(shop.run), shop.package_state()) == ("open", "in work")


def test_not_applicable_and_carried_over_need_their_reason(shop: Shop) -> None:
    for wants in ("not applicable", "carried over"):
        with pytest.raises(Refused, match="needs a reason"):
            shop.do(SetCardState(shop.paint, "open", wants, shop.mel, NINE))
    back = shop.do(SetCardState(shop.paint, "open", "carried over", shop.mel, NINE, "no water"))
    with pytest.raises(ChangedMeanwhile):
        shop.do(SetCardState(shop.paint, "open", "done", shop.mel, NINE))
    shop.do(back)
    assert (shop.state(shop.paint), shop.package_state()) == ("open", "planning")


def test_a_discrepancy_raised_on_a_card_knows_its_place(shop: Shop) -> None:
    raised = RaiseDiscrepancy(shop.press, "Cylinder 3 leaks at the exhaust", shop.mel, NINE, False, 3)
    found = made(shop.fleet, raised)
    with shop.fleet.reading() as work:
        row = rows_where(work, "discrepancy")[found]
        assert (row["zone"], row["cylinder"], row["card_id"], row["state"]) == (
            "engine",
            3,
            shop.press,
            "judged",
        )
        assert row["assembly_id"] is not None
        assert card_reads.doing_lines(work, shop.package)[2].open_discrepancies == 1
        assert [each.text for each in card_reads.raised_on(work, shop.press)] == [raised.text]
