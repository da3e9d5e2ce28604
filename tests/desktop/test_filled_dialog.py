"""A filled copy read back in the window: seen first, refusals named, recorded whole, taken back as one."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest
from PySide6.QtWidgets import QFileDialog
from pytestqt.qtbot import QtBot

from annual_planner.desktop.annual import paper_jobs
from annual_planner.desktop.annual.filled_dialog import FilledDialog
from annual_planner.desktop.annual.page import AnnualPage
from annual_planner.desktop.progress import Progress
from annual_planner.desktop.who import Person
from annual_planner.desktop.window import MainWindow
from annual_planner.planning.paper_fields import plan_digest
from annual_planner.store.card_reads import notes, results
from annual_planner.store.packages import card_line
from annual_planner.store.rows import CardLine
from tests.desktop.conftest import settle
from tests.desktop.test_annual import cards, page, planned_file, shop, undo  # noqa: F401 - fixtures
from tests.exchange.test_filled_package import filled_in

pytestmark = pytest.mark.desktop
# ruff: noqa: F811 - fixtures of the annual's tests are named again where they are asked for


def measured(page: AnnualPage) -> CardLine:
    """The first card that is in and asks for one figure with limits."""
    assert page.shown is not None
    for card in page.shown.every_card:
        asked = card.content.get("measurements") or ()
        assert isinstance(asked, list | tuple)
        if card.included and asked and asked[0]["low"] and asked[0]["high"]:
            return card
    raise AssertionError("no card asks for a figure with limits")


def filled(page: AnnualPage, path: Path, values: Mapping[tuple[int, str], str]) -> Path:
    """The paper as the window prints it, filled in by another program."""
    assert page.shown is not None
    pdf = paper_jobs.make_pdf(page.shown.view, "letter", Progress("a test"))
    package = page.shown.view.package.number
    digest = plan_digest([card for card in page.shown.every_card if card.included])
    names = {f"{package}/{digest}/{number}/{what}": value for (number, what), value in values.items()}
    path.write_bytes(filled_in(pdf, names))
    return path


def read_copy(
    page: AnnualPage, path: Path, shop: MainWindow, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> FilledDialog:
    monkeypatch.setattr(QFileDialog, "getOpenFileName", lambda *_args: (str(path), ""))
    page.doings.filled.trigger()
    settle(qtbot, shop)
    return shop.findChildren(FilledDialog)[-1]


def test_a_filled_copy_is_seen_then_recorded_whole_and_taken_back(
    page: AnnualPage, shop: MainWindow, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    card, first = measured(page), cards(page)[0]
    low = card.content["measurements"][0]["low"]  # type: ignore[index]
    copy = filled(page, tmp_path / "copy.pdf", {
        (card.number, "m0-0"): str(low), (card.number, "notes"): "seen by torchlight",
        (first.number, "done"): "/Yes", (first.number, "initials"): "if",
    })  # fmt: skip
    dialog = read_copy(page, copy, shop, qtbot, monkeypatch)
    assert dialog.seen is not None, dialog.strip.text
    assert dialog.seen.faults == ()
    assert dialog.lines.table.rowCount() == 3
    assert "3 to record, 0 as they stand" in dialog.counted.text()
    fleet = shop.desk.jobs.fleet
    with fleet.reading() as work:
        assert card_line(work, first.card_id).state == "open", "nothing is recorded by looking"
    dialog.record.click()
    settle(qtbot, shop)
    with fleet.reading() as work:
        assert card_line(work, first.card_id).state == "done"
        assert [each.text for each in notes(work, card.card_id)] == ["seen by torchlight"]
        assert len(results(work, card.card_id)) == 1
    assert "3 things are recorded" in page.strip.text
    again = read_copy(page, copy, shop, qtbot, monkeypatch)
    assert "0 to record, 3 as they stand" in again.counted.text()
    assert not again.record.isEnabled()
    again.reject()
    undo(qtbot, page)
    with fleet.reading() as work:
        assert card_line(work, first.card_id).state == "open"
        assert not notes(work, card.card_id)
        assert not results(work, card.card_id)


def test_what_is_refused_while_recording_is_named_and_nothing_of_the_copy_stays(
    page: AnnualPage, shop: MainWindow, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    card = measured(page)
    values = {(card.number, "notes"): "seen by torchlight", (card.number, "done"): "/Yes"}
    dialog = read_copy(page, filled(page, tmp_path / "copy.pdf", values), shop, qtbot, monkeypatch)
    dialog.record.click()
    settle(qtbot, shop)
    assert f"card {card.number}, done: Not before card" in dialog.strip.text
    with shop.desk.jobs.fleet.reading() as work:
        assert card_line(work, card.card_id).state == "open"
        assert not notes(work, card.card_id)
    dialog.reject()


def test_a_refused_field_is_named_by_page_and_nothing_can_be_recorded(
    page: AnnualPage, shop: MainWindow, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    card = measured(page)
    values = {(card.number, "m0-0"): "72 parsecs", (card.number, "notes"): "a good note"}
    dialog = read_copy(page, filled(page, tmp_path / "wrong.pdf", values), shop, qtbot, monkeypatch)
    assert dialog.seen is not None, dialog.strip.text
    (fault,) = dialog.seen.faults
    assert fault.page > 0
    assert fault.field.startswith(f"card {card.number}, ")
    assert dialog.faults.table.rowCount() == 1
    assert not dialog.record.isEnabled()
    dialog.reject()


def test_a_copy_of_another_package_or_no_copy_at_all_is_refused(
    page: AnnualPage, shop: MainWindow, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    card = measured(page)
    copy = filled(page, tmp_path / "copy.pdf", {(card.number, "notes"): "a note"})
    hostile = tmp_path / "hostile.pdf"
    hostile.write_bytes(b"%PDF-1.7\n1 0 obj" + b"[" * 50_000)
    for path in (hostile, tmp_path / "nowhere.pdf"):
        dialog = read_copy(page, path, shop, qtbot, monkeypatch)
        assert dialog.strip.text
        assert not dialog.record.isEnabled()
        dialog.reject()
    assert page.shown is not None
    other = FilledDialog(shop.desk, copy, page.shown.people, "N0OTHER-2026-1", shop)
    settle(qtbot, shop)
    assert "not of N0OTHER-2026-1" in other.strip.text
    assert not other.record.isEnabled()
    other.reject()
    other.deleteLater()


def test_an_owner_is_not_offered_it(page: AnnualPage, shop: MainWindow, qtbot: QtBot) -> None:
    assert page.doings.filled.isVisible()
    shop.desk.who.pick(Person("owner", 1, "Ola Reed"))
    settle(qtbot, shop)
    assert not page.doings.filled.isVisible()
