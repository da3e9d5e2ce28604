from __future__ import annotations

from dataclasses import replace
from io import BytesIO

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pypdf import PdfReader

from annual_planner.paper.faces import BOLD, REGULAR, broken, settable, width_of
from annual_planner.paper.package import package_pdf
from tests.paper.sample import sample_view

EUROPE = "Λουκία Παπαδή, Łukasz Brzęczyk, Александра Жукова, Nguyễn Việt, Gügler & Söhne – “Čáp”"


@pytest.mark.parametrize("face", [REGULAR, BOLD])
def test_names_of_europe_are_set_as_they_are_written(face: str) -> None:
    assert settable(EUROPE, face) == EUROPE
    assert settable("Łukasz, Noël", face) == "Łukasz, Noël"


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("王小明", "[3 Chinese letters]"),
        ("محمد", "[4 Arabic letters]"),
        ("שלום at 5", "[4 Hebrew letters] at 5"),
        ("プラグ", "[3 Japanese letters]"),
        ("🔧\ufe0f it", "[wrench] it"),
        ("\uff21\uff22", "AB"),
        ("a\u200bb\u00adc", "abc"),
        ("bell\x07 tab\there", "bell  tab here"),
        ("\ud800", "[sign]"),
    ],
)
def test_what_the_typeface_lacks_is_told_in_words(text: str, told: str) -> None:
    assert settable(text, REGULAR) == told


@given(st.text(max_size=40))
def test_no_text_whatever_leaves_a_letter_that_would_print_as_a_box(text: str) -> None:
    from reportlab.pdfbase import pdfmetrics

    set_ = settable(text, REGULAR)
    known = pdfmetrics.getFont(REGULAR).face.charWidths
    assert all(ord(letter) in known for letter in set_)


def test_a_number_keeps_its_unit_beside_it() -> None:
    text = "gives up 5 months of 12 and 37.0 h of 100 h, filter, no. 1 at 0.016 in"
    for width in range(40, 300, 7):
        for line in broken(text, REGULAR, 8.5, float(width)):
            assert not line.startswith(("h ", "h,", "1 ", "in"))
            assert width_of(line, REGULAR, 8.5) <= width


def test_a_paper_with_names_of_all_scripts_has_no_letter_without_a_shape() -> None:
    view = sample_view(cards=2)
    owner = f"{EUROPE}, 王小明, محمد علي, 🔧"
    view = replace(view, aircraft=replace(view.aircraft, owner=owner), cards=())
    target = BytesIO()
    package_pdf(view, target)
    cover = " ".join(PdfReader(target).pages[0].extract_text().split())
    for said in (
        *EUROPE.replace("&", ",").split(","),
        "[3 Chinese letters]",
        "[4 Arabic letters]",
        "[wrench]",
    ):
        assert said.strip() in cover
