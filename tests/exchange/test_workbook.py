"""Rows as a workbook: what they are, and nothing that a spreadsheet would run."""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal
from io import BytesIO

import pytest
from openpyxl import load_workbook

from annual_planner.exchange.tables import Cell
from annual_planner.exchange.workbook import write_workbook


@pytest.mark.parametrize(
    ("given", "kept", "kind"),
    [
        ("=1+1", "=1+1", "s"),
        ("#N/A", "#N/A", "s"),
        ("+44", "+44", "s"),
        ("0012", "0012", "s"),
        ("bell\x07 and\ttab", "bell and\ttab", "s"),
        (Decimal("-2.5"), -2.5, "n"),
        (12, 12, "n"),
        (True, True, "b"),
        (date(2026, 5, 4), datetime(2026, 5, 4), "d"),  # noqa: DTZ001 - a sheet knows no time zones
        (None, None, "n"),
    ],
)
def test_a_cell_is_what_it_was(given: Cell, kept: object, kind: str) -> None:
    out = BytesIO()
    write_workbook(out, "A sheet", ("first", "second"), [["x", given]], (10, 20))
    sheet = load_workbook(BytesIO(out.getvalue())).active
    assert sheet is not None
    assert (sheet["B2"].value, sheet["B2"].data_type) == (kept, kind)
    assert [cell.value for cell in sheet[1]] == ["first", "second"]
    assert (sheet.freeze_panes, sheet.title) == ("A2", "A sheet")
