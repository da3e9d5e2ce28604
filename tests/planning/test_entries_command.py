"""The entries of a package without a window: text, values for scripts, paper."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from pypdf import PdfReader

from annual_planner.__main__ import main
from annual_planner.store.fleet_reads import packages
from tests.json_shape import differences
from tests.planning.conftest import Planned
from tests.planning.test_closing import do_all, draft, planned, sign_all  # noqa: F401 - fixture

# ruff: noqa: F811 - the fixture of the closing's tests is named again where it is asked for


def words(planned: Planned, path: Path) -> list[str]:
    with planned.fleet.reading() as work:
        (line,) = packages(work)
    planned.fleet.close()
    return ["entries", "--fleet", str(path / "small.fleet"), "--package", line.number]


def test_without_entries_the_command_says_what_to_do(
    planned: Planned, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(words(planned, tmp_path)) == 2
    assert "Draft the entries under Closing" in capsys.readouterr().err


def test_drafts_and_signed_entries_are_shown_written_and_printed(
    planned: Planned, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    do_all(planned)
    draft(planned)
    sign_all(planned)
    asked = words(planned, tmp_path)
    assert main(asked) == 0
    shown = capsys.readouterr().out
    assert "airframe: inspection, signed" in shown
    assert "Newest seal of the fleet: " in shown

    assert main([*asked, "--as", "json", "--out", str(tmp_path / "entries.json")]) == 0
    values = json.loads((tmp_path / "entries.json").read_text("utf-8"))
    assert differences(values, "entries") == []
    for each in values["entries"]:
        assert each["text"] in shown
        (signature,) = each["signatures"]
        assert signature["changed"] == []
        assert signature["signer"].startswith(f"{signature['person']}, ")
        assert f"signed by {signature['signer']}, " in shown, (
            "kind and number of the certificates are printed"
        )
    assert main([*asked, "--as", "json", "--out", str(tmp_path / "entries.json")]) == 2, "nothing is lost"

    pdf = tmp_path / "labels.pdf"
    assert main([*asked, "--pdf", str(pdf), "--paper", "letter_2x2", "--first-label", "2"]) == 0
    text = " ".join(page.extract_text() for page in PdfReader(pdf).pages)
    assert "No approval is claimed for electronic signatures." in text
    assert main([*asked, "--pdf", str(pdf), "--paper", "papyrus"]) == 2
    assert "letter_2x2" in capsys.readouterr().err
    assert main([*asked, "--pdf", str(pdf), "--paper", "letter_2x2", "--first-label", "9"]) == 2
