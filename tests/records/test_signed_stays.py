"""What is signed stays as it is: it is corrected by a new record, and the database refuses the rest."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from annual_planner.records.apply import apply
from annual_planner.records.card_results import AddNote, UsePart
from annual_planner.records.card_work import SetCardState
from annual_planner.records.chain import check_chain
from annual_planner.records.people import ChangePerson
from annual_planner.records.signing import SignRecord, sign
from annual_planner.records.standing import signatures_on
from annual_planner.store.refusals import NeverChanged
from annual_planner.store.session import Fleet
from annual_planner.store.signed_reads import contents_of, link_of
from annual_planner.store.writing import add, change, remove
from annual_planner.trade.canonical import read_canonical
from annual_planner.trade.refused import Refused
from tests.fleets import TODAY
from tests.signing import (
    AT,
    PHRASE,
    Shop,
    card,
    draft,
    sheet_of,
    shop_in,
    signed,
    signed_entry,
    state_of,
    whole,
)


@pytest.fixture
def shop(fleet: Fleet) -> Shop:
    return shop_in(fleet)


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
