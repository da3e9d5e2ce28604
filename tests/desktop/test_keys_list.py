"""Keys in the window: a lost passphrase, the key closed by a second person, a new key after it."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest
from pytestqt.qtbot import QtBot

from annual_planner.desktop.records.page import RecordsPage
from annual_planner.desktop.signing.dialog import SigningDialog
from annual_planner.desktop.who import Person
from annual_planner.desktop.window import MainWindow
from annual_planner.records.apply import apply
from annual_planner.records.keys import Cost, MakeKey
from annual_planner.store.fleet_reads import people
from annual_planner.trade.refused import Refused
from tests.desktop.conftest import settle

pytestmark = pytest.mark.desktop

AT = datetime(2026, 5, 4, 15, 0, tzinfo=UTC)
LOST, WITNESS, FRESH = (f"{count} quiet herons on a jetty" for count in ("nine", "eleven", "fourteen"))


def make_key(window: MainWindow, name: str, passphrase: str) -> int:
    fleet = window.desk.jobs.fleet
    with fleet.reading() as work:
        person_id = next(each.person_id for each in people(work) if each.name == name)
    apply(fleet, MakeKey(person_id, passphrase, AT, Cost(1, 8, 1)), "a test", window.desk.today)
    return person_id


def keys_page(window: MainWindow, qtbot: QtBot) -> RecordsPage:
    window.go("records", "keys")
    settle(qtbot, window)
    assert isinstance(window.page, RecordsPage)
    return window.page


def press(page: RecordsPage, words: str) -> None:
    (action,) = [each for each in page.actions_here if each.text().replace("&", "").startswith(words)]
    action.trigger()


def two_people(window: MainWindow) -> tuple[str, str]:
    """A holder and another mechanic."""
    with window.desk.jobs.fleet.reading() as work:
        found = [each.name for each in people(work) if "mechanic" in each.roles]
    return found[0], found[1]


def test_a_lost_key_is_closed_by_a_second_person_and_its_holder_makes_a_new_one(
    window: MainWindow, qtbot: QtBot
) -> None:
    holder, witness = two_people(window)
    make_key(window, witness, WITNESS)
    person_id = make_key(window, holder, LOST)
    page = keys_page(window, qtbot)
    states = {each.line.person: each.state for each in page.keys.source.rows}
    assert states == {holder: "open", witness: "open"}
    page.keys.listing.point_to([each.line.person for each in page.keys.source.rows].index(holder))
    settle(qtbot, window)
    assert "no back door" in page.keys.text.toPlainText()

    press(page, "Close a key")
    settle(qtbot, window)
    dialog = window.findChild(SigningDialog)
    assert dialog is not None
    offered = [dialog.person.itemText(place) for place in range(dialog.person.count())]
    assert not any(text.startswith(holder) for text in offered), "its holder can't be the witness"
    dialog.person.setCurrentIndex(next(at for at, text in enumerate(offered) if text.startswith(witness)))
    settle(qtbot, window)
    assert holder in dialog.content.toPlainText()
    dialog.passphrase.setText(WITNESS)
    with qtbot.waitSignal(dialog.signed):
        dialog.sign_button.click()
    settle(qtbot, window)

    by_person = {each.line.person: each for each in page.keys.source.rows}
    assert by_person[holder].state == "closed"
    assert by_person[holder].witnessed is not None
    apply(window.desk.jobs.fleet, MakeKey(person_id, FRESH, AT, Cost(1, 8, 1)), "a test", window.desk.today)
    page.refresh()
    settle(qtbot, window)
    assert sorted(each.state for each in page.keys.source.rows if each.line.person == holder) == [
        "closed",
        "open",
    ]
    page.keys.listing.point_to([each.state for each in page.keys.source.rows].index("closed"))
    settle(qtbot, window)
    press(page, "Close a key")
    assert "signed already" in page.strip.text


def test_no_new_key_before_the_closing_is_signed(window: MainWindow, qtbot: QtBot) -> None:
    holder, _witness = two_people(window)
    person_id = make_key(window, holder, LOST)
    with pytest.raises(Refused, match="has a signing key already"):
        apply(window.desk.jobs.fleet, MakeKey(person_id, FRESH, AT), "a test", window.desk.today)


def test_an_owner_sees_no_key_of_others_and_closes_none(window: MainWindow, qtbot: QtBot) -> None:
    holder, _witness = two_people(window)
    make_key(window, holder, LOST)
    with window.desk.jobs.fleet.reading() as work:
        owner = next(each for each in people(work) if tuple(each.roles) == ("owner",))
    window.desk.who.pick(Person("owner", owner.person_id, owner.name))
    settle(qtbot, window)
    page = keys_page(window, qtbot)
    assert page.keys.source.rows == []
    (action,) = [each for each in page.actions_here if each.text().replace("&", "").startswith("Close a key")]
    assert not action.isVisible()
