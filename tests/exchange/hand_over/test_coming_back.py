"""An airplane that was handed over comes back: what is new is recorded beside what is here, nothing twice."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from annual_planner.exchange.hand_over.reading import opened_hand_over
from annual_planner.exchange.hand_over.taking import shown_file
from annual_planner.records.chain import check_chain
from annual_planner.records.joining import RECEIVED
from annual_planner.records.known import Same
from annual_planner.records.pictures import read_picture
from annual_planner.records.received import check_received
from annual_planner.records.taking_in_preview import Preview, preview
from annual_planner.store.fleet_reads import find_aircraft, fleet_ids
from annual_planner.store.hand_over_reads import handed_over, references
from annual_planner.store.opening import open_fleet
from annual_planner.store.received_reads import received_chains
from annual_planner.store.session import Fleet
from annual_planner.store.signed_reads import last_link, signed_ids
from annual_planner.store.writing import change, rows_where
from annual_planner.trade.refused import Refused
from tests.exchange.hand_over.coming_back import BACK, SECOND, back_from
from tests.exchange.hand_over.handed import KEEPER, REGISTRATION, SIGNED, file_of, keeper_in, rows_in, take_in
from tests.exchange.hand_over.repacked import with_records
from tests.signing import MECHANIC, Shop, card, later, person_with_key, shop_in, signed, signed_entry
from tests.trail import newest_lines

AGAIN = Same(airplane=True)


@pytest.fixture(scope="module")
def away(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[bytes, Path, bytes]]:
    """What the first keeper handed over, their fleet, and what the second one hands back after some work."""
    folder = tmp_path_factory.mktemp("away")
    with closing(open_fleet(folder / "first.fleet", create=True)) as first:
        keeper_in(first)
        gone = file_of(first, folder)[0].read_bytes()
    back = back_from(gone, folder)
    return gone, folder / "first.fleet", back


@pytest.fixture
def first(away: tuple[bytes, Path, bytes], tmp_path: Path) -> Iterator[Fleet]:
    """The first keeper's fleet, which still has the old records."""
    copy = tmp_path / "first.fleet"
    copy.write_bytes(away[1].read_bytes())
    with closing(open_fleet(copy)) as fleet:
        yield fleet


def seen(fleet: Fleet, content: bytes, same: Same | None = None) -> Preview:
    with fleet.reading() as work, opened_hand_over(content, read_picture) as found:
        return preview(work, found.records, BACK, same)


def in_words(fleet: Fleet) -> dict[str, list[str]]:
    """Every row of the airplane with its references in words, sorted: two fleets can be compared."""
    with fleet.reading() as work:
        tables = handed_over(work, find_aircraft(work, REGISTRATION), keeper="", handed_on=BACK).tables
    rows = {(name, row["id"]): row for name, each in tables.items() for row in each}

    def told(name: str, row: Any) -> str:
        found = {key: value for key, value in row.items() if key not in ("id", "content", "facts")}
        for column, target in references(name).items():
            if found.get(column) is not None:
                found[column] = told(target, rows[target, found[column]]) if target != name else "one"
        if name == "filed_paper":
            found["title"] = str(row["title"]).removeprefix(RECEIVED)
        if name == "work_card":
            found.pop("discrepancy_id")
        if name == "discrepancy":
            found.pop("card_id")
        return str(sorted(found.items(), key=str))

    return {name: sorted(told(name, row) for row in each) for name, each in tables.items()}


def test_what_is_new_is_recorded_beside_what_is_here_and_nothing_stands_twice(
    first: Fleet, away: tuple[bytes, Path, bytes], tmp_path: Path
) -> None:
    with first.reading() as work:
        chain_before, signed_before = last_link(work), signed_ids(work)
        before = {name: rows_where(work, name) for name in ("meter_reading", "work_card", "compliance")}
    aircraft_id = take_in(first, away[2], AGAIN)
    with first.reading() as work:
        assert len(list(fleet_ids(work))) == 1
        assert (last_link(work), signed_ids(work)) == (chain_before, signed_before)
        assert check_chain(work).value.faults == ()
        [chain] = received_chains(work, aircraft_id)
        assert (chain.keeper, len(chain.links)) == (SECOND, 2)
        assert check_received(work) == (2, [])
        for name, rows in before.items():
            now = rows_where(work, name)
            assert {key: now[key] for key in rows} == rows, "what was here is as it was"
        assert len(rows_where(work, "meter_reading")) == len(before["meter_reading"]) + 1
        [stay] = [row for row in rows_where(work, "installation").values() if row["removed_on"]]
        assert stay["assembly_hours_at_removal"] == Decimal(525)
    with closing(open_fleet(tmp_path / "second.fleet", create=True)) as second:
        take_in(second, away[2])
        assert in_words(first) == in_words(second)


def test_it_works_on_either_database(fleet: Fleet, away: tuple[bytes, Path, bytes]) -> None:
    take_in(fleet, away[0])
    take_in(fleet, away[2], AGAIN)
    with fleet.reading() as work:
        chains = received_chains(work)
        assert [(chain.keeper, len(chain.links)) for chain in chains] == [(KEEPER, SIGNED), (SECOND, 2)]
        assert check_received(work) == (SIGNED + 2, [])
    before = rows_in(fleet)
    with pytest.raises(Refused, match="is in this fleet already, and the file holds nothing more"):
        seen(fleet, away[2])
    assert rows_in(fleet) == before


def test_the_preview_says_until_when_it_is_known_and_what_is_more(
    first: Fleet, away: tuple[bytes, Path, bytes]
) -> None:
    told = seen(first, away[2])
    assert told.again[0] == f"{REGISTRATION} is known here up to 4 May 2026; the file goes to 20 May 2026"
    assert f"signed here: {SIGNED} signed records in the file, each as it was signed here" in told.again
    assert any(line.startswith("new: meter readings 1, work packages 1, cards 1") for line in told.again)
    assert "new: 2 signed records of other keepers, kept as received" in told.again
    assert any("installation of 4 Jan 2026: removed on" in each for each in told.remarks)
    assert any("discrepancy Brake drags: state" in each for each in told.remarks)
    assert not any("here and not in the file" in each for each in told.remarks)


def test_without_a_persons_word_nothing_is_joined(first: Fleet, away: tuple[bytes, Path, bytes]) -> None:
    before = rows_in(first)
    with pytest.raises(Refused, match="is in this fleet already"):
        take_in(first, away[2])
    assert rows_in(first) == before


def test_what_goes_on_has_its_line_in_the_trail(first: Fleet, away: tuple[bytes, Path, bytes]) -> None:
    take_in(first, away[2], AGAIN)
    with first.reading() as work:
        lines = newest_lines(work, find_aircraft(work, REGISTRATION))
    told = next(each for each in lines if each.what.startswith("changed discrepancy, as it came back"))
    assert (told.before["state"], told.after["state"]) == ("found", "judged")
    assert lines[0].what == f"took in {REGISTRATION} from {SECOND}"


def test_what_was_signed_here_stays_though_the_file_says_otherwise(
    first: Fleet, away: tuple[bytes, Path, bytes]
) -> None:
    def change_card(told: dict[str, Any]) -> None:
        told["tables"]["work_card"][0].update(state="open", done_on=None)
        told["tables"]["card_note"].append({**told["tables"]["card_note"][0], "id": 99, "text": "more"})
        told["tables"]["meter_reading"][0].update(note="another word")

    content = with_records(away[2], change_card)
    told = seen(first, content)
    assert any(
        "stays as it is here: work card Change the oil: state, done on" in each for each in told.remarks
    )
    assert any("stays as it is here: meter reading" in each for each in told.remarks)
    assert "1 rows of card note on cards that were signed here are left out" in told.remarks
    with first.reading() as work:
        before = {name: rows_where(work, name) for name in ("card_note", "card_result")}
        cards = rows_where(work, "work_card")
    take_in(first, content, AGAIN)
    with first.reading() as work:
        assert {name: rows_where(work, name) for name in before} == before
        assert {key: rows_where(work, "work_card")[key] for key in cards} == cards


def test_another_airplane_in_the_way_is_named_with_what_to_do(
    first: Fleet, away: tuple[bytes, Path, bytes]
) -> None:
    with first.work("a test") as work:
        change(work, "aircraft", 1, {}, {"serial": "18"})
    with pytest.raises(Refused, match="N012AP is in this fleet already, as Harrow Kestrel 2, serial 18"):
        seen(first, away[2])
    with first.work("a test") as work:
        change(work, "aircraft", 1, {}, {"serial": "17", "registration": "N034BQ"})
    with pytest.raises(Refused, match="The airplane is in this fleet already, as N034BQ") as caught:
        seen(first, away[2])
    assert "change it on its page too" in caught.value.remedy
    assert "--" not in caught.value.remedy


def test_what_came_to_its_end_here_is_not_opened_again(first: Fleet, away: tuple[bytes, Path, bytes]) -> None:
    ended = {"closed_on": BACK, "state": "closed"}
    with first.work("a test") as work:
        [package_id] = rows_where(work, "work_package")
        change(work, "work_package", package_id, {}, ended)
        [stay] = [key for key, row in rows_where(work, "installation").items() if row["position"] == 1][1:2]
        change(work, "installation", stay, {}, {"removed_on": date(2026, 5, 5)})
        stays = rows_where(work, "installation")
    told = seen(first, away[2])
    assert any(
        "stays as it is here: work package Annual inspection: state, closed on" in r for r in told.remarks
    )
    take_in(first, away[2], AGAIN)
    with first.reading() as work:
        kept = rows_where(work, "work_package")[package_id]
        assert {name: kept[name] for name in ended} == ended
        assert rows_where(work, "installation")[stay] == stays[stay]


def test_another_person_of_the_same_name_with_the_second_keeper_stays_apart(
    first: Fleet, away: tuple[bytes, Path, bytes], tmp_path: Path
) -> None:
    with closing(open_fleet(tmp_path / "second.fleet", create=True)) as second:
        other = person_with_key(second, "Mo Tarn", ("mechanic",), (replace(MECHANIC, number="0-1999"),))
        shop = Shop(second, other, other, other, other, take_in(second, away[0]))
        signed(shop, "work_card", card(shop, 7, done_by_id=other), other, at=later(days=3))
        (tmp_path / "back").mkdir()
        back = file_of(second, tmp_path / "back")[0].read_bytes()
    told = seen(first, back)
    apart = "Mo Tarn is as one known here (the same name); they stay apart: their certificate numbers"
    assert any(each.startswith(apart) for each in told.remarks)
    assert "taken for the people whom its records name here: Mo Tarn (records of N012AP)" in told.remarks
    take_in(first, back, AGAIN)
    with first.reading() as work:
        people = {str(row["name"]): key for key, row in rows_where(work, "person").items()}
        done = {row["number"]: row["done_by_id"] for row in rows_where(work, "work_card").values()}
        assert len(rows_where(work, "worked_time")) == 1
    assert done == {1: people["Mo Tarn"], 7: people["Mo Tarn (records of N012AP)"]}


def test_a_chain_that_goes_another_way_is_refused(tmp_path: Path) -> None:
    here, there = tmp_path / "here.fleet", tmp_path / "there.fleet"
    with closing(open_fleet(here, create=True)) as fleet:
        shop = shop_in(fleet)
        signed_entry(shop, text="Oil changed")
    there.write_bytes(here.read_bytes())  # a back-up that somebody worked on
    with closing(open_fleet(there)) as fleet:
        signed_entry(replace(shop, fleet=fleet), text="Left tyre changed", at=later(days=1))
        out, _ = file_of(fleet, tmp_path)
    with closing(open_fleet(here)) as fleet:
        assert (
            "new: 1 signed record of other keepers, kept as received" in seen(fleet, out.read_bytes()).again
        )
        signed_entry(replace(shop, fleet=fleet), text="Right tyre changed", at=later(days=2))
        with pytest.raises(Refused, match=r"link 2 of .* is not the one that was signed here"):
            seen(fleet, out.read_bytes())


def test_a_link_of_this_fleet_that_the_file_leaves_out_is_named(
    first: Fleet, away: tuple[bytes, Path, bytes]
) -> None:
    content = with_records(away[2], lambda told: told["chains"][0]["records"].pop(1))
    assert "signed here before it went, and not in the file: link 2" in seen(first, content).remarks


def test_an_airplane_that_goes_and_comes_twice_brings_the_new_links_alone(
    first: Fleet, away: tuple[bytes, Path, bytes], tmp_path: Path
) -> None:
    take_in(first, away[2], AGAIN)
    out, given = file_of(first, tmp_path)
    assert given.signed == SIGNED + 2
    with closing(open_fleet(tmp_path / "third.fleet", create=True)) as third:
        aircraft_id = take_in(third, out)
        person = person_with_key(third, "Cy Moor", ("mechanic",), (MECHANIC,))
        signed_entry(Shop(third, person, person, person, person, aircraft_id), person, at=later(days=9))
        (tmp_path / "again").mkdir()
        back, _ = file_of(third, tmp_path / "again")
    with shown_file(first, back, BACK, read_picture) as shown:
        assert "new: 1 signed record of other keepers, kept as received" in shown.preview.again
    take_in(first, back, AGAIN)
    with first.reading() as work:
        assert [len(chain.links) for chain in received_chains(work)] == [2, 1]
        assert check_received(work) == (3, [])
