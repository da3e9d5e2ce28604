from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from annual_planner.paper.flow import Block, Flow, Group, Page, Section

FRAME = 100.0


def block(height: float) -> Block:
    return Block(height, lambda pen, x, top: None)


def laid(*sections: Section) -> list[Page]:
    flow = Flow(FRAME)
    for section in sections:
        flow.add(section)
    return flow.finish()


heights = st.lists(st.floats(1, 40), min_size=1, max_size=5)


@given(st.lists(heights, min_size=1, max_size=20))
def test_nothing_is_lost_and_nothing_overflows(groups: list[list[float]]) -> None:
    made = tuple(Group(tuple(block(h) for h in group)) for group in groups)
    pages = laid(Section("a", made))
    placed = [each for page in pages for _, each in page.placed]
    assert placed == [each for group in made for each in group.blocks]
    assert all(used + each.height <= FRAME + 1e-6 for page in pages for used, each in page.placed)


@given(st.lists(heights, min_size=1, max_size=20))
def test_a_group_that_fits_on_a_sheet_is_never_cut(groups: list[list[float]]) -> None:
    made = tuple(Group(tuple(block(h) for h in group)) for group in groups)
    pages = laid(Section("a", made))
    for group in made:
        if group.height <= FRAME:
            on = {n for n, page in enumerate(pages) for _, each in page.placed if each in group.blocks}
            assert len(on) == 1


def test_a_tables_heading_row_is_repeated_on_the_next_sheet() -> None:
    head = block(10)
    rows = tuple(Group((block(30),), running=head) for _ in range(5))
    pages = laid(Section("a", (Group((head, block(30))), *rows)))
    assert [page.placed[0][1] is head for page in pages] == [True, True]


def test_a_group_too_tall_for_a_sheet_goes_on_under_its_short_head() -> None:
    again = block(5)
    pages = laid(Section("a", (Group(tuple(block(30) for _ in range(6)), continued=again),)))
    assert [page.placed[0][1] is again for page in pages] == [False, True]


def test_a_section_of_its_own_sheet_stands_alone() -> None:
    own = Section("own", (Group((block(10),)),), own_sheet=True)
    other = Section("other", (Group((block(10),)),))
    assert [page.title for page in laid(other, own, other)] == ["other", "own", "other"]


def test_a_section_begins_on_a_sheet_with_room_and_else_on_a_fresh_one() -> None:
    short, tall = Section("a", (Group((block(20),)),)), Section("b", (Group((block(80),)),))
    assert len(laid(short, short)) == 1
    assert len(laid(tall, short)) == 2


def test_the_foot_of_a_sheet_is_filled() -> None:
    filled = Section("a", (Group((block(20),)),), filler=lambda height: block(height))
    (page,) = laid(filled)
    assert [each.height for _, each in page.placed] == [20, 80]


def test_what_a_sheet_has_told_is_told_in_short_after_that_and_in_full_on_the_next() -> None:
    short = block(10)
    full = Block(40, lambda pen, x, top: None, once="hot", again=short)
    card = Group((full, block(5)))
    first, second = laid(Section("a", (card,) * 6))
    assert [each.height for _, each in first.placed] == [40, 5, 10, 5, 10, 5, 10, 5]
    assert second.placed[0][1] is full


def test_space_under_a_group_is_given_up_at_the_foot_of_a_sheet() -> None:
    (page,) = laid(Section("a", tuple(Group((block(45),), below=10) for _ in range(2))))
    assert [used for used, _ in page.placed] == [0, 55]
