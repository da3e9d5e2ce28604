"""The sheets of an engine from the command line, on the demo fleet."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest
from pypdf import PdfReader

ROOT = Path(__file__).parents[1]
TWIN = "N070VT"


def run(*words: str | Path) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "annual_planner", *map(str, words)]
    return subprocess.run(command, cwd=ROOT, capture_output=True, text=True, timeout=120, check=False)


@pytest.fixture(scope="module")
def fleet(module_sample: Path) -> Path:
    return module_sample


@pytest.mark.parametrize("position", [1, 2])
def test_each_engine_of_a_twin_has_its_own_sheets(fleet: Path, tmp_path: Path, position: int) -> None:
    words = ("engine", "--fleet", fleet, "--aircraft", TWIN, "--position", str(position))
    pdf = tmp_path / "engine.pdf"
    shown = json.loads(run(*words, "--as", "json").stdout)
    done = run(*words, "--pdf", pdf, "--paper", "a4")
    assert done.returncode == 0, done.stderr
    pages = [" ".join(page.extract_text().split()) for page in PdfReader(pdf, strict=True).pages]
    assert f"({len(pages)} pages)" in done.stderr
    text = " ".join(pages)
    for what in ("Plug box", "Rotation", "Compression", "History"):
        assert f"{what}, engine {position}" in text
    assert all(TWIN in page for page in pages)
    tags = [place["plug"]["tag"] for place in shown["places"] if place.get("plug")]
    assert tags
    assert all(tag in text for tag in tags)


def test_the_same_fleet_gives_the_same_sheets(fleet: Path, tmp_path: Path) -> None:
    written = []
    for name in ("one.pdf", "two.pdf"):
        done = run("engine", "--fleet", fleet, "--aircraft", "N039TB", "--pdf", tmp_path / name)
        assert done.returncode == 0, done.stderr
        written.append((tmp_path / name).read_bytes())
    assert written[0] == written[1]


def test_one_sheet_can_be_asked_for(fleet: Path, tmp_path: Path) -> None:
    pdf = tmp_path / "rotation.pdf"
    done = run("engine", "--fleet", fleet, "--aircraft", TWIN, "--pdf", pdf, "--sheet", "rotation")
    assert done.returncode == 0, done.stderr
    text = " ".join(page.extract_text() for page in PdfReader(pdf).pages)
    assert "Rotation, engine 1" in text
    assert "Plug box" not in text


def test_sheets_are_not_written_over_the_fleet(fleet: Path) -> None:
    before = fleet.read_bytes()
    done = run("engine", "--fleet", fleet, "--aircraft", TWIN, "--pdf", fleet)
    assert done.returncode == 2
    assert "no PDF" in done.stderr
    assert fleet.read_bytes() == before


def test_the_engine_sheets_can_be_left_out_of_a_plan(fleet: Path, tmp_path: Path) -> None:
    words = ("plan", "--fleet", fleet, "--aircraft", TWIN, "--start", "2026-06-08", "--pdf")
    texts = []
    for name, more in (("with.pdf", ()), ("without.pdf", ("--no-engine-sheets",))):
        done = run(*words, tmp_path / name, *more)
        assert done.returncode == 0, done.stderr
        texts.append(" ".join(page.extract_text() for page in PdfReader(tmp_path / name).pages))
    assert "Plug box, engine 2" in texts[0]
    assert "Plug box" not in texts[1]
