from __future__ import annotations

from dataclasses import replace
from io import BytesIO

import pytest

from annual_planner.paper.package import package_pdf
from annual_planner.paper.preview import page_count, page_images
from tests.paper.sample import sample_view


@pytest.mark.parametrize(("size", "points"), [("letter", (612, 792)), ("a4", (595, 842))])
def test_a_preview_shows_each_page_at_its_scale(size: str, points: tuple[int, int]) -> None:
    target = BytesIO()
    view = sample_view()
    pages = package_pdf(replace(view, cards=view.cards[:2]), target, page_size=size)
    pdf = target.getvalue()
    assert page_count(pdf) == pages
    first, second = page_images(pdf, 0.5, last=2)
    assert abs(first.width - points[0] / 2) <= 1
    assert abs(first.height - points[1] / 2) <= 1
    assert len(first.pixels) == first.stride * first.height
    assert first.pixels != second.pixels
    assert min(first.pixels) < 60, "ink is there"
