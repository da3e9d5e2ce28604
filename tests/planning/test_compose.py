"""Entries composed from a package whose cards were done."""

from __future__ import annotations

from datetime import UTC, date, datetime
from decimal import Decimal

import pytest

from annual_planner.library.entries import load_entry_templates
from annual_planner.planning.compose import ComposedEntry, NextDue, compose_entries
from annual_planner.store.packages import card_lines
from annual_planner.store.writing import add, change
from annual_planner.trade.entry_text import EntryKind, missing_in
from annual_planner.trade.refused import Refused
from tests.planning.conftest import Planned
from tests.planning.fleet import HELPER, INSPECTOR, MECHANIC, OWNER, TODAY

NOON = datetime(2026, 5, 4, 12, tzinfo=UTC)
TEMPLATES = load_entry_templates()
DOERS = {"owner": OWNER, "anyone": HELPER, "helper": HELPER, "mechanic": MECHANIC, "inspector": INSPECTOR,
         "repair station": MECHANIC}  # fmt: skip


def all_done(planned: Planned) -> None:
    with planned.fleet.work("a test") as work:
        for card in card_lines(work, planned.package_id):
            if card.included:
                who = DOERS[card.doer]
                change(
                    work,
                    "work_card",
                    card.card_id,
                    {},
                    {"state": "done", "done_by_id": who, "done_on": TODAY},
                )


def composed_of(planned: Planned, *, approved: bool = True, **given: object) -> tuple[ComposedEntry, ...]:
    with planned.fleet.reading() as work:
        return compose_entries(
            work,
            planned.package_id,
            TEMPLATES,
            approved=approved,
            work_on=TODAY,
            **given,  # type: ignore[arg-type]
        )


def test_nothing_is_composed_of_nothing(planned: Planned) -> None:
    with pytest.raises(Refused, match="Nothing of package"):
        composed_of(planned)


def test_every_entry_holds_what_its_rule_asks_for(planned: Planned) -> None:
    all_done(planned)
    for entry in composed_of(planned):
        assert missing_in(entry.template, entry.text, entry.facts).value == (), entry.text


def test_an_annual_gives_an_inspection_entry_in_each_book(planned: Planned) -> None:
    all_done(planned)
    inspections = [e for e in composed_of(planned) if e.template.kind is EntryKind.INSPECTION]
    assert [e.book.said.split(",")[0] for e in inspections] == ["airframe", "engine 1"]
    assert all("found it airworthy" in e.text for e in inspections)


def test_an_airplane_that_is_not_approved_is_never_called_airworthy(planned: Planned) -> None:
    all_done(planned)
    for entry in composed_of(planned, approved=False):
        assert "found it airworthy" not in entry.text
        if entry.template.kind is EntryKind.INSPECTION:
            assert "4 May 2026" in entry.facts["list_date"]
            assert "not approved for return to service" in entry.text


def test_a_helper_is_named_as_performer_and_a_mechanic_who_signs_is_not(planned: Planned) -> None:
    all_done(planned)
    performers = {e.facts.get("performer", "") for e in composed_of(planned) if e.template.key == "work"}
    assert performers == {"", "Hal Finch"}


def test_what_the_owner_did_alone_is_preventive_maintenance(planned: Planned) -> None:
    all_done(planned)
    (own, *more) = [e for e in composed_of(planned) if e.template.kind is EntryKind.PREVENTIVE]
    with planned.fleet.reading() as work:
        doers = {card.card_id: card.doer for card in card_lines(work, planned.package_id)}
    assert {doers[card_id] for e in (own, *more) for card_id in e.card_ids} == {"owner"}


def test_every_done_card_that_owes_an_entry_is_in_one(planned: Planned) -> None:
    all_done(planned)
    entered = {card_id for entry in composed_of(planned) for card_id in entry.card_ids}
    with planned.fleet.reading() as work:
        owing = {
            c.card_id
            for c in card_lines(work, planned.package_id)
            if c.included and c.entry and c.signer != "repair station"
        }
    assert owing <= entered


def test_a_directive_is_entered_with_its_number_revision_method_and_next_due(planned: Planned) -> None:
    with planned.fleet.work("a test") as work:
        values = {
            "aircraft_id": 1, "title": "Seat rail", "source": "directive", "citation": "2099-01-01",
            "force": "directive", "every_hours": Decimal(100), "enroute_excess_hours": Decimal(0),
            "directive_number": "2099-01-01", "directive_revised_on": date(2024, 2, 29),
        }  # fmt: skip
        requirement_id = add(work, "requirement", values, aircraft_id=1)
        card = card_lines(work, planned.package_id)[0]
        wants = {
            "requirement_id": requirement_id,
            "entry": "43.9",
            "included": True,
            "note": "Hours are a guess.",
        }
        change(work, "work_card", card.card_id, {}, wants)
        written = {"card_id": card.card_id, "written_at": NOON, "text": "Rails measured."}
        add(work, "card_note", written, aircraft_id=1)
    all_done(planned)
    due = {requirement_id: NextDue(Decimal("1600.0"), None)}
    (entry,) = [e for e in composed_of(planned, next_dues=due) if e.template.kind is EntryKind.DIRECTIVE]
    for words in ("2099-01-01", "29 Feb 2024", "Rails measured.", "Next due at 1600.0 h"):
        assert words in entry.text
    assert "guess" not in entry.text, "what the plan says of itself is no record of work"
    assert missing_in(entry.template, entry.text, entry.facts).value == ()


def test_parts_used_and_results_are_in_the_entry_for_the_work(planned: Planned) -> None:
    with planned.fleet.work("a test") as work:
        card = next(c for c in card_lines(work, planned.package_id) if c.included and c.entry == "43.9")
        part = {"card_id": card.card_id, "name": "oil filter", "quantity": Decimal(1), "serial": "F-77"}
        add(work, "part_used", part)
    all_done(planned)
    (entry,) = [e for e in composed_of(planned) if card.card_id in e.card_ids]
    assert "oil filter, 1, serial F-77" in entry.text
