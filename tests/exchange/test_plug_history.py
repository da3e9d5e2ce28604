"""A file of plugs and tests is shown before it is written, and written whole or not at all."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from sqlalchemy import text as sql

from annual_planner.exchange.history_edit import ApplyHistory
from annual_planner.exchange.history_layout import HEADINGS
from annual_planner.exchange.history_out import history_csv
from annual_planner.exchange.plug_history import HistoryPreview, read_plug_history
from annual_planner.library.shelf import load_library
from annual_planner.planning.engines import read_engine
from annual_planner.records.apply import apply
from annual_planner.store.fleet_reads import find_aircraft
from annual_planner.store.opening import open_fleet
from annual_planner.store.plug_facts import open_stays
from annual_planner.store.plug_reads import engine_history, engine_places
from annual_planner.store.session import Fleet
from annual_planner.trade.refused import Refused
from demo_fleet.loader import DEMO_TODAY

LIBRARY = load_library()
ENGINE = LIBRARY.engine("wrenlake_o4")
GOOD = """record,date,engine_hours,tag,type,place,stage,gap_in,cylinder,reading_psi,until,until_hours
plug,,,X1,brannock_m18,,,,,,,
stay,2024-05-01,700,X1,,1T,,,,,2025-05-01,800
look,2025-05-01,800,X1,,1T,before cleaning,0.019|0.020,,,,
reading,2025-05-01,800,,,,,,1,76,,
reading,2025-05-01,800,,,,,,2,71,,
"""


def read(text: str | Path) -> HistoryPreview:
    return read_plug_history(text, engine=ENGINE, shelf=LIBRARY, today=DEMO_TODAY)


@pytest.fixture
def fleet(own_sample: Path) -> Iterator[Fleet]:
    with closing(open_fleet(own_sample)) as opened:
        yield opened


def engine_of(fleet: Fleet, registration: str) -> int:
    with fleet.reading() as work:
        return engine_places(work, find_aircraft(work, registration))[0].assembly_id


def test_a_good_file_says_what_it_holds() -> None:
    preview = read(GOOD)
    assert preview.faults == ()
    assert preview.said == "1 plug, 1 stay, 1 look, 1 compression test, 2 readings"


@pytest.mark.parametrize(
    ("was", "now", "said"),
    [
        ("0.019|0.020", "=1+1", "line 4, column gap_in: '=1+1' begins like a formula"),
        ("2024-05-01", "01.05.2024", "line 3, column date: '01.05.2024' is no day"),
        (",1T,,,,,2025", ",9T,,,,,2025", "line 3, column place: Wrenlake O-4 has no place 9T"),
        ("brannock_m18", "brannock_m81", "line 2, column type: The library has no plug type"),
        ("brannock_m18", "quillfire_m14", "line 2, column type: Wrenlake O-4 takes"),
        ("stay,", "sojourn,", "line 3, column record: 'sojourn' is none of"),
        (",2,71,", ",7,71,", "line 6, column cylinder: Wrenlake O-4 has cylinders 1 to 4"),
        (",2,71,", ",1,71,", "line 6, column cylinder: cylinder 1 is read twice"),
        (",2,71,", ",2,91,", "line 6, column reading_psi: 91 psi is above the 80 psi"),
        ("2025-05-01,800\nlook", "2025-05-01,600\nlook", "line 3, column until_hours: 600 h is less"),
        ("2025-05-01,800\nlook", "2025-05-01,\nlook", "line 3, column until: until and until_hours"),
        ("before cleaning", "later", "line 4, column stage: neither before cleaning nor"),
        ("look,2025-05-01,800,X1", "look,2025-05-01,800,X2", "line 4, column tag: no plug line"),
        ("reading,2025-05-01,800,,,,,,2", "reading,2027-05-01,800,,,,,,2", "2027-05-01 is after today"),
    ],
)
def test_each_fault_is_one_line_with_its_line_and_column(was: str, now: str, said: str) -> None:
    assert was in GOOD
    faults = [str(fault) for fault in read(GOOD.replace(was, now, 1)).faults]
    assert any(said in fault for fault in faults), faults


def test_a_line_that_stands_twice_is_named() -> None:
    line = GOOD.splitlines(keepends=True)[-1]
    assert [str(fault) for fault in read(GOOD + line).faults] == ["line 7: the same as line 6"]


def test_all_faults_come_at_once() -> None:
    text = GOOD.replace("0.019|0.020", "wide").replace(",1,76,", ",1,seventy,").replace("1T", "1X")
    assert len(read(text).faults) >= 3


@pytest.mark.parametrize("mark", ["", "\ufeff"])
@pytest.mark.parametrize("separator", [",", ";", "\t"])
def test_marks_and_separators_of_spreadsheets_are_taken(tmp_path: Path, mark: str, separator: str) -> None:
    file = tmp_path / "history.csv"
    file.write_bytes((mark + GOOD.replace(",", separator)).replace("\n", "\r\n").encode())
    assert read(file).said == read(GOOD).said


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (GOOD.encode("utf-16"), "not UTF-8"),
        ("record,note\nplug,Größe\n".encode("latin-1"), "not UTF-8 text \\(line 2\\)"),
        (b"", "no column 'record'"),
        (b"PK\x03\x04 a zip file", "heading line"),
        (b"record,colour\nplug,red\n", "unknown column 'colour'"),
        (b"record,tag\n" + b"plug,X\n" * 100_002, "more than 100,000 lines"),
        (b"record,tag\n" + b"x" * 20_000_001, "larger than 20 MB"),
        (b"record,tag\n", "nothing else"),
    ],
)
def test_what_is_no_history_is_refused_in_one_line(tmp_path: Path, content: bytes, said: str) -> None:
    file = tmp_path / "odd.csv"
    file.write_bytes(content)
    with pytest.raises(Refused, match=said) as caught:
        read(file)
    assert "\n" not in caught.value.said


def test_a_missing_file_is_said(tmp_path: Path) -> None:
    with pytest.raises(Refused, match="can't be read"):
        read(tmp_path / "nowhere.csv")


@pytest.mark.parametrize("cell", ["a\x00b", '"never closed', "x" * 200_000])
def test_cells_that_no_spreadsheet_writes_are_faults(cell: str) -> None:
    assert read(GOOD + f"plug,,,{cell},brannock_m18,,,,,,,\n").faults


def test_what_goes_out_can_be_read_but_not_into_an_engine_that_has_not_run_so_long(fleet: Fleet) -> None:
    ours, other = engine_of(fleet, "N012MH"), engine_of(fleet, "N073HS")
    with fleet.reading() as work:
        text = history_csv(engine_history(work, ours, ()), ours)
    renamed = text.replace(",F0", ",Z0")
    assert read(renamed).faults == ()
    assert read(renamed).of("look")
    with pytest.raises(Refused):
        apply(fleet, ApplyHistory(other, read(renamed), LIBRARY), "a test", DEMO_TODAY)
    with fleet.reading() as work:
        assert not any(plug.tag.startswith("Z") for plug in engine_history(work, other, ()).plugs.values())


def test_conditions_of_a_test_and_a_scrapped_plug_come_back_as_they_went_out(fleet: Fleet) -> None:
    text = (
        "record,date,engine_hours,tag,type,place,until,until_hours,scrapped,scrapped_why,cylinder,reading_psi,"
        "minutes_since_shutdown,oil_temperature_c,elevation_ft,altimeter_inhg\n"
        "plug,,,X1,brannock_m18,,,,2025-05-02,worn out,,,,,,\n"
        "stay,2024-05-01,0,X1,,1T,2025-05-01,20,,,,,,,,\n"
        "reading,2025-05-01,20,,,,,,,,1,76,12,-5.5,-50,30.02\n"
    )
    preview = read(text)
    assert preview.faults == ()
    ours = engine_of(fleet, "N073HS")
    apply(fleet, ApplyHistory(ours, preview, LIBRARY), "a test", DEMO_TODAY)
    with fleet.reading() as work:
        held = engine_history(work, ours, ())
        out = history_csv(held, ours)
    plug = next(each for each in held.plugs.values() if each.tag == "X1")
    assert (plug.scrapped_on, plug.scrapped_why) == (date(2025, 5, 2), "worn out")
    again = read(out)
    assert again.faults == ()
    (line,) = [each for each in again.of("reading") if each.day() == date(2025, 5, 1)]
    told = {key: line.get(key) for key in ("minutes_since_shutdown", "oil_temperature_c", "elevation_ft")}
    assert told == {
        "minutes_since_shutdown": 12,
        "oil_temperature_c": Decimal("-5.5"),
        "elevation_ft": Decimal("-50.0"),
    }


@pytest.mark.parametrize(
    ("scrapped", "why", "said"),
    [
        ("2025-04-30", "worn out", "it still sits in 1T then"),
        ("2025-05-02", "", "scrapping a plug needs a reason"),
        ("", "worn out", "on which day?"),
    ],
)
def test_a_plug_is_not_scrapped_while_it_sits_or_for_no_reason(scrapped: str, why: str, said: str) -> None:
    preview = read(
        "record,date,engine_hours,tag,type,place,until,until_hours,scrapped,scrapped_why\n"
        f"plug,,,X1,brannock_m18,,,,{scrapped},{why}\n"
        "stay,2024-05-01,700,X1,,1T,2025-05-01,800,,\n"
    )
    assert any(said in str(fault) for fault in preview.faults)


def test_it_is_written_whole_and_taken_back_whole(fleet: Fleet) -> None:
    ours = engine_of(fleet, "N012MH")

    def counts() -> tuple[int, ...]:
        with fleet.reading() as work:
            held = engine_history(work, ours, ())
        return len(held.plugs), len(held.stays), len(held.checks), len(held.tests), len(held.readings)

    before = counts()
    done = apply(fleet, ApplyHistory(ours, read(GOOD), LIBRARY), "a test", DEMO_TODAY)
    assert done.kinds == {"plug", "compression"}
    assert tuple(b - a for a, b in zip(before, counts(), strict=True)) == (1, 1, 1, 1, 2)
    with pytest.raises(Refused, match="X1"):
        apply(fleet, ApplyHistory(ours, read(GOOD), LIBRARY), "a test", DEMO_TODAY)
    with fleet.reading() as work:
        assert read_engine(work, find_aircraft(work, "N012MH"), 1, LIBRARY, DEMO_TODAY).tests
    assert done.back is not None
    apply(fleet, done.back, "a test", DEMO_TODAY)
    assert counts() == before


def test_a_file_with_a_fault_writes_nothing(fleet: Fleet) -> None:
    preview = read(GOOD.replace("brannock_m18", "unknown"))
    with pytest.raises(Refused, match="faults"):
        apply(fleet, ApplyHistory(engine_of(fleet, "N012MH"), preview, LIBRARY), "a test", DEMO_TODAY)


def test_the_help_names_every_column() -> None:
    from importlib.resources import files

    said = (files("resources") / "help" / "history.md").read_text("utf-8")
    assert [name for name in HEADINGS if f"`{name}`" not in said] == []


TURNED = """record,date,engine_hours,tag,type,place,until,until_hours,gasket_out,fitted_by,removed_by,\
rotation,in_tray,new_gaskets,stage,verdict,overruled_because,cylinder,reading_psi,first_psi,step,seen,left_out,note
plug,,,X1,brannock_m18,,,,,,,,,,,,,,,,,,,
rotation,2025-05-01,800,,,,,,,,,A,,8,,,,,,,,,,
stay,2024-05-01,700,X1,,1T,2025-05-01,800,yes,,A,,,,,,,,,,,,,
look,2025-05-01,800,X1,,1T,,,,,,A,,,before cleaning,clean,,,,,,,,
stay,2025-05-01,800,X1,,4B,,,,A,,,,,,,,,,,,,,lead is short
reading,2025-05-01,800,,,,,,,,,,,,,,,2,66,48,,,,
recheck,2025-05-01,,,,,,,,,,,,,,,,2,50,,run_again,,,
recheck,2025-05-01,,,,,,,,,,,,,,,,2,,,oil,,no oil at hand,
recheck,2025-05-01,,,,,,,,,,,,,,,,2,66,,stake,,,
"""


def test_rotations_and_rechecks_are_read_and_written(fleet: Fleet) -> None:
    preview = read(TURNED)
    assert preview.faults == ()
    assert preview.said == (
        "1 plug, 1 rotation, 2 stays, 1 look, 1 compression test, 1 reading, 3 steps of rechecks"
    )
    assert preview.span == "from 1 May 2024 to 1 May 2025"
    ours = engine_of(fleet, "N012MH")
    with fleet.work("a test") as work:
        for stay in list(open_stays(work, ours).values()):
            work.session.execute(sql(f"DELETE FROM plug_stay WHERE id = {stay.stay_id}"))
    apply(fleet, ApplyHistory(ours, preview, LIBRARY), "a test", DEMO_TODAY)
    with fleet.reading() as work:
        held = engine_history(work, ours, ())
    turned = next(each for each in held.rotations if each.rotated_on == date(2025, 5, 1))
    assert (turned.state, turned.new_gaskets, turned.departures) == ("in", 8, {"4B": "lead is short"})
    stays = [each for each in held.stays if held.plugs[each.plug_id].tag == "X1"]
    assert [each.removed_by_rotation_id for each in stays] == [turned.rotation_id, None]
    assert [each.fitted_by_rotation_id for each in stays] == [None, turned.rotation_id]
    reading = next(each for each in held.readings if each.first_psi == 48)
    assert [(each["step"], each["reading_psi"], each["left_out"]) for each in reading.rechecked] == [
        ("run_again", 50.0, ""), ("oil", None, "no oil at hand"), ("stake", 66.0, "")
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("was", "now", "said"),
    [
        (",,,A,,8,", ",,,,,8,", "line 3, column rotation: a rotation needs it"),
        (",yes,,A,", ",yes,,B,", "line 4, column removed_by: no rotation line is called B"),
        (",yes,,A,", ",,,A,", ""),
        ("4B,,,,A", "4B,,,,C", "line 6, column fitted_by: no rotation line is called C"),
        ("4B,,,,A", "4B,,,yes,A", "line 6, column gasket_out: its plug is still in"),
        ("rotation,2025-05-01,800", "rotation,2025-05-01,790", "column removed_by: 800 h, but 790 h at"),
        ("rotation,2025-05-01", "rotation,2025-05-02", "column removed_by: 2025-05-01 is before"),
        ("A,,8,", "A,yes,8,", ""),
        ("A,,8,", "A,,eight,", "line 3, column new_gaskets: 'eight' is no whole number"),
        ("X1,,1T,,,,,,A", "X1,,1T,,,,,,Q", "line 5, column rotation: no rotation line"),
        (",clean,", ",replace,", "line 5, column overruled_because: what was seen says clean"),
        (",clean,", ",fine,", "line 5, column verdict: none of clean"),
        (",2,66,48", ",3,66,48", "line 8, column cylinder: no reading of cylinder 2"),
        ("66,,stake", "95,,stake", "line 10, column reading_psi: 95 psi is above the 80"),
        ("66,,stake", ",,stake", "line 10, column reading_psi: what did it read then?"),
        ("66,,stake", "66,,shake", "line 10, column step: 'shake' is none of run_again"),
        ("66,,stake", "66,,run_again", "line 10, column step: 'run_again' stands in line 8 too"),
        ("2,66,48", "2,60,48", "line 7, column reading_psi: 60 psi, but the recheck ended with 66"),
    ],
)  # fmt: skip
def test_faults_of_rotations_and_rechecks_name_line_and_column(was: str, now: str, said: str) -> None:
    assert was in TURNED
    faults = [str(fault) for fault in read(TURNED.replace(was, now, 1)).faults]
    assert any(said in fault for fault in faults) if said else faults == [], faults


def test_two_tests_of_one_day_are_kept_apart_by_their_number() -> None:
    twice = GOOD + "reading,2025-05-01,800,,,,,,1,70,,\n"
    assert any("number the tests of one day" in str(fault) for fault in read(twice).faults)
    lines = twice.splitlines()
    lines = [f"{line},{'test' if n == 0 else '2' if n == 6 else ''}" for n, line in enumerate(lines)]
    preview = read("\n".join(lines) + "\n")
    assert preview.faults == ()
    assert [len(each) for each in preview.tests().values()] == [2, 1]
