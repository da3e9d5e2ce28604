import pytest
from pytestqt.qtbot import QtBot

from annual_planner.desktop.library_columns import FACT_WORDS
from annual_planner.desktop.library_page import LibraryPage
from annual_planner.desktop.window import MainWindow
from annual_planner.library.shelf import Library
from annual_planner.trade.refused import Refused
from tests.desktop.conftest import settle

pytestmark = pytest.mark.desktop


@pytest.fixture
def page(window: MainWindow, qtbot: QtBot) -> LibraryPage:
    window.go("library", "cards")
    settle(qtbot, window)
    found = window.page
    assert isinstance(found, LibraryPage)
    return found


def test_every_card_is_listed_with_its_cautions_and_steps(
    page: LibraryPage, window: MainWindow, qtbot: QtBot
) -> None:
    library = window.desk.library()
    assert page.section("cards").listing.table.rowCount() == len(library.cards)
    card = next(card for card in library.cards if card.cautions and card.tools)
    page.show_subject(card.key)
    settle(qtbot, window)
    text = page.section("cards").text.toPlainText()
    titles = {caution.key: caution.title for caution in library.cautions}
    assert card.title in text
    assert all(titles[key] in text for key in card.cautions)
    assert all(step in text for step in card.steps)
    assert all(tool in text for tool in card.tools)


def test_a_list_is_made_with_its_rows_when_it_is_first_turned_to(
    page: LibraryPage, window: MainWindow, qtbot: QtBot
) -> None:
    assert [name for name in page.tabs.names if page.tabs.is_made(name)] == ["cards"]
    page.tabs.setCurrentIndex(page.tabs.index_of("cautions"))
    settle(qtbot, window)
    assert page.subject == "cautions"
    assert page.shown.listing.table.rowCount() == len(window.desk.library().cautions) > 0
    assert page.shown.text.toPlainText(), "the first one is chosen and told in full"


def test_the_scope_is_checked_for_what_one_airplane_has(
    page: LibraryPage, window: MainWindow, qtbot: QtBot
) -> None:
    page.show_subject("coverage")
    assert page.airplane.count() == 13
    page.airplane.setCurrentIndex(1)
    settle(qtbot, window)
    rows = page.section("coverage").source.rows
    assert len(rows) == len(window.desk.library().items)
    assert any(row.not_applicable for row in rows), "an airplane lacks something that the scope names"
    assert page.checked.text() == f"All {len(rows)} items are answered"
    window.show_why()
    assert window.panel.working is not None
    assert window.panel.working.title == "Scope of the inspection"


def test_the_scope_of_any_airplane_has_no_single_working(page: LibraryPage, window: MainWindow) -> None:
    page.show_subject("coverage")
    window.show_why()
    assert not window.panel.isVisible()
    assert "Choose a row" in page.strip.text


def test_each_rule_shows_its_citation(page: LibraryPage, window: MainWindow, qtbot: QtBot) -> None:
    page.show_subject("rules")
    table, every = page.section("rules").listing.table, len(page.section("rules").source.rows)
    page.section("rules").listing.search.setText("supervis")
    qtbot.waitUntil(lambda: 0 < table.rowCount() < every)
    settle(qtbot, window)
    clause = page.section("rules").listing.current
    assert clause is not None
    assert clause.citation in page.section("rules").text.toPlainText()


def test_cards_are_sorted_by_phase_in_the_order_of_the_work(
    page: LibraryPage, window: MainWindow, qtbot: QtBot
) -> None:
    page.section("cards").listing.view.horizontalHeader().sectionClicked.emit(1)
    settle(qtbot, window)
    table = page.section("cards").listing.table
    cards = [page.section("cards").source.rows[table.id_at(row) or 0] for row in range(table.rowCount())]
    orders = [card.phase.order for card in cards]
    assert orders == sorted(orders)


@pytest.mark.parametrize(
    ("tab", "named"),
    [("engines", "Firing order"), ("plugs", "Rejected at or under"), ("conditions", "Look next at")],
)
def test_types_of_engines_and_plugs_and_what_plugs_say_are_listed(
    page: LibraryPage, window: MainWindow, qtbot: QtBot, tab: str, named: str
) -> None:
    library = window.desk.library()
    page.show_subject(tab)
    settle(qtbot, window)
    rows = {"engines": library.engines, "plugs": library.plug_types, "conditions": library.conditions}[tab]
    assert page.subject == tab
    assert page.shown.listing.table.rowCount() == len(rows)
    assert named in page.shown.text.toPlainText()


def test_every_rule_says_in_words_when_it_fits(page: LibraryPage, window: MainWindow, qtbot: QtBot) -> None:
    page.show_subject("rules")
    settle(qtbot, window)
    told = [page.section("rules")._detail(row) for row in page.section("rules").source.rows]
    facts = {each.fact for row in page.section("rules").source.rows for each in row.when}
    assert facts <= set(FACT_WORDS), "each is asked in words of the trade"
    paperwork = next(text for text in told if "paperwork" in text)
    assert "kind of work: research or record" in paperwork


def test_a_library_that_cannot_be_read_says_why_on_its_lists_and_is_read_again(
    window: MainWindow, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    right = window.desk._load_library

    def wrong() -> Library:
        raise Refused("cards/shop.toml, card 2: the phase is missing.", "Give it, then try again.")

    monkeypatch.setattr(window.desk, "_library", None)
    monkeypatch.setattr(window.desk, "_load_library", wrong)
    window.go("library", "cards")
    page = window.page
    assert isinstance(page, LibraryPage)
    assert "Reading cards" in page.shown.listing.blank.accessibleDescription()
    settle(qtbot, window)
    blank = page.shown.listing.blank
    assert blank.isVisible()
    assert "the phase is missing" in blank.accessibleDescription()
    window.desk._load_library = right
    blank.next.click()
    settle(qtbot, window)
    assert page.shown.listing.view.isVisible()
    assert page.shown.listing.table.rowCount() > 90
