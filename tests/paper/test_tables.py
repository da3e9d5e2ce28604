from __future__ import annotations

import pytest

from annual_planner.paper.faces import load_faces
from annual_planner.paper.flow import Flow, Section
from annual_planner.paper.tables import Column, table

COLUMNS = (Column("What", 3), Column("How many", 1, "right"))


@pytest.mark.parametrize("rows", range(1, 30))
def test_no_row_of_a_table_stands_alone_on_a_sheet(rows: int) -> None:
    load_faces()
    flow = Flow(120.0)
    flow.add(Section("a", table(COLUMNS, [[f"thing {number}", "1"] for number in range(rows)], 400.0)))
    pages = flow.finish()
    heading = pages[0].placed[0][1]
    assert all(page.placed[0][1] is heading for page in pages), "the heading row is on every sheet"
    on_each = [len(page.placed) - 1 for page in pages]
    assert sum(on_each) == rows
    assert rows == 1 or min(on_each) > 1


def test_a_row_higher_than_a_sheet_goes_on_below_and_none_of_it_overflows() -> None:
    load_faces()
    flow = Flow(700.0)
    story = " ".join(["weathered"] * 2000)
    flow.add(Section("a", table(COLUMNS, [["short", "1"], [story, "2"], ["short", "3"]], 400.0)))
    pages = flow.finish()
    assert len(pages) > 1
    assert all(used + block.height <= 700.0 for page in pages for used, block in page.placed)
