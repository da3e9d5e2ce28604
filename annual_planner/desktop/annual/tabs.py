"""The parts of the place that only show: people and hours, owner's list, supplies, coverage, due after."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QSplitter, QVBoxLayout, QWidget

from annual_planner.desktop.annual.card_text import owner_html
from annual_planner.desktop.annual.columns import AFTER, HOURS, PARTS, SHARES, TOOLS
from annual_planner.desktop.annual.held import HeldList
from annual_planner.desktop.annual.owner_days import owner_days_html, read_owner_days
from annual_planner.desktop.annual.seen import Share, Shown, shares
from annual_planner.desktop.annual.signed_text import SignedText
from annual_planner.desktop.columns import Column
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.library_columns import group_words
from annual_planner.desktop.listing import Words
from annual_planner.desktop.split import Split
from annual_planner.desktop.widgets import button, label
from annual_planner.planning.package_view import DueAfter, HoursFor, PartNeed, ToolNeed
from annual_planner.trade.coverage import Covered

if TYPE_CHECKING:
    from annual_planner.planning.owner_days import OwnerDay

COVERED_STATES = ("covered", "not covered", "does not apply")


def under_heading(title: str, part: QWidget) -> QWidget:
    """A part with a heading over it."""
    holder = QWidget()
    holder.setAccessibleName(title)
    column = QVBoxLayout(holder)
    column.setContentsMargins(0, 8, 0, 0)
    column.setSpacing(2)
    column.addWidget(label(title, section=True))
    column.addWidget(part, 1)
    return holder


def one_below_the_other(name: str, first: QWidget, second: QWidget) -> QSplitter:
    """Two parts whose share of the room can be moved."""
    split = QSplitter(Qt.Orientation.Vertical)
    split.setAccessibleName(name)
    split.addWidget(first)
    split.addWidget(second)
    split.setChildrenCollapsible(False)
    return split


class PeopleAndHours(QWidget):
    """Hours by who must at least do the work, and by who has been given it."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self.setAccessibleName("People and hours")
        self.total = label("", section=True)
        self.hours: HeldList[HoursFor] = HeldList(
            desk,
            "annual-hours",
            HOURS,
            Words("kinds of person", "No card is in", "Take cards in first."),
            small=True,
        )
        self.shares: HeldList[Share] = HeldList(
            desk,
            "annual-shares",
            SHARES,
            Words("people", "No card is in", "Take cards in first."),
            small=True,
        )
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 8, 0, 0)
        column.addWidget(self.total)
        first = under_heading("Who must at least do it", self.hours)
        second = under_heading("Who has been given it", self.shares)
        column.addWidget(one_below_the_other("People and hours", first, second), 1)

    def take(self, shown: Shown) -> None:
        """Show a package's hours."""
        cards = shown.view.cards
        low = sum(card.hours_low for card in cards)
        likely = sum(card.hours_likely for card in cards)
        high = sum(card.hours_high for card in cards)
        self.total.setText(
            f"{len(cards)} cards: {likely:.1f} h as a rule, {low:.1f} h at best, {high:.1f} h at worst,"
            " one after the other."
        )
        self.total.setWordWrap(True)
        self.hours.take(shown.view.hours)
        self.shares.take(shares(cards))


class OwnerPrepares(QWidget):
    """The owner's days by the plan, then the list of what may be prepared, with its reasons."""

    wants_paper = Signal()
    """The list is wanted on paper."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self.desk = desk
        self.shown: Shown | None = None
        self.days: tuple[OwnerDay, ...] | None = None
        desk.jobs.changed.connect(self._changed)
        self.setAccessibleName("What the owner prepares")
        self.text = SignedText(desk, "What the owner may prepare, and what to leave alone")
        self.text.setProperty("sheet", True)
        self.setFocusProxy(self.text)
        paper = button("Print this list…", self.wants_paper.emit, tip="See the preparation list on paper")
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 8, 0, 0)
        column.addWidget(paper, 0, Qt.AlignmentFlag.AlignLeft)
        column.addWidget(self.text, 1)

    def take(self, shown: Shown) -> None:
        """Show a package's list, and the owner's days once they are read."""
        same = self.shown is not None and self.shown.view.package.package_id == shown.view.package.package_id
        self.shown, self.days = shown, self.days if same else None
        self._show()
        self._ask()

    def _changed(self, kinds: frozenset[str]) -> None:
        if "layout" in kinds:
            self._ask()

    def _ask(self) -> None:
        shown, desk = self.shown, self.desk
        if shown is not None:
            desk.jobs.read(lambda work: read_owner_days(work, shown, desk.library()), self, self._take_days)

    def _take_days(self, days: tuple[OwnerDay, ...] | None) -> None:
        if days != self.days:
            self.days = days
            self._show()

    def _show(self) -> None:
        shown, days = self.shown, self.days
        if shown is not None:
            self.text.show_text(
                lambda inks: "".join((*owner_days_html(days, inks), *owner_html(shown, inks)))
            )


class Supplies(QWidget):
    """Parts and tools over all cards that are in."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self.setAccessibleName("Parts and tools")
        self.parts: HeldList[PartNeed] = HeldList(
            desk,
            "annual-parts",
            PARTS,
            Words("parts", "No parts are needed", "No card that is in names a part."),
        )
        self.tools: HeldList[ToolNeed] = HeldList(
            desk,
            "annual-tools",
            TOOLS,
            Words("tools", "No tools are needed", "No card that is in names a tool."),
        )
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        first, second = under_heading("Parts", self.parts), under_heading("Tools", self.tools)
        split = Split(desk.theme, "Parts and tools", first, second, beside=40)
        split.share(6, 4)
        column.addWidget(split)

    def take(self, shown: Shown) -> None:
        """Show what a package needs."""
        self.parts.take(shown.view.parts)
        self.tools.take(shown.view.tools)


def covered_state(item: Covered) -> str:
    """How an item of the scope stands, in one word of standing."""
    if item.cards:
        return "covered"
    return "does not apply" if item.not_applicable else "not covered"


class Coverage(QWidget):
    """Each item of the scope of an annual, and the cards that look at it."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self.setAccessibleName("Coverage")
        self._numbers: dict[str, str] = {}
        columns: tuple[Column[Covered], ...] = (
            Column("state", "Covered", covered_state, sort="state", width=15, sign=covered_state),
            Column("ref", "Paragraph", lambda r: r.item.ref, sort="ref", width=20, aside=3),
            Column("subject", "What is looked at", lambda r: r.item.subject, sort="subject", width=36),
            Column("cards", "By card", self._by, sort="cards", width=36, aside=5),
            Column(
                "look_for",
                "Look for",
                lambda r: ", ".join(r.item.look_for),
                sort="look_for",
                width=36,
                aside=1,
            ),
            Column("group", "Group", lambda r: group_words(r.item.group), sort="group", width=20, aside=2),
            Column(
                "why_not",
                "Why it doesn't apply",
                lambda r: r.not_applicable,
                sort="why_not",
                width=40,
                aside=4,
            ),
        )
        self.listing: HeldList[Covered] = HeldList(
            desk,
            "annual-coverage",
            columns,
            Words("items", "Nothing to compare with", "The scope of an annual is part of the library."),
            states=COVERED_STATES,
            state_of=covered_state,
        )
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 4, 0, 0)
        self.said = label("", faint=True)
        self.said.setWordWrap(True)
        column.addWidget(self.said)
        column.addWidget(self.listing, 1)

    def _by(self, item: Covered) -> str:
        return ", ".join(self._numbers.get(key, key) for key in item.cards)

    def take(self, shown: Shown) -> None:
        """Show a package's coverage."""
        self._numbers = {card.key: f"{card.number} {card.title}" for card in shown.every_card}
        every = shown.view.coverage
        missing = sum(not item.met for item in every)
        self.said.setText(
            "Scope and detail of Appendix D to 14 CFR Part 43, and the engine run of 43.15(c)(2). "
            + (
                f"{missing} of {len(every)} items are looked at by no card."
                if missing
                else f"Every one of {len(every)} items is looked at or doesn't apply to this airplane."
            )
        )
        self.listing.take(every)


class After(QWidget):
    """When everything is next due, if what is decided is done."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self.setAccessibleName("Due after")
        self.said = label("", faint=True)
        self.said.setWordWrap(True)
        self.listing: HeldList[DueAfter] = HeldList(
            desk,
            "annual-after",
            AFTER,
            Words("requirements", "Nothing is due afterwards", "No requirement is known."),
        )
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 4, 0, 0)
        column.addWidget(self.said)
        column.addWidget(self.listing, 1)

    def take(self, shown: Shown) -> None:
        """Show a package's dues afterwards."""
        day = shown.view.package.start_on
        self.said.setText(
            f"As if everything decided were done on {day.day} {day:%B %Y}, at the hours expected then."
            " The records decide once it is done."
        )
        self.listing.take(shown.view.due_after)
