"""A good file changed in any way is taken in whole or refused; it never crashes and never leaves a row."""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import closing
from copy import deepcopy
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from annual_planner.exchange.hand_over.reading import opened_hand_over
from annual_planner.records.known import Same
from annual_planner.records.pictures import read_picture
from annual_planner.records.taking_in import TakeIn
from annual_planner.records.taking_in_preview import preview
from annual_planner.store.opening import open_fleet
from annual_planner.store.session import Fleet
from annual_planner.trade.refused import Refused
from tests.exchange.hand_over.coming_back import back_from
from tests.exchange.hand_over.handed import rows_in, take_in
from tests.exchange.hand_over.repacked import RECORDS, listed, parts_of
from tests.fleets import TODAY
from tests.signing import AT

QUICK = settings(
    max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow]
)
ODD: list[Any] = [
    None, True, -1, 0, 2**31, 2**70, 0.5, "", "x", "9999-12-31", "1900-01-01", "-0.0", "-5", "9999999.99",
    [], [[]], {}, {"id": 1}, "0" * 64, "\u202e", "1T",
]  # fmt: skip


class TakenBack(Exception):  # noqa: N818 - no fault: it ends what went well
    """Ends a taking-in that went well, so that the next example finds an empty fleet."""


def tried(fleet: Fleet, content: bytes) -> None:
    """Take it in and take that back. Refused and nothing else may be raised."""
    try:
        with opened_hand_over(content, read_picture) as found, fleet.work("a test") as work:
            TakeIn(found.records, found.sha256, found, AT).apply(work, TODAY)
            raise TakenBack
    except (Refused, TakenBack):
        assert rows_in(fleet) == 0


@QUICK
@given(data=st.data())
def test_bytes_changed(good: bytes, empty: Fleet, data: st.DataObject) -> None:
    found = bytearray(good)
    for _ in range(data.draw(st.integers(1, 4))):
        at = data.draw(st.integers(0, len(found) - 1))
        piece = data.draw(st.binary(max_size=6))
        found[at : at + data.draw(st.integers(0, 6))] = piece
    tried(empty, bytes(found))


@QUICK
@given(data=st.data())
def test_parts_left_out_swapped_or_changed_under_a_manifest_that_fits(
    good: bytes, empty: Fleet, data: st.DataObject
) -> None:
    parts = parts_of(good)
    for _ in range(data.draw(st.integers(1, 2))):
        name = data.draw(st.sampled_from(sorted(parts)))
        other = data.draw(st.sampled_from([*sorted(parts), "nothing", "junk"]))
        parts[name] = {"nothing": b"", "junk": data.draw(st.binary(max_size=40))}.get(
            other, parts.get(other, b"")
        )
    tried(empty, listed(parts))


@settings(max_examples=100, suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow])
@given(data=st.data())
def test_values_of_the_records_changed_under_digests_that_fit(
    good: bytes, empty: Fleet, data: st.DataObject
) -> None:
    parts = parts_of(good)
    told = json.loads(parts[RECORDS])
    for _ in range(data.draw(st.integers(1, 3))):
        change_somewhere(told, data)
    parts[RECORDS] = json.dumps(told).encode()
    tried(empty, listed(parts))


@pytest.fixture(scope="module")
def known(tmp_path_factory: pytest.TempPathFactory, good: bytes) -> Iterator[tuple[Fleet, bytes]]:
    """A fleet that knows the airplane, and the file with which it comes back."""
    folder = tmp_path_factory.mktemp("known")
    with closing(open_fleet(folder / "first.fleet", create=True)) as fleet:
        take_in(fleet, good)
        yield fleet, back_from(good, folder)


@settings(QUICK, max_examples=30)
@given(data=st.data())
def test_what_comes_back_changed_anyhow_is_added_whole_or_refused(
    known: tuple[Fleet, bytes], data: st.DataObject
) -> None:
    fleet, back = known
    parts = parts_of(back)
    told = json.loads(parts[RECORDS])
    for _ in range(data.draw(st.integers(1, 3))):
        change_somewhere(told["tables"], data)
    parts[RECORDS] = json.dumps(told).encode()
    before = rows_in(fleet)
    try:
        with opened_hand_over(listed(parts), read_picture) as found, fleet.work("a test") as work:
            preview(work, found.records, TODAY)
            TakeIn(found.records, found.sha256, found, AT, same=Same(airplane=True)).apply(work, TODAY)
            raise TakenBack
    except (Refused, TakenBack):
        assert rows_in(fleet) == before


def change_somewhere(value: Any, data: st.DataObject) -> None:
    """Walk down by chance and put something odd, something of elsewhere, or nothing, in a place."""
    while True:
        keys = sorted(value) if isinstance(value, dict) else list(range(len(value)))
        if not keys:
            return
        key = data.draw(st.sampled_from(keys))
        below = value[key]
        if isinstance(below, dict | list) and below and data.draw(st.integers(0, 9)):
            value = below
            continue
        if data.draw(st.booleans()):
            value[key] = deepcopy(data.draw(st.sampled_from(ODD)))
        elif isinstance(value, list):
            value.append(deepcopy(below))
        else:
            value[key] = deepcopy(value[data.draw(st.sampled_from(keys))])
        return
