"""The page of one airplane."""

from __future__ import annotations

from typing import cast

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QStackedWidget, QVBoxLayout, QWidget

from annual_planner.desktop.aircraft.doings import Doings
from annual_planner.desktop.aircraft.due_list import due_list
from annual_planner.desktop.aircraft.facts import Facts
from annual_planner.desktop.aircraft.history import Done, Flown
from annual_planner.desktop.aircraft.lists import ASSEMBLIES, DEFECTS
from annual_planner.desktop.aircraft.particulars import Particulars
from annual_planner.desktop.aircraft.seen import Seen, read_seen
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.form import Form, Scrolled
from annual_planner.desktop.listing import Listing, Words
from annual_planner.desktop.page import AskWhy, Page
from annual_planner.desktop.parts import RoomForPart, TabsLater, offer_turning
from annual_planner.desktop.source import HeldSource
from annual_planner.desktop.widgets import Blank, label
from annual_planner.store.rows import AssemblyLine, DiscrepancyLine
from annual_planner.trade.refused import Refused
from annual_planner.trade.working import Working

UNREAD = ("The airplane could not be read", "Nothing was lost.")


class AircraftPage(Page):
    """One airplane: what comes due, its particulars, times, history and open discrepancies."""

    place = "aircraft"
    title = "Aircraft"
    listens = frozenset(
        {"aircraft", "reading", "requirement", "compliance", "due", "discrepancy", "package", "person"}
    )

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self.aircraft_id: int | None = None
        self.seen: Seen | None = None
        self.about = label("", faint=True)
        self.about.setWordWrap(True)
        self.body.addWidget(self.about)
        self.facts = Facts(desk)
        self.due = due_list(desk, self, lambda: self.aircraft_id, lambda: self.doings.recording.take_on())
        self.due.answered.connect(self.due.choose_first)
        self.held_assemblies: HeldSource[AssemblyLine] = HeldSource(ASSEMBLIES)
        self.held_defects: HeldSource[DiscrepancyLine] = HeldSource(DEFECTS)
        self.tabs = TabsLater("Parts of the airplane's page", self._show_on)
        self.blank = Blank()
        self.drawer: Scrolled | None = None
        self._stack = QStackedWidget()
        self._fill()
        self.doings = Doings(self)
        offer_turning(self, self.tabs)
        self._show_nothing()

    # -- putting together --------------------------------------------------------------------------

    def _make_assemblies(self) -> Listing[AssemblyLine]:
        words = Words("assemblies", "No assemblies", "The airframe, engines and propellers are listed here.")
        made = Listing(self.desk, "aircraft-assemblies", ASSEMBLIES, self.held_assemblies, words)
        made.fill_menu = self.doings.assembly_menu
        made.pointed.connect(self.doings.follow)
        made.add_buttons(self.doings.fit, self.doings.remove)
        return made

    def _make_done(self) -> Done:
        made = Done(self.desk)
        made.listing.add_buttons(self.doings.paste_doings)
        made.listing.fill_menu = self.doings.row_menu
        self.doings.paste_here(self.doings.paste_doings, made.listing)
        return made

    def _make_flown(self) -> Flown:
        made = Flown(self.desk)
        made.listing.add_buttons(self.doings.paste)
        self.doings.paste_here(self.doings.paste, made.listing)
        made.listing.fill_menu = self.doings.reading_menu
        made.listing.pointed.connect(self.doings.follow)
        return made

    def _make_defects(self) -> Listing[DiscrepancyLine]:
        words = Words(
            "open discrepancies",
            "No open discrepancy",
            "What is found on this airplane and not yet settled stands here.",
            "Record a discrepancy",
        )
        return Listing(
            self.desk,
            "aircraft-discrepancies",
            DEFECTS,
            self.held_defects,
            words,
            next_step=lambda: self.doings.recording.start_discrepancy(),
        )

    def _fill(self) -> None:
        for name, words, make in (
            ("due", "What comes due", lambda: self.due),
            ("particulars", "Particulars", lambda: Particulars(self.desk, self.desk.jobs.write)),
            ("assemblies", "Assemblies and times", self._make_assemblies),
            ("done", "What was done", self._make_done),
            ("flown", "Hours flown", self._make_flown),
            ("defects", "Open discrepancies", self._make_defects),
        ):
            self.tabs.add_later(name, words, make)
        self.tabs.build_front()
        self.tabs.turned.connect(self.tabs.build_front)
        shown = QWidget()
        shown.setAccessibleName("The airplane")
        self._column = QVBoxLayout(shown)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.addWidget(self.facts)
        self._column.addWidget(self.tabs, 1)
        self._stack.setAccessibleName("The airplane, or a form")
        self._stack.addWidget(self.blank)
        self._shown = Scrolled(shown)
        self._stack.addWidget(self._shown)
        RoomForPart(self.tabs, self.desk.theme)
        self.body.addWidget(self._stack)

    # -- the parts, each made when it is first looked at or asked for ----------------------------------

    @property
    def particulars(self) -> Particulars:
        """Which airplane it is, whose, and how it is used."""
        return cast(Particulars, self.tabs.get("particulars"))

    @property
    def assemblies(self) -> Listing[AssemblyLine]:
        """Airframe, engines and propellers."""
        return cast(Listing[AssemblyLine], self.tabs.get("assemblies"))

    @property
    def done(self) -> Done:
        """What was done."""
        return cast(Done, self.tabs.get("done"))

    @property
    def flown(self) -> Flown:
        """Readings and months."""
        return cast(Flown, self.tabs.get("flown"))

    @property
    def defects(self) -> Listing[DiscrepancyLine]:
        """What is open on this airplane."""
        return cast(Listing[DiscrepancyLine], self.tabs.get("defects"))

    def _show_on(self, part: QWidget) -> None:
        seen = self.seen
        if seen is None:
            return
        if isinstance(part, Particulars):
            part.take(seen.sheet, seen.people)
            self.desk.with_library(part, part.take_library)
        elif isinstance(part, Done | Flown):
            part.take(seen)
        elif isinstance(part, Listing) and part is not self.due:
            part.ask()

    # -- what the window asks ------------------------------------------------------------------------

    def ask(self) -> None:
        """Read the airplane again."""
        if self.aircraft_id is None:
            self._show_nothing()
            return
        aircraft_id, person, today = self.aircraft_id, self.desk.who.person, self.desk.today
        if self.seen is None:
            self.blank.show_state("Reading the airplane …")
            if self.drawer is None:
                self._stack.setCurrentWidget(self.blank)
            self._enable(False)
        self.desk.jobs.read(
            lambda work: read_seen(work, aircraft_id, person.sees_owner_id, today),
            self,
            self._take,
            self._gone,
            topic="seen",
        )
        self.due.ask()

    def show_subject(self, subject: object) -> None:
        """Show the airplane with this id; 'add' opens the form for a new one."""
        if subject == "add":
            self.doings.start_airplane()
        elif isinstance(subject, int) and subject != self.aircraft_id:
            self.close_form()
            self.strip.put_away()
            self.aircraft_id, self.seen = subject, None
            self.moved.emit()
            self.stale = True
        if self.stale and self.isVisible():
            self.refresh()

    @property
    def subject(self) -> object:
        """The airplane's id."""
        return self.aircraft_id

    @property
    def aircraft_here(self) -> int | None:
        """The airplane that is shown."""
        return self.aircraft_id

    def focus_here(self) -> None:
        """Put the keys on the form that is open, else on the list of dues."""
        if self.drawer is None:
            self.due.view.setFocus()

    def why(self) -> AskWhy | Working | None:
        """The due point of the chosen requirement; on the hours, how it is flown."""
        if self.aircraft_id is None:
            return None
        from annual_planner.records.due_state import explain_due, explain_usage

        aircraft_id, today = self.aircraft_id, self.desk.today
        if self.tabs.name_in_front in ("flown", "assemblies", "particulars"):
            return lambda work: explain_usage(work, aircraft_id, today)
        requirement_id = self.chosen_requirement_id
        if requirement_id is None:
            return None
        return lambda work: explain_due(work, requirement_id, today)

    @property
    def chosen_requirement_id(self) -> int | None:
        """The requirement that is pointed at: in the list of dues, else of the compliance chosen."""
        if self.tabs.name_in_front == "done" and self.done.listing.current is not None:
            return self.done.listing.current.requirement_id
        return self.due.current_id if self.due.current_id >= 0 else None

    def search_here(self) -> None:
        """Put the cursor in the search field of the part that is shown."""
        part = self.tabs.part
        listing = part if isinstance(part, Listing) else getattr(part, "listing", self.due)
        if part is not listing and not hasattr(part, "listing"):
            self.tabs.show_part(self.due)
        listing.search.setFocus()
        listing.search.selectAll()

    # -- showing ---------------------------------------------------------------------------------------

    def _show_nothing(self) -> None:
        self.heading.setText("Aircraft")
        self._tell_about("")
        owner = not self.desk.who.person.may_edit
        self.blank.show_state(
            "No airplane is chosen",
            "Choose one in the fleet list, or press Ctrl+K and type its registration.",
            "Go to the fleet list" if owner or self.doings_absent else "Add an airplane",
            self._to_fleet if owner or self.doings_absent else lambda: self.doings.start_airplane(),
        )
        self._stack.setCurrentWidget(self.blank)
        self._enable(False)

    @property
    def doings_absent(self) -> bool:
        """True while the page is being put together."""
        return not hasattr(self, "doings")

    def _to_fleet(self) -> None:
        self.goes.emit("fleet", "airplanes")

    def _gone(self, error: Exception) -> None:
        if not isinstance(error, Refused) or error.passing:
            if self.seen is None:
                said = UNREAD if not isinstance(error, Refused) else (error.said, error.remedy)
                self.blank.show_state(*said, "Try again", self.refresh)
                self._stack.setCurrentWidget(self.blank)
            self.failed(error)
            return
        self.aircraft_id = self.seen = None
        self._show_nothing()
        self.failed(error)

    def _take(self, seen: Seen) -> None:
        if seen.sheet.aircraft_id != self.aircraft_id:
            return
        self.seen = seen
        self._say_which()
        self.facts.take(seen)
        self.held_assemblies.rows = list(seen.assemblies)
        self.held_defects.rows = list(seen.discrepancies)
        for part in self.tabs.made_parts:
            self._show_on(part)
        open_ = len(seen.discrepancies)
        self.tabs.setTabText(
            self.tabs.index_of("defects"),
            f"Open discrepancies ({open_})" if open_ else "Open discrepancies",
        )
        self._enable(True)
        if self._stack.currentWidget() is self.blank:
            self._stack.setCurrentWidget(self._shown)

    def _say_which(self) -> None:
        """Name the airplane at the top."""
        if self.seen is None:
            return
        self.heading.setText(self.seen.sheet.registration)
        self._tell_about(self.seen.about)

    def _tell_about(self, said: str) -> None:
        self.about.setText(said)
        self.about.setVisible(bool(said))

    def _enable(self, on: bool) -> None:
        if not self.doings_absent:
            self.doings.enable(on)

    # -- forms -----------------------------------------------------------------------------------------

    def open_form(self, form: Form, *, whole: bool = False) -> None:
        """Show a form above the lists, or in their place."""
        self.close_form()
        self.strip.put_away()
        self.drawer = Scrolled(form, snug=not whole, kept=not whole)
        if whole:
            self._stack.addWidget(self.drawer)
            self._stack.setCurrentWidget(self.drawer)
            self._enable(False)
        else:
            self._column.insertWidget(1, self.drawer)
            QTimer.singleShot(0, self.drawer, self._show_form)
        form.start()

    def _show_form(self) -> None:
        """In a low window, let the form stand at the top."""
        if self.drawer is not None:
            self._shown.verticalScrollBar().setValue(self.drawer.y())

    def close_form(self) -> None:
        """Put the form away; the list has the keys again."""
        drawer, self.drawer = self.drawer, None
        if drawer is None:
            return
        if self._stack.indexOf(drawer) >= 0:
            self._stack.removeWidget(drawer)
            self._stack.setCurrentWidget(self._shown if self.seen is not None else self.blank)
        else:
            self._column.removeWidget(drawer)
        self._say_which()
        self._enable(self.seen is not None)
        drawer.hide()
        drawer.deleteLater()
        self.due.view.setFocus()
