"""The command that takes in an engine's history shows it first and writes only when told."""

from __future__ import annotations

from pathlib import Path

import pytest

from annual_planner.__main__ import main

GOOD = "record,date,engine_hours,cylinder,reading_psi\nreading,2024-09-01,900,1,76\n"


def test_it_shows_then_writes_once_and_names_faults(
    own_sample: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    good, bad = tmp_path / "good.csv", tmp_path / "bad.csv"
    good.write_text(GOOD, "utf-8")
    bad.write_text(GOOD.replace("76", "=76"), "utf-8")
    words = ["import-engine", "--fleet", str(own_sample), "--aircraft", "N012MH"]
    assert main([*words, str(good)]) == 0
    assert "would be written: 1 compression test, 1 reading" in capsys.readouterr().out
    assert main([*words, str(bad), "--write"]) == 2
    assert "line 2, column reading_psi" in capsys.readouterr().out
    assert main([*words, str(good), "--write"]) == 0
    assert main([*words, str(good), "--write"]) == 2
    assert "already has a test of" in capsys.readouterr().err
