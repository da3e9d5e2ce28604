"""Panels beside the lists: what a move costs before it is kept, and which items are done together."""

from __future__ import annotations

from collections import Counter

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QFrame, QVBoxLayout

from annual_planner.desktop.annual.held import HeldList
from annual_planner.desktop.column_room import LAST_RESORT
from annual_planner.desktop.columns import Column
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.flow import FlowRow
from annual_planner.desktop.least_height import LeastHeight
from annual_planner.desktop.least_rows import LeastRows
from annual_planner.desktop.listing import Words
from annual_planner.desktop.weeks.columns import week_text
from annual_planner.desktop.widgets import button, label
from annual_planner.planning.shop_weeks.tried import Shift, Tried
from annual_planner.trade.bundling import Bundle, Bundled
from annual_planner.trade.working import Worked

MOST_NAMED = 8


class SidePanel(QFrame):
    """A sheet with a title, some lines of text and buttons; Escape closes it."""

    closed = Signal()
    wants_why = Signal()

    def __init__(self, name: str) -> None:
        super().__init__()
        self.setProperty("sheet", True)
        self.setAccessibleName(name)
        self.title, self.result = label("", section=True), label("")
        self.column = QVBoxLayout(self)
        self.column.setContentsMargins(14, 10, 14, 10)
        for text in (self.title, self.result):
            text.setWordWrap(True)
            self.column.addWidget(text)
        LeastHeight(self)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Escape closes."""
        if event.key() == Qt.Key.Key_Escape:
            self.closed.emit()
        else:
            super().keyPressEvent(event)


class MovePanel(SidePanel):
    """What a move costs, what speaks against it and who moves with it; then Keep or Put back."""

    kept = Signal()

    def __init__(self) -> None:
        super().__init__("What a move costs")
        self.against, self.others = label(""), label("", faint=True)
        self.keep = button("Keep", self.kept.emit, tip="Keep it there, pinned (Enter)", leading=True)
        self.back = button("Put back", self.closed.emit, tip="Leave everything as it was (Escape)")
        self.why = button("Why?", self.wants_why.emit, quiet=True, tip="The working of this price")
        for text in (self.against, self.others):
            text.setWordWrap(True)
            self.column.addWidget(text)
        row = FlowRow()
        for each in (self.keep, self.back, self.why):
            row.addWidget(each)
        self.column.addLayout(row)
        self.column.addStretch(1)

    def take(self, tried: Tried) -> None:
        """Show what it would cost."""
        self.title.setText(f"{tried.visit.title} in the week of {week_text(tried.monday)}?")
        self.result.setText(said_cost(tried))
        self.against.setText("\n".join(f"▲ {each}" for each in tried.against))
        self.against.setVisible(bool(tried.against))
        self.others.setText(said_shifts(tried.shifts))
        self.keep.setEnabled(tried.fits)
        words = (self.title, self.result, self.against, self.others)
        self.setAccessibleDescription(" ".join(each.text() for each in words if each.text()))


def said_cost(tried: Tried) -> str:
    """What a move adds to the price of the plan, in words."""
    if not tried.fits:
        return "No bay is free for it there: others are pinned to that week. Release one of them first."
    was = f"It stands in the week of {week_text(tried.was_on)}. " if tried.was_on else ""
    if tried.dearer is None:
        return f"{was}It gets a place."
    if abs(tried.dearer) < 0.5:
        return f"{was}The plan costs the same."
    return f"{was}The plan costs {abs(tried.dearer):.0f} {'more' if tried.dearer > 0 else 'less'}."


def said_shifts(shifts: tuple[Shift, ...]) -> str:
    """Who moves with it, in words."""
    if not shifts:
        return "No other airplane moves."
    lines = [f"{each.title}: {week_text(each.was_on)} → {week_text(each.now_on)}" for each in shifts]
    more = [f"and {len(lines) - MOST_NAMED} more"] if len(lines) > MOST_NAMED else []
    head = "1 other moves:" if len(lines) == 1 else f"{len(lines)} others move:"
    return "\n".join([head, *lines[:MOST_NAMED], *more])


def when_text(each: Bundled) -> str:
    """When an item is done: every visit of the plan, or 'leave'."""
    return ", ".join(visit.title for visit in each.done_at) or "leave it for later"


def sort_word(each: Bundled) -> str:
    """Into which visit an item goes first."""
    if not each.done_at:
        return "leave"
    first = each.done_at[0]
    if first.day == 0:
        return "this annual"
    return "a later annual" if first.annual else "mid-year"


TOGETHER: tuple[Column[Bundled], ...] = (
    Column("item", "Item", lambda r: r.item.title, "item", 26),
    Column("sort", "First done", sort_word, "sort", 14, aside=LAST_RESORT),
    Column("when", "All times in two years", when_text, "when", 34, aside=1),
    Column(
        "cost",
        "Work and life",
        lambda r: f"{r.work_cost:.0f}",
        "cost",
        12,
        right=True,
        by=lambda r: r.work_cost,
        aside=2,
    ),
    Column(
        "over",
        "Running out",
        lambda r: f"{r.overrun_cost:.0f}",
        "over",
        12,
        right=True,
        by=lambda r: r.overrun_cost,
        aside=3,
    ),
    Column(
        "chance",
        "Chance",
        lambda r: f"{r.chance_out:.0%}",
        "chance",
        9,
        right=True,
        by=lambda r: r.chance_out,
        aside=4,
    ),
)
SORTS = {
    "this annual": "in this annual",
    "mid-year": "in mid-year",
    "a later annual": "in a later annual",
    "leave": "left",
}


def said_bundle(bundle: Bundle) -> str:
    """The plan of least expected cost in words: its visits, its cost, and how many items go where."""
    visits = ", ".join(visit.title for visit in bundle.visits) or "annuals alone"
    counts = Counter(sort_word(each) for each in bundle.items)
    told = ", ".join(f"{counts[word]} {said}" for word, said in SORTS.items() if counts[word])
    return f"Cheapest over two years: {visits}; {bundle.total_cost:.0f} expected. First done {told}."


class TogetherPanel(SidePanel):
    """Which items of one airplane are done in this annual, in a visit in mid-year, or left."""

    def __init__(self, desk: Desk) -> None:
        super().__init__("What to do together")
        self.bundle: Worked[Bundle] | None = None
        words = Words("items", "Nothing to bundle", "Every annual does all of it.")
        self.items: HeldList[Bundled] = HeldList(desk, "weeks-together", TOGETHER, words, small=True)
        self.why = button("Why?", self.wants_why.emit, quiet=True, tip="The working of this choice")
        row = FlowRow()
        row.addWidget(self.why)
        row.addWidget(button("Close", self.closed.emit, quiet=True))
        LeastRows(self.items)
        self.column.addWidget(self.items, 1)
        self.column.addLayout(row)

    def take(self, registration: str, bundle: Worked[Bundle]) -> None:
        """Show the plan of least expected cost."""
        self.bundle = bundle
        self.title.setText(f"{registration}: what to do together")
        self.result.setText(said_bundle(bundle.value))
        self.items.take(bundle.value.items)
        self.setAccessibleDescription(f"{self.title.text()}. {self.result.text()}")
