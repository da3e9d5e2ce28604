"""Entries printed from the window: paper and labels chosen, seen, saved byte for byte."""

from __future__ import annotations

import hashlib
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader
from pytestqt.qtbot import QtBot

from annual_planner.desktop.annual.closing_tab import ClosingTab
from annual_planner.desktop.annual.entries_dialog import EntriesDialog
from annual_planner.desktop.annual.page import AnnualPage
from annual_planner.desktop.annual.preview import PreviewPane
from annual_planner.desktop.records.page import RecordsPage
from annual_planner.desktop.window import MainWindow
from annual_planner.store.filed_reads import paper_lines, paper_pdf
from tests.desktop.conftest import settle
from tests.desktop.test_annual import page, shop  # noqa: F401 - fixtures
from tests.desktop.test_closing import closing, planned_file  # noqa: F401 - fixtures
from tests.trail import newest_lines

pytestmark = pytest.mark.desktop
# ruff: noqa: F811 - fixtures of the annual's tests are named again where they are asked for


def choose(dialog: EntriesDialog, key: str) -> None:
    keys = [dialog.paper.itemData(place)[0] for place in range(dialog.paper.count())]
    dialog.paper.setCurrentIndex(keys.index(key))
    dialog.paper.activated.emit(keys.index(key))


def test_drafts_are_printed_on_labels_from_the_first_free_one(
    closing: ClosingTab, page: AnnualPage, shop: MainWindow, qtbot: QtBot, tmp_path: Path
) -> None:
    assert not closing.buttons["print"].isEnabled(), "there is no entry yet"
    closing.buttons["draft"].click()
    settle(qtbot, shop)
    closing.buttons["print"].click()
    settle(qtbot, shop)
    dialog = shop.findChild(EntriesDialog)
    assert dialog is not None
    assert dialog.pdf, dialog.strip.text
    assert dialog.first.isHidden(), "plain paper has no labels"
    choose(dialog, "letter_2x2")
    settle(qtbot, shop)
    fresh = dialog.pdf
    assert not dialog.first.isHidden()
    assert dialog.first.count() == 4
    assert dialog.first.itemText(2) == "3: row 2, column 1"
    dialog.first.setCurrentIndex(2)
    dialog.first.activated.emit(2)
    settle(qtbot, shop)
    assert dialog.pdf != fresh
    text = " ".join(sheet.extract_text() for sheet in PdfReader(BytesIO(dialog.pdf)).pages)
    assert "Airframe" in text
    assert "Not signed with a key; sign in ink." in text
    assert not dialog.page.image.isNull()
    dialog.out.save_to(tmp_path / "labels.pdf")
    settle(qtbot, shop)
    assert (tmp_path / "labels.pdf").read_bytes() == dialog.pdf
    with shop.desk.jobs.fleet.reading() as work:
        (filed,) = paper_lines(work)
        assert paper_pdf(work, filed.paper_id) == dialog.pdf, "what went out is kept byte for byte"
    assert filed.title.endswith("saved: 4 labels of 4 × 5 in on Letter")
    assert filed.package
    dialog.reject()


def test_the_records_print_one_entry_or_its_package(
    closing: ClosingTab, shop: MainWindow, qtbot: QtBot
) -> None:
    closing.buttons["draft"].click()
    settle(qtbot, shop)
    many = closing.entries.table.rowCount()
    shop.go("records", "entries")
    settle(qtbot, shop)
    records = shop.findChild(RecordsPage)
    assert records is not None
    for words, wanted in (("Print the entry", 1), ("Print every entry of its package", many)):
        (action,) = [each for each in records.actions_here if each.text().replace("&", "").startswith(words)]
        action.trigger()
        settle(qtbot, shop)
        dialog = shop.findChildren(EntriesDialog)[-1]
        assert len(dialog._ids) == wanted
        assert dialog.pdf, dialog.strip.text
        dialog.reject()


def test_saving_the_paper_of_a_package_is_noted_in_the_trail(
    page: AnnualPage, shop: MainWindow, qtbot: QtBot, tmp_path: Path
) -> None:
    page.doings.paper.trigger()
    qtbot.waitUntil(lambda: shop.findChild(PreviewPane) is not None)
    preview = shop.findChild(PreviewPane)
    assert preview is not None
    qtbot.waitUntil(lambda: bool(preview.out.pdf), timeout=60_000)
    preview.out.save_to(tmp_path / "paper.pdf")
    settle(qtbot, shop)
    with shop.desk.jobs.fleet.reading() as work:
        newest = newest_lines(work)[0]
    assert newest.what.startswith("saved 'package N012AP-")
    assert newest.after["sha256"] == hashlib.sha256(preview.out.pdf).hexdigest()
