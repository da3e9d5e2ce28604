"""What can be done on the page of one airplane: its actions, the forms they open, the edits they make."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QMenu

from annual_planner.desktop.aircraft.recording import Recording
from annual_planner.desktop.columns import day_text

if TYPE_CHECKING:
    from annual_planner.desktop.aircraft.page import AircraftPage


class Doings(QObject):
    """Actions of the page. Each edit goes through the one writer and can be taken back."""

    def __init__(self, page: AircraftPage) -> None:
        super().__init__(page)
        self.page = page
        self.recording = Recording(page)
        act = page.action
        self.reading = act(
            "Record &reading…",
            self.recording.start_reading,
            key="Ctrl+M",
            drawing="meter",
            button=True,
            tip="Write down what the meter shows",
            edits=True,
        )
        self.comply = act(
            "Record &compliance…",
            self.recording.start_compliance,
            key="Ctrl+D",
            drawing="done",
            button=True,
            tip="Write down that the chosen requirement was met",
            edits=True,
        )
        self.plan = act(
            "&Plan annual…",
            self.start_plan,
            key="Ctrl+P",
            drawing="plan",
            button=True,
            leading=True,
            tip="Plan an annual for this airplane",
            edits=True,
        )
        self.require = act(
            "Add re&quirement…",
            self.recording.start_requirement,
            drawing="add",
            edits=True,
            tip="Add a directive, a maker's item or one of your own",
        )
        self.end = act(
            "&End requirement…",
            self.recording.start_end,
            edits=True,
            drawing="close",
            tip="Say why the chosen requirement no longer applies",
        )
        self.usual = act(
            "&Take on the usual requirements",
            self.recording.take_on,
            edits=True,
            drawing="due",
            tip="Add what Part 91 asks of an airplane like this one and isn't here yet",
        )
        self.back = act(
            "Take chosen &entry out",
            self.recording.take_out,
            key="Del",
            drawing="remove",
            edits=True,
            tip="Take out the chosen compliance or reading; Undo brings it back",
        )
        self.defect = act(
            "Record &discrepancy…", self.recording.start_discrepancy, drawing="warn", edits=True
        )
        self.open_annual = act(
            "&Open its annual",
            self.go_to_annual,
            key="Ctrl+Shift+O",
            drawing="annual",
            tip="Go to the newest annual planned for this airplane",
        )
        self.new = act(
            "Add &airplane…",
            self.start_airplane,
            key="Ctrl+Shift+N",
            drawing="add",
            edits=True,
            tip="Add an airplane by hand",
        )
        page.due.fill_menu = self._due_menu
        page.done.listing.fill_menu = self._row_menu
        page.flown.listing.fill_menu = self._row_menu
        page.due.opened.connect(lambda _id: page.wants_working.emit(page.why()))
        page.due.pointed.connect(self._follow)
        page.tabs.turned.connect(self._follow)

    # -- which are allowed -----------------------------------------------------------------------------

    def enable(self, on: bool) -> None:
        """Allow what needs an airplane."""
        for action in self._of_one():
            action.setEnabled(on)
        self.open_annual.setEnabled(on and self.page.seen is not None and bool(self.page.seen.packages))
        if on:
            self._follow()

    def _of_one(self) -> tuple[QAction, ...]:
        return (
            self.reading,
            self.comply,
            self.plan,
            self.require,
            self.end,
            self.usual,
            self.back,
            self.defect,
        )

    def _follow(self, _any: object = None) -> None:
        page = self.page
        chosen = page.chosen_requirement_id is not None
        self.comply.setEnabled(page.seen is not None and chosen)
        self.end.setEnabled(page.seen is not None and chosen)
        self.back.setEnabled(page.tabs.part in (page.done, page.flown))

    def _due_menu(self, menu: QMenu, _row_id: int) -> None:
        why = menu.addAction("Why?")
        why.setShortcut("F4")
        why.triggered.connect(lambda: self.page.wants_working.emit(self.page.why()))
        for action in (self.comply, self.end, self.require):
            menu.addAction(action)

    def _row_menu(self, menu: QMenu, _row_id: int) -> None:
        menu.addAction(self.back)

    # -- what they do ----------------------------------------------------------------------------------

    def start_plan(self) -> None:
        """Open the form that plans an annual."""
        from annual_planner.desktop.annual.plan import start_plan

        page, seen = self.page, self.page.seen
        if seen is None:
            return
        sheet = seen.sheet
        form = start_plan(
            page,
            sheet.aircraft_id,
            sheet.registration,
            lambda package_id: page.goes.emit("annual", package_id),
            page.close_form,
        )
        still_open = next((line for line in seen.packages if line.state != "closed"), None)
        if still_open is not None:
            starts = day_text(still_open.start_on)
            form.tell(
                f"Package {still_open.number}, starting {starts}, is still open. This plans another one."
            )

    def go_to_annual(self) -> None:
        """Go to the newest package of this airplane."""
        seen = self.page.seen
        if seen is not None and seen.packages:
            self.page.goes.emit("annual", seen.packages[0].package_id)

    def start_airplane(self) -> None:
        """Open the form for a new airplane."""
        from annual_planner.desktop.aircraft.new_airplane import start_new_airplane

        if self.page.desk.who.person.may_edit:
            start_new_airplane(self.page)
