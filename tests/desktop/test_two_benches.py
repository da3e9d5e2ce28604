"""Two benches at a fleet on a server, and a server that goes away: nothing is overwritten or lost."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import closing

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot
from sqlalchemy import NullPool, create_engine, text

from annual_planner.desktop import jobs as jobs_module
from annual_planner.desktop.aircraft.page import AircraftPage
from annual_planner.desktop.annual.page import AnnualPage
from annual_planner.desktop.app import Program
from annual_planner.desktop.fields import TextField
from annual_planner.desktop.form import Form
from annual_planner.desktop.other_benches import OtherBenches
from annual_planner.desktop.window import MainWindow
from annual_planner.library.shelf import load_library
from annual_planner.planning.assigning import AssignCard
from annual_planner.planning.edits import IncludeCard, SetCardHours
from annual_planner.planning.packages import BuildPackage
from annual_planner.records.aircraft import ChangeAircraft
from annual_planner.records.apply import apply
from annual_planner.records.people import AddPerson
from annual_planner.store.fleet_reads import aircraft_sheet, readings, set_fleet_fact
from annual_planner.store.opening import open_fleet
from annual_planner.store.packages import card_line
from annual_planner.store.session import Work
from annual_planner.trade.people import Certificate, CertificateKind
from tests.desktop.conftest import LONG_MS, settle
from tests.fleets import ANN, TODAY, airplane, annual, made, server_fleet_address, server_template

__all__ = ["server_template"]
pytestmark = [pytest.mark.desktop, pytest.mark.postgres]
HERE = "Hal Moss"


@pytest.fixture
def shop(program: Program, server_template: str, qtbot: QtBot) -> MainWindow:
    """The window on a server's fleet: one airplane, its annual planned, two mechanics."""
    address = server_fleet_address(server_template)
    with closing(open_fleet(address)) as fleet:
        plane = made(fleet, airplane(base="East field"))
        made(fleet, annual(plane))
        rated = Certificate(CertificateKind.MECHANIC, "0001", frozenset({"airframe", "powerplant"}))
        for name in (ANN, HERE):
            made(fleet, AddPerson(name, ("mechanic",), certificates=(rated,)))
        made(fleet, BuildPackage(plane, TODAY, "Annual inspection", load_library()))
        with fleet.work("test") as work:
            set_fleet_fact(work, "today", TODAY.isoformat())
    program.start(address)
    qtbot.waitUntil(lambda: program.window is not None)
    assert program.window is not None
    settle(qtbot, program.window)
    return program.window


def airplane_page(shop: MainWindow, qtbot: QtBot) -> AircraftPage:
    shop.go("aircraft", 1)
    settle(qtbot, shop)
    page = shop.page
    assert isinstance(page, AircraftPage)
    return page


def base_field(page: AircraftPage, shop: MainWindow, qtbot: QtBot) -> TextField:
    page.tabs.show_part(page.particulars)
    settle(qtbot, shop)
    field = page.particulars.form.fields["base"]
    assert isinstance(field, TextField)
    return field


def type_into(field: TextField, text: str, shop: MainWindow, qtbot: QtBot) -> None:
    field.line.selectAll()
    qtbot.keyClick(field.line, Qt.Key.Key_Delete)
    qtbot.keyClicks(field.line, text)
    field.line.editingFinished.emit()
    settle(qtbot, shop)


def test_the_other_bench_is_named_both_values_are_said_and_a_second_try_writes(
    shop: MainWindow, qtbot: QtBot
) -> None:
    field = base_field(airplane_page(shop, qtbot), shop, qtbot)
    fleet = shop.desk.jobs.fleet
    apply(fleet, ChangeAircraft(1, {"base": "East field"}, {"base": "North field"}), ANN, TODAY)
    type_into(field, "Hill", shop, qtbot)
    said = field.message.text()
    assert f"The base was changed by {ANN} at " in said
    assert "it is now North field, you saw East field, you want Hill" in said
    assert field.line.text() == "Hill", "what was typed stays"
    with fleet.reading() as work:
        assert aircraft_sheet(work, 1).base == "North field"
    field.line.editingFinished.emit()
    settle(qtbot, shop)
    assert not field.at_fault
    with fleet.reading() as work:
        assert aircraft_sheet(work, 1).base == "Hill"


def test_what_another_bench_wrote_is_shown_before_long(shop: MainWindow, qtbot: QtBot) -> None:
    field = base_field(airplane_page(shop, qtbot), shop, qtbot)
    benches = OtherBenches(shop.desk.jobs, shop)
    settle(qtbot, shop)
    apply(
        shop.desk.jobs.fleet, ChangeAircraft(1, {"base": "East field"}, {"base": "North field"}), ANN, TODAY
    )
    assert field.line.text() == "East field"
    benches.look()
    settle(qtbot, shop)
    assert field.line.text() == "North field"


def test_a_card_changed_elsewhere_is_said_in_words_and_shown_anew(shop: MainWindow, qtbot: QtBot) -> None:
    shop.go("annual", 1)
    settle(qtbot, shop)
    page = shop.page
    assert isinstance(page, AnnualPage)
    page.tabs.show_part(page.cards)
    assert page.shown is not None
    (people, card) = page.shown.people, page.shown.every_card[0]
    ids = {each.name: each.person_id for each in people}
    place = next(n for n, row in enumerate(page.cards.listing.held.rows) if row.card == card)
    page.cards.listing.point_to(place)
    settle(qtbot, shop)
    fleet, detail = shop.desk.jobs.fleet, page.cards.detail
    hours = (card.hours_low, card.hours_likely, card.hours_high)
    apply(fleet, AssignCard(card.card_id, None, ids[ANN]), ANN, TODAY)
    detail.person.put(ids[HERE])
    detail.person.left.emit()
    settle(qtbot, shop)
    said = detail.person.message.text()
    assert f"Assigned person: it is now {ANN}, you saw nothing, you want {HERE}." in said
    assert detail.person.value() == ids[ANN], "the list and the card show what it is now"

    more = (hours[0], hours[1] + 1, hours[2] + 2)
    apply(fleet, SetCardHours(card.card_id, hours, more), ANN, TODAY)
    detail.hours.fields[2].line.setText("30")
    detail.hours.fields[2].line.editingFinished.emit()
    settle(qtbot, shop)
    assert detail.hours.message.isVisible()
    assert "you want 30" in detail.hours.message.text()
    assert detail.hours.read() == more

    apply(fleet, IncludeCard(card.card_id, True, False), ANN, TODAY)
    detail.toggle()
    settle(qtbot, shop)
    assert "Included: it is now no, you saw yes, as you want it" in detail.person.message.text()
    with fleet.reading() as work:
        now = card_line(work, card.card_id)
    assert (now.included, now.assigned_name, now.hours_likely) == (False, ANN, more[1])


@pytest.fixture
def let_in(shop: MainWindow, pg_url: str) -> Iterator[Callable[[bool], None]]:
    """Lets nobody into the fleet's database and ends every connection to it, or lets everybody in again."""
    name = shop.desk.jobs.fleet.engine.url.database
    engine = create_engine(pg_url, isolation_level="AUTOCOMMIT", poolclass=NullPool)

    def turn(on: bool) -> None:
        with engine.connect() as connection:
            connection.execute(text(f"ALTER DATABASE {name} ALLOW_CONNECTIONS {str(on).lower()}"))
            if not on:
                ended = "SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = :name"
                connection.execute(text(ended), {"name": name})

    yield turn
    turn(True)


def test_what_was_typed_outlives_a_server_that_goes_away_and_is_saved_when_it_is_back(
    shop: MainWindow, let_in: Callable[[bool], None], qtbot: QtBot
) -> None:
    page = airplane_page(shop, qtbot)
    field = base_field(page, shop, qtbot)
    page.doings.reading.trigger()
    settle(qtbot, shop)
    assert page.drawer is not None
    form = page.drawer.widget()
    assert isinstance(form, Form)
    hours = form.fields["meter_hours"]
    assert isinstance(hours, TextField)
    type_into(hours, "1540.5", shop, qtbot)
    let_in(False)
    form.submit()
    settle(qtbot, shop)
    assert "does not answer" in form.summary.text()
    assert hours.line.text() == "1540.5"
    type_into(field, "Hill", shop, qtbot)
    assert "does not answer" in field.message.text()
    page.refresh()
    settle(qtbot, shop)
    assert "does not answer" in page.strip.text
    assert (page.heading.text(), field.line.text()) == ("N012AP", "Hill"), "the airplane stays in view"
    let_in(True)
    page.refresh()
    settle(qtbot, shop)
    assert page.strip.text == ""
    form.submit()
    field.line.editingFinished.emit()
    settle(qtbot, shop)
    with shop.desk.jobs.fleet.reading() as work:
        assert (len(readings(work, 1)), aircraft_sheet(work, 1).base) == (2, "Hill")


def test_the_window_closes_while_the_server_keeps_somebody_waiting(
    program: Program, shop: MainWindow, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(jobs_module, "LONGEST_SAVING_S", LONG_MS)
    jobs = shop.desk.jobs
    began: list[bool] = []

    def wait(work: Work) -> None:
        began.append(True)
        work.session.execute(text("SELECT pg_sleep(600)"))

    jobs.read(wait, shop, lambda _none: None)
    qtbot.waitUntil(lambda: bool(began))
    jobs.write(ChangeAircraft(1, {"base": "East field"}, {"base": "Hill"}), shop)
    program.close()
    with closing(open_fleet(shop.where)) as fleet, fleet.reading() as work:
        assert aircraft_sheet(work, 1).base == "Hill", "what was being saved is saved"


def test_a_place_that_could_not_be_read_is_read_when_it_is_gone_to_again(
    shop: MainWindow, let_in: Callable[[bool], None], qtbot: QtBot
) -> None:
    let_in(False)
    shop.go("annual", 1)
    settle(qtbot, shop)
    page = shop.page
    assert isinstance(page, AnnualPage)
    assert page.shown is None
    assert "does not answer" in page.strip.text
    let_in(True)
    shop.go("fleet")
    shop.go("annual")
    settle(qtbot, shop)
    assert page.shown is not None, "it still knows which one was wanted"
    assert page.strip.text == ""


def test_a_place_that_could_not_be_read_is_read_once_the_server_is_back(
    shop: MainWindow, let_in: Callable[[bool], None], qtbot: QtBot
) -> None:
    benches = OtherBenches(shop.desk.jobs, shop)
    settle(qtbot, shop)
    let_in(False)
    page = airplane_page(shop, qtbot)
    benches.look()
    settle(qtbot, shop)
    assert page.seen is None
    assert "does not answer" in page.strip.text
    let_in(True)
    benches.look()
    settle(qtbot, shop)
    assert page.heading.text() == "N012AP"
    assert page.strip.text == ""
