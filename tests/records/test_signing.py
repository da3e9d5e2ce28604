"""Signing holds: who may, what is shown is what is signed, once, in one transaction, never altered."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from annual_planner.records.apply import apply
from annual_planner.records.card_results import AddNote
from annual_planner.records.signing import NotEntitled, SignRecord, sign
from annual_planner.store.named_steps import listen
from annual_planner.store.refusals import ChangedMeanwhile
from annual_planner.store.session import Fleet
from annual_planner.store.signed_reads import (
    contents_of,
    last_link,
    link_of,
    signed_ids,
    signed_lines,
)
from annual_planner.store.signed_subjects import card_to_sign
from annual_planner.store.writing import change
from annual_planner.trade.canonical import read_canonical
from annual_planner.trade.people import CertificateKind
from annual_planner.trade.refused import Refused
from annual_planner.trade.signing import AIRWORTHY, KEY_CLOSED, LIST_GIVEN, PERFORMED, SUPERVISED
from tests.fleets import ANN, TODAY
from tests.signing import (
    AT,
    OIL,
    ON,
    PHRASE,
    Shop,
    card,
    draft,
    key_id,
    later,
    sheet_of,
    shop_in,
    signed,
    signed_annual,
    signed_entry,
    state_of,
    whole,
)
from tests.statements import statements
from tests.trail import newest_lines


@pytest.fixture
def shop(fleet: Fleet) -> Shop:
    return shop_in(fleet)


def test_a_signature_writes_record_audit_line_and_state_together(shop: Shop) -> None:
    entry = draft(shop)
    made = signed(shop, "log_entry", entry, shop.mechanic)
    assert made.back is None
    assert made.made_id == 1
    assert state_of(shop, entry) == "signed"
    with shop.fleet.reading() as work:
        newest = newest_lines(work, shop.aircraft_id, 2)
        assert any("signed entry" in line.what and line.changed_by == "Mo Tarn" for line in newest)
        assert last_link(work).link == 1
    assert whole(shop)


def test_name_certificate_role_days_and_zone_are_inside_what_is_signed(shop: Shop) -> None:
    record = signed_annual(shop).made_id or 0
    with shop.fleet.reading() as work:
        link = link_of(work, record)
    content, act = read_canonical(link.content), read_canonical(link.sealed.act)
    assert isinstance(content, dict)
    assert isinstance(act, dict)
    assert content["signer"]["name"] == "Ina Vell"
    assert content["signer"]["role"] == "inspection authorization"
    kinds = {each["kind"]: each["number"] for each in content["signer"]["certificates"]}
    assert kinds == {"inspection authorization": "0-1701", "mechanic": "0-1701"}
    assert (content["work on"], content["meaning"]) == ("2026-05-04", AIRWORTHY)
    assert (act["signed_at"], act["zone"]) == ("2026-05-04T21:30:00.000000Z", "-05:00")


def test_the_bytes_signed_are_the_bytes_shown(shop: Shop) -> None:
    sheet = sheet_of(shop, "log_entry", draft(shop, text="Replaced the left main tire."), shop.mechanic)
    record = sign(shop.fleet, SignRecord(sheet, shop.mechanic, PHRASE.format(shop.mechanic), AT)).made_id
    with shop.fleet.reading() as work:
        assert contents_of(work, [record or 0]) == {record: sheet.content}
    assert "Replaced the left main tire." in sheet.text
    assert "I did this work" in sheet.text


def test_what_changed_since_it_was_shown_is_not_signed(shop: Shop) -> None:
    entry = draft(shop)
    sheet = sheet_of(shop, "log_entry", entry, shop.mechanic)
    with shop.fleet.work("Ben Sorrel") as work:
        change(work, "log_entry", entry, {}, {"text": "Something else."})
    with pytest.raises(ChangedMeanwhile):
        sign(shop.fleet, SignRecord(sheet, shop.mechanic, PHRASE.format(shop.mechanic), AT))
    assert state_of(shop, entry) == "draft"


def test_an_altered_sheet_is_not_signed(shop: Shop) -> None:
    sheet = sheet_of(shop, "log_entry", draft(shop), shop.mechanic)
    forged = replace(sheet, content=sheet.content.replace(b"done", b"gone"))
    with pytest.raises(ChangedMeanwhile):
        sign(shop.fleet, SignRecord(forged, shop.mechanic, PHRASE.format(shop.mechanic), AT))


def test_a_sheet_that_claims_a_right_is_asked_again_below_the_window(shop: Shop) -> None:
    sheet = sheet_of(shop, "log_entry", draft(shop, "inspection"), shop.mechanic, AIRWORTHY)
    yes = sheet_of(shop, "log_entry", draft(shop), shop.mechanic).entitled
    assert not sheet.entitled.value.may
    forged = replace(sheet, entitled=yes)
    with pytest.raises(NotEntitled):
        sign(shop.fleet, SignRecord(forged, shop.mechanic, PHRASE.format(shop.mechanic), AT))


def certificate(shop: Shop, person_id: int, kind: CertificateKind) -> int:
    from annual_planner.store.writing import rows_where

    with shop.fleet.reading() as work:
        rows = rows_where(work, "certificate", person_id=person_id)
    return next(row_id for row_id, row in rows.items() if row["kind"] == kind)


def held(shop: Shop, person_id: int, kind: CertificateKind, **wants: object) -> None:
    with shop.fleet.work("a test") as work:
        change(work, "certificate", certificate(shop, person_id, kind), {}, wants)


@pytest.mark.parametrize(
    ("facts", "told"),
    [
        ({"valid_from": date(2023, 4, 1)}, "65.92(a)"),
        ({"activity_met": False}, "65.93(c)"),
        ({"base_moved_on": date(2026, 4, 1)}, "65.95(c)"),
    ],
)
def test_a_lapsed_inspection_authorization_signs_no_annual_and_is_told_why(
    shop: Shop, facts: dict[str, object], told: str
) -> None:
    held(shop, shop.inspector, CertificateKind.INSPECTION_AUTHORIZATION, **facts)
    sheet = sheet_of(shop, "log_entry", draft(shop, "inspection"), shop.inspector, AIRWORTHY)
    assert not sheet.entitled.value.may
    assert told in sheet.entitled.value.why
    with pytest.raises(NotEntitled, match="can't be signed"):
        sign(shop.fleet, SignRecord(sheet, shop.inspector, PHRASE.format(shop.inspector), AT))


def test_an_authorization_that_lapses_between_sheet_and_signature_does_not_sign(shop: Shop) -> None:
    sheet = sheet_of(shop, "log_entry", draft(shop, "inspection"), shop.inspector, AIRWORTHY)
    held(shop, shop.inspector, CertificateKind.INSPECTION_AUTHORIZATION, activity_met=False)
    with pytest.raises(NotEntitled):
        sign(shop.fleet, SignRecord(sheet, shop.inspector, PHRASE.format(shop.inspector), AT))


def test_a_right_that_ended_since_the_work_signs_no_more(shop: Shop) -> None:
    held(shop, shop.mechanic, CertificateKind.MECHANIC, expires_on=ON)
    entry = draft(shop)
    assert sheet_of(shop, "log_entry", entry, shop.mechanic).entitled.value.may
    late = sheet_of(shop, "log_entry", entry, shop.mechanic, at=later(days=1))
    assert not late.entitled.value.may


def test_an_owner_signs_their_own_preventive_maintenance_and_nothing_else(shop: Shop) -> None:
    oil = draft(shop, "preventive maintenance", facts={"work": [OIL]})
    signed(shop, "log_entry", oil, shop.owner)
    for table, row_id, meaning in (
        ("log_entry", draft(shop), PERFORMED),
        ("log_entry", draft(shop, "inspection"), AIRWORTHY),
        ("log_entry", draft(shop, facts={"work": [OIL], "performer_id": shop.mechanic}), PERFORMED),
        ("log_entry", draft(shop, facts={"work": [OIL], "performer_id": shop.manager}), SUPERVISED),
        ("work_card", card(shop, kind="research"), PERFORMED),
        ("person_key", key_id(shop, shop.mechanic), KEY_CLOSED),
    ):
        assert not sheet_of(shop, table, row_id, shop.owner, meaning).entitled.value.may, (table, row_id)


def test_an_owner_does_not_sign_for_an_airplane_of_another(shop: Shop) -> None:
    with shop.fleet.work("a test") as work:
        change(work, "aircraft", shop.aircraft_id, {}, {"owner_id": shop.manager})
    oil = draft(shop, "preventive maintenance", facts={"work": [OIL]})
    assert not sheet_of(shop, "log_entry", oil, shop.owner).entitled.value.may


def test_supervised_work_names_who_did_it_and_never_is_an_inspection(shop: Shop) -> None:
    entry = draft(shop)
    assert not sheet_of(shop, "log_entry", entry, shop.mechanic, SUPERVISED).entitled.value.may
    sheet = sheet_of(shop, "log_entry", entry, shop.mechanic, SUPERVISED, performer_id=shop.owner)
    assert sheet.entitled.value.may
    assert "Ola Finch" in sheet.text
    looks = {"subject": "airframe", "inspection": "annual"}
    inspect = card(shop, kind="inspect", content=looks)
    told = sheet_of(shop, "work_card", inspect, shop.inspector, SUPERVISED, performer_id=shop.owner)
    assert not told.entitled.value.may


def test_work_that_another_did_is_not_signed_as_performed(shop: Shop) -> None:
    done = card(shop, done_by_id=shop.owner)
    assert not sheet_of(shop, "work_card", done, shop.mechanic).entitled.value.may
    assert sheet_of(shop, "work_card", done, shop.mechanic, SUPERVISED).entitled.value.may


def test_a_signer_without_a_certificate_number_is_told_so(shop: Shop) -> None:
    held(shop, shop.mechanic, CertificateKind.MECHANIC, number="")
    told = sheet_of(shop, "log_entry", draft(shop), shop.mechanic).entitled.value
    assert not told.may
    assert "number" in told.why


def test_the_meaning_follows_what_the_entry_says(shop: Shop) -> None:
    not_approved = draft(shop, "inspection", approved=False)
    assert not sheet_of(shop, "log_entry", not_approved, shop.inspector, AIRWORTHY).entitled.value.may
    assert sheet_of(shop, "log_entry", not_approved, shop.inspector, LIST_GIVEN).entitled.value.may
    with pytest.raises(Refused, match="leaves open"):
        sheet_of(shop, "log_entry", draft(shop, "inspection", approved=None), shop.inspector, AIRWORTHY)


def test_a_card_that_is_not_done_is_not_signed(shop: Shop) -> None:
    with pytest.raises(Refused, match="isn't done"):
        sheet_of(shop, "work_card", card(shop, state="in work"), shop.mechanic)


def test_a_late_entry_is_labelled_late_inside_what_is_signed(shop: Shop) -> None:
    sheet = sheet_of(shop, "log_entry", draft(shop, work_on=date(2026, 5, 1)), shop.mechanic)
    assert sheet.late == "late entry: signed 3 days after the work"
    assert sheet.late.encode() in sheet.content


def test_work_of_a_day_to_come_is_not_signed(shop: Shop) -> None:
    with pytest.raises(Refused, match="still to come"):
        sheet_of(shop, "log_entry", draft(shop, work_on=date(2026, 5, 5)), shop.mechanic)


def test_with_the_clock_set_back_links_still_rise_and_it_is_noted(shop: Shop) -> None:
    signed_entry(shop, at=later(hours=2))
    second = signed_entry(shop, at=AT).made_id or 0
    with shop.fleet.reading() as work:
        act = read_canonical(link_of(work, second).sealed.act)
        noted = [line.what for line in newest_lines(work) if "clock" in line.what]
    assert second == 2
    assert isinstance(act, dict)
    assert "behind link 1" in act["clock"]
    assert len(noted) == 1
    assert whole(shop)


def test_a_sheet_left_open_is_read_again(shop: Shop) -> None:
    sheet = sheet_of(shop, "log_entry", draft(shop), shop.mechanic)
    with pytest.raises(Refused, match="open too long"):
        sign(shop.fleet, SignRecord(sheet, shop.mechanic, PHRASE.format(shop.mechanic), later(minutes=31)))


def test_nothing_is_signed_twice(shop: Shop) -> None:
    entry, done = draft(shop), card(shop)
    one = sheet_of(shop, "log_entry", entry, shop.mechanic)
    signed(shop, "log_entry", entry, shop.mechanic)
    signed(shop, "work_card", done, shop.mechanic)
    with pytest.raises(Refused, match="already"):
        sign(shop.fleet, SignRecord(one, shop.mechanic, PHRASE.format(shop.mechanic), AT))
    with pytest.raises(Refused, match="already"):
        sheet_of(shop, "work_card", done, shop.mechanic)


def test_what_is_signed_is_listed_with_its_signer_and_an_owner_gets_their_own(
    shop: Shop,
) -> None:
    signed_annual(shop)
    signed_entry(shop)
    with shop.fleet.reading() as work:
        every = signed_ids(work)
        assert [line.person_id for line in signed_lines(work, every)] == [shop.mechanic, shop.inspector]
        assert (
            signed_ids(work, owner_id=shop.owner) == signed_ids(work, aircraft_id=shop.aircraft_id) == every
        )
        assert signed_ids(work, owner_id=shop.inspector) == []
        assert signed_ids(work, order="meaning", descending=False, search="n012") == every[::-1]


STEPS = ("chain locked", "link written", "state written")


@pytest.mark.parametrize("step", STEPS)
def test_a_fault_at_any_step_leaves_nothing_half_done(shop: Shop, step: str) -> None:
    def fail(reached: str) -> None:
        if reached == step:
            raise OSError("the program ends here")

    entry = draft(shop)
    listen(fail)
    try:
        with pytest.raises(OSError, match="ends here"):
            signed(shop, "log_entry", entry, shop.mechanic)
    finally:
        listen()
    with shop.fleet.reading() as work:
        assert last_link(work).link == 0
    assert state_of(shop, entry) == "draft"
    assert whole(shop)


def test_a_card_with_many_notes_is_read_for_signing_by_as_few_queries_as_one_with_a_note(shop: Shop) -> None:
    def queries(notes: int) -> int:
        card_id = card(shop, notes, state="in work", done_on=None)
        for number in range(notes):
            apply(shop.fleet, AddNote(card_id, f"note {number}", shop.mechanic, AT), ANN, TODAY)
        with statements(shop.fleet) as sent, shop.fleet.reading() as work:
            told = card_to_sign(work, card_id).values["notes"]
        assert isinstance(told, list)
        assert [each["by"]["name"] for each in told] == ["Mo Tarn"] * notes
        return len(sent)

    assert queries(1) == queries(5)
