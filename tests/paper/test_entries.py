from __future__ import annotations

from datetime import date
from io import BytesIO

import pytest
from pypdf import PdfReader

from annual_planner.paper.entries import entries_pdf
from annual_planner.paper.printed_entry import PrintedEntry

ENTRIES = (
    PrintedEntry(
        "airframe", "4 May 2026. N012AP.\nType of inspection: annual.", ("inspected, signed by Ida Fox",)
    ),
    PrintedEntry("engine 1", "4 May 2026. N012AP, engine 1.\nOil filter renewed."),
)


def printed(page_size: str = "letter", entries: tuple[PrintedEntry, ...] = ENTRIES) -> bytes:
    target = BytesIO()
    entries_pdf(
        entries, target, registration="N012AP", package="N012AP-2026-1", today=date(2026, 5, 4),
        last_seal="ABCD 1234", page_size=page_size,
    )  # fmt: skip
    return target.getvalue()


@pytest.mark.parametrize("page_size", ["letter", "a4"])
def test_every_entry_its_signer_and_the_newest_seal_are_on_paper(page_size: str) -> None:
    text = " ".join(page.extract_text() for page in PdfReader(BytesIO(printed(page_size))).pages)
    text = " ".join(text.split())
    for words in (
        "Type of inspection: annual.",
        "signed by Ida Fox",
        "Not signed with a key",
        "ABCD 1234",
        "N012AP",
    ):
        assert words in text


def test_the_same_entries_give_the_same_bytes() -> None:
    assert printed() == printed()


def test_many_entries_go_on_over_pages() -> None:
    pages = PdfReader(BytesIO(printed(entries=ENTRIES * 40))).pages
    assert len(pages) > 3


def test_the_list_for_the_owner_follows_on_a_sheet_of_its_own() -> None:
    target = BytesIO()
    entries_pdf(
        ENTRIES, target, registration="N012AP", package="N012AP-2026-1", today=date(2026, 5, 4),
        last_seal="", owner_list=("1. wing: Aileron hinge cracked", "2. engine: Oil leak at the rear"),
    )  # fmt: skip
    pages = [" ".join(page.extract_text().split()) for page in PdfReader(target).pages]
    assert len(pages) == 2
    assert "Aileron hinge cracked" not in pages[0]
    for words in ("1. wing: Aileron hinge cracked", "43.11(b)", "4 May 2026", "in ink", "Given to the owner"):
        assert words in pages[1]
    assert "Package N012AP-2026-1" in pages[0]


def sheets_of(*entries: PrintedEntry) -> list[str]:
    pages = PdfReader(BytesIO(printed(entries=entries))).pages
    return [" ".join(page.extract_text().split()) for page in pages]


@pytest.mark.parametrize("lines", range(52, 66))
def test_a_signature_never_stands_alone_and_a_second_sheet_says_whose_it_is(lines: int) -> None:
    text = "\n".join(f"{number}. Work {number} done." for number in range(1, lines + 1))
    sheets = sheets_of(PrintedEntry("airframe", text, ("inspected, signed by Ida Fox",)))
    signed = next(sheet for sheet in sheets if "Signature, in ink" in sheet)
    assert f"{lines}. Work {lines} done. inspected, signed by Ida Fox" in signed
    if len(sheets) > 1:
        assert "Airframe, continued" in sheets[1]


def test_an_entry_in_one_endless_paragraph_loses_no_word() -> None:
    words = [f"word{number}" for number in range(3000)]
    sheets = sheets_of(PrintedEntry("airframe", " ".join(words)))
    told = " ".join(sheets).split()
    assert [word for word in words if word not in set(told)] == []
    assert len(sheets) > 1
