"""What a command can't do is said in a line, with its status, and nothing half done is left."""

from __future__ import annotations

import json
import os
import shutil
import sqlite3
import subprocess
import sys
from contextlib import closing
from datetime import date
from pathlib import Path

import pytest
from pypdf import PdfReader

from annual_planner.records.apply import apply
from annual_planner.records.discrepancies import RecordDiscrepancy
from annual_planner.store.fleet_reads import find_aircraft
from annual_planner.store.opening import open_fleet
from tests.test_commands import ROOT, run


@pytest.fixture(scope="module")
def fleet(module_sample: Path) -> Path:
    return module_sample


@pytest.fixture
def damaged(fleet: Path, tmp_path: Path) -> Path:
    """A fleet with a row whose list of features is cut off, as a bad disk leaves it."""
    path = tmp_path / "damaged.fleet"
    shutil.copyfile(fleet, path)
    with closing(sqlite3.connect(path)) as connection, connection:
        connection.execute("UPDATE aircraft SET features = '[\"metal_' WHERE registration = 'N012MH'")
    return path


def test_check_names_a_row_that_cannot_be_read(damaged: Path) -> None:
    done = run("check", "--fleet", damaged)
    assert (done.returncode, done.stderr) == (1, "")
    assert done.stdout.splitlines()[-1] == "1 fault found"
    assert "of aircraft can't be read: " in done.stdout


def test_a_command_that_fails_does_not_answer_no(damaged: Path) -> None:
    done = run("plan", "--fleet", damaged, "--aircraft", "N012MH", "--start", "2026-05-13")
    assert (done.returncode, done.stdout) == (3, "")
    assert "'check --fleet F' tells which" in done.stderr.splitlines()[-1]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("due", "--fleet", "nowhere.fleet"), "no fleet file"),
        (("due", "--fleet", "FLEET", "--aircraft", "N0ZZZZ"), "N0ZZZZ"),
        (("due", "--fleet", "FLEET", "--aircraft", ""), "no airplane"),
        (("due", "--fleet", "FLEET", "--aircraft", "N0\udcff"), "can't be written"),
        (("due", "--fleet", "FLEET", "--until", "next week"), "is not a day"),
        (("due", "--fleet", "FLEET", "--until", "9999-12-31"), "1900 to 2199"),
        (("due", "--fleet", "FLEET", "--as", "xml"), "xml"),
        (("due", "--fleet", "a" * 300), "can't be looked at"),
        (("due",), "--fleet"),
        (("plan", "--fleet", "FLEET", "--aircraft", "N012MH", "--start", "2026-13-01"), "is not a day"),
        (("plan", "--fleet", "FLEET", "--aircraft", "N012MH", "--start", "0001-01-01"), "1900 to 2199"),
        (("plan", "--fleet", "FLEET", "--aircraft", "N012MH", "--start", "2199-12-31"), "1900 to 2197"),
        (("explain", "--fleet", "FLEET", "N012MH", "philosophy"), "philosophy"),
        (("explain", "--fleet", "FLEET", "N012MH", "card"), "What of 'card' was meant"),
        (("explain", "--fleet", "FLEET", "N012MH", "card", "1", "price"), "'card 12 hours'"),
        (("explain", "--fleet", "FLEET", "--today", "0001-01-01", "N012MH", "usage"), "1900 to 2199"),
        (("weeks", "--fleet", "FLEET", "--weeks", "0"), "number of weeks"),
        (("weeks", "--fleet", "FLEET", "--pdf", "README.md"), "is no PDF"),
        (("check", "--fleet", "README.md"), "can't be opened as a fleet"),
        (("check", "--fleet", "FLEET", "--last-seal", "zz"), "a seal is 64 signs"),
        (("demo", "--pdf", "p.pdf"), "goes with --headless"),
        (("demo", "--headless", "--today", "2199-12-31"), "1900 to 2197"),
        (("engine", "--fleet", "FLEET", "--aircraft", "N012MH", "--sheet", "tray"), "goes with --pdf"),
        (("entries", "--fleet", "FLEET", "--package", "P", "--first-label", "3"), "goes with --pdf"),
        (("weeks", "--fleet", "FLEET", "--paper", "a4"), "goes with --pdf"),
        (
            (
                "plan",
                "--fleet",
                "FLEET",
                "--aircraft",
                "N012MH",
                "--start",
                "2026-06-08",
                "--no-engine-sheets",
            ),
            "goes with --pdf",
        ),
        (
            ("import-engine", "--fleet", "FLEET", "--aircraft", "N012MH", "--position", "2", "README.md"),
            "It has: 1.",
        ),
        (
            ("hand-over", "--fleet", "FLEET", "--aircraft", "N012MH", "--out", "no/such/a.zip"),
            "Make the folder first",
        ),
        (("check", "--fleet", "postgresql+psycopg://a:b:c"), "no address"),
        (("check", "--fleet", "postgresql+psycopg://127.0.0.1:1/x"), "does not answer"),
    ],
)
def test_bad_input_ends_with_status_2_and_one_clear_line(
    words: tuple[str, ...], said: str, fleet: Path
) -> None:
    done = run(*(str(fleet) if word == "FLEET" else word for word in words))
    assert (done.returncode, done.stdout, done.stderr.count("\n")) == (2, "", 1)
    assert said in done.stderr


@pytest.mark.parametrize(
    ("pdf", "said"), [("", "is a folder"), ("no/such/p.pdf", "no folder"), ("words.txt", "no PDF")]
)
def test_a_place_where_no_pdf_can_go_is_refused_before_anything_is_made(
    pdf: str, said: str, tmp_path: Path
) -> None:
    (tmp_path / "words.txt").write_text("mine")
    done = run("demo", "--headless", "--file", tmp_path / "d.fleet", "--pdf", tmp_path / pdf)
    assert (done.returncode, done.stderr.count("\n")) == (2, 1)
    assert said in done.stderr
    assert [each.name for each in tmp_path.iterdir()] == ["words.txt"]
    assert (tmp_path / "words.txt").read_text() == "mine"


@pytest.mark.skipif(sys.platform == "win32", reason="files of a process have no limit of size there")
@pytest.mark.parametrize("room", [20_000, 900_000])
def test_where_the_demo_finds_no_room_nothing_of_it_is_left(room: int, tmp_path: Path) -> None:
    import resource

    done = subprocess.run(
        [sys.executable, "-m", "annual_planner", "demo", "--headless", "--file", str(tmp_path / "d.fleet"),
         "--pdf", str(tmp_path / "p.pdf")],
        cwd=ROOT, capture_output=True, text=True, timeout=120, check=False,
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (room, room)),
    )  # fmt: skip
    assert (done.returncode, done.stdout, done.stderr.count("\n")) == (2, "", 1)
    assert "could not be written" in done.stderr
    assert list(tmp_path.iterdir()) == []


def test_a_fleet_is_never_written_over_by_its_own_paper(fleet: Path, tmp_path: Path) -> None:
    held = fleet.read_bytes()
    done = run("plan", "--fleet", fleet, "--aircraft", "N012MH", "--start", "2026-06-09", "--pdf", fleet)
    assert (done.returncode, done.stdout) == (2, "")
    assert fleet.read_bytes() == held
    one = tmp_path / "one"
    assert run("demo", "--headless", "--file", one, "--pdf", one).returncode == 2
    assert not one.exists()


def test_paper_is_written_over_older_paper(fleet: Path, tmp_path: Path) -> None:
    (tmp_path / "p.pdf").write_bytes(b"%PDF-1.4 old")
    words = ("plan", "--fleet", fleet, "--aircraft", "N012MH", "--start", "2026-06-08")
    assert run(*words, "--pdf", tmp_path / "p.pdf").returncode == 0
    assert PdfReader(tmp_path / "p.pdf", strict=True).pages


@pytest.mark.parametrize("words", [("due", "--as", "json"), ("explain", "N012MH", "annual")])
def test_a_reader_that_goes_away_is_no_fault(fleet: Path, words: tuple[str, ...]) -> None:
    reader, writer = os.pipe()
    os.close(reader)
    command = [sys.executable, "-m", "annual_planner", words[0], "--fleet", str(fleet), *words[1:]]
    try:
        done = subprocess.run(
            command, cwd=ROOT, stdout=writer, stderr=subprocess.PIPE, timeout=120, check=False
        )
    finally:
        os.close(writer)
    assert (done.returncode, done.stderr) == (0, b"")


def test_the_paper_is_written_though_nobody_reads_the_answer(fleet: Path, tmp_path: Path) -> None:
    reader, writer = os.pipe()
    os.close(reader)
    paper = tmp_path / "engine.pdf"
    command = [
        sys.executable,
        "-m",
        "annual_planner",
        "engine",
        "--fleet",
        str(fleet),
        "--aircraft",
        "N012MH",
    ]
    try:
        done = subprocess.run(
            [*command, "--as", "json", "--pdf", str(paper)],
            cwd=ROOT, stdout=writer, stderr=subprocess.PIPE, timeout=120, check=False,
        )  # fmt: skip
    finally:
        os.close(writer)
    assert done.returncode == 0
    assert PdfReader(paper, strict=True).pages


def test_a_refusal_keeps_its_status_where_nobody_reads_it(tmp_path: Path) -> None:
    reader, writer = os.pipe()
    os.close(reader)
    command = [sys.executable, "-m", "annual_planner", "due", "--fleet", str(tmp_path / "none.fleet")]
    try:
        done = subprocess.run(command, cwd=ROOT, stdout=writer, stderr=writer, timeout=120, check=False)
    finally:
        os.close(writer)
    assert done.returncode == 2


def test_json_stays_json_on_a_terminal_that_lacks_a_sign(fleet: Path, tmp_path: Path) -> None:
    own = tmp_path / "own.fleet"
    shutil.copyfile(fleet, own)
    with closing(open_fleet(str(own))) as opened_fleet:
        with opened_fleet.reading() as work:
            aircraft_id = find_aircraft(work, "N012MH")
        found = RecordDiscrepancy(aircraft_id, date(2026, 5, 4), "engine", "Öl \U0001f6e2 → seeps")
        apply(opened_fleet, found, "test", date(2026, 5, 4))
    done = subprocess.run(
        [sys.executable, "-m", "annual_planner", "review", "--fleet", str(own), "--as", "json"],
        cwd=ROOT, env=os.environ | {"PYTHONIOENCODING": "ascii"},
        capture_output=True, text=True, timeout=120, check=False,
    )  # fmt: skip
    assert (done.returncode, done.stderr) == (0, "")
    assert "Öl \U0001f6e2 → seeps" in [line["what"] for line in json.loads(done.stdout)]


def test_a_terminal_that_lacks_a_sign_gets_it_spelled(fleet: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "annual_planner", "explain", "--fleet", str(fleet), "N012MH", "annual"],
        cwd=ROOT, env=os.environ | {"PYTHONIOENCODING": "ascii"},
        capture_output=True, text=True, timeout=120, check=False,
    )  # fmt: skip
    assert (done.returncode, done.stderr) == (0, "")
    assert "\\u2192 30 Jun 2026" in done.stdout


@pytest.mark.parametrize(
    ("out", "said"), [("no/such/list", "Make the folder first"), ("mine", "is there already")]
)
def test_a_list_goes_to_a_new_file_or_it_is_said_why_not(
    out: str, said: str, fleet: Path, tmp_path: Path
) -> None:
    (tmp_path / "mine").write_text("mine")
    done = run("review", "--fleet", fleet, "--as", "xlsx", "--out", tmp_path / out)
    assert (done.returncode, done.stdout, done.stderr.count("\n")) == (2, "", 1)
    assert said in done.stderr
    assert [each.read_text() for each in tmp_path.iterdir()] == ["mine"]


def test_a_full_disk_is_said_in_one_line(fleet: Path) -> None:
    command = [sys.executable, "-m", "annual_planner", "due", "--fleet", str(fleet)]
    with Path("/dev/full").open("w") as full:
        done = subprocess.run(
            command, cwd=ROOT, stdout=full, stderr=subprocess.PIPE, timeout=120, check=False
        )
    assert (done.returncode, done.stderr.count(b"\n")) == (2, 1)
    assert b"No space left" in done.stderr


def test_without_a_screen_the_window_says_so_in_one_line() -> None:
    screens = ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")
    blind = {name: value for name, value in os.environ.items() if name not in screens}
    done = subprocess.run(
        [sys.executable, "-m", "annual_planner"],
        cwd=ROOT, env=blind, capture_output=True, text=True, timeout=120, check=False,
    )  # fmt: skip
    assert (done.returncode, done.stderr.count("\n")) == (2, 1)
    assert "no screen" in done.stderr


def test_a_shops_faulty_file_is_named_with_its_fault(fleet: Path, tmp_path: Path) -> None:
    (tmp_path / "cards").mkdir()
    (tmp_path / "cards" / "ours.toml").write_text('[[card]]\nkey = "x"\ncolour = "red"\n', "utf-8")
    done = run("plan", "--fleet", fleet, "--aircraft", "N081YA", "--start", "2026-08-03", "--shop", tmp_path)
    assert done.returncode == 2
    assert "ours.toml" in done.stderr
    assert "colour" in done.stderr
    assert done.stderr.splitlines()[-1].startswith("Mend the named keys")
