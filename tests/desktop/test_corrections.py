"""Correcting what is written on a card, with its reason in the trail; a forgotten time is closed."""

from __future__ import annotations

from datetime import datetime, timedelta
from decimal import Decimal

import pytest
from pytestqt.qtbot import QtBot

from annual_planner.desktop.annual.in_work.tab import InWork
from annual_planner.desktop.form import Form
from annual_planner.desktop.moment import moment_of, moment_text
from annual_planner.desktop.window import MainWindow
from annual_planner.records.apply import apply
from annual_planner.records.card_results import AddNote, UsePart
from annual_planner.records.card_work import StartWork
from annual_planner.records.edits import Edit
from annual_planner.store import card_reads
from annual_planner.store.fleet_reads import people
from tests.desktop.conftest import settle
from tests.desktop.test_annual import page, planned_file, shop  # noqa: F401 - fixtures
from tests.desktop.test_in_work import opened, tab  # noqa: F401 - fixtures
from tests.trail import newest_lines

pytestmark = pytest.mark.desktop
# ruff: noqa: F811 - fixtures of the annual's tests are named again where they are asked for


def first_card(tab: InWork, shop: MainWindow, qtbot: QtBot) -> int:
    opened(tab, shop, qtbot, tab.listing.held.rows[0].number)
    assert tab.card_id is not None
    return tab.card_id


def write(shop: MainWindow, edit: Edit) -> None:
    apply(shop.desk.jobs.fleet, edit, "Ida Fox", shop.desk.today)


def person(shop: MainWindow, name: str) -> int:
    with shop.desk.jobs.fleet.reading() as work:
        return next(each.person_id for each in people(work) if each.name == name)


def correct(tab: InWork, begins: str) -> Form:
    """Through the action: what is wrong, then its own form."""
    tab.doings.follow()
    tab.doings.by_name["correct"].trigger()
    form = tab.open.form
    assert form is not None
    box = form.fields["what"].box  # type: ignore[attr-defined]
    place = next(at for at in range(box.count()) if box.itemText(at).startswith(begins))
    box.setCurrentIndex(place)
    form.submit()
    assert tab.open.form is not None
    return tab.open.form


def said_in_trail(shop: MainWindow, words: str) -> bool:
    with shop.desk.jobs.fleet.reading() as work:
        return any(words in line.what for line in newest_lines(work))


def test_a_note_is_corrected_only_with_a_reason_and_taken_back(
    tab: InWork, shop: MainWindow, qtbot: QtBot
) -> None:
    card_id = first_card(tab, shop, qtbot)
    write(shop, AddNote(card_id, "left mag rough", person(shop, "Ida Fox"), moment_of(shop.desk)))
    tab.refresh()
    settle(qtbot, shop)
    form = correct(tab, "note: left mag rough")
    form.put({"text": "right mag rough"})
    form.submit()
    assert "Reason" in form.summary.text(), "no correction without its reason"
    form.put({"why": "sides mixed up"})
    form.submit()
    settle(qtbot, shop)
    assert tab.doings.card is not None
    assert [each.text for each in tab.doings.card.notes] == ["right mag rough"]
    assert said_in_trail(shop, "change of a note: sides mixed up")
    shop.menus.actions["undo"].trigger()
    settle(qtbot, shop)
    assert [each.text for each in tab.doings.card.notes] == ["left mag rough"]


def test_a_part_is_corrected_or_taken_away(tab: InWork, shop: MainWindow, qtbot: QtBot) -> None:
    card_id = first_card(tab, shop, qtbot)
    write(shop, UsePart(card_id, "gasket", Decimal(2), "each", cost=Decimal("3.20")))
    tab.refresh()
    settle(qtbot, shop)
    form = correct(tab, "part: gasket")
    form.put({"quantity": "1", "why": "one was left over"})
    form.submit()
    settle(qtbot, shop)
    assert tab.doings.card is not None
    (part,) = tab.doings.card.parts_used
    assert (part.quantity, part.unit, part.cost) == (Decimal(1), "each", Decimal("3.20"))
    assert said_in_trail(shop, "one was left over")
    form = correct(tab, "part: gasket")
    form.put({"do": "take away", "why": "not used at all"})
    form.submit()
    settle(qtbot, shop)
    assert tab.doings.card.parts_used == ()


def test_a_forgotten_time_is_closed_from_the_line_that_tells_of_it(
    tab: InWork, shop: MainWindow, qtbot: QtBot
) -> None:
    card_id = first_card(tab, shop, qtbot)
    begun = moment_of(shop.desk) - timedelta(days=1, hours=2)
    write(shop, StartWork(card_id, person(shop, "Ida Fox"), begun))
    tab.refresh()
    settle(qtbot, shop)
    assert "Was it forgotten?" in tab.said.text()
    tab.close_time.click()
    form = tab.open.form
    assert form is not None
    assert "Ida Fox" in form.title.text()
    form.put({"until": moment_text(moment_of(shop.desk) + timedelta(days=1)), "why": "went home"})
    form.submit()
    assert "yet to come" in form.summary.text()
    ended = begun + timedelta(hours=3)
    form.put({"until": moment_text(ended)})
    form.submit()
    settle(qtbot, shop)
    with shop.desk.jobs.fleet.reading() as work:
        (stretch,) = card_reads.stretches(work, card_id)
    assert stretch.started_at == begun, "the beginning was not touched, to the second"
    assert isinstance(stretch.stopped_at, datetime)
    assert moment_text(stretch.stopped_at) == moment_text(ended)
    assert tab.said.text() == ""
    assert tab.close_time.isHidden()
    assert said_in_trail(shop, "time on the card: went home")


def test_nothing_written_means_nothing_to_correct(tab: InWork, shop: MainWindow, qtbot: QtBot) -> None:
    first_card(tab, shop, qtbot)
    assert not tab.doings.by_name["correct"].isEnabled()
