"""What every list can do: sort by two columns, be copied, be saved for a spreadsheet."""

from __future__ import annotations

import csv
import os
import subprocess
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import pytest
from openpyxl import load_workbook
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QApplication, QMenu
from pytestqt.qtbot import QtBot

from annual_planner.desktop.columns import Column
from annual_planner.desktop.list_here import list_here
from annual_planner.desktop.list_out import export
from annual_planner.desktop.listing import AnyListing, Listing, Words
from annual_planner.desktop.progress import Cancelled, Progress
from annual_planner.desktop.source import HeldSource, Query
from annual_planner.desktop.window import MainWindow
from tests.desktop.conftest import settle

pytestmark = pytest.mark.desktop


@dataclass(frozen=True)
class Jar:
    name: str
    shelf: str
    gallons: str


COLUMNS: tuple[Column[Jar], ...] = (
    Column("shelf", "Shelf", lambda jar: jar.shelf, "shelf"),
    Column("name", "Name", lambda jar: jar.name, "name"),
    Column("gallons", "gal", lambda jar: jar.gallons, "gallons", right=True),
)
JARS = (
    Jar("=1+1", "top", "2.5"),
    Jar("oil", "low", "-1"),
    Jar("+44 oil", "low", ""),
    Jar("grease", "top", "0"),
)


@pytest.fixture
def jars(window: MainWindow, qtbot: QtBot) -> AnyListing:
    """A list of jars in a window of its own."""
    source = HeldSource(COLUMNS)
    source.rows = list(JARS)
    made = Listing(window.desk, "jars", COLUMNS, source, Words("jars", "No jars", "None."))
    qtbot.addWidget(made)
    made.resize(900, 300)
    made.show()
    made.ask()
    return made


def widths(listing: AnyListing) -> list[int]:
    return [listing.view.columnWidth(place) for place in range(3)]


def test_a_list_gives_up_room_that_its_words_do_not_need_before_it_wants_a_bar(
    jars: AnyListing, qtbot: QtBot
) -> None:
    wide = widths(jars)
    jars.resize(250, 300)
    qtbot.waitUntil(lambda: jars.view.horizontalScrollBar().maximum() == 0)
    for place, column in enumerate(jars.table.columns):
        words = max(jars.view.fontMetrics().horizontalAdvance(column.text(jar)) for jar in JARS)
        assert words < jars.view.columnWidth(place) < wide[place], "narrower, and no word is cut"


def test_numbers_in_the_last_column_stay_beside_the_others(jars: AnyListing, qtbot: QtBot) -> None:
    qtbot.waitUntil(lambda: sum(widths(jars)) < jars.view.viewport().width() - 100)


def test_a_width_that_a_person_pulled_stays(jars: AnyListing, qtbot: QtBot) -> None:
    header = jars.view.header
    edge = header.sectionViewportPosition(1) - 1
    middle = header.height() // 2
    qtbot.mousePress(header.viewport(), Qt.MouseButton.LeftButton, pos=QPoint(edge, middle))
    qtbot.mouseMove(header.viewport(), QPoint(edge + 60, middle))
    qtbot.mouseRelease(header.viewport(), Qt.MouseButton.LeftButton, pos=QPoint(edge + 60, middle))
    pulled = jars.view.columnWidth(0)
    assert pulled == edge + 61
    jars.resize(250, 300)
    jars.ask()
    assert jars.view.columnWidth(0) == pulled


@pytest.fixture
def stepping(window: MainWindow, qtbot: QtBot) -> AnyListing:
    """The list of jars, of which the shelf and then the gallons step aside."""
    shelf, name, gallons = COLUMNS
    columns = (
        shelf._replace(text=lambda jar: f"the {jar.shelf} shelf beside the window", width=30, aside=1),
        name._replace(text=lambda jar: f"a jar with {jar.name} in it, from last year", width=40),
        gallons._replace(aside=2),
    )
    source = HeldSource(columns)
    source.rows = list(JARS)
    made = Listing(window.desk, "stepping jars", columns, source, Words("jars", "No jars", "None."))
    qtbot.addWidget(made)
    made.resize(900, 300)
    made.show()
    made.ask()
    qtbot.waitUntil(lambda: made.table.row_at(0) is not None)
    return made


def hidden(listing: AnyListing) -> list[str]:
    view = listing.view
    return [col.key for place, col in enumerate(listing.table.columns) if view.isColumnHidden(place)]


def narrow(listing: AnyListing) -> int:
    """A width for which one column is too much."""
    view = listing.view
    words = [max(view.sizeHintForColumn(at), view.header.sectionSizeHint(at)) for at in range(3)]
    return words[0] // 2 + words[1] + words[2]


def test_columns_step_aside_where_the_room_is_short_and_come_back(stepping: AnyListing, qtbot: QtBot) -> None:
    assert (hidden(stepping), stepping.more.isVisible()) == ([], False)
    stepping.resize(narrow(stepping), 300)
    assert hidden(stepping) == ["shelf"]
    qtbot.waitUntil(lambda: stepping.view.horizontalScrollBar().maximum() == 0)
    assert stepping.more.text() == "+ 1 column"
    assert "Shelf" in stepping.more.toolTip()
    assert [column.key for column in stepping.view.shown_columns] == ["shelf", "name", "gallons"], (
        "copied too"
    )
    stepping.resize(900, 300)
    assert (hidden(stepping), stepping.more.isVisible()) == ([], False)


def test_a_column_that_stepped_aside_for_its_long_heading_stays_aside(
    window: MainWindow, qtbot: QtBot
) -> None:
    _shelf, name, gallons = COLUMNS
    long = "How much of it there is in every jar of that shelf at the end of the year"
    columns = (name, gallons._replace(heading=long, right=False, text=lambda _jar: "much", aside=1))
    source = HeldSource(columns)
    source.rows = list(JARS)
    made = Listing(window.desk, "headed jars", columns, source, Words("jars", "No jars", "None."))
    qtbot.addWidget(made)
    made.resize(made.view.header.fontMetrics().horizontalAdvance(long), 300)
    made.show()
    made.ask()
    qtbot.waitUntil(lambda: hidden(made) == ["gallons"])
    for _again in range(3):
        made.view.layout_of_columns.fit()
        assert hidden(made) == ["gallons"]


def test_a_column_that_was_asked_for_or_is_sorted_by_stays(stepping: AnyListing, qtbot: QtBot) -> None:
    stepping.resize(narrow(stepping), 300)
    choose(stepping.view.column_menu(), "Shelf (no room)")
    assert hidden(stepping) == ["gallons"]
    choose(stepping.view.column_menu(), "Usual columns")
    assert hidden(stepping) == ["shelf"]
    choose(stepping.view.header.sort_menu(stepping), "Shelf")
    qtbot.waitUntil(lambda: hidden(stepping) == ["gallons"])


def click(qtbot: QtBot, listing: AnyListing, place: int, *, shift: bool = False) -> None:
    """Click on the heading as a person does."""
    header = listing.view.header
    at = QPoint(header.sectionViewportPosition(place) + 12, header.height() // 2)
    held = Qt.KeyboardModifier.ShiftModifier if shift else Qt.KeyboardModifier.NoModifier
    qtbot.mouseClick(header.viewport(), Qt.MouseButton.LeftButton, held, at)


def shown(listing: AnyListing) -> list[str]:
    """The names of the jars, from the top down."""
    found: list[Jar] = []
    listing.table.with_rows(range(listing.table.rowCount()), found.extend)
    return [jar.name for jar in found]


def headings(listing: AnyListing) -> list[str]:
    return [listing.table.headerData(place, Qt.Orientation.Horizontal) for place in range(3)]


def test_a_click_with_shift_sorts_by_a_second_column(jars: AnyListing, qtbot: QtBot) -> None:
    click(qtbot, jars, 0)
    click(qtbot, jars, 1, shift=True)
    assert shown(jars) == ["+44 oil", "oil", "=1+1", "grease"]
    assert headings(jars) == ["Shelf ▲", "Name ▲2", "gal"]
    click(qtbot, jars, 1, shift=True)
    assert shown(jars) == ["oil", "+44 oil", "grease", "=1+1"]
    assert headings(jars)[1] == "Name ▼2"
    click(qtbot, jars, 0, shift=True)
    assert shown(jars) == ["grease", "=1+1", "oil", "+44 oil"]
    click(qtbot, jars, 1, shift=True)
    assert headings(jars)[1] == "Name"
    click(qtbot, jars, 1)
    assert (shown(jars)[0], headings(jars)[0]) == ("+44 oil", "Shelf")


def choose(menu: QMenu, words: str) -> None:
    """Pick an entry of a menu by its words."""
    [wanted] = [action for action in menu.actions() if action.text().startswith(words)]
    wanted.trigger()


def sort_menu(window: MainWindow) -> QMenu:
    """The menu that the key for sorting opens."""
    window.menus.actions["sort"].trigger()
    menu = QApplication.activePopupWidget()
    assert isinstance(menu, QMenu)
    return menu


def test_the_fleet_is_sorted_by_two_columns_with_the_keys_alone(window: MainWindow, qtbot: QtBot) -> None:
    listing = list_here(window.page, window.focusWidget())
    assert listing is not None
    menu = sort_menu(window)
    choose(menu, "Standing")
    menu.close()
    settle(qtbot, window)
    menu = sort_menu(window)
    [then] = [action.menu() for action in menu.actions() if action.text() == "Then by"]
    assert isinstance(then, QMenu)
    choose(then, "Airplane")
    menu.close()
    settle(qtbot, window)
    lines = [listing.table.row_at(row) for row in range(listing.table.rowCount())]
    states = [line.state for line in lines if line is not None]
    worst = {"overdue": 0, "no record": 1, "due soon": 2, "in date": 3}
    keys = [(worst[line.state], line.registration) for line in lines if line is not None]
    assert keys == sorted(keys)
    assert len(set(states)) < len(states)
    choose(sort_menu(window), "The list's own order")
    assert listing.table.query.then is None


def test_copied_cells_begin_no_formula_and_numbers_stay_numbers(jars: AnyListing) -> None:
    jars.view.selectAll()
    jars.view.copy()
    lines = QGuiApplication.clipboard().text().splitlines()
    assert lines == [
        "Shelf\tName\tgal",
        "top\t'=1+1\t2.5",
        "low\toil\t-1",
        "low\t'+44 oil\t",
        "top\tgrease\t0",
    ]
    assert "<td>=1+1" not in QGuiApplication.clipboard().mimeData().html()


ENDED = """
from PySide6.QtWidgets import QApplication
from annual_planner.desktop.table_view import spreadsheet
app = QApplication([])
app.clipboard().setMimeData(spreadsheet([["Name"], ["oil"]]))
print(*app.clipboard().mimeData().formats(), app.clipboard().text().split())
"""


def test_a_program_that_ends_with_rows_on_the_clipboard_ends_well() -> None:
    around = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path), "QT_QPA_PLATFORM": "offscreen"}
    words = [sys.executable, "-c", ENDED]
    ended = subprocess.run(words, env=around, capture_output=True, text=True, timeout=60, check=False)
    assert ended.stdout == "text/plain text/html ['Name', 'oil']\n", ended.stderr
    assert ended.returncode == 0


def rows_of(path: Path) -> list[Sequence[object]]:
    """The rows of the workbook, without its headings."""
    sheet = load_workbook(path).active
    assert sheet is not None
    return [tuple(cell.value for cell in row) for row in sheet.iter_rows(min_row=2)]


def test_a_list_is_saved_as_searched_and_sorted(
    window: MainWindow, jars: AnyListing, qtbot: QtBot, tmp_path: Path
) -> None:
    jars.search.setText("oil")
    click(qtbot, jars, 1)
    qtbot.waitUntil(lambda: jars.table.rowCount() == 2)
    for name in ("jars.xlsx", "jars.csv"):
        export(jars, tmp_path / name, window.page.strip)
        settle(qtbot, window)
        assert window.page.strip.text.startswith(f"Saved as {name}: 2 jars.")
    assert rows_of(tmp_path / "jars.xlsx") == [("low", "+44 oil", None), ("low", "oil", -1)]
    sheet = load_workbook(tmp_path / "jars.xlsx").active
    assert sheet is not None
    assert (sheet["B2"].data_type, sheet["C3"].data_type) == ("s", "n")
    rows = list(csv.reader((tmp_path / "jars.csv").read_text(encoding="utf-8-sig").splitlines()))
    assert rows == [["Shelf", "Name", "gal"], ["low", "'+44 oil", ""], ["low", "oil", "-1"]]


def test_the_whole_due_list_is_saved_with_days_and_hours(
    window: MainWindow, qtbot: QtBot, tmp_path: Path
) -> None:
    window.go("fleet", "due")
    settle(qtbot, window)
    listing = list_here(window.page, window.focusWidget())
    assert listing is not None
    listing.filter_to("due soon")
    settle(qtbot, window)
    export(listing, tmp_path / "due.xlsx", window.page.strip)
    settle(qtbot, window)
    rows = rows_of(tmp_path / "due.xlsx")
    assert len(rows) == listing.table.rowCount() > 3
    assert {row[1] for row in rows} == {"due soon", "past advice"}, "advice that has passed is among them"
    assert all(isinstance(row[3], date) for row in rows)
    assert any(isinstance(row[5], int | float) for row in rows)


def test_where_it_cannot_be_written_the_reason_is_said(
    window: MainWindow, jars: AnyListing, qtbot: QtBot, tmp_path: Path
) -> None:
    export(jars, tmp_path / "nowhere" / "jars.csv", window.page.strip)
    settle(qtbot, window)
    assert "jars.csv could not be written" in window.page.strip.text


def test_stopping_leaves_the_file_that_was_there(tmp_path: Path) -> None:
    from annual_planner.exchange.lists import ListHead, write_list

    target = tmp_path / "jars.csv"
    target.write_text("kept")
    progress = Progress("Writing")

    def rows() -> object:
        yield ["top"]
        progress.cancel()
        progress(1)
        yield ["low"]

    with pytest.raises(Cancelled):
        write_list(target, ListHead("Jars", ("Shelf",), (9,)), rows())  # type: ignore[arg-type]
    assert [each.name for each in tmp_path.iterdir() if "jars" in each.name] == ["jars.csv"]
    assert target.read_text() == "kept"


def test_words_with_numbers_in_them_are_sorted_as_people_count(qtbot: QtBot) -> None:
    source = HeldSource(COLUMNS)
    source.rows = [Jar(name, "", "") for name in ("Oil 10", "oil 2", "", "grease", "9 oils")]
    found: list[int] = []
    source.ask_ids(Query(order="name"), lambda answer: found.extend(answer.ids), lambda _error: None)
    assert [source.rows[place].name for place in found] == ["", "9 oils", "grease", "oil 2", "Oil 10"]
