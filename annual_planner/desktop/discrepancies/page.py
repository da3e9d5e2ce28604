"""The page of all discrepancies, with one of them beside the list."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cached_property
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QSplitter, QTabWidget, QVBoxLayout, QWidget

from annual_planner.desktop.desk import Desk
from annual_planner.desktop.discrepancies.choice import (
    AIRWORTHY_WORDS,
    Chosen,
    Question,
    chosen_of,
    query_as_settings,
    query_of,
)
from annual_planner.desktop.discrepancies.columns import GROUP_COLUMNS, promise_columns, review_columns
from annual_planner.desktop.discrepancies.doings import STEPS, Doings
from annual_planner.desktop.discrepancies.filter_bar import FilterBar
from annual_planner.desktop.discrepancies.seen import (
    Facts,
    Seen,
    read_facts,
    read_over_time,
    read_promises,
    read_seen,
)
from annual_planner.desktop.discrepancies.sheet import DiscrepancyPanel
from annual_planner.desktop.fields import TextField
from annual_planner.desktop.form import Form, Scrolled
from annual_planner.desktop.later import Later
from annual_planner.desktop.listing import Listing, Words
from annual_planner.desktop.page import AskWhy, Page
from annual_planner.desktop.source import FleetSource, Query
from annual_planner.desktop.widgets import button, label
from annual_planner.store.kept_views import KeptView
from annual_planner.store.review_rows import ReviewLine
from annual_planner.trade.working import Working

if TYPE_CHECKING:
    from annual_planner.desktop.discrepancies.tabs import HeldTable, OverTimeTab
    from annual_planner.records.alike import Alike
    from annual_planner.store.session import Work
    from annual_planner.trade.working import Worked

WORDS = Words(
    "discrepancies",
    "No discrepancy here",
    "What is found on the airplanes stands here until it is put right. Raise one, or show closed ones too.",
    "Raise a discrepancy",
)
OWN = Words("discrepancies", "No discrepancy on your airplanes", "What the shop finds on them stands here.")
HIDDEN = Words(
    "discrepancies",
    "Nothing matches",
    "The choices above the list hide every discrepancy.",
    "Show all of them",
)
ALIKE_PAUSE_MS = 400
REVIEW, GROUPS, OVER_TIME, PROMISES = range(4)
SHEET_LINES, FORM_LINES = 17, 25
"""Least widths of what stands beside the list, in lines of text: a form has two fields side by side."""


class DiscrepanciesPage(Page):
    """The review: list, groups, flow and promises; beside the list the chosen discrepancy."""

    place = "discrepancies"
    title = "Discrepancies"
    listens = frozenset({"discrepancy", "photograph", "view", "aircraft", "package", "person"})

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self.of_aircraft: int | None = None
        self.seen: Seen | None = None
        self.facts: Facts | None = None
        self.before: Worked[Alike] | None = None
        self.drawer: Scrolled | None = None
        self.bar = FilterBar()
        self.review = self._review_list()
        self.panel = DiscrepancyPanel(desk)
        self.only = button(
            "Only one airplane", self.show_all_airplanes, tip="Show every airplane again", chip=True
        )
        self.tabs = QTabWidget()
        self._pause = QTimer(self, singleShot=True, interval=ALIKE_PAUSE_MS)
        self._fill()
        self.doings = Doings(self)
        self.panel.offer([getattr(self.doings, name) for name in STEPS])
        self._connect()
        self.doings.enable(False)

    def _review_list(self) -> Listing[ReviewLine]:
        def ids(work: Work, query: Query) -> list[int]:
            from annual_planner.store.discrepancy_reads import review_ids

            return review_ids(work, **self.question(query))

        def rows(work: Work, wanted: Sequence[int]) -> list[ReviewLine]:
            from annual_planner.store.discrepancy_reads import review_lines

            return review_lines(work, wanted)

        source = FleetSource(self.desk.jobs, self, ids, rows, lambda line: line.discrepancy_id)
        return Listing(
            self.desk, "review", review_columns(self.desk.today), source, WORDS,
            states=tuple(AIRWORTHY_WORDS), next_step=self._next_step,
        )  # fmt: skip

    def _next_step(self) -> None:
        """Show all where the choices hide every one; else raise the first."""
        if self.bar.chosen.narrows:
            self.bar.put(Chosen(show=self.bar.chosen.show, group=self.bar.chosen.group))
            self._ask_review()
        elif self.desk.who.person.may_edit:
            self.doings.recording.start_raise()

    def _ask_review(self) -> None:
        self._say_empty()
        self.review.ask()

    def _say_empty(self) -> None:
        own = self.desk.who.person.role == "owner"
        self.review.say(HIDDEN if self.bar.chosen.narrows else OWN if own else WORDS)

    def question(self, query: Query | None = None) -> Question:
        """What is shown, as the reader of the review takes it."""
        asked = query or self.review.table.query
        owner_id = self.desk.who.person.sees_owner_id
        which = self.bar.chosen.filter(asked.search, asked.state, self.of_aircraft, owner_id)
        return {
            "which": which,
            "order": asked.order or "age",
            "descending": asked.descending,
            "then": asked.then,
            "group": self.bar.chosen.group,
        }

    def _fill(self) -> None:
        self._side = QWidget()
        self._side.setAccessibleName("Chosen discrepancy or a form")
        self._side_column = QVBoxLayout(self._side)
        self._side_column.setContentsMargins(0, 4, 0, 0)
        self._side_column.addWidget(self.panel, 1)
        left = self._left = QWidget()
        left.setAccessibleName("Review")
        column = QVBoxLayout(left)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.bar)
        column.addWidget(self.only, 0, Qt.AlignmentFlag.AlignLeft)
        column.addWidget(self.review, 1)
        self.split = QSplitter(Qt.Orientation.Horizontal)
        self.split.setChildrenCollapsible(False)
        self.split.setAccessibleName("Review and the chosen discrepancy")
        self.split.addWidget(left)
        self.split.addWidget(self._side)
        self.split.setStretchFactor(0, 4)
        self.split.setStretchFactor(1, 1)
        self.split.setSizes([810, 340])
        self._side.hide()  # until it is known how wide the place is
        self.tabs.setDocumentMode(True)
        self.tabs.tabBar().setDrawBase(False)
        self.tabs.setAccessibleName("Parts of the review")
        self.tabs.tabBar().setAccessibleName("Parts of the review")
        self.tabs.addTab(self.split, "Review")
        self.tabs.addTab(Later(lambda: self.groups, "Groups"), "Groups")
        self.tabs.addTab(Later(lambda: self.over_time, "Over time"), "Over time")
        self.tabs.addTab(Later(lambda: self.promises, "Promised days"), "Promised days")
        self.body.addWidget(self.tabs, 1)
        self.only.hide()

    @cached_property
    def groups(self) -> HeldTable:
        """Groups with their sums; one opens as the review of that group."""
        from annual_planner.desktop.discrepancies.tabs import HeldTable

        words = Words("groups", "Nothing to group", "Choose groups above the review list.")
        made = HeldTable(self.desk, "review-groups", GROUP_COLUMNS, words)
        made.opened.connect(self._open_group)
        return made

    @cached_property
    def over_time(self) -> OverTimeTab:
        """Flow and age."""
        from annual_planner.desktop.discrepancies.tabs import OverTimeTab

        return OverTimeTab(self.desk)

    @cached_property
    def promises(self) -> HeldTable:
        """Promised days and what holds them up; one opens the first of what holds it."""
        from annual_planner.desktop.discrepancies.tabs import HeldTable

        words = Words(
            "promised days", "No promised day is held up", "No open discrepancy stands in the way of one."
        )
        made = HeldTable(self.desk, "review-promises", promise_columns(self.desk.today), words)
        made.opened.connect(lambda place: self.choose(made.held.rows[place].discrepancy_ids[0]))
        return made

    def _connect(self) -> None:
        self.bar.chose.connect(self._ask_review)
        self.bar.view_chosen.connect(self._show_view)
        self.bar.wants_keep.connect(self.doings.recording.start_keep)
        self.bar.wants_forget.connect(self.doings.recording.forget)
        self.review.pointed.connect(lambda _id: self._point())
        self.review.opened.connect(lambda _id: self.panel.setFocus())
        self.review.answered.connect(self.review.choose_first)
        self.review.view.selectionModel().selectionChanged.connect(self.doings.follow)
        self.review.fill_menu = self._fill_menu
        self.panel.wants_why.connect(lambda: self.wants_working.emit(self.why()))
        self.panel.wants_before.connect(self._why_before)
        self.panel.wants_placard.connect(self.doings.copy_placard)
        self.panel.opens_photograph.connect(self.look_at)
        self.tabs.currentChanged.connect(lambda _at: self.ask())
        self._pause.timeout.connect(self._ask_alike)

    def _fill_menu(self, menu: Any, _row_id: int) -> None:
        for name in (*STEPS, "several", "airplane", "card"):
            action = getattr(self.doings, name)
            if action.isEnabled():
                menu.addAction(action)

    # -- what the window asks ------------------------------------------------------------------------

    def ask(self) -> None:
        """Ask for what the tab in front shows."""
        person, jobs, today = self.desk.who.person, self.desk.jobs, self.desk.today
        own = person.role == "owner"
        for tab in (OVER_TIME, PROMISES):
            self.tabs.setTabVisible(tab, not own)
        self.bar.keep.setVisible(person.may_edit)
        by = person.by
        jobs.read(lambda work: _views(work, by), self, self.bar.offer, self.failed, topic="views")
        front = self.tabs.currentIndex()
        if front == GROUPS:
            self._ask_groups()
        elif front == OVER_TIME:
            jobs.read(
                lambda work: read_over_time(work, today), self, self.over_time.take, self.failed, topic="flow"
            )
        elif front == PROMISES:
            jobs.read(read_promises, self, self.promises.take, self.failed, topic="promises")
        else:
            self._ask_review()
            self._point()

    def _ask_groups(self) -> None:
        asked = self.question()
        which, group = asked["which"], asked["group"]

        def read(work: Work) -> list[Any]:
            from annual_planner.store.discrepancy_reads import group_lines

            return list(group_lines(work, which, group or "registration"))

        self.desk.jobs.read(read, self, self.groups.take, self.failed, topic="groups")

    def _open_group(self, place: int) -> None:
        """Show the review of that group."""
        group, value = self.bar.chosen.group or "registration", self.groups.held.rows[place].value
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
            self.of_aircraft = int(number)
            self.stale = True
        elif kind == "all":
            self.of_aircraft = None
            self.stale = True
        elif text.isdigit():
            self.choose(int(text))
        if self.stale and self.isVisible():
            self.refresh()

    @property
    def subject(self) -> object:
        """The airplane whose list is shown, else the chosen discrepancy."""
        if self.of_aircraft is not None:
            return f"aircraft:{self.of_aircraft}"
        return str(self.review.current_id) if self.review.current_id >= 0 else None

    @property
    def aircraft_here(self) -> int | None:
        """The airplane of the chosen discrepancy."""
        line = self.review.current
        return self.of_aircraft if line is None else line.aircraft_id

    def search_here(self) -> None:
        """Search the list."""
        self.tabs.setCurrentIndex(REVIEW)
        self.review.search.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.review.search.selectAll()

    def focus_here(self) -> None:
        """The keys act on the list."""
        if self.drawer is None:
            self.review.view.setFocus(Qt.FocusReason.OtherFocusReason)

    def why(self) -> AskWhy | Working | None:
        """The working behind the form that is open, or behind the chosen discrepancy's standing."""
        form = self.drawer.widget() if self.drawer is not None else None
        worked = getattr(form, "worked", None)
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
        """Give a narrow window to the list alone, unless a form is open."""
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        wide = self.width() > self.desk.theme.sizes.of(44)
        lines = FORM_LINES if self.drawer is not None else SHEET_LINES
        self._side.setMinimumWidth(self.desk.theme.sizes.of(lines) if wide else 0)
        self._side.setVisible(wide or self.drawer is not None)
        self._left.setVisible(wide or self.drawer is None)

    # -- choosing ------------------------------------------------------------------------------------

    def choose(self, discrepancy_id: int) -> None:
        """Choose that discrepancy, in the list of every airplane where it isn't in the one shown."""
        self.tabs.setCurrentIndex(REVIEW)
        self.review.point_to(discrepancy_id)
        self.review.ask()

    def show_all_airplanes(self) -> None:
        """Show the discrepancies of every airplane again."""
        self.of_aircraft = None
        self.refresh()

    def _point(self) -> None:
        discrepancy_id, owner_id = self.review.current_id, self.desk.who.person.sees_owner_id
        today = self.desk.today
        self.only.setVisible(self.of_aircraft is not None)
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
        if seen is not None and self.of_aircraft is not None:
            self.only.setText(f"Only {seen.sheet.line.registration}  ×")
            self.only.setAccessibleName(f"Only {seen.sheet.line.registration}; press to show all airplanes")
        self.moved.emit()

    def look_at(self, photograph_id: int) -> None:
        """Show a whole photograph."""
        from annual_planner.desktop.photograph_window import open_photograph

        lines = self.seen.sheet.photographs if self.seen is not None else ()
        caption = next((each.caption for each in lines if each.photograph_id == photograph_id), "")
        open_photograph(self.desk, photograph_id, caption, self, self.failed)

    # -- views ---------------------------------------------------------------------------------------

    def view_settings(self) -> dict[str, object]:
        """What is kept of the view."""
        return {**self.bar.chosen.as_settings(), **query_as_settings(self.review.table.query)}

    def _show_view(self, view: KeptView) -> None:
        settings = view.settings
        chosen: Chosen = chosen_of(settings)
        self.bar.put(chosen)
        self._say_empty()
        self.review.show_query(query_of(settings))

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
        self.close_form()
        self.strip.put_away()
        self.tabs.setCurrentIndex(REVIEW)
        self.drawer = Scrolled(form)
        self.panel.hide()
        self._side_column.addWidget(self.drawer, 1)
        self._fit()
        form.start()

    def close_form(self) -> None:
        """Put the form away; the list has the keys again."""
        drawer, self.drawer = self.drawer, None
        self._pause.stop()
        self.before = None
        if drawer is None:
            return
        self._side_column.removeWidget(drawer)
        drawer.hide()
        drawer.deleteLater()
        self.panel.show()
        self._fit()
        self.focus_here()

    # -- found before? -------------------------------------------------------------------------------

    def watch_alike(self, form: Form) -> None:
        """While a new one is written, say whether it was found before."""
        self.like_ones = label("")
        self.like_ones.setWordWrap(True)
        self.like_why = button("Why?", self._why_alike, quiet=True)
        self.like_why.hide()
        form.add_widget(self.like_ones)
        form.add_widget(self.like_why)
        for name in ("text", "aircraft_id", "zone", "cylinder"):
            form.fields[name].edited.connect(self._pause.start)

    def _why_alike(self) -> None:
        if self.before is not None:
            self.wants_working.emit(self.before.working)

    def _ask_alike(self) -> None:
        form = self.drawer.widget() if self.drawer is not None else None
        if not isinstance(form, Form) or "aircraft_id" not in form.fields:
            return
        typed = form.fields["text"]
        text = typed.line.text() if isinstance(typed, TextField) else ""
        aircraft_id, zone, today = (
            form.fields["aircraft_id"].value(),
            form.fields["zone"].value(),
            self.desk.today,
        )
        if len(text.strip()) < 4 or aircraft_id is None:
            return

        def read(work: Work) -> Worked[Alike]:
            from annual_planner.records.alike import alike

            return alike(work, aircraft_id, zone, text, today)

        self.desk.jobs.read(read, self, self._say_alike, topic="alike")

    def _say_alike(self, before: Worked[Alike]) -> None:
        if self.drawer is not None:
            self.before = before
            self.like_ones.setText(before.value.says)
            self.like_why.setVisible(bool(before.value.lines))


def _views(work: Work, person: str) -> tuple[KeptView, ...]:
    from annual_planner.store.kept_views import kept_views

    return kept_views(work, person, DiscrepanciesPage.place)
