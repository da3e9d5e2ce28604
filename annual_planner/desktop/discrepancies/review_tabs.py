"""The tabs of the place: the review, its groups with their sums, flow and age, the promised days."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QPoint, Signal
from PySide6.QtWidgets import QTabWidget, QWidget

from annual_planner.desktop.desk import Desk
from annual_planner.desktop.discrepancies.choice import Question
from annual_planner.desktop.discrepancies.columns import GROUP_COLUMNS, promise_columns
from annual_planner.desktop.discrepancies.seen import read_over_time, read_promises
from annual_planner.desktop.form import Scrolled
from annual_planner.desktop.jobs import Failed
from annual_planner.desktop.later import Later
from annual_planner.desktop.least_rows import keep_rows
from annual_planner.desktop.listing import Words

if TYPE_CHECKING:
    from annual_planner.desktop.discrepancies.tabs import HeldTable, OverTimeTab
    from annual_planner.store.session import Work

REVIEW, GROUPS, OVER_TIME, PROMISES = range(4)


class ReviewTabs(QTabWidget):
    """The review is given; what else is said of all discrepancies is made when it is first looked at."""

    opens_group = Signal(str)
    """The review of that group is wanted: its value, such as a registration."""
    opens_discrepancy = Signal(int)

    def __init__(self, desk: Desk, review: QWidget) -> None:
        super().__init__()
        self._desk = desk
        self.setDocumentMode(True)
        self.tabBar().setDrawBase(False)
        self.setAccessibleName("Parts of the review")
        self.tabBar().setAccessibleName("Parts of the review")
        keep_rows(review)
        self._add(review, "Review")
        self._add(Later(lambda: self.groups, "Groups"), "Groups")
        self._add(Later(lambda: self.over_time, "Over time"), "Over time")
        self._add(Later(lambda: self.promises, "Promised days"), "Promised days")

    def _add(self, part: QWidget, words: str) -> None:
        part.setObjectName("scrolled")
        self.addTab(Scrolled(part), words)

    def scroll_to(self, inner: QWidget) -> None:
        """Bring the top of something on the tab in front into sight."""
        shown = self.currentWidget()
        part = shown.widget() if isinstance(shown, Scrolled) else None
        if isinstance(shown, Scrolled) and part is not None and part.isAncestorOf(inner):
            shown.verticalScrollBar().setValue(inner.mapTo(part, QPoint(0, 0)).y())

    @cached_property
    def groups(self) -> HeldTable:
        """Groups with their sums; one opens as the review of that group."""
        from annual_planner.desktop.discrepancies.tabs import HeldTable

        words = Words("groups", "Nothing to group", "Choose groups above the review list.")
        made = HeldTable(self._desk, "review-groups", GROUP_COLUMNS, words)
        keep_rows(made)
        made.opened.connect(lambda place: self.opens_group.emit(made.held.rows[place].value))
        return made

    @cached_property
    def over_time(self) -> OverTimeTab:
        """Flow and age."""
        from annual_planner.desktop.discrepancies.tabs import OverTimeTab

        return OverTimeTab(self._desk)

    @cached_property
    def promises(self) -> HeldTable:
        """Promised days and what holds them up; one opens the first of what holds it."""
        from annual_planner.desktop.discrepancies.tabs import HeldTable

        words = Words(
            "promised days", "No promised day is held up", "No open discrepancy stands in the way of one."
        )
        made = HeldTable(self._desk, "review-promises", promise_columns(self._desk.today), words)
        keep_rows(made)
        made.opened.connect(
            lambda place: self.opens_discrepancy.emit(made.held.rows[place].discrepancy_ids[0])
        )
        return made

    def follow_person(self) -> None:
        """Show an owner only what is theirs: not what is said of the whole shop."""
        own = self._desk.who.person.role == "owner"
        for tab in (OVER_TIME, PROMISES):
            self.setTabVisible(tab, not own)

    def ask(self, shown: Question, failed: Failed) -> None:
        """Ask for the tab in front, where it isn't the review; `shown`: what the review shows."""
        jobs, today = self._desk.jobs, self._desk.today
        front = self.currentIndex()
        if front == GROUPS:
            jobs.read(lambda work: _groups(work, shown), self, self.groups.take, failed, topic="groups")
        elif front == OVER_TIME:
            jobs.read(
                lambda work: read_over_time(work, today), self, self.over_time.take, failed, topic="flow"
            )
        elif front == PROMISES:
            jobs.read(read_promises, self, self.promises.take, failed, topic="promises")


def _groups(work: Work, shown: Question) -> list[Any]:
    from annual_planner.store.discrepancy_reads import group_lines

    return list(group_lines(work, shown["which"], shown["group"] or "registration"))
