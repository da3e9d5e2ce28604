"""What can be done in the place Shop weeks."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtGui import QAction

from annual_planner.desktop.page_doings import PageAction, PageDoings
from annual_planner.desktop.weeks.forms import days_form, removal, week_form
from annual_planner.desktop.weeks.out import WeeksOut

if TYPE_CHECKING:
    from annual_planner.desktop.weeks.page import WeeksPage
    from annual_planner.planning.shop_weeks.kept import VisitLine


class Doings(PageDoings):
    """Actions of the page. Each edit goes through the one writer and can be taken back."""

    propose: QAction
    cancel: QAction
    move: QAction
    pin: QAction
    release: QAction
    together: QAction
    annual: QAction
    airplane: QAction
    days: QAction
    change_days: QAction
    remove_days: QAction
    paper: QAction
    export: QAction

    def __init__(self, page: WeeksPage) -> None:
        super().__init__(page, ACTIONS)
        self.page = page
        self.out = WeeksOut(page)

    @property
    def line(self) -> VisitLine | None:
        """The chosen visit."""
        return self.page.line if self.on else None

    @property
    def has_week(self) -> bool:
        """The chosen visit has a week."""
        return self.line is not None and self.line.week_on is not None

    @property
    def days_written(self) -> bool:
        """Chosen are days that somebody wrote down, which a public holiday isn't."""
        wish = self.page.lists.wish
        return wish is not None and wish.row_id is not None

    @property
    def wish_of_airplane(self) -> bool:
        """The chosen days are an airplane's, not the whole shop's."""
        wish = self.page.lists.wish
        return wish is not None and wish.aircraft_id is not None

    @property
    def planned(self) -> bool:
        """There is a plan to put on paper."""
        shown = self.page.shown
        return self.on and shown is not None and shown.put is not None and bool(shown.lanes.bars)

    def start_move(self) -> None:
        """Ask for another week."""
        if self.line is not None:
            self.page.open_form(week_form(self.page, self.line))

    def hold(self) -> None:
        """Pin the chosen visit where it stands, or keep the move that is shown."""
        if self.page.moving.tried is not None:
            self.page.moving.keep()
        elif self.line is not None:
            self.page.moving.pin(self.line)

    def let_go(self) -> None:
        """Release the chosen visit."""
        if self.line is not None:
            self.page.moving.release(self.line)

    def to_annual(self) -> None:
        """Go to the airplane's annual, or plan it."""
        seen, line = self.page.seen, self.line
        if seen is not None and line is not None:
            package_id = seen.open_packages.get(line.key)
            self.page.goes.emit("annual", f"plan:{line.key}" if package_id is None else package_id)

    def to_airplane(self) -> None:
        """Go to the airplane."""
        if self.line is not None:
            self.page.goes.emit("aircraft", self.line.key)

    def start_days(self) -> None:
        """Ask for wished or blocked days."""
        self.page.open_form(days_form(self.page, self.page.aircraft_here, None))

    def start_change_days(self) -> None:
        """Ask for other days."""
        wish = self.page.lists.wish
        if wish is not None and wish.aircraft_id is not None:
            self.page.open_form(days_form(self.page, wish.aircraft_id, wish))

    def take_days_away(self) -> None:
        """Take the chosen days away."""
        wish = self.page.lists.wish
        if wish is not None and self.days_written:
            self.page.desk.jobs.write(removal(wish), self.page, None, self.page.failed)


ACTIONS: tuple[PageAction[Doings], ...] = (
    PageAction(
        "propose",
        "&Propose the weeks",
        lambda doings: doings.page.proposing.start(),
        "Place every annual in a week and a bay; what is pinned stays",
        "Ctrl+L",
        button=True,
        leading=True,
        edits=True,
        when=lambda doings: not doings.page.proposing.running,
    ),
    PageAction(
        "cancel",
        "&Cancel the search",
        lambda doings: doings.page.proposing.cancel(),
        "Give the search up; the last good plan stays",
        "Ctrl+Shift+L",
        edits=True,
        when=lambda doings: doings.page.proposing.running,
    ),
    PageAction(
        "move",
        "&Another week…",
        Doings.start_move,
        "Try the chosen visit in another week and see what it costs",
        "F2",
        "edit",
        edits=True,
        when=lambda doings: doings.line is not None,
    ),
    PageAction(
        "pin",
        "P&in it there",
        Doings.hold,
        "Hold the chosen visit in its week, or keep the move that is shown",
        "Ctrl+I",
        edits=True,
        when=lambda doings: doings.has_week,
    ),
    PageAction(
        "release",
        "Re&lease it",
        Doings.let_go,
        "Let a new plan put the chosen visit elsewhere",
        "Ctrl+Shift+I",
        edits=True,
        when=lambda doings: doings.line is not None and doings.line.pinned,
    ),
    PageAction(
        "days",
        "Blocked &days…",
        Doings.start_days,
        "Write down what an owner wishes for or can't spare, or when the shop is closed",
        "Ctrl+D",
        "add",
        button=True,
        edits=True,
        when=lambda doings: doings.page.seen is not None,
    ),
    PageAction(
        "change_days",
        "C&hange the chosen days…",
        Doings.start_change_days,
        "Other days or words for the chosen wish",
        "Ctrl+E",
        edits=True,
        when=lambda doings: doings.wish_of_airplane,
    ),
    PageAction(
        "remove_days",
        "Ta&ke the chosen days away",
        Doings.take_days_away,
        "Take the chosen wish, or blocked days, away; Undo brings them back",
        "Ctrl+Shift+D",
        edits=True,
        when=lambda doings: doings.days_written,
    ),
    PageAction(
        "together",
        "Do &together",
        lambda doings: doings.page.show_together(),
        "Which items to do in this annual, in mid-year, or to leave",
        "Ctrl+B",
        when=lambda doings: doings.line is not None,
    ),
    PageAction(
        "annual",
        "Open its a&nnual",
        Doings.to_annual,
        "Go to the annual that is planned for it, or plan one",
        "Ctrl+Shift+O",
        "annual",
        when=lambda doings: doings.line is not None,
    ),
    PageAction(
        "airplane",
        "&Open the airplane",
        Doings.to_airplane,
        "Go to its airplane",
        "Ctrl+Return",
        "aircraft",
        when=lambda doings: doings.line is not None,
    ),
    PageAction(
        "paper",
        "P&rint…",
        lambda doings: doings.out.print_weeks(),
        "Print the weeks",
        "Ctrl+P",
        "print",
        button=True,
        when=lambda doings: doings.planned,
    ),
    PageAction(
        "export",
        "&Save the weeks…",
        lambda doings: doings.out.export(),
        "The weeks as a PDF, or the visits as a spreadsheet",
        "Ctrl+Shift+S",
        "save",
        when=lambda doings: doings.planned,
    ),
)
