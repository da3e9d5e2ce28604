"""A laid-out annual on paper: dense, whole, and in few words what each card waits for."""

from dataclasses import replace
from datetime import datetime, timedelta
from io import BytesIO

import pytest
from pypdf import PdfReader

from annual_planner.paper.work_plan import work_plan_pdf
from annual_planner.planning.crew.binding import binding
from annual_planner.planning.crew.open_time import Span
from annual_planner.planning.crew.problem import Job, Problem, Room, Seat
from annual_planner.planning.crew.solve import lay_out
from annual_planner.planning.timeline import Bar, bars_of
from tests.planning.crew.annuals import MONDAY, people, shop_weeks

NAMES = ("Ada Lindqvist", "Bo Marten", "Cy Novak")
MOST_PAGES = 8


def a_bar(number: int) -> Bar:
    """One of many bars: three people, half an hour each, sixteen a day."""
    day, turn = divmod(number // 3, 16)
    starts = datetime.fromisoformat("2026-05-04T08:00") + timedelta(days=day, minutes=30 * turn)
    ends = starts + timedelta(minutes=30)
    return Bar(
        job=f"job {number}",
        title=f"{number} Card with a title as long as cards have, no {number}",
        card_id=number,
        people=(NAMES[number % 3],),
        zone="whole airplane",
        starts=starts,
        ends=ends,
        pieces=(Span(starts, ends),),
        critical=number % 3 == 0,
        slack_hours=0.0,
        held="",
        waits="waits for a long reason that stands in the window",
        brief=f"{number - 3} ({NAMES[number % 3]})",
    )


@pytest.mark.parametrize("page_size", ["letter", "a4"])
def test_the_cards_of_a_whole_annual_stand_once_on_few_sheets(page_size: str) -> None:
    bars, target = [a_bar(number) for number in range(1, 146)], BytesIO()
    count = work_plan_pdf(
        bars, target, registration="N012MH", number="1", finish="done", today=MONDAY, page_size=page_size
    )
    pages = PdfReader(target).pages
    assert len(pages) == count <= MOST_PAGES
    text = "\n".join(page.extract_text() for page in pages)
    assert [bar.title for bar in bars if bar.title not in text] == []
    assert "142 (Bo Marten)" in text


def test_a_card_says_by_number_and_name_what_it_waits_for() -> None:
    second, third = (Seat(people=frozenset({key})) for key in ("second", "third"))
    jobs = (
        Job("a", "1 Open the cowling", 4, seats=(second,), room="nose"),
        Job("b", "2 Look at the mount", 4, seats=(second,)),
        Job("c", "3 Clean the nose", 4, seats=(third,), room="nose"),
    )
    problem = Problem(shop_weeks(1), people(1, owner=False), jobs, (Room("nose", "nose", 1),))
    plan = lay_out(problem, seconds=0, effort=0.0).value
    names = {person.key: person.name for person in problem.people}
    brief = {bar.title: bar.brief for bar in bars_of(plan, names, None, binding(problem, plan).value)}
    first, last = sorted(("1 Open the cowling", "3 Clean the nose"), key=lambda t: brief[t])
    assert brief[first] == ""
    assert brief[last] == f"{first.split(' ')[0]} (room in nose)"


def test_work_sent_out_has_its_bar_on_each_day_and_says_so_in_the_list() -> None:
    first, last = datetime.fromisoformat("2026-05-04T15:00"), datetime.fromisoformat("2026-05-07T15:00")
    out = replace(a_bar(200), title="200 Radio to its shop", people=(), pieces=(), starts=first, ends=last)
    days = [replace(a_bar(3 * 16 * day + 1), critical=False) for day in range(4)]
    target = BytesIO()
    work_plan_pdf([*days, out], target, registration="N012MH", number="1", finish="done", today=MONDAY)
    text = " ".join(page.extract_text() for page in PdfReader(target).pages)
    assert text.count("200 Radio to its shop") == 3, "on both strips of days, and in the list"
    assert "nobody: sent out" in text
    assert text.count("sent out") == 3
