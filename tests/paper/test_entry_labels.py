"""Entries on label sheets: nothing is lost, nothing leaves its label, too small is refused."""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO

import pypdfium2
import pypdfium2.raw as pdfium_c
import pytest
from pypdf import PdfReader

from annual_planner.library.label_sheets import PAPERS, LabelSheet, load_label_sheets
from annual_planner.paper.entry_labels import EDGE, MARGIN, SIZES, labels_of, labels_pdf
from annual_planner.paper.printed_entry import PrintedEntry
from annual_planner.trade.refused import Refused

SEAL = " ".join(["0123abcd"] * 8)
SHORT = PrintedEntry(
    "airframe", "4 May 2026. N012AP.\nType of inspection: annual.", ("inspected, signed by Ida Fox",)
)
WORDS = [f"word{number}" for number in range(260)]
LONG = PrintedEntry("engine 1", " ".join(WORDS))
SHEETS = load_label_sheets()


def printed(sheet: LabelSheet, *entries: PrintedEntry, first_label: int = 1) -> bytes:
    target = BytesIO()
    labels_pdf(entries, target, sheet, registration="N012AP", last_seal=SEAL, first_label=first_label)
    return target.getvalue()


def words_at(pdf: bytes) -> list[tuple[int, float, float, str]]:
    """Page, x and y (from the lower left) of each piece of text."""
    found: list[tuple[int, float, float, str]] = []
    for number, page in enumerate(PdfReader(BytesIO(pdf)).pages):

        def seen(text: str, _cm: object, tm: list[float], *_rest: object, number: int = number) -> None:
            if text.strip():
                found.append((number, tm[4], tm[5], text))

        page.extract_text(visitor_text=seen)
    return found


@pytest.mark.parametrize("key", sorted(SHEETS))
def test_every_word_stands_on_a_label_of_its_sheet(key: str) -> None:
    sheet = SHEETS[key]
    places = words_at(printed(sheet, SHORT, LONG))
    text = " ".join(each[3] for each in places)
    assert [word for word in WORDS if word not in text.split()] == []
    assert "signed by Ida Fox" in text
    assert "Not signed with a key" in text
    high = PAPERS[sheet.paper][1]
    for _page, x, y, said in places:
        inside = False
        for place in range(sheet.labels):
            left, down = sheet.corner(place)
            across = left + MARGIN - 0.1 <= x <= left + sheet.label_width
            inside = inside or (across and high - down - sheet.label_height <= y <= high - down - MARGIN)
        assert inside, (said, x, y)


def sizes_on(pdf: bytes) -> set[float]:
    page = pypdfium2.PdfDocument(pdf)[0].get_textpage()
    return {round(pdfium_c.FPDFText_GetFontSize(page, at), 1) for at in range(page.count_chars())}


def test_a_large_label_bears_larger_type() -> None:
    assert 7.0 in sizes_on(printed(SHEETS["letter_2x5"], LONG))
    assert max(sizes_on(printed(SHEETS["letter_1x2"], SHORT))) == SIZES[0]


@pytest.mark.parametrize("key", sorted(SHEETS))
def test_text_keeps_off_the_edge_that_printers_leave_bare(key: str) -> None:
    wide, high = PAPERS[SHEETS[key].paper]
    for _page, x, y, _said in words_at(printed(SHEETS[key], SHORT, LONG)):
        assert EDGE - 0.1 <= x < wide - EDGE
        assert EDGE - 0.1 <= y < high - EDGE


def test_a_long_entry_goes_on_and_says_so_on_each_label() -> None:
    labels = labels_of(LONG, SHEETS["letter_2x5"], "N012AP", SEAL)
    assert len(labels) > 1
    assert [label.head for label in labels] == [
        f"N012AP · Engine 1, label {number} of {len(labels)}" for number in range(1, len(labels) + 1)
    ]
    assert " ".join(line for label in labels for line in label.lines).split() == WORDS
    assert [bool(label.closing) for label in labels] == [False] * (len(labels) - 1) + [True]
    assert len(labels[-1].lines) >= 2, "a signature never stands alone"


def test_labels_that_are_used_up_stay_free() -> None:
    sheet = SHEETS["letter_2x5"]
    pdf = printed(sheet, SHORT, SHORT, first_label=10)
    heads = [(page, round(x), round(792 - y)) for page, x, y, said in words_at(pdf) if "Airframe" in said]
    tenth, first = sheet.corner(9), sheet.corner(0)
    assert [page for page, _x, _down in heads] == [0, 1]
    assert [x for _page, x, _down in heads] == [round(tenth[0] + MARGIN), round(first[0] + MARGIN)]
    assert tenth[1] < heads[0][2] < tenth[1] + 24
    assert first[1] < heads[1][2] < first[1] + 24


def test_the_same_entries_give_the_same_bytes() -> None:
    assert printed(SHEETS["a4_2x4"], SHORT, LONG) == printed(SHEETS["a4_2x4"], SHORT, LONG)


def test_what_does_not_fit_is_refused_with_what_to_do() -> None:
    small = replace(SHEETS["letter_2x5"], label_width=190.0, label_height=72.0, name="tiny")
    with pytest.raises(Refused, match="too small") as refused:
        printed(small, SHORT)
    assert "Letter or A4" in refused.value.remedy
    with pytest.raises(Refused, match="Engine 1 would need"):
        printed(SHEETS["letter_2x5"], PrintedEntry("engine 1", LONG.text * 12))
    for first_label in (0, 11):
        with pytest.raises(Refused, match="labels 1 to 10"):
            printed(SHEETS["letter_2x5"], SHORT, first_label=first_label)
