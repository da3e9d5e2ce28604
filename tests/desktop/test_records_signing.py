"""Signing and correcting in the place Records: the old entry stays, an owner signs their own work alone."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest
from pytestqt.qtbot import QtBot

from annual_planner.desktop.records.correction import CorrectionDialog
from annual_planner.desktop.records.page import RecordsPage
from annual_planner.desktop.signing.dialog import SigningDialog
from annual_planner.desktop.who import Person
from annual_planner.desktop.window import MainWindow
from annual_planner.records.chain import check_chain
from annual_planner.store.fleet_reads import find_aircraft, owner_of, people
from annual_planner.store.writing import add
from tests.desktop.conftest import settle
from tests.desktop.test_keys_list import press
from tests.desktop.test_records_page import PASSPHRASE, entries, filled, opened, told

pytestmark = pytest.mark.desktop
AT = datetime(2026, 5, 4, 15, 0, tzinfo=UTC)
OWNERS_PHRASE = "fourteen patient geese upstream"


def point_to_state(page: RecordsPage, state: str, window: MainWindow, qtbot: QtBot, kind: str = "") -> None:
    found = [line for line in entries(page) if line.state == state and kind in ("", line.kind)]
    page.entries.listing.point_to(found[0].entry_id)
    settle(qtbot, window)


def signing(window: MainWindow) -> SigningDialog:
    dialogs = window.findChildren(SigningDialog)
    assert dialogs
    return dialogs[-1]


def sign(dialog: SigningDialog, passphrase: str, window: MainWindow, qtbot: QtBot) -> None:
    dialog.passphrase.setText(passphrase)
    assert dialog.sign_button.isEnabled(), dialog.entitled.text() or dialog.strip.text
    with qtbot.waitSignal(dialog.signed):
        dialog.sign_button.click()
    settle(qtbot, window)
    assert window.desk.jobs.trail.undo is None, "nothing reaches behind a signature"


def test_a_signed_entry_is_corrected_by_a_new_one_and_stays_readable(
    window: MainWindow, qtbot: QtBot
) -> None:
    filled(window)
    page = opened(window, qtbot, "entries")
    point_to_state(page, "draft", window, qtbot)
    press(page, "Correct the entry")
    assert "only a signed one is corrected" in page.strip.text

    point_to_state(page, "signed", window, qtbot)
    press(page, "Correct the entry")
    dialog = window.findChild(CorrectionDialog)
    assert dialog is not None
    assert not dialog.draft.isEnabled(), "nothing is changed yet"
    dialog.text.setPlainText(dialog.text.toPlainText() + "\nTotal time in service 1200.0 h.")
    assert not dialog.draft.isEnabled(), "the reason is missing"
    dialog.why.setText("the total time was left out")
    dialog.draft.click()
    settle(qtbot, window)
    assert "drafted" in page.strip.text

    point_to_state(page, "draft", window, qtbot, "inspection")
    press(page, "Sign the entry")
    settle(qtbot, window)
    act = signing(window)
    with window.desk.jobs.fleet.reading() as work:
        marit = next(each.person_id for each in people(work) if each.name == "Marit Holloway")
    act.person.setCurrentIndex(act.person.findData(marit))
    settle(qtbot, window)
    assert "the total time was left out" in act.content.toPlainText()
    sign(act, PASSPHRASE, window, qtbot)

    inspections = [line for line in entries(page) if line.kind == "inspection"]
    assert sorted(line.state for line in inspections) == ["signed", "superseded"]
    old = next(line for line in inspections if line.state == "superseded")
    new = next(line for line in inspections if line.state == "signed")
    assert "superseded by record" in told(page, old, window, qtbot)
    assert f"Corrects entry {old.entry_id}: the total time was left out" in told(page, new, window, qtbot)
    with window.desk.jobs.fleet.reading() as work:
        assert check_chain(work).value.whole


def owners_entry(window: MainWindow, plane: int) -> None:
    """A draft of preventive maintenance: oil and filter, as the list allows."""
    with window.desk.jobs.fleet.work("a test") as work:
        entry = {
            "aircraft_id": plane, "kind": "preventive maintenance", "work_on": window.desk.today,
            "approved": None, "text": "4 May 2026. N012MH.\nFuel strainer cleaned.",
            "facts": {"preventive": ["A(c)(23)"]},
        }  # fmt: skip
        add(work, "log_entry", entry, aircraft_id=plane)


def test_an_owner_signs_their_own_preventive_maintenance_and_nothing_else(
    window: MainWindow, qtbot: QtBot
) -> None:
    plane = filled(window)
    owners_entry(window, plane)
    with window.desk.jobs.fleet.reading() as work:
        owner_id = owner_of(work, find_aircraft(work, "N012MH"))
        owner = next(each for each in people(work) if each.person_id == owner_id)
    window.desk.who.pick(Person("owner", owner.person_id, owner.name))
    settle(qtbot, window)
    page = opened(window, qtbot, "entries")
    point_to_state(page, "draft", window, qtbot, "maintenance")
    press(page, "Sign the entry")
    settle(qtbot, window)
    assert "own preventive maintenance and nothing else" in page.strip.text
    assert not window.findChildren(SigningDialog)

    point_to_state(page, "draft", window, qtbot, "preventive maintenance")
    press(page, "Sign the entry")
    settle(qtbot, window)
    dialog = signing(window)
    assert [dialog.person.itemData(place) for place in range(dialog.person.count())] == [owner_id]
    dialog.passphrase.setText(OWNERS_PHRASE)
    dialog.make_key.click()
    settle(qtbot, window)
    sign(dialog, OWNERS_PHRASE, window, qtbot)
    signed = [line for line in entries(page) if line.kind == "preventive maintenance"]
    assert [line.state for line in signed] == ["signed"]
