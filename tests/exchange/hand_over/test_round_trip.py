"""What one fleet hands over, the next one has: records, due list, engine page, and seals that hold."""

from __future__ import annotations

import json
import zipfile
from collections.abc import Iterator
from contextlib import closing
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import text
from sqlalchemy.exc import DBAPIError

from annual_planner.exchange.hand_over.reading import opened_hand_over
from annual_planner.library.shelf import load_library
from annual_planner.planning.engine_values import engine_as_values
from annual_planner.planning.engines import read_engine
from annual_planner.records.apply import apply
from annual_planner.records.chain import check_chain
from annual_planner.records.joining import RECEIVED
from annual_planner.records.received import check_received
from annual_planner.records.taking_in import TakeIn
from annual_planner.records.taking_in_preview import preview
from annual_planner.store.filed_reads import paper_lines, paper_pdf
from annual_planner.store.fleet_reads import due_page, find_aircraft
from annual_planner.store.hand_over_reads import handed_over
from annual_planner.store.hand_over_rows import HandedOver
from annual_planner.store.opening import open_fleet
from annual_planner.store.received_reads import received_chains
from annual_planner.store.session import Fleet
from annual_planner.store.signed_reads import last_link, signed_ids
from annual_planner.trade.refused import Refused
from demo_fleet.loader import DEMO_AIRPLANE, DEMO_TODAY
from tests.exchange.hand_over.handed import (
    KEEPER,
    PDF,
    REGISTRATION,
    SIGNED,
    file_of,
    keeper_in,
    rows_in,
    take_in,
)
from tests.exchange.hand_over.repacked import with_records
from tests.fleets import TODAY
from tests.signing import AT
from tests.trail import newest_lines


@pytest.fixture
def next_fleet(tmp_path: Path) -> Iterator[Fleet]:
    with closing(open_fleet(tmp_path / "next.fleet", create=True)) as fleet:
        yield fleet


def records_of(fleet: Fleet, registration: str = REGISTRATION) -> HandedOver:
    with fleet.reading() as work:
        aircraft_id = find_aircraft(work, registration)
        return handed_over(work, aircraft_id, keeper="the same", handed_on=date(2026, 5, 4))


def in_words(records: HandedOver) -> dict[str, list[Any]]:
    """The rows with each reference by what it refers to, so that two fleets can be compared."""
    ids = {(name, row["id"]): n for name, rows in records.tables.items() for n, row in enumerate(rows)}
    from annual_planner.store.hand_over_reads import references

    def told(name: str, row: Any) -> dict[str, Any]:
        found = {key: value for key, value in row.items() if key != "id"}
        for column, target in references(name).items():
            if found.get(column) is not None:
                found[column] = ids[target, found[column]]
        if name == "work_card":
            found["content"] = {**row["content"], "requirements": len(row["content"].get("requirements", ()))}
        if name == "discrepancy_step":
            found["facts"] = {**row["facts"], "card": ids.get(("work_card", row["facts"].get("card")))}
        if name == "filed_paper":
            found["title"] = row["title"].removeprefix(RECEIVED)
        return found

    return {name: [told(name, row) for row in rows] for name, rows in records.tables.items()}


def test_the_next_fleet_has_the_same_records_and_received_signatures_that_hold(
    fleet: Fleet, next_fleet: Fleet, tmp_path: Path
) -> None:
    keeper_in(fleet)
    path, given = file_of(fleet, tmp_path)
    aircraft_id = take_in(next_fleet, path)
    assert given.signed == SIGNED
    assert in_words(records_of(next_fleet)) == in_words(records_of(fleet))
    with next_fleet.reading() as work:
        assert check_received(work) == (SIGNED, [])
        [chain] = received_chains(work, aircraft_id)
        assert (chain.keeper, chain.taken_by) == (KEEPER, "Next Keeper")
        assert signed_ids(work, aircraft_id=aircraft_id) == []
        assert (last_link(work).link, check_chain(work).value.faults) == (0, ())
        [paper] = paper_lines(work, aircraft_id=aircraft_id)
        assert (paper.title, paper_pdf(work, paper.paper_id)) == (f"{RECEIVED}Package", PDF)
        assert newest_lines(work)[0].what == f"took in {REGISTRATION} from {KEEPER}"


def test_taking_in_works_on_the_other_database_too(fleet: Fleet, next_fleet: Fleet, tmp_path: Path) -> None:
    keeper_in(next_fleet)
    path, _ = file_of(next_fleet, tmp_path)
    take_in(fleet, path)
    assert in_words(records_of(fleet)) == in_words(records_of(next_fleet))
    with fleet.reading() as work:
        assert check_received(work) == (SIGNED, [])


def test_the_demo_airplane_keeps_its_due_list_and_its_engine(
    next_fleet: Fleet, sample: Path, tmp_path: Path
) -> None:
    with closing(open_fleet(sample, read_only=True)) as demo:
        path, _ = file_of(demo, tmp_path, DEMO_AIRPLANE)
        before = seen(demo)
    take_in(next_fleet, path)
    assert seen(next_fleet) == before


def seen(fleet: Fleet) -> Any:
    """The due list and the engine page, without what is the fleet's own: ids, and the shop's drawer."""
    library = load_library(None)
    with fleet.reading() as work:
        aircraft_id = find_aircraft(work, DEMO_AIRPLANE)
        dues = [
            (line.title, line.state, line.due_on, line.due_hours, line.forecast_on, line.last_on)
            for line in due_page(work, aircraft_id=aircraft_id, limit=1000)
        ]
        engine = engine_as_values(read_engine(work, aircraft_id, 1, library, DEMO_TODAY))
    own = ("spares", "outlook", "demo")
    return dues, without(own, engine)


def without(own: tuple[str, ...], value: Any) -> Any:
    if isinstance(value, dict):
        kept = {key: each for key, each in value.items() if not key.endswith("id") and key not in own}
        return {key: without(own, each) for key, each in kept.items()}
    return [without(own, each) for each in value] if isinstance(value, list) else value


def test_the_same_records_give_the_same_bytes_and_no_private_key(next_fleet: Fleet, tmp_path: Path) -> None:
    fleet = next_fleet
    shop = keeper_in(fleet)
    (tmp_path / "again").mkdir()
    first, second = file_of(fleet, tmp_path)[0], file_of(fleet, tmp_path / "again")[0]
    content = first.read_bytes()
    assert content == second.read_bytes()
    with zipfile.ZipFile(first) as parts:
        told = json.loads(parts.read("records.json"))
    assert not {"wrapped_key", "salt", "wrapping", "passphrase"} & words_in(told)
    assert {row["name"] for row in told["tables"]["person"]} == {"Mo Tarn"}
    assert "Ola Finch" not in json.dumps(told), f"the owner {shop.owner} stays with the keeper"


def words_in(value: Any) -> set[str]:
    if isinstance(value, dict):
        return set(value).union(*(words_in(each) for each in value.values()))
    return set().union(*(words_in(each) for each in value)) if isinstance(value, list) else set()


def test_an_airplane_is_taken_in_once(next_fleet: Fleet, good: bytes) -> None:
    take_in(next_fleet, good)
    before = rows_in(next_fleet)
    with pytest.raises(Refused, match="N012AP is in this fleet already"):
        take_in(next_fleet, good)
    assert rows_in(next_fleet) == before


def test_the_third_keeper_gets_what_both_before_signed(
    next_fleet: Fleet, good: bytes, tmp_path: Path
) -> None:
    take_in(next_fleet, good)
    second, given = file_of(next_fleet, tmp_path)
    assert given.signed == SIGNED
    with closing(open_fleet(tmp_path / "third.fleet", create=True)) as third:
        take_in(third, second)
        with third.reading() as work:
            chains = received_chains(work)
            assert [len(chain.links) for chain in chains] == [SIGNED, 0]
            assert check_received(work) == (SIGNED, [])
        assert in_words(records_of(third)) == in_words(records_of(next_fleet))


def test_the_preview_says_what_would_be_recorded_and_records_nothing(empty: Fleet, good: bytes) -> None:
    with empty.reading() as work, opened_hand_over(good) as found:
        shown = preview(work, found.records, TODAY)
    assert rows_in(empty) == 0
    assert f"handed over by {KEEPER} on {TODAY}" in shown.lines[0]
    assert "cards 1, discrepancies 1, steps of discrepancies 1" in shown.lines[1]
    assert any("Mo Tarn, key " in line for line in shown.lines)
    assert any("never count as signatures of this fleet" in remark for remark in shown.remarks)


def test_a_row_that_no_longer_says_what_was_signed_is_told_and_kept_in_the_trail(
    next_fleet: Fleet, good: bytes
) -> None:
    def change(told: dict[str, Any]) -> None:
        told["tables"]["card_result"][0]["value"] = 0.2

    with opened_hand_over(with_records(good, change)) as found:
        with next_fleet.reading() as work:
            shown = preview(work, found.records, TODAY)
        apply(next_fleet, TakeIn(found.records, found.sha256, found, AT, shown.changed), "Next", TODAY)
    [said] = shown.changed
    assert said == "link 1, signed by Mo Tarn: the card was changed after it was signed: results"
    assert said in shown.remarks
    with next_fleet.reading() as work:
        assert newest_lines(work)[0].after["changed after signing"] == [said]
        assert check_received(work) == (SIGNED, [])


def test_the_preview_shows_what_falls_due_first(empty: Fleet, good: bytes) -> None:
    with empty.reading() as work, opened_hand_over(good) as found:
        shown = preview(work, found.records, TODAY)
    assert shown.changed == ()
    assert [line for line in shown.lines if line.startswith("due: Annual inspection")]


def test_what_was_received_is_never_changed_or_removed_on_either_database(fleet: Fleet, good: bytes) -> None:
    take_in(fleet, good)
    statements = [
        "UPDATE received_record SET person = 'x'",
        "UPDATE received_chain SET keeper = 'x'",
        "DELETE FROM received_record",
        "DELETE FROM received_chain",
    ]
    if fleet.path is None:
        statements += ["TRUNCATE received_record", "TRUNCATE received_chain CASCADE"]
    for statement in statements:
        with (
            pytest.raises(DBAPIError, match="what is signed is never changed"),
            fleet.engine.execution_options(fleet_write=True).begin() as connection,
        ):
            connection.execute(text(statement))
    with fleet.reading() as work:
        assert check_received(work) == (SIGNED, [])
