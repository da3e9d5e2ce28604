"""Walks through the guide of the README on the sample fleet, to the signed and closed package.

python packaging/guide_pictures.py FOLDER

Every step is done through the window's own actions and saved as a picture. A step that can't be taken ends it
with the reason and status 1.
"""

from __future__ import annotations

import argparse
import os
import sys
import tempfile
import time
from collections.abc import Callable, Mapping
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

if TYPE_CHECKING:
    from PySide6.QtWidgets import QApplication, QWidget

    from annual_planner.desktop.annual.page import AnnualPage
    from annual_planner.desktop.app import Program
    from annual_planner.desktop.window import MainWindow
    from annual_planner.store.rows import CardLine

ROOT = Path(__file__).resolve().parent.parent
SIGNER = "Marit Holloway"
PASSPHRASE = "nine quiet herons on a jetty"
WAIT_S = 120


def main() -> int:
    """Build the sample fleet and walk through it."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--scheme", choices=("light", "dark"), default="light")
    asked = parser.parse_args()
    asked.folder.mkdir(parents=True, exist_ok=True)
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    sys.path.insert(0, str(ROOT))
    with tempfile.TemporaryDirectory() as kept:
        walk = Walk(Path(kept), asked.folder, asked.scheme)
        walk.through()
    print(f"closed; {walk.taken} pictures in {asked.folder}")
    return 0


class Walk:
    """One person at the window, from the fleet list to the filed papers."""

    def __init__(self, kept: Path, folder: Path, scheme: Literal["light", "dark"]) -> None:
        from PySide6.QtCore import QLocale, QSettings

        from annual_planner.desktop.app import Program, application
        from demo_fleet.loader import build_demo

        QLocale.setDefault(QLocale("en_US"))
        self.kept, self.folder, self.taken = kept, folder, 0
        build_demo(kept / "sample.fleet")
        self.app: QApplication = application()
        settings = QSettings(str(kept / "kept.ini"), QSettings.Format.IniFormat)
        self.program: Program = Program(self.app, settings, folder=kept)
        self.program.theme.set_scheme(scheme)
        self.program.start(kept / "sample.fleet")
        self.settle()
        self.window.resize(1280, 800)

    @property
    def window(self) -> MainWindow:
        """The window."""
        assert self.program.window is not None, "the sample fleet is open"
        return self.program.window

    @property
    def page(self) -> Any:
        """The place that is shown."""
        return self.window.page

    @property
    def annual(self) -> AnnualPage:
        """The place Annual."""
        from annual_planner.desktop.annual.page import AnnualPage

        assert isinstance(self.page, AnnualPage), f"{self.page.title} is shown"
        return self.page

    # -- hands -----------------------------------------------------------------------------------------

    def settle(self, until: Callable[[], bool] = lambda: True) -> None:
        """Wait until every answer is here, and what was waited for has come."""
        last = time.monotonic() + WAIT_S
        quiet = 0
        while quiet < 5:
            assert time.monotonic() < last, "it did not come to an end"
            self.app.processEvents()
            time.sleep(0.02)
            jobs = self.program.window.desk.jobs if self.program.window else None
            quiet = quiet + 1 if not (jobs and jobs.awaited) and until() else 0

    def picture(self, name: str, shown: QWidget | None = None) -> None:
        """Save what is shown."""
        self.settle()
        self.taken += 1
        (shown or self.window).grab().save(str(self.folder / f"{self.taken:02}-{name}.png"))

    def fill(self, form: Any, values: Mapping[str, object]) -> None:
        """Fill a form and hand it in."""
        form.put(values)
        form.submit()
        self.settle()

    def form(self) -> Any:
        """The form that is open."""
        beside = getattr(self.page, "beside", None)  # where the discrepancies have theirs
        form = beside.form if beside is not None else self.page.drawer and self.page.drawer.widget()
        assert form is not None, f"no form is open: {self.page.strip.text}"
        return form

    def find(self, kind: type[QWidget]) -> Any:
        """A window of that kind."""
        found = self.window.findChild(kind)
        assert found is not None, f"no {kind.__name__}: {self.page.strip.text}"
        return found

    # -- the steps -------------------------------------------------------------------------------------

    def through(self) -> None:
        """Every step of the guide."""
        self.sit_down()
        self.plan()
        self.look_through()
        self.plugs()
        self.who_and_when()
        self.card_in_work()
        self.discrepancies()
        self.rest_on_paper()
        self.close()
        self.records()
        self.program.close()

    def sit_down(self) -> None:
        """Say who sits at the window."""
        from annual_planner.desktop.who import Person
        from annual_planner.store.fleet_reads import find_aircraft, people
        from demo_fleet.loader import DEMO_AIRPLANE

        with self.window.desk.jobs.fleet.reading() as work:
            self.person_id = next(each.person_id for each in people(work) if each.name == SIGNER)
            self.aircraft_id = find_aircraft(work, DEMO_AIRPLANE)
        self.window.desk.who.pick(Person("mechanic", self.person_id, SIGNER))
        self.picture("fleet")

    def plan(self) -> None:
        """From the airplane to its annual."""
        self.window.go("aircraft", self.aircraft_id)
        self.settle()
        self.window.show_why()
        self.picture("airplane-why")
        self.window.panel.hide()
        self.page.doings.plan.trigger()
        self.settle()
        self.picture("plan-form")
        self.form().submit()
        self.settle(lambda: self.window.page.title == "Annual" and self.annual.shown is not None)
        self.picture("what-goes-in")

    def look_through(self) -> None:
        """Every tab of the annual."""
        tabs = self.annual.tabs
        for number in range(tabs.count()):
            tabs.setCurrentIndex(number)
            self.picture(f"annual-{tabs.tabText(number).lower().replace(' ', '-')}")
        tabs.setCurrentIndex(0)

    def plugs(self) -> None:
        """Plugs out into the tray, one looked at, all back by the rotation."""
        package_id = self.annual.package_id
        self.window.go("plugs", self.aircraft_id)
        self.settle()
        self.page.doings.out.trigger()
        self.form().submit()
        self.settle()
        self.picture("tray")
        self.page.tabs.show_part(self.page.tabs.rotation)
        self.picture("rotation")
        self.page.tabs.tray.gaskets_all.emit()
        self.settle()
        self.page.doings.put.trigger()
        self.settle()
        self.fill(self.form(), {"new_gaskets": "8"})
        self.picture("plugs-back")
        self.window.go("annual", package_id)
        self.settle()

    def who_and_when(self) -> None:
        """The cards on people and days."""
        from PySide6.QtWidgets import QPushButton

        tabs = self.annual.tabs
        tabs.setCurrentIndex(next(n for n in range(tabs.count()) if tabs.tabText(n) == "Who and when"))
        self.settle()
        button = next(each for each in self.page.findChildren(QPushButton) if each.text() == "Lay out")
        button.click()
        self.settle(lambda: button.text() == "Re-plan")
        self.picture("who-and-when")

    def card_in_work(self) -> None:
        """The first card: its time, a defect found on it, done."""
        from PySide6.QtCore import Qt
        from PySide6.QtTest import QTest

        page = self.annual
        page.tabs.show_part(page.late.in_work_part)
        self.settle()
        tab = page.late.in_work
        tab.scan.setText(str(tab.listing.held.rows[0].number))
        QTest.keyClick(tab.scan, Qt.Key.Key_Return)
        self.settle()
        doings = tab.doings.by_name
        doings["start"].trigger()
        self.settle()
        doings["found"].trigger()
        self.settle()
        assert tab.open.form is not None, "the form of a discrepancy opens"
        tab.open.form.put({"text": "Chafed hose at the firewall"})
        self.picture("in-work-found")
        tab.open.form.submit()
        self.settle()
        doings["done"].trigger()
        self.picture("in-work-done")

    def discrepancies(self) -> None:
        """Every open one of this airplane: judged, put right, signed."""
        from annual_planner.store.discrepancy_reads import review_ids
        from annual_planner.store.review_rows import Filter

        with self.window.desk.jobs.fleet.reading() as work:
            open_ones = review_ids(work, Filter(aircraft_id=self.aircraft_id))
        for found in open_ones:
            self.window.go("discrepancies", found)
            self.settle()
            self.put_right()
        self.picture("discrepancies")

    def put_right(self) -> None:
        """One discrepancy, from where it stands to signed."""
        steps = (
            ("judge", {"airworthy": False, "risk": "stops the airplane"}),
            ("decide", {"disposition": "correct now"}),
            ("begin", {"person_id": self.person_id}),
            ("correct", {"said": "put right by the maker's manual", "person_id": self.person_id}),
        )
        for action, values in steps:
            doing = getattr(self.page.doings, action)
            if not doing.isEnabled():
                continue
            doing.trigger()
            self.settle()
            self.fill(self.form(), values)
        self.page.doings.sign.trigger()
        self.settle()
        self.sign("discrepancy")

    def sign(self, name: str) -> None:
        """One deliberate act in the signing window; a key is made where there is none."""
        from annual_planner.desktop.signing.dialog import SigningDialog

        dialog = self.find(SigningDialog)
        dialog.person.setCurrentIndex(dialog.person.findData(self.person_id))
        self.settle()
        if dialog.make_key.isVisible():
            dialog.passphrase.setText(PASSPHRASE)
            dialog.make_key.click()
            self.settle()
        dialog.passphrase.setText(PASSPHRASE)
        self.picture(f"sign-{name}", dialog)
        done: list[object] = []
        dialog.signed.connect(lambda *given: done.append(given))
        dialog.sign_button.click()
        self.settle(lambda: bool(done))

    def rest_on_paper(self) -> None:
        """The other cards come back on a filled copy of the paper."""
        from PySide6.QtWidgets import QFileDialog

        from annual_planner.desktop.annual import paper_jobs
        from annual_planner.desktop.annual.filled_dialog import FilledDialog
        from annual_planner.desktop.progress import Progress
        from annual_planner.planning.paper_fields import plan_digest

        self.window.go("annual")
        self.settle()
        shown = self.annual.shown
        assert shown is not None, "the annual is shown"
        cards = [card for card in shown.every_card if card.included]
        start = f"{shown.view.package.number}/{plan_digest(cards)}"
        values = {f"{start}/{card.number}/{what}": text for card in cards for what, text in filled(card)}
        path = self.kept / "filled.pdf"
        pdf = paper_jobs.make_pdf(shown.view, "letter", Progress("the guide"))
        path.write_bytes(filled_in(pdf, values))
        QFileDialog.getOpenFileName = lambda *_asked: (str(path), "")  # type: ignore[method-assign]
        self.annual.doings.filled.trigger()
        self.settle()
        dialog = self.find(FilledDialog)
        self.settle(lambda: dialog.seen is not None)
        self.picture("filled-copy", dialog)
        assert not dialog.seen.faults, f"refused: {dialog.seen.faults[0]}"
        done: list[object] = []
        dialog.recorded.connect(lambda *given: done.append(given))
        dialog.record.click()
        self.settle(lambda: bool(done))

    def close(self) -> None:
        """Entries drafted, read, signed; the package closed and its papers filed."""
        page = self.annual
        page.tabs.show_part(page.late.closing_part)
        self.settle()
        closing = page.late.closing
        assert closing.seen is not None, "the closing is read"
        self.picture("closing-missing")
        lacks = closing.seen.state.value.before_entries
        assert not lacks, f"still missing: {lacks[0]}"
        closing.buttons["draft"].click()
        self.settle()
        self.picture("entries-drafted")
        for place in range(closing.entries.table.rowCount()):
            closing.entries.point_to(place)
            self.settle()
            closing.buttons["sign"].click()
            self.settle()
            self.sign("entry")
        lacks = closing.seen.state.value.lacking
        assert not lacks, f"still missing: {lacks[0]}"
        closing.buttons["close"].click()
        self.settle(lambda: "filed" in closing.strip.text)
        self.picture("closed")

    def records(self) -> None:
        """Entries, signatures and papers found again; the airplane's next dues."""
        self.window.go("records")
        self.settle()
        tabs = self.page.tabs
        for number in range(tabs.count()):
            tabs.setCurrentIndex(number)
            self.picture(f"records-{number + 1}")
        self.window.go("aircraft", self.aircraft_id)
        self.picture("airplane-afterwards")


def filled(card: CardLine) -> list[tuple[str, str]]:
    """What is written on a card's paper: done, by whom, and the figures of the engine run within limits."""
    from annual_planner.trade.cards import Phase

    if card.state == "done":
        return []
    written = [("done", "/Yes"), ("initials", "MH")]
    if card.phase != Phase.RUN_UP:
        return written
    asked = card.content.get("measurements") or ()
    assert isinstance(asked, list | tuple), "measurements are a list"
    return written + [(f"m{place}-0", each["low"] or each["high"] or "1") for place, each in enumerate(asked)]


def filled_in(content: bytes, values: Mapping[str, str]) -> bytes:
    """A paper with its form fields filled, as a PDF reader saves it."""
    from pypdf import PdfReader, PdfWriter

    writer = PdfWriter(clone_from=PdfReader(BytesIO(content)))
    for page in writer.pages:
        writer.update_page_form_field_values(page, dict(values), auto_regenerate=False)
    target = BytesIO()
    writer.write(target)
    return target.getvalue()


if __name__ == "__main__":
    sys.exit(main())
