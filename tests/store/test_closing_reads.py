"""What closing and entries are read from, on both databases."""

from __future__ import annotations

from datetime import UTC, datetime
from decimal import Decimal

import pytest

from annual_planner.records.people import AddPerson
from annual_planner.store.closing_reads import closing_cards
from annual_planner.store.done_reads import done_cards
from annual_planner.store.filed_reads import entries_of
from annual_planner.store.repair_reads import repairs_made
from annual_planner.store.session import Fleet
from annual_planner.store.writing import add
from tests.fleets import TODAY, airplane, made

NOON = datetime(2026, 5, 4, 12, tzinfo=UTC)


@pytest.fixture
def package(fleet: Fleet) -> int:
    """A done card out of limits with a note, and two repairs, one with a card of its own."""
    plane, mel = made(fleet, airplane()), made(fleet, AddPerson("Mel Rook", ("mechanic",)))
    with fleet.work("a test") as work:
        package_id = add(work, "work_package", {
            "aircraft_id": plane, "number": "N012AP-2026-1", "title": "Annual", "start_on": TODAY,
            "horizon_on": TODAY.replace(year=2027), "state": "in work", "hours_at_start": None,
        })  # fmt: skip
        found = [
            add(work, "discrepancy", {
                "aircraft_id": plane, "package_id": package_id, "found_on": TODAY, "zone": "engine",
                "text": text, "airworthy": True, "disposition": "correct now", "state": "corrected",
            })
            for text in ("has a card", "has none")
        ]  # fmt: skip
        card_id = add(work, "work_card", {
            "package_id": package_id, "number": 1, "key": "c1", "title": "Work", "zone": "engine",
            "phase": "service", "kind": "service", "hours_low": Decimal(1), "hours_likely": Decimal(2),
            "hours_high": Decimal(3), "content": {}, "origin": "discrepancy", "doer": "mechanic",
            "signer": "mechanic", "included": True, "state": "done", "done_by_id": mel, "done_on": TODAY,
            "discrepancy_id": found[0], "note": "Found today",
        })  # fmt: skip
        add(work, "card_result", {"card_id": card_id, "measurement": "gap", "value": 9.0, "text": "9",
                                  "unit": "in", "within": False, "read_at": NOON})  # fmt: skip
        add(work, "card_note", {"card_id": card_id, "written_at": NOON, "text": "Seen by torchlight."})
        for discrepancy_id in found:
            for said in ("tried", "replaced"):
                step = {"discrepancy_id": discrepancy_id, "step": "corrected", "on": TODAY}
                told = {"written_at": NOON, "person_id": mel, "said": said, "facts": {}}
                add(work, "discrepancy_step", {**step, **told})
        add(work, "log_entry", {
            "aircraft_id": plane, "package_id": package_id, "kind": "maintenance", "work_on": TODAY,
            "approved": None, "text": "New tyre.", "facts": {},
        })  # fmt: skip
    return package_id


def test_figures_out_of_limits_and_findings_are_read_with_the_cards(fleet: Fleet, package: int) -> None:
    with fleet.reading() as work:
        (card,) = closing_cards(work, package)
        assert (card.results, card.out, card.found) == (("gap",), ("gap",), False)
        assert done_cards(work, package)[0].note == "Found today Seen by torchlight."


def test_a_repair_is_read_with_its_last_words_unless_its_card_says_it(fleet: Fleet, package: int) -> None:
    with fleet.reading() as work:
        (repair,) = repairs_made(work, package)
    assert (repair.text, repair.said, repair.done_by) == ("has none", "replaced", "Mel Rook")


def test_entries_of_a_package_are_read_or_those_of_given_ids(fleet: Fleet, package: int) -> None:
    with fleet.reading() as work:
        (entry,) = entries_of(work, package_id=package)
        assert (entry.book, entry.package, entry.package_id) == ("airframe", "N012AP-2026-1", package)
        assert entries_of(work, entry_ids=[entry.entry_id]) == (entry,)
        assert entries_of(work, entry_ids=[]) == ()
