"""An engine or a person of the file that is known here is offered as the same; nothing is joined silently."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from annual_planner.exchange.hand_over.reading import opened_hand_over
from annual_planner.records.known import Same
from annual_planner.records.people import AddPerson
from annual_planner.records.pictures import read_picture
from annual_planner.records.taking_in_preview import Preview, preview
from annual_planner.store.hand_over_rows import HandedOver
from annual_planner.store.opening import open_fleet
from annual_planner.store.session import Fleet, Work
from annual_planner.store.writing import add, change, rows_where
from annual_planner.trade.refused import Refused
from tests.exchange.hand_over.handed import file_of, keeper_in, rows_in, take_in
from tests.fleets import TODAY, airplane, made
from tests.signing import MECHANIC

SOLD = date(2025, 6, 1)
MO = replace(MECHANIC, number="0-1702")


@pytest.fixture(scope="module")
def sold(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Path, bytes]]:
    """A fleet that had engine E5 on N034BQ until a day, and the file of N012AP, which has had it since.

    Both wrote down the compression test that was made at the sale.
    """
    folder = tmp_path_factory.mktemp("sold")
    with closing(open_fleet(folder / "next.fleet", create=True)) as fleet:
        made(fleet, airplane("N034BQ", serial="18", read_on=date(2025, 1, 4)))
        with fleet.work("a test") as work:
            stay_id, engine = engine_of(work)
            left = {"airframe_hours_at_removal": Decimal(1600), "assembly_hours_at_removal": Decimal(400)}
            change(work, "installation", stay_id, {}, {"removed_on": SOLD, **left})
            compressed(work, engine, SOLD)
    with closing(open_fleet(folder / "keeper.fleet", create=True)) as fleet:
        keeper_in(fleet)
        with fleet.work("a test") as work:
            _, engine = engine_of(work)
            compressed(work, engine, SOLD)
            compressed(work, engine, TODAY)
        yield folder / "next.fleet", file_of(fleet, folder)[0].read_bytes()


def engine_of(work: Work) -> tuple[int, int]:
    engine = next(key for key, row in rows_where(work, "assembly").items() if row["kind"] == "engine")
    [stay_id] = rows_where(work, "installation", assembly_id=engine)
    return stay_id, engine


def compressed(work: Work, engine: int, on: date) -> None:
    test = {"assembly_id": engine, "tested_on": on, "regulated_psi": 80.0, "safety_ticked": []}
    test_id = add(work, "compression_test", {**test, "engine_hours": Decimal(400)})
    add(work, "cylinder_reading", {"test_id": test_id, "cylinder": 1, "reading_psi": 75.0, "heard": [],
                                   "rechecked": []})  # fmt: skip


@pytest.fixture
def here(sold: tuple[Path, bytes], tmp_path: Path) -> Iterator[Fleet]:
    copy = tmp_path / "next.fleet"
    copy.write_bytes(sold[0].read_bytes())
    with closing(open_fleet(copy)) as fleet:
        yield fleet


def seen(fleet: Fleet, content: bytes, same: Same | None = None) -> tuple[Preview, HandedOver]:
    with fleet.reading() as work, opened_hand_over(content, read_picture) as found:
        return preview(work, found.records, TODAY, same), found.records


def offered(fleet: Fleet, content: bytes, name: str) -> Same:
    told, _ = seen(fleet, content)
    offer = next(each for each in told.offers if each.name == name)
    ids = frozenset({offer.file_id})
    return Same(assemblies=ids) if offer.table == "assembly" else Same(people=ids)


def test_an_engine_known_here_is_offered_and_then_its_life_is_one_line(
    here: Fleet, sold: tuple[Path, bytes]
) -> None:
    same = offered(here, sold[1], "engine E5")
    take_in(here, sold[1], same)
    with here.reading() as work:
        engines = [key for key, row in rows_where(work, "assembly").items() if row["kind"] == "engine"]
        stays = rows_where(work, "installation", assembly_id=engines[0])
        tests = rows_where(work, "compression_test")
    assert len(engines) == 1
    assert [stay["removed_on"] for stay in stays.values()] == [SOLD, None]
    assert sorted(str(row["tested_on"]) for row in tests.values()) == [str(SOLD), str(TODAY)], "none twice"
    assert {row["assembly_id"] for row in tests.values()} == set(engines)


def test_without_a_persons_word_it_stands_twice_and_the_preview_says_so(
    here: Fleet, sold: tuple[Path, bytes]
) -> None:
    told, _ = seen(here, sold[1])
    assert {offer.name for offer in told.offers} == {"propeller P5", "engine E5"}
    assert any("propeller P5 is as one known here" in each for each in told.remarks)
    take_in(here, sold[1])
    with here.reading() as work:
        assert len([1 for row in rows_where(work, "assembly").values() if row["kind"] == "engine"]) == 2


def test_what_is_on_another_airplane_at_the_same_time_is_not_the_same(
    here: Fleet, sold: tuple[Path, bytes]
) -> None:
    same = offered(here, sold[1], "propeller P5")
    told, _ = seen(here, sold[1])
    clash = next(each.why_not for each in told.offers if each.name == "propeller P5")
    assert "on N034BQ from 4 Jan 2025 and is fitted to it" in clash
    assert "Write on the page of N034BQ when it was removed" in clash
    before = rows_in(here)
    with pytest.raises(Refused, match="propeller P5 can't be the one known here"):
        take_in(here, sold[1], same)
    assert rows_in(here) == before


@pytest.mark.parametrize(("number", "why_not"), [("0-1702", ""), ("0-1999", "certificate numbers")])
def test_a_person_of_the_same_name_is_offered_only_with_the_same_certificate(
    here: Fleet, sold: tuple[Path, bytes], number: str, why_not: str
) -> None:
    mo = made(here, AddPerson("Mo Tarn", ("mechanic",), certificates=(replace(MO, number=number),)))
    told, records = seen(here, sold[1])
    [offer] = [each for each in told.offers if each.table == "person"]
    assert why_not in offer.why_not
    assert bool(offer.why_not) == bool(why_not)
    assert any(each.startswith("'Mo Tarn' is somebody or something else here") for each in told.remarks)
    if why_not:
        with pytest.raises(Refused, match="Mo Tarn can't be the one known here"):
            take_in(here, sold[1], Same(people=frozenset({offer.file_id})))
        return
    take_in(here, sold[1], Same(people=frozenset({offer.file_id})))
    with here.reading() as work:
        assert [key for key, row in rows_where(work, "person").items() if "Tarn" in str(row["name"])] == [mo]
        assert {row["done_by_id"] for row in rows_where(work, "work_card").values()} == {mo}
    assert records.aircraft["registration"] == "N012AP"


def test_a_person_without_a_certificate_stays_apart(here: Fleet, sold: tuple[Path, bytes]) -> None:
    made(here, AddPerson("Mo Tarn", ("mechanic",)))
    [offer] = [each for each in seen(here, sold[1])[0].offers if each.table == "person"]
    assert offer.why_not == "no certificate is written down here"
