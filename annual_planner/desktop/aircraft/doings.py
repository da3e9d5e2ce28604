"""What can be done on the page of one airplane: its actions, the forms they open, the edits they make."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QKeySequence, QShortcut
from PySide6.QtWidgets import QMenu

from annual_planner.desktop.aircraft.assembly_forms import chosen_assembly, start_fit, start_remove
from annual_planner.desktop.aircraft.recording import Recording
from annual_planner.desktop.columns import day_text
from annual_planner.desktop.listing import AnyListing
from annual_planner.desktop.page_doings import PageAction, PageDoings, always
from annual_planner.trade.package_states import CLOSED

if TYPE_CHECKING:
    from annual_planner.desktop.aircraft.page import AircraftPage


class Doings(PageDoings):
    """Actions of the page. Each edit goes through the one writer and can be taken back."""

    reading: QAction
    paste: QAction
    paste_doings: QAction
    correct: QAction
    comply: QAction
    plan: QAction
    require: QAction
    end: QAction
    fit: QAction
    remove: QAction
    usual: QAction
    back: QAction
    defect: QAction
    open_annual: QAction
    plugs: QAction
    found: QAction
    hand_over: QAction
    new: QAction

    def __init__(self, page: AircraftPage) -> None:
        super().__init__(page, ACTIONS)
        self.page = page
        self.recording = Recording(page)
        page.due.fill_menu = self._due_menu
        page.due.opened.connect(lambda _id: page.wants_working.emit(page.why()))
        page.due.pointed.connect(self.follow)
        page.tabs.turned.connect(self.follow)

    # -- which are allowed -----------------------------------------------------------------------------

    @property
    def requirement_chosen(self) -> bool:
        """A requirement of the airplane shown is chosen."""
        return self.on and self.page.seen is not None and self.page.chosen_requirement_id is not None

    @property
    def entries_in_front(self) -> bool:
        """A list of what was written down is in front."""
        return self.on and self.page.tabs.name_in_front in ("done", "flown")

    @property
    def reading_in_front(self) -> bool:
        """A reading is chosen in the list in front."""
        page = self.page
        return self.on and page.tabs.name_in_front == "flown" and page.flown.listing.current is not None

    @property
    def assembly_chosen(self) -> bool:
        """A fitted assembly that can come off is chosen."""
        return self.on and chosen_assembly(self.page) is not None

    @property
    def annual_planned(self) -> bool:
        """The airplane shown has an annual to go to."""
        return self.on and self.page.seen is not None and bool(self.page.seen.packages)

    def _due_menu(self, menu: QMenu, _row_id: int) -> None:
        why = menu.addAction("Why?")
        why.setShortcut("F4")
        why.triggered.connect(lambda: self.page.wants_working.emit(self.page.why()))
        for action in (self.comply, self.end, self.require):
            menu.addAction(action)

    def assembly_menu(self, menu: QMenu, place: int) -> None:
        """Add what an assembly offers to the menu of its row."""
        self.page.assemblies.point_to(place)
        for action in (self.fit, self.remove):
            menu.addAction(action)
        line, aircraft_id = self.page.held_assemblies.rows[place], self.page.aircraft_id
        if line.kind == "engine" and line.removed_on is None:
            to_engine = menu.addAction("Plugs and cylinders")
            to_engine.triggered.connect(lambda: self.page.goes.emit("plugs", [aircraft_id, line.position]))

    def row_menu(self, menu: QMenu, _row_id: int) -> None:
        """Add what an entry offers to the menu of its row."""
        menu.addAction(self.back)

    def reading_menu(self, menu: QMenu, row_id: int) -> None:
        """Add what a reading offers to the menu of its row."""
        menu.addAction(self.correct)
        self.row_menu(menu, row_id)

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
        still_open = next((line for line in seen.packages if line.state != CLOSED), None)
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

    def start_paste(self) -> None:
        """Open the form that takes readings from a spreadsheet."""
        from annual_planner.desktop.aircraft.paste_readings import start_paste

        start_paste(self.page)

    def start_paste_doings(self) -> None:
        """Open the form that takes compliances from a spreadsheet."""
        from annual_planner.desktop.aircraft.paste_compliances import start_paste

        start_paste(self.page)

    def paste_here(self, action: QAction, listing: AnyListing) -> None:
        """Let Ctrl+V on that list do what the action does, for who may."""
        key = QShortcut(QKeySequence(QKeySequence.StandardKey.Paste), listing.view)
        key.setContext(Qt.ShortcutContext.WidgetShortcut)
        key.activated.connect(lambda: action.trigger() if action.isVisible() else None)

    def start_hand_over(self) -> None:
        """Open the dialog that writes all records of this airplane as one file."""
        from annual_planner.desktop.hand_over.giving import open_hand_over

        if self.page.aircraft_id is not None:
            open_hand_over(self.page.desk, self.page.aircraft_id, self.page.window())

    def start_airplane(self) -> None:
        """Open the form for a new airplane."""
        from annual_planner.desktop.aircraft.new_airplane import start_new_airplane

        if self.page.desk.who.person.may_edit:
            start_new_airplane(self.page)


ACTIONS: tuple[PageAction[Doings], ...] = (
    PageAction(
        "reading",
        "Record &reading…",
        lambda doings: doings.recording.start_reading(),
        "Write down what the meter shows",
        "Ctrl+M",
        "meter",
        button=True,
        edits=True,
    ),
    PageAction(
        "paste",
        "Paste readin&gs…",
        Doings.start_paste,
        "Take many meter readings from a spreadsheet, seen first",
        "Ctrl+Shift+V",
        "meter",
        edits=True,
    ),
    PageAction(
        "paste_doings",
        "Paste co&mpliances…",
        Doings.start_paste_doings,
        "Take many compliances from a spreadsheet, seen first",
        "Ctrl+Shift+L",
        "done",
        edits=True,
    ),
    PageAction(
        "correct",
        "Correct the chosen readi&ng…",
        lambda doings: doings.recording.start_correction(),
        "Put the day, the hours, the landings or the note of the chosen reading right",
        drawing="edit",
        edits=True,
        when=lambda doings: doings.reading_in_front,
    ),
    PageAction(
        "comply",
        "Record &compliance…",
        lambda doings: doings.recording.start_compliance(),
        "Write down that the chosen requirement was met",
        "Ctrl+D",
        "done",
        button=True,
        edits=True,
        when=lambda doings: doings.requirement_chosen,
    ),
    PageAction(
        "plan",
        "&Plan annual…",
        Doings.start_plan,
        "Plan an annual for this airplane",
        "Ctrl+P",
        "plan",
        button=True,
        leading=True,
        edits=True,
    ),
    PageAction(
        "require",
        "Add re&quirement…",
        lambda doings: doings.recording.start_requirement(),
        "Add a directive, a maker's item or one of your own",
        "Ctrl+Shift+R",
        drawing="add",
        edits=True,
    ),
    PageAction(
        "end",
        "&End requirement…",
        lambda doings: doings.recording.start_end(),
        "Say why the chosen requirement no longer applies",
        "Ctrl+Shift+E",
        drawing="close",
        edits=True,
        when=lambda doings: doings.requirement_chosen,
    ),
    PageAction(
        "fit",
        "&Fit assembly…",
        lambda doings: start_fit(doings.page),
        "Fit an engine, a propeller, a magneto or an accessory",
        "Ctrl+Shift+F",
        drawing="assembly",
        edits=True,
    ),
    PageAction(
        "remove",
        "Remo&ve assembly…",
        lambda doings: start_remove(doings.page),
        "Take the chosen engine, propeller or accessory off",
        "Ctrl+Shift+U",
        drawing="remove",
        edits=True,
        when=lambda doings: doings.assembly_chosen,
    ),
    PageAction(
        "usual",
        "&Take on the usual requirements",
        lambda doings: doings.recording.take_on(),
        "Add what Part 91 asks of an airplane like this one and isn't here yet",
        "Ctrl+Shift+T",
        drawing="due",
        edits=True,
    ),
    PageAction(
        "back",
        "Take chosen entr&y out",
        lambda doings: doings.recording.take_out(),
        "Take out the chosen compliance or reading; Undo brings it back",
        "Del",
        "remove",
        edits=True,
        when=lambda doings: doings.entries_in_front,
    ),
    PageAction(
        "defect",
        "Record &discrepancy…",
        lambda doings: doings.recording.start_discrepancy(),
        "Write down what was found on this airplane",
        "Ctrl+Shift+D",
        drawing="warn",
        edits=True,
    ),
    PageAction(
        "open_annual",
        "&Open its annual",
        Doings.go_to_annual,
        "Go to the newest annual planned for this airplane",
        "Ctrl+Shift+O",
        "annual",
        button=True,
        when=lambda doings: doings.annual_planned,
    ),
    PageAction(
        "plugs",
        "Plugs and cy&linders",
        lambda doings: doings.page.goes.emit("plugs", doings.page.aircraft_id),
        "Go to the plugs, tray, compression and trends of its engine",
        "Ctrl+Shift+Y",
        "plugs",
    ),
    PageAction(
        "found",
        "It&s discrepancies",
        lambda doings: doings.page.goes.emit("discrepancies", f"aircraft:{doings.page.aircraft_id}"),
        "Go to the discrepancies of this airplane: risk, who is waited for, their life",
        "Ctrl+Shift+I",
        "discrepancies",
    ),
    PageAction(
        "hand_over",
        "&Hand the airplane over…",
        Doings.start_hand_over,
        "Write all records of this airplane as one file, for its next keeper",
        "Ctrl+Shift+H",
        drawing="save",
    ),
    PageAction(
        "new",
        "Add &airplane…",
        Doings.start_airplane,
        "Add an airplane by hand",
        "Ctrl+Shift+N",
        "add",
        edits=True,
        when=always,
    ),
)
