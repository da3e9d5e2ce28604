"""Records and seals that don't match are refused with one clear line, and nothing is recorded."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from annual_planner.store.opening import open_fleet
from annual_planner.store.session import Fleet
from tests.exchange.hand_over.handed import refused, take_in
from tests.exchange.hand_over.repacked import (
    forge_act,
    forge_content,
    with_records,
)

Make = Callable[[bytes], bytes]


def row(table: str, **wants: Any) -> Make:
    """The first row of a table with other values."""
    return lambda good: with_records(good, lambda told: told["tables"][table][0].update(wants))


def record(change: Callable[[dict[str, Any]], Any], at: int = 0) -> Make:
    return lambda good: with_records(good, lambda told: change(told["chains"][0]["records"][at]))


def chain(change: Callable[[dict[str, Any]], Any]) -> Make:
    return lambda good: with_records(good, lambda told: change(told["chains"][0]))


def swap(told: dict[str, Any]) -> None:
    told["records"].reverse()


def moved_signature(told: dict[str, Any]) -> None:
    told["records"][1]["signature"] = told["records"][0]["signature"]


RECORD: dict[str, tuple[Make, str]] = {
    "another form": (
        lambda good: with_records(good, lambda told: told.update(format="x")),
        "another form or version",
    ),
    "another version": (
        lambda good: with_records(good, lambda told: told.update(version=3)),
        "another form or version, this program reads 1 and 2",
    ),
    "a field more": (row("aircraft", wings=3), "don't follow the schema, tables aircraft 0 wings"),
    "a day that is none": (row("work_package", start_on="2026-02-30"), "tables work_package 0 start_on"),
    "a day in the year 9999": (row("requirement", fixed_on="9999-12-31"), "outside the years"),
    "a moment written otherwise": (
        row("worked_time", started_at="2026-05-04T21:30:00,000000Z"),
        "tables worked_time 0 started_at",
    ),
    "hours as a number": (row("meter", offset_hours=1.5), "tables meter 0 offset_hours"),
    "hours beyond all": (row("meter", offset_hours="1e9"), "tables meter 0 offset_hours"),
    "an interval of nothing": (
        row("requirement", every_hours=None, every_calendar_months=0),
        "no due list follows",
    ),
    "two calendar fields": (row("requirement", every_days=5), "no due list follows"),
    "a force that is none": (row("requirement", force="maybe"), "tables requirement 0 force"),
    "a card of another shape": (row("work_card", content={"parts": 7}), "tables work_card 0 content"),
    "a step of no day": (row("discrepancy_step", facts={"until": "soon"}), "tables discrepancy_step 0 facts"),
    "a card of no package": (row("work_card", package_id=77), "refers to work_package 77"),
    "two of one id": (
        lambda good: with_records(
            good, lambda told: told["tables"]["assembly"][1].update(id=told["tables"]["assembly"][0]["id"])
        ),
        "have the same id",
    ),
    "two results of one measurement": (
        lambda good: with_records(
            good,
            lambda told: told["tables"]["card_result"].append({**told["tables"]["card_result"][0], "id": 9}),
        ),
        "don't fit together",
    ),
    "signed words changed": (
        record(lambda each: forge_content(each, "Oil", "Air"), 1),
        "what its signature stands over",
    ),
    "the digest changed": (record(lambda each: each.update(digest="0" * 64)), "not what was signed"),
    "the meaning changed": (record(lambda each: each.update(meaning="supervised")), "its meaning is not"),
    "another signer": (
        record(lambda each: each.update(person="Ina Vell")),
        "signer's name is not the signed one",
    ),
    "another act": (record(lambda each: forge_act(each, clock="late")), "signature is not good"),
    "another key": (
        record(lambda each: each.update(public_key="00" * 32)),
        "signature is not good|stands over",
    ),
    "beside another row": (
        record(lambda each: each.update(row_id=each["subject_id"] + 1)),
        "beside another row than was signed",
    ),
    "beside another visit": (
        record(lambda each: each.update(package_row_id=7)),
        "beside another row than was signed",
    ),
    "a short key": (record(lambda each: each.update(public_key="00")), "signature is not good|stands over"),
    "another seal": (record(lambda each: each.update(seal="0" * 64)), "seal does not match"),
    "another seal before": (
        record(lambda each: each.update(previous_seal="0" * 64), 1),
        "stands over|seal before",
    ),
    "a signature moved": (chain(moved_signature), "signature is not good"),
    "links swapped": (chain(swap), "order"),
    "the end of the chain moved": (chain(lambda told: told.update(last_link=1)), "behind the end"),
    "another last seal": (chain(lambda told: told.update(last_seal="0" * 64)), "not the last one"),
    "content that is no JSON": (record(lambda each: each.update(content="{")), "link 1: its content"),
}


@pytest.mark.parametrize("name", RECORD)
def test_records_and_seals_that_do_not_match_are_refused(name: str, good: bytes, empty: Fleet) -> None:
    make, said = RECORD[name]
    told = refused(empty, make(good))
    assert any(part in told for part in said.split("|")), told


def test_the_good_file_is_taken_in_after_all_of_that(good: bytes, tmp_path: Path) -> None:
    with closing(open_fleet(tmp_path / "next.fleet", create=True)) as fleet:
        assert take_in(fleet, good) == 1
