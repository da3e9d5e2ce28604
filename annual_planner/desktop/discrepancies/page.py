"""The page of all discrepancies, with one of them beside the list."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent

from annual_planner.desktop.desk import Desk
from annual_planner.desktop.discrepancies.beside import Beside
from annual_planner.desktop.discrepancies.doings import STEPS, Doings
from annual_planner.desktop.discrepancies.filter_bar import FilterBar
from annual_planner.desktop.discrepancies.review_list import ReviewList
from annual_planner.desktop.discrepancies.review_tabs import REVIEW, ReviewTabs
from annual_planner.desktop.discrepancies.seen import Facts, Seen, read_facts, read_seen
from annual_planner.desktop.discrepancies.sheet import DiscrepancyPanel
from annual_planner.desktop.page import AskWhy, Page
from annual_planner.desktop.widgets import button
from annual_planner.store.kept_views import KeptView
from annual_planner.trade.working import Working

if TYPE_CHECKING:
    from annual_planner.store.session import Work


class DiscrepanciesPage(Page):
    """The review: list, groups, flow and promises; beside the list the chosen discrepancy."""

    place = "discrepancies"
    title = "Discrepancies"
    listens = frozenset({"discrepancy", "photograph", "view", "aircraft", "package", "person"})

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self.seen: Seen | None = None
        self.bar = FilterBar()
        self.review = ReviewList(desk, self.bar)
        self.only = button(
            "Only one airplane", self.show_all_airplanes, tip="Show every airplane again", chip=True
        )
        self.panel = DiscrepancyPanel(desk)
        self.beside = Beside(desk, (self.bar, self.only, self.review), self.panel)
        self.tabs = ReviewTabs(desk, self.beside)
        self.body.addWidget(self.tabs, 1)
        self.only.hide()
        self.doings = Doings(self)
        self.panel.offer([getattr(self.doings, name) for name in STEPS])
        self._connect()
        self.doings.enable(False)

    def _connect(self) -> None:
        self.bar.chose.connect(self.review.ask)
        self.bar.view_chosen.connect(self.review.show_view)
        self.bar.wants_keep.connect(self.doings.recording.start_keep)
        self.bar.wants_forget.connect(self.doings.recording.forget)
        self.review.wants_one.connect(self.doings.recording.start_raise)
        self.review.pointed.connect(lambda _id: self._point())
        self.review.opened.connect(lambda _id: self._to_panel())
        self.review.answered.connect(self.review.choose_first)
        self.review.view.selectionModel().selectionChanged.connect(self.doings.follow)
        self.review.fill_menu = self._fill_menu
        self.panel.wants_why.connect(lambda: self.wants_working.emit(self.why()))
        self.panel.wants_before.connect(self._why_before)
        self.panel.wants_placard.connect(self.doings.copy_placard)
        self.panel.opens_photograph.connect(self.look_at)
        self.tabs.currentChanged.connect(lambda _at: self.ask())
        self.tabs.opens_group.connect(self._open_group)
        self.tabs.opens_discrepancy.connect(self.choose)

    def _fill_menu(self, menu: Any, _row_id: int) -> None:
        for name in (*STEPS, "several", "airplane", "card"):
            action = getattr(self.doings, name)
            if action.isEnabled():
                menu.addAction(action)

    # -- what the window asks ------------------------------------------------------------------------

    def ask(self) -> None:
        """Ask for what the tab in front shows."""
        person = self.desk.who.person
        by = person.by
        self.tabs.follow_person()
        self.bar.keep.setVisible(person.may_edit)
        self.desk.jobs.read(lambda work: _views(work, by), self, self.bar.offer, self.failed, topic="views")
        if self.tabs.currentIndex() == REVIEW:
            self.review.ask()
            self._point()
        else:
            self.tabs.ask(self.review.question(), self.failed)

    def _open_group(self, value: str) -> None:
        """Show the review of that group."""
        group = self.bar.chosen.group or "registration"
        self.tabs.setCurrentIndex(REVIEW)
        if group in ("registration", "owner"):
            self.review.search.setText(value)
        elif group == "waits_for":
            self.bar.choose(group, value or "nobody")
        else:
            self.bar.choose(group, value)

    def show_subject(self, subject: object) -> None:
        """A discrepancy's id, or 'aircraft:12' for those of one airplane, or 'all'."""
        text = str(subject) if subject is not None else ""
        kind, _, number = text.partition(":")
        if kind == "aircraft" and number.isdigit():
            self.review.of_aircraft = int(number)
            self.stale = True
        elif kind == "all":
            self.review.of_aircraft = None
            self.stale = True
        elif text.isdigit():
            self.choose(int(text))
        if self.stale and self.isVisible():
            self.refresh()

    @property
    def subject(self) -> object:
        """The airplane whose list is shown, else the chosen discrepancy."""
        if self.review.of_aircraft is not None:
            return f"aircraft:{self.review.of_aircraft}"
        return str(self.review.current_id) if self.review.current_id >= 0 else None

    @property
    def aircraft_here(self) -> int | None:
        """The airplane of the chosen discrepancy."""
        line = self.review.current
        return self.review.of_aircraft if line is None else line.aircraft_id

    def search_here(self) -> None:
        """Search the list."""
        self.tabs.setCurrentIndex(REVIEW)
        self.review.search.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.review.search.selectAll()

    def focus_here(self) -> None:
        """The keys act on the list."""
        if self.beside.form is None:
            self.review.view.setFocus(Qt.FocusReason.OtherFocusReason)

    def why(self) -> AskWhy | Working | None:
        """The working behind the form that is open, or behind the chosen discrepancy's standing."""
        worked = getattr(self.beside.form, "worked", None)
        if worked is not None:
            asked: Working = worked.working
            return asked
        return self._working_here()

    def _working_here(self) -> Working | None:
        from annual_planner.desktop.discrepancies.why import why_it_stands

        return why_it_stands(self.seen, self.desk.today) if self.seen is not None else None

    def _why_before(self) -> None:
        if self.seen is not None:
            self.wants_working.emit(self.seen.before.working)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Put the chosen one below the list in a narrow window; a form takes its place."""
        super().resizeEvent(event)
        self.beside.fit(self.width())

    def _to_panel(self) -> None:
        """Go on with the chosen one, wherever it stands."""
        self.panel.setFocus()
        self.tabs.scroll_to(self.panel)

    # -- choosing ------------------------------------------------------------------------------------

    def choose(self, discrepancy_id: int) -> None:
        """Choose that discrepancy, in the list of every airplane where it isn't in the one shown."""
        self.tabs.setCurrentIndex(REVIEW)
        self.review.point_to(discrepancy_id)
        self.review.ask()

    def show_all_airplanes(self) -> None:
        """Show the discrepancies of every airplane again."""
        self.review.of_aircraft = None
        self.refresh()

    def _point(self) -> None:
        discrepancy_id, owner_id = self.review.current_id, self.desk.who.person.sees_owner_id
        today = self.desk.today
        self.only.setVisible(self.review.of_aircraft is not None)
        if discrepancy_id < 0:
            self._take(None)
            return
        self.desk.jobs.read(
            lambda work: read_seen(work, discrepancy_id, owner_id, today),
            self, self._take, lambda _error: self._take(None), topic="seen",
        )  # fmt: skip

    def _take(self, seen: Seen | None) -> None:
        if seen is not None and seen.sheet.line.discrepancy_id != self.review.current_id:
            return  # it is no longer the chosen one
        self.seen = seen
        self.panel.take(seen)
        self.doings.enable(seen is not None)
        if seen is not None and self.review.of_aircraft is not None:
            self.only.setText(f"Only {seen.sheet.line.registration}  ×")
            self.only.setAccessibleName(f"Only {seen.sheet.line.registration}; press to show all airplanes")
        self.moved.emit()

    def look_at(self, photograph_id: int) -> None:
        """Show a whole photograph."""
        from annual_planner.desktop.photograph_window import open_photograph

        lines = self.seen.sheet.photographs if self.seen is not None else ()
        caption = next((each.caption for each in lines if each.photograph_id == photograph_id), "")
        open_photograph(self.desk, photograph_id, caption, self, self.failed)

    # -- forms ---------------------------------------------------------------------------------------

    def with_facts(self, use: Callable[[Facts], object]) -> None:
        """Hand over what forms offer, read anew: people and airplanes come and go."""
        desk = self.desk

        def opened(facts: Facts) -> None:
            use(facts)

        def read(_progress: object) -> Facts:
            from annual_planner.library.deferral import load_equipment

            zones = tuple((zone.key, zone.title) for zone in desk.library().zones)
            with desk.jobs.fleet.reading() as work:
                return read_facts(work, zones, load_equipment())

        desk.jobs.long(read, self, opened, self.failed, topic="facts", says="Opening the form")

    def open_form(self, form: Any) -> None:
        """Show a form in place of the sheet."""
        self.strip.put_away()
        self.tabs.setCurrentIndex(REVIEW)
        self.beside.open_form(form)

    def close_form(self) -> None:
        """Put the form away; the list has the keys again."""
        if self.beside.close_form():
            self.focus_here()


def _views(work: Work, person: str) -> tuple[KeptView, ...]:
    from annual_planner.store.kept_views import kept_views

    return kept_views(work, person, DiscrepanciesPage.place)
