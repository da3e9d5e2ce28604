"""The shop's weeks on paper: every visit in its bay and in its week, on both papers, nothing cut."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from io import BytesIO
from itertools import pairwise
from pathlib import Path

import pytest
from pypdf import PdfReader

from annual_planner.paper.look import sheet_of
from annual_planner.paper.shop_weeks import shop_weeks_pdf
from annual_planner.paper.weeks_drawing import NAMES, WEEKS_ACROSS, lanes_of
from annual_planner.planning.shop_weeks.loads import week_loads
from annual_planner.planning.shop_weeks.placing import place_visits
from annual_planner.planning.shop_weeks.visits import Placed, WeeksAsked, WeeksPlan
from annual_planner.trade.refused import Refused
from tests.planning.shop_weeks.made import FIRST, many, visit, weeks

TODAY = date(2026, 5, 1)
LEFT_OUT = (("N0LEFT", "no annual is recorded, so it isn't known when the next is due"),)


def ruled(asked: WeeksAsked) -> WeeksPlan:
    return place_visits(asked, seconds=0).value


def printed(asked: WeeksAsked, plan: WeeksPlan, page_size: str = "letter", **given: bool) -> bytes:
    target = BytesIO()
    shop_weeks_pdf(asked, plan, LEFT_OUT, target, today=TODAY, page_size=page_size, **given)
    return target.getvalue()


def words_of(pdf: bytes) -> list[str]:
    return [" ".join(page.extract_text().split()) for page in PdfReader(BytesIO(pdf), strict=True).pages]


@pytest.fixture(scope="module")
def year() -> tuple[WeeksAsked, WeeksPlan]:
    asked = many(120, bays=3, seed=1, hours=260)
    return asked, ruled(asked)


@pytest.mark.parametrize("page_size", ["letter", "a4"])
def test_every_visit_is_drawn_and_listed_with_page_numbers_across_the_sheet(
    year: tuple[WeeksAsked, WeeksPlan], page_size: str
) -> None:
    pdf = printed(*year, page_size)
    pages = words_of(pdf)
    said = " ".join(pages).split()
    for each in year[1].placed:
        assert said.count(each.visit.title) >= (2 if each.week is not None else 1), each.visit.title
    assert all(f"Page {n} of {len(pages)}" in page for n, page in enumerate(pages, 1))
    box, upright = PdfReader(BytesIO(pdf)).pages[0].mediabox, sheet_of(page_size)
    assert (float(box.width), float(box.height)) == pytest.approx((upright.height, upright.width), abs=0.01)


def test_an_airplane_without_a_week_is_there_with_the_reason(year: tuple[WeeksAsked, WeeksPlan]) -> None:
    asked, plan = year
    lost = replace(plan, placed=(Placed(plan.placed[0].visit, None), *plan.placed[1:]))
    last = words_of(printed(asked, lost))[-1]
    assert f"{plan.placed[0].visit.title} " in last
    assert "no week had room" in last
    assert "N0LEFT no annual is recorded" in last


def test_one_whose_week_has_no_bay_free_is_drawn_and_said() -> None:
    asked = WeeksAsked(weeks(13), (visit(7, date(2026, 6, 30)),), ("bay 1",))
    pages = words_of(printed(asked, WeeksPlan((Placed(asked.visits[0], 2),), 0.0, None, False, 0.0)))
    assert pages[0].split().count("N07") == 2
    assert pages[0].count("no bay free") == 2
    assert "Week of 18 May 2026: 24 of 200 hours, 0 of 5 bay days" in pages[0]


def test_late_and_pinned_are_said_in_words() -> None:
    late = visit(8, date(2026, 5, 6), pinned_on=date(2026, 5, 25))
    asked = WeeksAsked(weeks(13), (late,), ("bay 1",))
    said = " ".join(words_of(printed(asked, ruled(asked))))
    assert "begins 19 days after its latest day, 6 May 2026" in said
    assert "Mon 25 May Wed 27 May 6 May 2026 6 May 2026 24.0 pinned" in said
    assert "1 of 1 visits placed, 1 after their latest day" in said


def test_a_closed_week_says_so_and_a_long_visit_goes_on_over_the_quarter() -> None:
    open_weeks = weeks(26)
    shut = replace(open_weeks[5], open_days=(), hours=open_weeks[5].hours * 0)
    asked = WeeksAsked(
        (*open_weeks[:5], shut, *open_weeks[6:]),
        (visit(9, date(2026, 9, 1), bay_days=9, hours=72, pinned_on=open_weeks[12].monday),),
        ("bay 1",),
    )
    first = words_of(printed(asked, ruled(asked)))[0]
    assert "closed" in first
    assert "N09 ›" in first
    assert "‹ N09" in first


def test_no_bar_or_name_touches_another_or_leaves_the_sheet() -> None:
    asked = many(300, bays=4, seed=2, hours=260)
    plan, width = ruled(asked), sheet_of("letter").height - 2 * sheet_of("letter").side
    for first in range(0, 52, WEEKS_ACROSS):
        for bay in asked.bays:
            for lane in lanes_of(plan.placed, bay, asked.weeks[first : first + WEEKS_ACROSS], width):
                for left, right in pairwise(lane):
                    assert left.ends[1] < right.ends[0]
                assert lane[0].ends[0] >= -0.01
                assert lane[-1].ends[1] <= width - NAMES


def test_the_load_of_the_weeks_adds_up_to_all_hours(year: tuple[WeeksAsked, WeeksPlan]) -> None:
    asked, plan = year
    loads = week_loads(asked, plan.placed)
    there = [each.visit for each in plan.placed if each.week is not None]
    assert sum(load.hours for load in loads) == pytest.approx(float(sum(each.hours for each in there)))
    assert sum(load.bay_days for load in loads) == sum(each.bay_days for each in there)
    assert sum(len(load.begin) for load in loads) == len(there)


def test_the_same_plan_gives_the_same_bytes_and_says_when_it_is_a_demonstration(
    year: tuple[WeeksAsked, WeeksPlan],
) -> None:
    assert printed(*year) == printed(*year)
    assert "DEMONSTRATION" not in words_of(printed(*year))[0]
    assert "DEMONSTRATION" in words_of(printed(*year, demo=True))[0]


def test_a_shop_without_visits_gets_its_empty_weeks() -> None:
    asked = WeeksAsked(weeks(4), (), ("bay 1",))
    assert "No visit is placed." in words_of(printed(asked, ruled(asked)))[0]


def test_another_paper_or_a_missing_folder_is_refused(
    year: tuple[WeeksAsked, WeeksPlan], tmp_path: Path
) -> None:
    with pytest.raises(Refused, match="no paper size 'a3'"):
        printed(*year, "a3")
    with pytest.raises(Refused, match="can't be written"):
        shop_weeks_pdf(*year, (), tmp_path / "nowhere" / "weeks.pdf", today=FIRST)
