"""A key opens by its passphrase alone; tries are counted, and a lost one takes a second person."""

from __future__ import annotations

from datetime import timedelta

import pytest

from annual_planner.records.keys import TOO_MANY, MakeKey, WrongPassphrase
from annual_planner.records.signing import SignRecord, sign
from annual_planner.store.session import Fleet
from annual_planner.store.signed_reads import key_lines
from annual_planner.trade.refused import Refused
from annual_planner.trade.signing import KEY_CLOSED
from tests.signing import (
    AT,
    INSTANT,
    PHRASE,
    Shop,
    closed_key,
    draft,
    key_id,
    new_key,
    sheet_of,
    shop_in,
    signed_entry,
    whole,
)
from tests.trail import newest_lines


@pytest.fixture
def shop(fleet: Fleet) -> Shop:
    return shop_in(fleet)


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
