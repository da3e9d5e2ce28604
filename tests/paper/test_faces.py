from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from annual_planner.paper.faces import BOLD, REGULAR, broken, fitted, width_of

letters = st.characters(min_codepoint=33, max_codepoint=0x17F, exclude_categories=["Cc", "Cf"])
words = st.text(letters, min_size=1, max_size=60)


@given(st.lists(words, min_size=1, max_size=20), st.floats(40, 400))
def test_broken_lines_keep_every_letter_and_stay_within_the_width(text: list[str], width: float) -> None:
    lines = broken(" ".join(text), REGULAR, 8.5, width)
    assert "".join("".join(lines).split()) == "".join("".join(text).split())
    assert all(width_of(line, REGULAR, 8.5) <= width + 0.01 or len(line) == 1 for line in lines)


def test_own_widths_are_those_of_the_pdf_library() -> None:
    from reportlab.pdfbase.pdfmetrics import stringWidth

    for face in (REGULAR, BOLD):
        text = "Torque ≤ 35 N·m – “Größe” Ω µ °"
        assert abs(width_of(text, face, 9) - stringWidth(text, face, 9)) < 1e-6


@given(words, st.floats(30, 400))
def test_a_fitted_line_stays_within_its_room_and_is_whole_where_it_can_be(text: str, room: float) -> None:
    line = fitted(text, BOLD, 7.0, room)
    assert width_of(line, BOLD, 7.0) <= room
    assert (line == text) == (width_of(text, BOLD, 7.0) <= room)
