from __future__ import annotations

from dataclasses import replace
from io import BytesIO
from itertools import pairwise

import numpy as np
import pypdfium2
import pytest

from annual_planner.paper.found_sheets import TITLE as FOUND
from annual_planner.paper.look import MM
from annual_planner.paper.package import package_pdf
from tests.paper.sample import sample_view

SCALE = 300 / 72
DARK = 128
"""A printer without greys prints what is darker than this and leaves out the rest."""


@pytest.fixture(scope="module")
def paper() -> bytes:
    view = sample_view(cards=2)
    target = BytesIO()
    package_pdf(replace(view, items=view.items[:3], due_after=view.due_after[:3]), target)
    return target.getvalue()


def grey(page: pypdfium2.PdfPage) -> np.ndarray:
    """A page as rows of greys, 0 to 255."""
    picture: np.ndarray = page.render(scale=SCALE, grayscale=True).to_numpy()
    return picture.reshape(picture.shape[:2])


def level_lines(page: pypdfium2.PdfPage) -> list[float]:
    """Heights in points, from above, of dark level lines over more than half of a page."""
    picture = grey(page) < DARK
    rows = picture.sum(axis=1) > picture.shape[1] / 2
    return [row / SCALE for row in range(1, len(rows)) if rows[row] and not rows[row - 1]]


def test_lines_to_write_on_are_there_without_greys(paper: bytes) -> None:
    document = pypdfium2.PdfDocument(paper)
    sheets = [page for page in document if FOUND in page.get_textpage().get_text_range()[:200]]
    cover = level_lines(document[0])
    found = [level_lines(sheet) for sheet in sheets]
    document.close()
    assert found, "there are sheets for discrepancies"
    for lines in found:
        assert len(lines) >= 4 * 5, "four frames, and three lines to write on in each"
    to_foot = [line for line in cover if line > 600]
    assert len(to_foot) >= 4, "lines for notes on arrival"
    apart = [low - high for high, low in pairwise(to_foot)]
    assert max(apart) >= 7 * MM, "far enough from one another for a pen"


def test_nothing_is_printed_where_printers_do_not_reach(paper: bytes) -> None:
    document = pypdfium2.PdfDocument(paper)
    edge = int(10 * MM * SCALE) - 1
    for page in document:
        inked = grey(page) < 250
        for margin in (inked[:edge], inked[-edge:], inked[:, :edge], inked[:, -edge:]):
            assert not margin.any()
    document.close()
