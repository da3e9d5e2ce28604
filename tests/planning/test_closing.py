"""An annual carried to its end: cards done, entries drafted and signed, the package closed."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from annual_planner.library.shelf import Library
from annual_planner.planning.close_package import ClosePackage
from annual_planner.planning.closing import ClosingState, closing_state, owners_list
from annual_planner.planning.entries_read import read_entries
from annual_planner.planning.entry_drafts import ChangeEntryText, CorrectEntry, DraftEntries
from annual_planner.records.apply import apply
from annual_planner.records.keys import Cost, MakeKey
from annual_planner.records.signing import SignRecord, sign
from annual_planner.records.signing_sheet import content_to_sign
from annual_planner.store.closing_reads import closing_entries
from annual_planner.store.fleet_reads import compliances, packages
from annual_planner.store.packages import card_lines
from annual_planner.store.session import Fleet
from annual_planner.store.writing import add, change, rows_where, values_of
from annual_planner.trade.cards import Phase
from annual_planner.trade.refused import Refused
from annual_planner.trade.signing import AIRWORTHY, LIST_GIVEN, PERFORMED, SUPERVISED
from tests.cards_done import AT, do_every_card
from tests.planning.conftest import Planned, plan
from tests.planning.fleet import AIRPLANE, HELPER, INSPECTOR, MECHANIC, OWNER, TODAY, small_fleet

PASSPHRASE = "nine quiet herons on a jetty"
CHEAP = Cost(time=1, memory_kib=8, lanes=1)
DOERS = {
    "owner": OWNER, "anyone": INSPECTOR, "helper": HELPER, "mechanic": MECHANIC, "inspector": INSPECTOR,
    "repair station": MECHANIC,
}  # fmt: skip


@pytest.fixture
def planned(tmp_path: Path, library: Library) -> Iterator[Planned]:
    with small_fleet(tmp_path) as fleet:
        for person_id in (OWNER, MECHANIC, INSPECTOR):
            apply(fleet, MakeKey(person_id, PASSPHRASE, AT, CHEAP), "a test", TODAY)
        yield plan(fleet, library)


def do_all(planned: Planned) -> None:
    do_every_card(planned.fleet, planned.package_id, DOERS.__getitem__)


def state(planned: Planned, today: date = TODAY) -> ClosingState:
    with planned.fleet.reading() as work:
        return closing_state(work, planned.package_id, planned.library, today).value


def draft(planned: Planned, *, approved: bool = True) -> None:
    planned.apply(DraftEntries(planned.package_id, approved, TODAY))


def sign_all(planned: Planned) -> None:
    with planned.fleet.reading() as work:
        entries = closing_entries(work, planned.package_id)
    for entry in entries:
        if entry.kind == "inspection":
            meaning, who = (AIRWORTHY if entry.approved else LIST_GIVEN), INSPECTOR
        elif entry.kind == "preventive maintenance":
            meaning, who = PERFORMED, OWNER
        else:
            meaning, who = (SUPERVISED if "performer_id" in entry.facts else PERFORMED), MECHANIC
        sign_entry(planned.fleet, entry.entry_id, who, meaning)


def sign_entry(fleet: Fleet, entry_id: int, who: int, meaning: str) -> int:
    with fleet.reading() as work:
        sheet = content_to_sign(work, "log_entry", entry_id, person_id=who, meaning=meaning, at=AT)
    made = sign(fleet, SignRecord(sheet, who, PASSPHRASE, AT)).made_id
    assert made is not None
    return made


def close(planned: Planned) -> None:
    planned.apply(ClosePackage(planned.package_id, planned.library, TODAY))


def test_a_package_with_open_cards_says_which_and_stays(planned: Planned) -> None:
    found = state(planned)
    assert any("is open" in each.said for each in found.lacking)
    assert any(each.rule == "14 CFR 43.15(c)(1)" for each in found.lacking)
    with pytest.raises(Refused, match="can't be closed"):
        close(planned)


def test_a_card_left_out_without_a_reason_is_missing_one(planned: Planned) -> None:
    do_all(planned)
    with planned.fleet.work("a test") as work:
        card = next(c for c in card_lines(work, planned.package_id) if c.included and not c.entry)
        change(work, "work_card", card.card_id, {}, {"state": "not applicable"})
    assert any("without a reason" in each.said for each in state(planned).lacking)


def test_an_annual_is_carried_through_to_closed_and_its_requirements_move_on(planned: Planned) -> None:
    do_all(planned)
    assert not state(planned).before_entries
    draft(planned)
    assert all("is not signed" in each.said for each in state(planned).lacking)
    sign_all(planned)
    assert state(planned).lacking == ()
    close(planned)
    with planned.fleet.reading() as work:
        (line,) = packages(work, aircraft_id=AIRPLANE)
        annual = next(each for each in compliances(work, AIRPLANE) if each.requirement_id == 1)
        held = values_of(work, "work_package", planned.package_id)
    assert line.state == "closed"
    assert annual.done_on == TODAY
    assert held["result"] == "approved"
    with pytest.raises(Refused, match="closed already"):
        close(planned)


def test_an_unairworthy_item_keeps_from_approval_and_is_listed(planned: Planned) -> None:
    do_all(planned)
    with planned.fleet.work("a test") as work:
        found = {
            "aircraft_id": AIRPLANE, "package_id": planned.package_id, "found_on": TODAY, "zone": "wing_left",
            "text": "Aileron hinge cracked", "airworthy": False, "state": "judged",
        }  # fmt: skip
        add(work, "discrepancy", found, aircraft_id=AIRPLANE)
    assert not state(planned).approved
    draft(planned)
    assert any("does not approve" in each.said for each in state(planned).lacking)
    draft(planned, approved=False)
    sign_all(planned)
    now = state(planned)
    assert now.may_close
    given = owners_list(now, "N012AP", TODAY).splitlines()
    assert any("Aileron hinge cracked" in line for line in given)
    assert "14 CFR 91.417(b)(3)" in given[-1], "how long the owner keeps it"
    close(planned)
    with planned.fleet.reading() as work:
        assert values_of(work, "work_package", planned.package_id)["result"] == "not approved"
        read = read_entries(work, TODAY, package_id=planned.package_id)
    assert read.owner_list == ("1. left wing: Aileron hinge cracked",)


def test_a_finding_that_nobody_judged_or_decided_keeps_the_package_open(planned: Planned) -> None:
    with planned.fleet.work("a test") as work:
        found = {"aircraft_id": AIRPLANE, "found_on": TODAY, "zone": "tail", "text": "Scratch"}
        row_id = add(work, "discrepancy", found, aircraft_id=AIRPLANE)
    assert any("nobody has judged" in each.said for each in state(planned).lacking)
    with planned.fleet.work("a test") as work:
        change(work, "discrepancy", row_id, {}, {"airworthy": True})
    assert any("nobody has decided" in each.said for each in state(planned).lacking)
    with planned.fleet.work("a test") as work:
        change(work, "discrepancy", row_id, {}, {"disposition": "watch"})
    assert not any(
        each.subject_id == row_id and each.about == "discrepancy" for each in state(planned).lacking
    )


def test_a_deferral_counts_only_with_its_placard_and_until_its_day(planned: Planned) -> None:
    with planned.fleet.work("a test") as work:
        found = {
            "aircraft_id": AIRPLANE, "found_on": TODAY, "zone": "panel", "text": "Clock dead",
            "airworthy": False, "disposition": "defer", "state": "decided", "placard": "INOPERATIVE",
            "deferred_until": date(2026, 8, 1),
        }  # fmt: skip
        add(work, "discrepancy", found, aircraft_id=AIRPLANE)
    assert state(planned).approved
    assert not state(planned, date(2026, 8, 2)).approved


def test_the_figures_of_the_engine_run_are_asked_for_before_approval(planned: Planned) -> None:
    do_all(planned)
    with planned.fleet.work("a test") as work:
        from annual_planner.store.writing import remove

        for row_id in rows_where(work, "card_result"):
            remove(work, "card_result", row_id)
    assert any(each.rule == "14 CFR 43.15(c)(2)" and "lacks" in each.said for each in state(planned).lacking)


def out_of_limits(planned: Planned, key: str, name: str) -> int:
    """A figure of the card with this key is out of limits; the card's id."""
    with planned.fleet.work("a test") as work:
        card = next(c for c in card_lines(work, planned.package_id) if c.key == key and c.included)
        for row_id, held in rows_where(work, "card_result", card_id=card.card_id).items():
            if str(held["measurement"]).startswith(name):
                change(work, "card_result", row_id, {}, {"within": False})
                return card.card_id
        result = {"card_id": card.card_id, "measurement": name, "value": 1.0, "read_at": AT, "within": False}
        add(work, "card_result", result)
    return card.card_id


def test_an_engine_run_out_of_limits_keeps_from_approval_even_with_a_discrepancy(planned: Planned) -> None:
    do_all(planned)
    card_id = out_of_limits(planned, "run_up_check", "Oil pressure at idle")
    lacking = [each for each in state(planned).lacking if each.rule == "14 CFR 43.15(c)(2)"]
    assert any("out of limits: Oil pressure at idle" in each.said for each in lacking)
    with planned.fleet.work("a test") as work:
        found = {
            "aircraft_id": AIRPLANE, "package_id": planned.package_id, "card_id": card_id, "found_on": TODAY,
            "zone": "engine", "text": "Low oil pressure", "airworthy": True, "disposition": "watch",
            "state": "decided",
        }  # fmt: skip
        add(work, "discrepancy", found, aircraft_id=AIRPLANE)
    assert any("out of limits" in each.said for each in state(planned).lacking)


def test_any_figure_out_of_limits_needs_a_discrepancy_on_its_card(planned: Planned) -> None:
    do_all(planned)
    with planned.fleet.reading() as work:
        key = next(
            c.key
            for c in card_lines(work, planned.package_id)
            if c.included and c.phase != Phase.RUN_UP and c.content["measurements"]  # type: ignore[index]
        )
    card_id = out_of_limits(planned, key, "some figure")
    lacking = [each for each in state(planned).before_entries if each.subject_id == card_id]
    assert any("write a discrepancy on it" in each.said for each in lacking)
    with planned.fleet.work("a test") as work:
        found = {
            "aircraft_id": AIRPLANE, "package_id": planned.package_id, "card_id": card_id, "found_on": TODAY,
            "zone": "engine", "text": "Worn", "airworthy": True, "disposition": "watch", "state": "decided",
        }  # fmt: skip
        add(work, "discrepancy", found, aircraft_id=AIRPLANE)
    assert all(each.subject_id != card_id for each in state(planned).before_entries)


def put_right(planned: Planned, who: int, zone: str = "engine") -> int:
    """A discrepancy of the package, found and put right; its id."""
    with planned.fleet.work("a test") as work:
        found = {
            "aircraft_id": AIRPLANE, "package_id": planned.package_id, "found_on": TODAY, "zone": zone,
            "text": "Chafed hose", "airworthy": True, "disposition": "correct now", "state": "corrected",
        }  # fmt: skip
        discrepancy_id = add(work, "discrepancy", found, aircraft_id=AIRPLANE)
        step = {
            "discrepancy_id": discrepancy_id, "step": "corrected", "on": TODAY, "written_at": AT,
            "person_id": who, "said": "Hose replaced by the maker's manual", "facts": {},
        }  # fmt: skip
        add(work, "discrepancy_step", step, aircraft_id=AIRPLANE)
        part = {"discrepancy_id": discrepancy_id, "name": "hose", "quantity": Decimal(1), "unit": "each"}
        add(work, "part_used", part, aircraft_id=AIRPLANE)
    return discrepancy_id


def test_what_was_found_and_put_right_stands_in_an_entry_of_its_own(planned: Planned) -> None:
    do_all(planned)
    draft(planned)
    sign_all(planned)
    mended = put_right(planned, HELPER)
    lacking = [each for each in state(planned).lacking if each.rule == "14 CFR 43.9(a)"]
    assert [each.subject_id for each in lacking] == [mended]
    draft(planned)
    with planned.fleet.reading() as work:
        (entry,) = [each for each in closing_entries(work, planned.package_id) if each.state == "draft"]
    assert entry.book == "engine 1"
    assert "Chafed hose: Hose replaced by the maker's manual." in entry.text
    assert "Parts: hose, 1 each." in entry.text
    assert "Work performed by Hal Finch." in entry.text, "who did it may not sign for it"
    assert (entry.facts["discrepancy_ids"], entry.facts["performer_id"]) == ([mended], HELPER)
    assert not any(each.rule == "14 CFR 43.9(a)" for each in state(planned).lacking)
    sign_all_drafts(planned)
    later = put_right(planned, MECHANIC, "office")
    draft(planned)
    with planned.fleet.reading() as work:
        (second,) = [each for each in closing_entries(work, planned.package_id) if each.state == "draft"]
    assert (second.book, second.facts["discrepancy_ids"]) == ("airframe", [later])


def sign_all_drafts(planned: Planned) -> None:
    with planned.fleet.reading() as work:
        drafts = [each for each in closing_entries(work, planned.package_id) if each.state == "draft"]
    for entry in drafts:
        sign_entry(planned.fleet, entry.entry_id, MECHANIC, SUPERVISED)


def test_the_engine_run_is_made_by_who_approves(planned: Planned) -> None:
    do_all(planned)
    with planned.fleet.work("a test") as work:
        card = next(c for c in card_lines(work, planned.package_id) if c.key == "run_up_check")
        change(work, "work_card", card.card_id, {}, {"done_by_id": MECHANIC})
    draft(planned)
    sign_all(planned)
    assert any("who did not approve" in each.said for each in state(planned).lacking)


def test_a_draft_edited_by_hand_keeps_what_the_rule_asks_for(planned: Planned) -> None:
    do_all(planned)
    draft(planned)
    with planned.fleet.reading() as work:
        entry = next(e for e in closing_entries(work, planned.package_id) if e.kind == "inspection")
    with pytest.raises(Refused, match="total time in service"):
        planned.apply(ChangeEntryText(entry.entry_id, entry.text, entry.text.replace("1500", "many")))
    wants = f"{entry.text}\nCowl flaps rigged."
    changed = planned.apply(ChangeEntryText(entry.entry_id, entry.text, wants))
    assert changed.back is not None


def test_a_signed_entry_is_corrected_by_a_new_one_with_its_reason(planned: Planned) -> None:
    do_all(planned)
    draft(planned)
    sign_all(planned)
    with planned.fleet.reading() as work:
        entry = next(e for e in closing_entries(work, planned.package_id) if e.kind == "inspection")
    with pytest.raises(Refused, match="isn't changed"):
        planned.apply(ChangeEntryText(entry.entry_id, entry.text, "x"))
    with pytest.raises(Refused, match="no reason"):
        planned.apply(CorrectEntry(entry.entry_id, entry.text, " "))
    made = planned.apply(
        CorrectEntry(entry.entry_id, f"{entry.text}\nSecond line.", "a line was left out")
    ).made_id
    assert made is not None
    sign_entry(planned.fleet, made, INSPECTOR, AIRWORTHY)
    with planned.fleet.reading() as work:
        states = {e: values_of(work, "log_entry", e)["state"] for e in (entry.entry_id, made)}
    assert states == {entry.entry_id: "superseded", made: "signed"}


def test_drafting_again_spares_signed_entries_and_makes_none_twice(planned: Planned) -> None:
    do_all(planned)
    draft(planned)
    with planned.fleet.reading() as work:
        first = closing_entries(work, planned.package_id)
    sign_entry(planned.fleet, first[0].entry_id, INSPECTOR, AIRWORTHY)
    draft(planned)
    with planned.fleet.reading() as work:
        again = closing_entries(work, planned.package_id)
    assert len(again) == len(first)
    assert first[0].entry_id in {entry.entry_id for entry in again}
