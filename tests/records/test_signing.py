"""Signing holds: who may, what is shown is what is signed, once, in one transaction, never altered."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

import pytest
from sqlalchemy import event

from annual_planner.records.apply import apply
from annual_planner.records.card_results import AddNote, UsePart
from annual_planner.records.card_work import SetCardState
from annual_planner.records.chain import check_chain
from annual_planner.records.keys import TOO_MANY, MakeKey, WrongPassphrase
from annual_planner.records.people import ChangePerson
from annual_planner.records.signing import NotEntitled, SignRecord, sign
from annual_planner.records.signing_sheet import content_to_sign
from annual_planner.records.standing import signatures_on
from annual_planner.store.named_steps import listen
from annual_planner.store.refusals import ChangedMeanwhile, NeverChanged
from annual_planner.store.session import Fleet
from annual_planner.store.signed_reads import (
    contents_of,
    key_lines,
    last_link,
    link_of,
    open_key,
    signed_ids,
    signed_lines,
)
from annual_planner.store.signed_subjects import card_to_sign
from annual_planner.store.writing import add, change, remove, values_of
from annual_planner.trade.canonical import read_canonical
from annual_planner.trade.people import CertificateKind
from annual_planner.trade.refused import Refused
from annual_planner.trade.signing import AIRWORTHY, KEY_CLOSED, LIST_GIVEN, PERFORMED, SUPERVISED
from tests.fleets import ANN, TODAY
from tests.signing import (
    AT,
    INSTANT,
    OIL,
    ON,
    PHRASE,
    Shop,
    card,
    closed_key,
    draft,
    later,
    new_key,
    shop_in,
    signed,
    signed_annual,
    signed_entry,
)
from tests.trail import newest_lines


@pytest.fixture
def shop(fleet: Fleet) -> Shop:
    return shop_in(fleet)


def sheet_of(shop: Shop, table: str, row_id: int, person_id: int, meaning: str = PERFORMED, **more: object):  # type: ignore[no-untyped-def]
    with shop.fleet.reading() as work:
        return content_to_sign(
            work, table, row_id, person_id=person_id, meaning=meaning, **{"at": AT, **more}
        )  # type: ignore[arg-type]


def whole(shop: Shop) -> bool:
    with shop.fleet.reading() as work:
        return check_chain(work).value.whole


def state_of(shop: Shop, entry_id: int) -> object:
    with shop.fleet.reading() as work:
        return values_of(work, "log_entry", entry_id)["state"]


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


def key_id(shop: Shop, person_id: int) -> int:
    with shop.fleet.reading() as work:
        key = open_key(work, person_id)
    assert key is not None
    return key.key_id


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


def test_nobody_signs_with_the_passphrase_of_another(shop: Shop) -> None:
    sheet = sheet_of(shop, "log_entry", draft(shop), shop.mechanic)
    with pytest.raises(WrongPassphrase):
        sign(shop.fleet, SignRecord(sheet, shop.mechanic, PHRASE.format(shop.manager), AT))
    with pytest.raises(Refused, match="another person"):
        sign(shop.fleet, SignRecord(sheet, shop.inspector, PHRASE.format(shop.inspector), AT))


def test_the_passphrase_is_not_shown_where_the_act_is_printed(shop: Shop) -> None:
    sheet = sheet_of(shop, "log_entry", draft(shop), shop.mechanic)
    assert "otter" not in repr(SignRecord(sheet, shop.mechanic, PHRASE.format(shop.mechanic), AT))
    assert "otter" not in repr(MakeKey(shop.mechanic, PHRASE.format(shop.mechanic), AT, INSTANT))
    with shop.fleet.reading() as work:
        assert "otter" not in repr(newest_lines(work))


def test_tries_wait_longer_and_longer_and_the_tenth_closes_the_key(shop: Shop) -> None:
    entry, at, waits = draft(shop), AT, []
    for number in range(1, 11):
        sheet = sheet_of(shop, "log_entry", entry, shop.mechanic, at=at)
        with pytest.raises(WrongPassphrase):
            sign(shop.fleet, SignRecord(sheet, shop.mechanic, "not the right words", at))
        with shop.fleet.reading() as work:
            key = key_lines(work, shop.mechanic)[-1]
        assert key.failed_tries == number
        until = key.waits_until or at
        if until > at and number < 10:
            soon = until - timedelta(seconds=1)
            early = sheet_of(shop, "log_entry", entry, shop.mechanic, at=soon)
            with pytest.raises(WrongPassphrase, match=r"next try|closed"):
                sign(shop.fleet, SignRecord(early, shop.mechanic, PHRASE.format(shop.mechanic), soon))
        waits.append(until - at)
        at = until
    assert waits == sorted(waits)
    assert waits[2] == timedelta(seconds=30)
    assert waits[8] == timedelta(hours=1)
    assert (key.closed_at is not None, key.closed_why) == (True, TOO_MANY)
    sheet = sheet_of(shop, "log_entry", entry, shop.mechanic, at=at)
    with pytest.raises(Refused, match="no open signing key"):
        sign(shop.fleet, SignRecord(sheet, shop.mechanic, PHRASE.format(shop.mechanic), at))


def test_the_right_passphrase_counts_the_tries_anew(shop: Shop) -> None:
    entry = draft(shop)
    sheet = sheet_of(shop, "log_entry", entry, shop.mechanic)
    with pytest.raises(WrongPassphrase):
        sign(shop.fleet, SignRecord(sheet, shop.mechanic, "not the right words", AT))
    sign(shop.fleet, SignRecord(sheet, shop.mechanic, PHRASE.format(shop.mechanic), AT))
    with shop.fleet.reading() as work:
        assert key_lines(work, shop.mechanic)[-1].failed_tries == 0


def test_a_lost_passphrase_takes_a_second_person_and_a_new_key(shop: Shop) -> None:
    signed_entry(shop)
    old = key_id(shop, shop.mechanic)
    with pytest.raises(Refused, match="second person"):
        new_key(shop.fleet, shop.mechanic)
    assert not sheet_of(shop, "person_key", old, shop.mechanic, KEY_CLOSED).entitled.value.may
    closed_key(shop, old, shop.manager)
    new_key(shop.fleet, shop.mechanic)
    signed_entry(shop)
    with shop.fleet.reading() as work:
        assert [key.closed_at is None for key in key_lines(work, shop.mechanic)] == [False, True]
    assert whole(shop)


def test_a_key_closed_by_too_many_tries_still_takes_a_second_person(shop: Shop) -> None:
    from annual_planner.store.chain_writing import close_key

    with shop.fleet.work("a test") as work:
        close_key(work, key_id(shop, shop.mechanic), AT, TOO_MANY)
    with pytest.raises(Refused, match="isn't signed yet"):
        new_key(shop.fleet, shop.mechanic)


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


def test_a_correction_names_the_old_and_the_reason_and_the_old_stays(shop: Shop) -> None:
    first = draft(shop)
    old = signed(shop, "log_entry", first, shop.mechanic).made_id or 0
    with shop.fleet.reading() as work:
        before = link_of(work, old)
    second = draft(shop, text="It was the right tire.", corrects_id=first, correction_why="wrong side named")
    new = signed(shop, "log_entry", second, shop.mechanic).made_id or 0
    assert (state_of(shop, first), state_of(shop, second)) == ("superseded", "signed")
    with shop.fleet.reading() as work:
        assert link_of(work, old) == before
        told = read_canonical(link_of(work, new).content)
        standing = signatures_on(work, "log_entry", [first, second])
    assert isinstance(told, dict)
    assert told["corrects"]["record"] == old
    assert told["corrects"]["reason"] == "wrong side named"
    assert [standing[first][0].superseded, standing[second][0].holds] == [True, True]
    assert whole(shop)


def test_a_correction_without_a_reason_is_refused(shop: Shop) -> None:
    first = draft(shop)
    signed(shop, "log_entry", first, shop.mechanic)
    with pytest.raises(Refused, match="no reason"):
        sheet_of(shop, "log_entry", draft(shop, corrects_id=first), shop.mechanic)


def test_a_card_changed_after_it_was_signed_shows_as_broken_at_once(shop: Shop) -> None:
    done = card(shop)
    record = signed(shop, "work_card", done, shop.mechanic).made_id or 0
    with shop.fleet.work("Ben Sorrel") as work:
        note = {"card_id": done, "written_at": AT, "text": "One more thing"}
        add(work, "card_note", note, aircraft_id=shop.aircraft_id)
    with shop.fleet.reading() as work:
        (standing,) = signatures_on(work, "work_card", [done])[done]
        faults = check_chain(work).value.faults
    assert standing.changed == ("notes",)
    assert not standing.holds
    assert [(fault.link, fault.record_id, fault.person, fault.registration) for fault in faults] == [
        (record, record, "Mo Tarn", "N012AP")
    ]
    sheet = sheet_of(
        shop, "work_card", done, shop.mechanic, corrects_id=record, correction_why="a note was added"
    )
    sign(shop.fleet, SignRecord(sheet, shop.mechanic, PHRASE.format(shop.mechanic), AT))
    assert whole(shop)


def test_nothing_is_signed_twice(shop: Shop) -> None:
    entry, done = draft(shop), card(shop)
    one = sheet_of(shop, "log_entry", entry, shop.mechanic)
    signed(shop, "log_entry", entry, shop.mechanic)
    signed(shop, "work_card", done, shop.mechanic)
    with pytest.raises(Refused, match="already"):
        sign(shop.fleet, SignRecord(one, shop.mechanic, PHRASE.format(shop.mechanic), AT))
    with pytest.raises(Refused, match="already"):
        sheet_of(shop, "work_card", done, shop.mechanic)


def test_another_name_of_the_signer_leaves_old_signatures_as_they_are(shop: Shop) -> None:
    done = card(shop, done_by_id=shop.mechanic)
    signed(shop, "work_card", done, shop.mechanic)
    apply(shop.fleet, ChangePerson(shop.mechanic, {"name": "Mo Tarn"}, {"name": "Mo Vane"}), "a test", TODAY)
    with shop.fleet.reading() as work:
        (standing,) = signatures_on(work, "work_card", [done])[done]
        content = read_canonical(contents_of(work, [1])[1])
    assert standing.holds
    assert isinstance(content, dict)
    assert content["signer"]["name"] == "Mo Tarn"
    assert whole(shop)


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


@pytest.mark.parametrize(
    "wants", [{"text": "other"}, {"state": "draft"}, {"facts": {}}, {"work_on": date(2026, 5, 3)}]
)
def test_the_database_refuses_to_change_a_signed_entry(shop: Shop, wants: dict[str, object]) -> None:
    entry = draft(shop, facts={"inspection": "annual"})
    signed(shop, "log_entry", entry, shop.mechanic)
    with pytest.raises(NeverChanged), shop.fleet.work("a test") as work:
        change(work, "log_entry", entry, {}, wants)


@pytest.mark.parametrize("table", ["log_entry", "signed_record", "person_key", "audit"])
def test_the_database_refuses_to_remove_what_is_signed(shop: Shop, table: str) -> None:
    signed_entry(shop)
    with pytest.raises(NeverChanged), shop.fleet.work("a test") as work:
        remove(work, table, 1)


@pytest.mark.parametrize(
    ("table", "wants"),
    [
        ("signed_record", {"meaning": "supervised"}),
        ("audit", {"what": "nothing"}),
        ("person_key", {"public_key": b"x"}),
    ],
)
def test_the_database_refuses_to_change_records_keys_and_trail(
    shop: Shop, table: str, wants: dict[str, object]
) -> None:
    signed_entry(shop)
    with pytest.raises(NeverChanged), shop.fleet.work("a test") as work:
        change(work, table, 1, {}, wants)


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
    sent: list[str] = []

    def note(_connection: object, _cursor: object, statement: str, *_: object) -> None:
        sent.append(statement)

    def queries(notes: int) -> int:
        card_id = card(shop, notes, state="in work", done_on=None)
        for number in range(notes):
            apply(shop.fleet, AddNote(card_id, f"note {number}", shop.mechanic, AT), ANN, TODAY)
        event.listen(shop.fleet.engine, "before_cursor_execute", note)
        try:
            sent.clear()
            with shop.fleet.reading() as work:
                told = card_to_sign(work, card_id).values["notes"]
        finally:
            event.remove(shop.fleet.engine, "before_cursor_execute", note)
        assert isinstance(told, list)
        assert [each["by"]["name"] for each in told] == ["Mo Tarn"] * notes
        return len(sent)

    assert queries(1) == queries(5)


def test_nothing_of_a_signed_card_is_taken_back_by_the_way_back_of_an_earlier_edit(shop: Shop) -> None:
    card_id = card(shop, state="in work", done_on=None)
    edits = (
        AddNote(card_id, "left strut", shop.mechanic, AT),
        UsePart(card_id, "gasket", Decimal(1)),
        SetCardState(card_id, "in work", "done", shop.mechanic, AT),
    )
    backs = [apply(shop.fleet, edit, "Mo Tarn", TODAY).back for edit in edits]
    signed(shop, "work_card", card_id, shop.mechanic)
    for back in backs:
        assert back is not None
        with pytest.raises(Refused, match="is signed"):
            apply(shop.fleet, back, "another bench", TODAY)
    with shop.fleet.reading() as work:
        (standing,) = signatures_on(work, "work_card", [card_id])[card_id]
    assert standing.holds
    reopened = SetCardState(card_id, "done", "open", shop.mechanic, AT, "the gasket leaks")
    apply(shop.fleet, reopened, "Mo Tarn", TODAY)
    with shop.fleet.reading() as work:
        assert not signatures_on(work, "work_card", [card_id])[card_id][0].holds, "shown as changed at once"
