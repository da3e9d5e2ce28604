"""The window by the keys alone: places take them, Tab goes as the eye does, Escape gives them back."""

from collections.abc import Iterator

import pytest
from PySide6.QtCore import QEvent, QObject, QPoint, Qt
from PySide6.QtWidgets import QApplication, QLineEdit, QPushButton, QToolButton, QWidget
from pytestqt.qtbot import QtBot

from annual_planner.desktop.page import Page
from annual_planner.desktop.parts import Parts
from annual_planner.desktop.widgets import ActionButton
from annual_planner.desktop.window import MainWindow
from annual_planner.store.fleet_reads import find_aircraft
from demo_fleet.loader import DEMO_AIRPLANE
from tests.desktop.conftest import settle

pytestmark = pytest.mark.desktop


class Strays(QObject):
    """Notes what is shown as a window of its own."""

    def __init__(self) -> None:
        super().__init__()
        self.seen: list[str] = []

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:  # noqa: N802 - Qt names it
        if event.type() == QEvent.Type.Show and isinstance(watched, QWidget) and watched.isWindow():
            self.seen.append(f"{type(watched).__name__} {watched.accessibleName()}")
        return False


@pytest.fixture
def strays(qapp: QApplication, window: MainWindow) -> Iterator[Strays]:
    """What flashes up as a window while places are made; the window itself stands already."""
    noted = Strays()
    qapp.installEventFilter(noted)
    yield noted
    qapp.removeEventFilter(noted)


def places(window: MainWindow, qtbot: QtBot) -> Iterator[Page]:
    """Each place in turn, with the airplane of the guide."""
    with window.desk.jobs.fleet.reading() as work:
        airplane = find_aircraft(work, DEMO_AIRPLANE)
    for place in window._places:
        window.go(place.name, airplane if place.name in ("aircraft", "plugs") else None)
        settle(qtbot, window)
        yield window.page


def chain(page: Page) -> list[QWidget]:
    """What Tab comes to within a page, in its order."""
    found: list[QWidget] = []
    widget = page.nextInFocusChain()
    while widget is not page:
        shown = widget.isVisible() and widget.isEnabled() and widget.focusPolicy() & Qt.FocusPolicy.TabFocus
        if shown and page.isAncestorOf(widget):
            found.append(widget)
        widget = widget.nextInFocusChain()
    return found


def test_every_place_takes_the_keys_and_nothing_flashes_up_beside_the_window(
    window: MainWindow, strays: Strays, qtbot: QtBot
) -> None:
    for page in places(window, qtbot):
        held = QApplication.focusWidget()
        assert held is not None, f"the keys act on nothing in {page.title}"
        assert held is page or page.isAncestorOf(held), page.title
    assert strays.seen == []


def test_tab_comes_to_every_control_of_a_place_its_buttons_first(window: MainWindow, qtbot: QtBot) -> None:
    for page in places(window, qtbot):
        order = chain(page)
        kinds = (QPushButton, QLineEdit, QToolButton)
        controls = [part for kind in kinds for part in page.findChildren(kind)]
        missing = [
            part.accessibleName()
            for part in controls
            if part.isVisible()
            and part.isEnabled()
            and part.focusPolicy() != Qt.FocusPolicy.NoFocus
            and part not in order
        ]
        assert missing == [], page.title
        heads = [page.buttons.itemAt(at) for at in range(page.buttons.count())]
        offered = [head.widget() for head in heads if head is not None and head.widget() in order]
        assert order[: len(offered)] == offered, page.title


def test_escape_puts_a_message_and_then_the_working_away_and_gives_the_keys_back(
    window: MainWindow, qtbot: QtBot
) -> None:
    view = window.page.focusWidget()
    assert view is not None
    window.show_why()
    settle(qtbot, window)
    window.page.strip.say("Something was said.", "Do this.")
    close = next(each for each in window.page.strip.findChildren(QPushButton) if each.text() == "Close")
    close.setFocus()
    qtbot.keyClick(close, Qt.Key.Key_Escape)
    assert (window.page.strip.isVisible(), window.panel.isVisible()) == (False, True)
    assert QApplication.focusWidget() is view
    window.panel.text.setFocus()
    qtbot.keyClick(window.panel.text, Qt.Key.Key_Escape)
    assert not window.panel.isVisible()
    assert QApplication.focusWidget() is view


def test_the_keys_stay_in_the_place_when_what_they_acted_on_is_put_away(
    window: MainWindow, qtbot: QtBot
) -> None:
    last = chain(window.page)[-1]
    last.setFocus()
    last.hide()
    qtbot.waitUntil(lambda: window.page.isAncestorOf(QApplication.focusWidget() or window))
    end = chain(window.page)[-1]
    end.setFocus()
    qtbot.keyClick(end, Qt.Key.Key_Tab)
    outside = QApplication.focusWidget()
    assert outside is not None
    assert not window.page.isAncestorOf(outside), "Tab leads out of the place"
    QApplication.processEvents()
    assert QApplication.focusWidget() is outside, "and nobody brings a person back who went by themselves"


def test_the_button_that_leads_shows_that_the_keys_act_on_it(window: MainWindow, qtbot: QtBot) -> None:
    leading = next(
        each
        for each in window.page.findChildren(ActionButton)
        if each.property("leading") and each.isEnabled()
    )
    at = QPoint(1, leading.height() // 2)
    before = leading.grab().toImage().pixelColor(at)
    leading.setFocus(Qt.FocusReason.TabFocusReason)
    qtbot.waitUntil(lambda: leading.grab().toImage().pixelColor(at) != before)


def test_every_act_of_a_place_is_reached_by_a_key(window: MainWindow, qtbot: QtBot) -> None:
    for page in places(window, qtbot):
        if page.place in ("plugs", "discrepancies", "weeks", "records", "annual"):
            assert [act.text() for act in page.actions_here if not act.shortcuts()] == [], page.place


def test_keys_turn_to_the_tabs_of_plugs_and_of_records(window: MainWindow, qtbot: QtBot) -> None:
    for page in places(window, qtbot):
        if page.place in ("plugs", "records"):
            (tabs,) = page.findChildren(Parts)
            before = tabs.currentIndex()
            qtbot.keyClick(page, Qt.Key.Key_PageDown, Qt.KeyboardModifier.ControlModifier)
            settle(qtbot, window)
            assert tabs.currentIndex() == before + 1, page.place
            qtbot.keyClick(page, Qt.Key.Key_PageUp, Qt.KeyboardModifier.ControlModifier)
            assert tabs.currentIndex() == before, page.place
