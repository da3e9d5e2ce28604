"""The place of records, on a fleet with a signed entry, a draft and a filed paper."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest
from pytestqt.qtbot import QtBot

from annual_planner.desktop.records.page import NOTHING_SIGNED, RecordsPage
from annual_planner.desktop.source import Query
from annual_planner.desktop.who import Person
from annual_planner.desktop.window import MainWindow
from annual_planner.records.apply import apply
from annual_planner.records.filing import FilePaper
from annual_planner.records.keys import Cost, MakeKey
from annual_planner.records.signing import SignRecord, sign
from annual_planner.records.signing_sheet import content_to_sign
from annual_planner.store.filed_reads import EntryLine
from annual_planner.store.fleet_reads import find_aircraft, owner_of, people
from annual_planner.store.writing import add
from annual_planner.trade.refused import Refused
from annual_planner.trade.signing import AIRWORTHY
from tests.desktop.conftest import settle
from tests.statements import statements

pytestmark = pytest.mark.desktop

AT = datetime(2026, 5, 4, 15, 0, tzinfo=UTC)
PASSPHRASE = "nine quiet herons on a jetty"
PDF = b"%PDF-1.4\n% a small paper\n"


def filled(window: MainWindow) -> int:
    """An inspection entry signed by the inspector, a draft, and a paper; the airplane's id."""
    fleet, today = window.desk.jobs.fleet, window.desk.today
    with fleet.reading() as work:
        plane = find_aircraft(work, "N012MH")
        marit = next(each.person_id for each in people(work) if each.name == "Marit Holloway")
    apply(fleet, MakeKey(marit, PASSPHRASE, AT, Cost(1, 8, 1)), "a test", today)
    with fleet.work("a test") as work:
        entry = {
            "aircraft_id": plane, "kind": "inspection", "work_on": today, "approved": True,
            "text": "4 May 2026. N012MH.\nType of inspection: annual.", "facts": {"inspection": "annual"},
        }  # fmt: skip
        signed = add(work, "log_entry", entry, aircraft_id=plane)
        draft = {
            **entry,
            "kind": "maintenance",
            "approved": None,
            "text": "4 May 2026.\nNew tyre.",
            "facts": {},
        }
        add(work, "log_entry", draft, aircraft_id=plane)
    with fleet.reading() as work:
        sheet = content_to_sign(work, "log_entry", signed, person_id=marit, meaning=AIRWORTHY, at=AT)
    sign(fleet, SignRecord(sheet, marit, PASSPHRASE, AT))
    apply(fleet, FilePaper("Annual of N012MH", PDF, 1, AT, plane), "a test", today)
    return plane


def sign_another(window: MainWindow, plane: int, signer: int) -> None:
    fleet, today = window.desk.jobs.fleet, window.desk.today
    with fleet.work("a test") as work:
        entry = {
            "aircraft_id": plane, "kind": "inspection", "work_on": today, "approved": True,
            "text": "4 May 2026. N012MH.\nType of inspection: annual.", "facts": {"inspection": "annual"},
        }  # fmt: skip
        row_id = add(work, "log_entry", entry, aircraft_id=plane)
    with fleet.reading() as work:
        sheet = content_to_sign(work, "log_entry", row_id, person_id=signer, meaning=AIRWORTHY, at=AT)
    sign(fleet, SignRecord(sheet, signer, PASSPHRASE, AT))


def opened(window: MainWindow, qtbot: QtBot, subject: object = None) -> RecordsPage:
    window.go("records", subject)
    settle(qtbot, window)
    found = window.page
    assert isinstance(found, RecordsPage)
    return found


def entries(page: RecordsPage) -> list[EntryLine]:
    """The entries listed, in their order."""
    table = page.entries.listing.table
    return [line for line in map(table.row_at, range(table.rowCount())) if line is not None]


def told(page: RecordsPage, line: EntryLine, window: MainWindow, qtbot: QtBot) -> str:
    """What stands beside the list when that entry is chosen."""
    page.entries.listing.point_to(line.entry_id)
    settle(qtbot, window)
    return page.entries.text.toPlainText()


def test_an_empty_fleet_of_records_says_so(window: MainWindow, qtbot: QtBot) -> None:
    page = opened(window, qtbot)
    assert page.seal.text() == NOTHING_SIGNED
    assert page.entries.listing.table.rowCount() == 0


def test_an_entry_is_shown_with_who_signed_it_and_as_what(window: MainWindow, qtbot: QtBot) -> None:
    filled(window)
    page = opened(window, qtbot)
    assert page.entries.listing.table.rowCount() == 2
    texts = [told(page, line, window, qtbot) for line in entries(page)]
    assert any("inspected and airworthy, signed by Marit Holloway" in text for text in texts)
    assert any("draft, not signed" in text for text in texts)
    assert ["The owner's records: " in text for text in texts] == ["signed by" in text for text in texts]
    assert page.seal.text().startswith("Last seal: ")


def test_entries_are_searched_sorted_and_filtered_in_the_fleet(window: MainWindow, qtbot: QtBot) -> None:
    filled(window)
    page = opened(window, qtbot)
    page.search_here()
    page.entries.listing.search.setText("new tyre n012mh")
    qtbot.waitUntil(lambda: page.entries.listing.table.rowCount() == 1)
    settle(qtbot, window)
    assert [line.state for line in entries(page)] == ["draft"]
    page.entries.listing.show_query(Query(order="kind"))
    settle(qtbot, window)
    assert [line.kind for line in entries(page)] == ["inspection", "maintenance"]
    page.entries.listing.show_query(Query(order="result", descending=True))
    settle(qtbot, window)
    assert [line.approved for line in entries(page)] == [True, None]
    page.entries.listing.filter_to("signed")
    settle(qtbot, window)
    assert [line.state for line in entries(page)] == ["signed"]


def test_opening_the_records_asks_no_query_for_each_that_is_signed(window: MainWindow, qtbot: QtBot) -> None:
    plane = filled(window)
    page = opened(window, qtbot)
    fleet, counts, more = window.desk.jobs.fleet, [], 6
    for _round in range(2):
        with statements(fleet) as sent:
            page.refresh()
            settle(qtbot, window)
        counts.append(len(sent.selects))
        with fleet.reading() as work:
            marit = next(each.person_id for each in people(work) if each.name == "Marit Holloway")
        for _ in range(more):
            sign_another(window, plane, marit)
    assert page.entries.listing.table.rowCount() == 2 + more
    # A list may ask twice for the rows in sight, when its order comes in before the rows asked for first.
    assert counts[1] - counts[0] < more


def test_a_signature_shows_exactly_what_was_signed(window: MainWindow, qtbot: QtBot) -> None:
    filled(window)
    page = opened(window, qtbot, "signatures")
    text = page.signed.text.toPlainText()
    assert "Marit Holloway" in text
    assert "Type of inspection: annual." in text
    assert "Seal:" in text


def test_an_owner_sees_their_own_airplanes_only(window: MainWindow, qtbot: QtBot) -> None:
    plane = filled(window)
    page = opened(window, qtbot)
    everyone = page.airplane.count()
    with window.desk.jobs.fleet.reading() as work:
        owner = owner_of(work, plane)
        other = next(each for each in people(work) if "owner" in each.roles and each.person_id != owner)
    window.desk.who.pick(Person("owner", other.person_id, other.name))
    settle(qtbot, window)
    page = opened(window, qtbot)
    assert page.airplane.count() < everyone
    assert page.entries.listing.table.rowCount() == 0


def test_the_check_of_the_chain_opens_its_working(window: MainWindow, qtbot: QtBot) -> None:
    filled(window)
    page = opened(window, qtbot)
    page._check()
    settle(qtbot, window)
    assert window.panel.working is not None
    assert "chain" in window.panel.working.title.lower()


def test_only_a_pdf_is_filed(window: MainWindow) -> None:
    with pytest.raises(Refused, match="no PDF"):
        apply(window.desk.jobs.fleet, FilePaper("x", b"hello", 1, AT), "a test", window.desk.today)
