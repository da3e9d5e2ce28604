from __future__ import annotations

from dataclasses import replace
from io import BytesIO

import numpy as np
import pypdfium2
import pytest
from reportlab.graphics.barcode.qr import QrCodeWidget

from annual_planner.paper.card_head import CODE
from annual_planner.paper.look import sheet_of
from annual_planner.paper.package import package_pdf
from annual_planner.paper.qr import MASK, QUIET, card_code, dark_runs
from tests.paper.qr_reader import read_code
from tests.paper.sample import sample_view

DOTS = 600 / 72
"""Dots a point of an office printer."""
CODES = [
    "AP-2026-014/7",
    "N012MH-2026-1/123",
    "1234567",
    "N0, Łódź/1",
    "AN0THER-LONG-PACKAGE-NUMBER-2026-1/1204",
]


def test_the_runs_are_exactly_the_dark_modules_within_a_quiet_zone() -> None:
    code = card_code("AP-2026-014", 108)
    side, runs = dark_runs(code)
    widget = QrCodeWidget(code, barLevel="M").qr
    widget.getBestMaskPattern = lambda: MASK
    widget.make()
    wanted = {
        (x + QUIET, y + QUIET) for y, row in enumerate(widget.modules) for x, dark in enumerate(row) if dark
    }
    drawn = {(x + step, y) for x, y, length in runs for step in range(length)}
    assert drawn == wanted
    assert side == len(widget.modules) + 2 * QUIET


@pytest.mark.parametrize("text", CODES)
def test_another_reader_reads_what_was_written(text: str) -> None:
    side, runs = dark_runs(text)
    matrix = np.zeros((side, side), dtype=bool)
    for column, row, length in runs:
        matrix[row, column : column + length] = True
    inner = matrix[QUIET:-QUIET, QUIET:-QUIET]
    read = read_code(inner.tolist())
    assert read in (text, text.encode("utf-8").decode("latin-1"))
    assert matrix.sum() == inner.sum(), "nothing dark in the quiet zone"


def test_the_printed_code_of_each_card_is_read_as_package_and_card() -> None:
    view = sample_view(cards=4)
    target = BytesIO()
    package_pdf(replace(view, owner_jobs=()), target)
    document = pypdfium2.PdfDocument(target.getvalue())
    read = [read_code(code) for page in document for code in printed_codes(page)]
    document.close()
    assert read == [f"AP-2026-014/{number}" for number in range(1, 5)]


def printed_codes(page: pypdfium2.PdfPage) -> list[list[list[bool]]]:
    """Find the codes at the right edge of a page in black and white, as a scanner would see them."""
    if "Work cards in order" not in page.get_textpage().get_text_range()[:120]:
        return []
    picture = page.render(scale=DOTS, grayscale=True).to_numpy()
    dark = picture.reshape(picture.shape[:2]) < 128
    sheet = sheet_of("letter")
    right = int((sheet.width - sheet.side) * DOTS)
    strip = dark[:, right - int(CODE * DOTS) : right]
    rows = np.flatnonzero(np.diff(np.r_[0, strip[:, strip.shape[1] // 5 :].any(axis=1).astype(int), 0]))
    found = []
    for top, bottom in zip(rows[::2], rows[1::2], strict=True):
        high = (bottom - top) / DOTS
        modules = 8 * high / (CODE - high) if high < CODE else 0.0
        if 20 < modules < 40:
            side = round(modules)
            columns = np.flatnonzero(strip[top:bottom].any(axis=0))
            centers = (np.arange(side) + 0.5) / side
            y = (top + centers * (bottom - top)).astype(int)
            x = (columns[0] + centers * (columns[-1] + 1 - columns[0])).astype(int)
            found.append(strip[np.ix_(y, x)].tolist())
    return found
