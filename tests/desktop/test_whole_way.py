"""An annual from its first card in work to signed and closed, by the window's own actions and nothing else.

The first card is timed and done on the floor, a defect found on it is judged, put right and signed, the rest
comes back on a filled copy; then entries are drafted, each signed, and the package closed.
"""

from __future__ import annotations

import hashlib
from pathlib import Path

import pytest
from PySide6.QtCore import QUrl
from PySide6.QtWidgets import QFileDialog
from pytestqt.qtbot import QtBot

from annual_planner.desktop.annual import paper_jobs
from annual_planner.desktop.annual.filled_dialog import FilledDialog
from annual_planner.desktop.annual.in_work.tab import InWork
from annual_planner.desktop.annual.page import AnnualPage
from annual_planner.desktop.discrepancies.page import DiscrepanciesPage
from annual_planner.desktop.form import Form
from annual_planner.desktop.progress import Progress
from annual_planner.desktop.signing.dialog import SigningDialog
from annual_planner.desktop.who import Person
from annual_planner.desktop.window import MainWindow
from annual_planner.planning.paper_fields import plan_digest
from annual_planner.records.card_results import measures_of
from annual_planner.records.chain import check_chain
from annual_planner.store.discrepancy_reads import discrepancy_sheet
from annual_planner.store.filed_reads import entries_of, entry_ids, paper_lines, paper_pdf
from annual_planner.store.fleet_reads import compliances, packages, people
from annual_planner.store.rows import CardLine
from annual_planner.trade.cards import Phase
from tests.desktop.conftest import settle
from tests.desktop.test_annual import page, shop  # noqa: F401 - fixtures
from tests.desktop.test_closing import PASSPHRASE, planned_file, sign_chosen  # noqa: F401 - fixture
from tests.desktop.test_in_work import opened
from tests.exchange.test_filled_package import filled_in

pytestmark = pytest.mark.desktop
# ruff: noqa: F811 - fixtures of other tests are named again where they are asked for


def test_an_annual_goes_from_the_first_card_to_closed_in_the_window(
    page: AnnualPage, shop: MainWindow, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    ida = sit_down(shop, qtbot, "Ida Fox")
    tab = in_work(page, shop, qtbot)
    found = first_card_with_a_defect(tab, shop, qtbot)
    tab.open.text.anchorClicked.emit(QUrl(f"discrepancy:{found}"))
    settle(qtbot, shop)
    put_right_and_sign(shop, qtbot, ida)

    shop.go("annual", page.package_id)
    settle(qtbot, shop)
    the_rest_on_paper(page, shop, qtbot, tmp_path / "filled.pdf", monkeypatch)
    draft_sign_close(page, shop, qtbot)

    with shop.desk.jobs.fleet.reading() as work:
        (package,) = packages(work)
        entries = entries_of(work, entry_ids=entry_ids(work))
        papers = paper_lines(work)
        pdfs = [paper_pdf(work, paper.paper_id) for paper in papers]
        done = compliances(work, package.aircraft_id)
        chain = check_chain(work)
    assert package.state == "closed"
    assert {entry.state for entry in entries} == {"signed"}
    assert any("hose replaced by the maker's manual" in entry.text for entry in entries)
    assert {paper.title.split(" ")[0] for paper in papers} == {"Package", "Entries"}
    assert [hashlib.sha256(pdf).hexdigest() for pdf in pdfs] == [paper.sha256 for paper in papers]
    assert any(each.done_on == shop.desk.today for each in done), "the annual itself is recorded as done"
    assert chain.value.whole, chain.value.faults
    assert chain.value.links == len(entries) + 1, "each entry, and the discrepancy"
    assert all(paper.last_seal for paper in papers), "each paper bears the newest seal"


def sit_down(shop: MainWindow, qtbot: QtBot, name: str) -> int:
    with shop.desk.jobs.fleet.reading() as work:
        person = next(each for each in people(work) if each.name == name)
    shop.desk.who.pick(Person("mechanic", person.person_id, person.name))
    settle(qtbot, shop)
    return person.person_id


def in_work(page: AnnualPage, shop: MainWindow, qtbot: QtBot) -> InWork:
    shop.go("annual", page.package_id)
    page.tabs.show_part(page.late.in_work_part)
    settle(qtbot, shop)
    return page.late.in_work


def first_card_with_a_defect(tab: InWork, shop: MainWindow, qtbot: QtBot) -> int:
    """Time is started, a defect is written down, the card is done; the defect's id."""
    opened(tab, shop, qtbot, tab.listing.held.rows[0].number)
    for name in ("start", "found"):
        tab.doings.by_name[name].trigger()
        settle(qtbot, shop)
    assert tab.open.form is not None
    tab.open.form.put({"text": "Chafed hose at the firewall"})
    tab.open.form.submit()
    settle(qtbot, shop)
    tab.doings.by_name["done"].trigger()
    settle(qtbot, shop)
    assert tab.doings.card is not None
    assert tab.doings.card.card.state == "done", tab.open.said.text()
    (found,) = tab.doings.card.discrepancies
    return found.discrepancy_id


def put_right_and_sign(shop: MainWindow, qtbot: QtBot, person_id: int) -> None:
    page = shop.page
    assert isinstance(page, DiscrepanciesPage)
    for action, values in (
        ("judge", {"airworthy": False, "risk": "stops the airplane"}),
        ("decide", {"disposition": "correct now"}),
        ("begin", {"person_id": person_id}),
        ("correct", {"said": "hose replaced by the maker's manual", "person_id": person_id}),
    ):
        getattr(page.doings, action).trigger()
        settle(qtbot, shop)
        form = page.beside.form
        assert isinstance(form, Form)
        form.put(values)
        form.submit()
        settle(qtbot, shop)
    assert page.seen is not None
    discrepancy_id = page.seen.sheet.line.discrepancy_id
    page.doings.sign.trigger()  # type: ignore[attr-defined]
    settle(qtbot, shop)
    dialog = shop.findChild(SigningDialog)
    assert dialog is not None, page.strip.text
    dialog.person.setCurrentIndex(dialog.person.findData(person_id))
    settle(qtbot, shop)
    dialog.passphrase.setText(PASSPHRASE)
    dialog.make_key.click()
    settle(qtbot, shop)
    dialog.passphrase.setText(PASSPHRASE)
    with qtbot.waitSignal(dialog.signed):
        dialog.sign_button.click()
    settle(qtbot, shop)
    with shop.desk.jobs.fleet.reading() as work:
        assert discrepancy_sheet(work, discrepancy_id).line.closed_on is not None


def the_rest_on_paper(
    page: AnnualPage, shop: MainWindow, qtbot: QtBot, path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The paper as the window prints it, filled in by another program, read back and recorded."""
    assert page.shown is not None
    cards = [card for card in page.shown.every_card if card.included]
    start = f"{page.shown.view.package.number}/{plan_digest(cards)}"
    values = {f"{start}/{card.number}/{what}": text for card in cards for what, text in fields_of(card)}
    pdf = paper_jobs.make_pdf(page.shown.view, "letter", Progress("a test"))
    path.write_bytes(filled_in(pdf, values))
    monkeypatch.setattr(QFileDialog, "getOpenFileName", lambda *_args: (str(path), ""))
    page.doings.filled.trigger()
    settle(qtbot, shop)
    dialog = shop.findChild(FilledDialog)
    assert dialog is not None
    assert dialog.seen is not None, dialog.strip.text
    assert dialog.seen.faults == ()
    with qtbot.waitSignal(dialog.recorded, timeout=60_000):
        dialog.record.click()
    settle(qtbot, shop)


def fields_of(card: CardLine) -> list[tuple[str, str]]:
    """What is filled in on a card: done, who did it, and in the engine run every figure."""
    if card.state == "done":
        return []
    filled = [("done", "/Yes"), ("initials", "IF")]
    if card.phase != Phase.RUN_UP:
        return filled
    asked = card.content.get("measurements") or ()
    assert isinstance(asked, list | tuple)
    for number, each in enumerate(asked):
        assert len(measures_of({"measurements": [each]})) == 1, "an engine run takes each figure once"
        filled.append((f"m{number}-0", each["low"] or each["high"] or "1"))
    return filled


def draft_sign_close(page: AnnualPage, shop: MainWindow, qtbot: QtBot) -> None:
    page.tabs.show_part(page.late.closing_part)
    settle(qtbot, shop)
    closing = page.late.closing
    assert closing.seen is not None
    assert closing.seen.state.value.before_entries == (), closing.seen.state.working.steps
    closing.buttons["draft"].click()
    settle(qtbot, shop)
    assert closing.entries.table.rowCount() > 0
    for place in range(closing.entries.table.rowCount()):
        closing.entries.point_to(place)
        settle(qtbot, shop)
        sign_chosen(closing, shop, qtbot)
    assert closing.seen.state.value.lacking == ()
    closing.buttons["close"].click()
    settle(qtbot, shop)
    qtbot.waitUntil(lambda: "filed" in closing.strip.text, timeout=60_000)
