"""The program as a process, as a newcomer with only the README runs it."""

from __future__ import annotations

import csv
import io
import json
import subprocess
import sys
from pathlib import Path

import pytest
from pypdf import PdfReader

ROOT = Path(__file__).parents[1]


def run(*words: str | Path) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "annual_planner", *map(str, words)]
    return subprocess.run(command, cwd=ROOT, capture_output=True, text=True, timeout=120, check=False)


@pytest.fixture(scope="module")
def fleet(module_sample: Path) -> Path:
    return module_sample


def test_demo_without_a_window_plans_the_airplane_and_writes_its_package(tmp_path: Path) -> None:
    done = run("demo", "--headless", "--file", tmp_path / "d.fleet", "--pdf", tmp_path / "p.pdf")
    assert done.returncode == 0, done.stderr
    paper = PdfReader(tmp_path / "p.pdf", strict=True)
    assert f"({len(paper.pages)} pages)" in done.stdout
    assert "N012MH" in paper.pages[0].extract_text()


def test_due_lists_the_annual_that_has_run_out_first_among_rules(fleet: Path) -> None:
    done = run("due", "--fleet", fleet, "--as", "json")
    lines = json.loads(done.stdout)
    rules = [line for line in lines if line["force"] == "rule"]
    assert (rules[0]["aircraft"], rules[0]["title"], rules[0]["state"]) == (
        "N051QF", "Annual inspection", "overdue",
    )  # fmt: skip


def test_due_json_has_the_documented_keys(fleet: Path) -> None:
    [first, *_] = json.loads(run("due", "--fleet", fleet, "--as", "json").stdout)
    assert set(first) == {
        "aircraft", "requirement_id", "title", "citation", "force", "counts_on", "interval", "last_on",
        "last_hours", "due_on", "due_hours", "hours_left", "state", "standing", "first_limit", "forecast_on",
        "early_on", "late_on",
    }  # fmt: skip


def test_due_csv_reads_back_with_a_line_for_each_requirement(fleet: Path) -> None:
    rows = list(csv.reader(io.StringIO(run("due", "--fleet", fleet, "--as", "csv").stdout)))
    values = json.loads(run("due", "--fleet", fleet, "--as", "json").stdout)
    assert len(rows) - 1 == len(values)


def test_due_until_a_day_leaves_out_what_comes_later(fleet: Path) -> None:
    lines = json.loads(run("due", "--fleet", fleet, "--until", "2026-06-01", "--as", "json").stdout)
    assert lines
    assert all(min(filter(None, (line["due_on"], line["forecast_on"]))) <= "2026-06-01" for line in lines)


def test_due_counts_from_the_day_asked_for(fleet: Path) -> None:
    words = ("due", "--fleet", fleet, "--aircraft", "N012MH", "--as", "json")
    states = {
        day: next(
            line["state"]
            for line in json.loads(run(*words, "--today", day).stdout)
            if line["title"] == "Annual inspection"
        )
        for day in ("2026-01-02", "2026-06-30", "2026-07-01")
    }
    assert states == {"2026-01-02": "in date", "2026-06-30": "due soon", "2026-07-01": "overdue"}


def test_plan_twice_gives_the_same_package(fleet: Path) -> None:
    words = ("plan", "--fleet", fleet, "--aircraft", "N012MH", "--start", "2026-06-08", "--as", "json")
    first, second = run(*words), run(*words)
    assert first.returncode == 0, first.stderr
    assert json.loads(first.stdout) == json.loads(second.stdout)


def test_plan_as_a_table_names_cards_people_and_hours(fleet: Path) -> None:
    done = run("plan", "--fleet", fleet, "--aircraft", "n012mh", "--start", "2026-06-08")
    assert done.returncode == 0, done.stderr
    assert "inspector" in done.stdout
    assert "Annual inspection" in done.stdout


def test_explain_shows_rule_and_source(fleet: Path) -> None:
    done = run("explain", "--fleet", fleet, "N012MH", "annual")
    assert done.returncode == 0, done.stderr
    assert "91.409(a)" in done.stdout
    assert "30 Jun 2026" in done.stdout


def test_weeks_places_every_airplane_of_the_demo(fleet: Path) -> None:
    done = run("weeks", "--fleet", fleet, "--seconds", "0", "--as", "json")
    assert done.returncode == 0, done.stderr
    plan = json.loads(done.stdout)
    assert len(plan["visits"]) + len(plan["left_out"]) == 12
    assert set(plan["visits"][0]) == {
        "aircraft", "week_on", "bay", "first_on", "last_on", "hours", "latest_on", "due_on", "pinned", "why",
    }  # fmt: skip


def test_weeks_on_paper_hold_every_airplane_and_say_they_are_the_demo(fleet: Path, tmp_path: Path) -> None:
    paper = tmp_path / "weeks.pdf"
    done = run("weeks", "--fleet", fleet, "--seconds", "0", "--as", "json", "--pdf", paper, "--paper", "a4")
    assert done.returncode == 0, done.stderr
    plan = json.loads(done.stdout)
    pages = PdfReader(paper, strict=True).pages
    assert f"({len(pages)} pages)" in done.stderr
    said = " ".join(page.extract_text() for page in pages)
    names = [each["aircraft"] for each in (*plan["visits"], *plan["left_out"])]
    assert [name for name in names if name not in said] == []
    assert said.count("DEMONSTRATION") == len(pages)


def test_check_finds_the_demo_whole(fleet: Path) -> None:
    done = run("check", "--fleet", fleet)
    assert (done.returncode, done.stdout.splitlines()[-1]) == (0, "the fleet file is whole")
    assert "0 signed records" in done.stdout
    assert "does not prove that the work was done" in done.stdout


def test_check_holds_a_printed_seal_against_the_chain(fleet: Path) -> None:
    done = run("check", "--fleet", fleet, "--last-seal", "ab" * 32)
    assert done.returncode == 1
    assert "cut off or made anew" in done.stdout


def test_a_backup_comes_back_as_a_fleet(fleet: Path, tmp_path: Path) -> None:
    assert run("backup", "--fleet", fleet, tmp_path / "copy.fleet").returncode == 0
    assert run("restore", tmp_path / "copy.fleet", tmp_path / "again.fleet").returncode == 0
    due = [run("due", "--fleet", path, "--as", "csv").stdout for path in (fleet, tmp_path / "again.fleet")]
    assert due[0] == due[1]


def test_a_plan_says_what_it_wrote_and_what_is_open_already(fleet: Path) -> None:
    words = ("plan", "--fleet", fleet, "--aircraft", "N028RT", "--start")
    first, second = (run(*words, day).stderr for day in ("2026-07-06", "2026-07-13"))
    assert first == "new in the fleet: N028RT-2026-1\n"
    assert second == "new in the fleet: N028RT-2026-2; open already: N028RT-2026-1 from 2026-07-06\n"
    assert run(*words, "2026-07-06").stderr == ""


def test_a_shops_own_card_goes_into_its_plans(fleet: Path, tmp_path: Path) -> None:
    cards = tmp_path / "shop" / "cards"
    cards.mkdir(parents=True)
    (cards / "ours.toml").write_text(
        """
        [[card]]
        key = "shop_mascot"
        title = "Polish the hangar mascot"
        zone = "office"
        phase = "records"
        kind = "record"
        subject = "records"
        hours = [0.1, 0.2, 0.3]
        references = ["common practice, no source"]
        steps = ["Take it down.", "Polish it.", "Hang it up."]
        """,
        "utf-8",
    )
    done = run(
        "plan", "--fleet", fleet, "--aircraft", "N090QF", "--start", "2026-08-03", "--shop", tmp_path / "shop"
    )
    assert done.returncode == 0, done.stderr
    assert "Polish the hangar mascot" in done.stdout
