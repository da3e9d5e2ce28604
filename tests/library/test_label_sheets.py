"""Sheets of labels: the shipped ones lie on their paper, a shop's own are read, faults are named."""

from __future__ import annotations

from pathlib import Path

import pytest

from annual_planner.library.label_sheets import PAPERS, load_label_sheets
from annual_planner.trade.refused import Refused

OWN = """
[[sheet]]
key = "own"
paper = "a4"
unit = "mm"
columns = 3
rows = 4
label_width = 60.0
label_height = 70.0
left = 10.0
top = 8.0
"""


def test_every_shipped_label_lies_on_its_paper_and_over_no_other() -> None:
    for sheet in load_label_sheets().values():
        wide, high = PAPERS[sheet.paper]
        for place in range(sheet.labels):
            left, top = sheet.corner(place)
            assert left >= 0
            assert top >= 0
            assert left + sheet.label_width <= wide + 1
            assert top + sheet.label_height <= high + 1
        assert sheet.gap_across >= 0


def test_a_shop_adds_a_sheet_of_its_own(tmp_path: Path) -> None:
    (tmp_path / "label_sheets.toml").write_text(OWN, encoding="utf-8")
    own = load_label_sheets(tmp_path)["own"]
    assert own.labels == 12
    assert own.name == "12 labels of 60 × 70 mm on A4"
    assert own.label_width == pytest.approx(60 * 72 / 25.4)
    assert own.corner(4) == pytest.approx(((10 + 60) * 72 / 25.4, (8 + 70) * 72 / 25.4))


def test_labels_beside_the_paper_are_named_as_a_fault(tmp_path: Path) -> None:
    (tmp_path / "label_sheets.toml").write_text(OWN.replace("columns = 3", "columns = 4"), encoding="utf-8")
    with pytest.raises(Refused, match='sheet "own"') as refused:
        load_label_sheets(tmp_path)
    assert "on a4 paper" in refused.value.said
