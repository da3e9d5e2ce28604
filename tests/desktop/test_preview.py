"""The paper seen before it is printed: both sizes, every zoom, stopped and taken up again."""

from __future__ import annotations

import time
from dataclasses import replace

import pytest
from PySide6.QtCore import Qt

from annual_planner.desktop.annual.preview import WHOLE, ZOOMS, PreviewPane
from annual_planner.desktop.progress import Progress
from annual_planner.desktop.theme import Scheme
from annual_planner.desktop.window import MainWindow
from annual_planner.paper.preview import page_count
from annual_planner.planning.package_view import PackageView
from tests.desktop.conftest import QtBot, settle
from tests.paper.sample import sample_view

pytestmark = pytest.mark.desktop


@pytest.fixture(scope="module")
def view() -> PackageView:
    return sample_view(cards=6)


@pytest.fixture
def pane(window: MainWindow, qtbot: QtBot, view: PackageView) -> PreviewPane:
    preview = PreviewPane(window.desk)
    qtbot.addWidget(preview)
    preview.resize(900, 700)
    preview.show()
    preview.take(view)
    settle(qtbot, window)
    return preview


def choose_size(pane: PreviewPane, size: str) -> None:
    pane.size_box.setCurrentIndex(pane.size_box.findData(size))


def test_both_sizes_are_seen_as_they_will_be_printed(
    window: MainWindow, pane: PreviewPane, qtbot: QtBot
) -> None:
    shapes = {}
    for size in ("a4", "letter"):
        choose_size(pane, size)
        settle(qtbot, window)
        image = pane.page.image
        shapes[size] = image.height() / image.width()
        assert (pane.out.page_size, pane.out.pages) == (size, page_count(pane.out.pdf))
        assert pane.counted.text() == f"Page 1 of {pane.out.pages}"
    assert abs(shapes["letter"] - 792 / 612) < 0.01
    assert abs(shapes["a4"] - 842 / 595) < 0.01


def test_every_zoom_shows_the_page_as_large_as_it_says(
    window: MainWindow, pane: PreviewPane, qtbot: QtBot
) -> None:
    wide = {}
    for place, (zoom, _) in enumerate(ZOOMS):
        pane.zoom_box.setCurrentIndex(place)
        settle(qtbot, window)
        wide[zoom] = pane.page.width()
        if zoom == WHOLE:
            assert pane.page.height() <= pane.area.contentsRect().height()
    assert wide[1.0] < wide[1.5] < wide[2.0]
    assert abs(wide[2.0] / wide[1.0] - 2) < 0.02


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_paper_is_white_on_a_light_and_on_a_dark_desk(
    window: MainWindow, pane: PreviewPane, qtbot: QtBot, scheme: Scheme
) -> None:
    window.desk.theme.set_scheme(scheme)
    settle(qtbot, window)
    shown = pane.page.grab().toImage()
    assert shown.pixelColor(8, 8).name() == "#ffffff"
    window.desk.theme.set_scheme("light")


def never_through(_view: PackageView, _size: str, _which: str, progress: Progress) -> None:
    """Draw until somebody stops it."""
    while True:
        progress.check()
        time.sleep(0.005)


def test_paper_stopped_on_the_way_to_another_size_is_drawn_again_on_the_way_back(
    window: MainWindow, pane: PreviewPane, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    was = pane.out.page_size
    with monkeypatch.context() as slow:
        slow.setattr("annual_planner.desktop.annual.preview._drawn", never_through)
        choose_size(pane, "a4" if was == "letter" else "letter")
        pane.cancel.click()
        settle(qtbot, window)
    assert not pane.print.isEnabled()
    assert not pane.blank.isHidden()
    choose_size(pane, was)
    settle(qtbot, window)
    assert pane.print.isEnabled()
    assert pane.page.isVisible()


def test_pages_are_turned_by_keys_and_stop_at_both_ends(
    window: MainWindow, pane: PreviewPane, view: PackageView, qtbot: QtBot
) -> None:
    for key, said in (
        (Qt.Key.Key_PageUp, 1),
        (Qt.Key.Key_PageDown, 2),
        (Qt.Key.Key_End, pane.out.pages),
        (Qt.Key.Key_PageDown, pane.out.pages),
    ):
        qtbot.keyClick(pane, key)
        settle(qtbot, window)
        assert pane.counted.text() == f"Page {said} of {pane.out.pages}"
    pane.take(replace(view, cards=()))
    settle(qtbot, window)
    assert pane.counted.text() == f"Page {pane.out.pages} of {pane.out.pages}", "the paper grew shorter"


def test_a_part_of_the_paper_is_gone_to_by_its_name(
    window: MainWindow, pane: PreviewPane, qtbot: QtBot
) -> None:
    names = [pane.part_box.itemText(at).strip() for at in range(pane.part_box.count())]
    assert names[0] == "Cover"
    assert "Research" in names, "phases lie within the cards"
    at = names.index("Parts and tools")
    pane.part_box.setCurrentIndex(at)
    pane.part_box.activated.emit(at)
    settle(qtbot, window)
    assert pane.counted.text() == f"Page {pane.part_box.itemData(at) + 1} of {pane.out.pages}"
    qtbot.keyClick(pane, Qt.Key.Key_Home)
    settle(qtbot, window)
    assert pane.part_box.currentText() == "Cover", "it says where the page that is shown belongs"
