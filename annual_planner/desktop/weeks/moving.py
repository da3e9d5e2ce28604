"""Moving a visit: first what it costs, then Keep or Put back; and pins."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from annual_planner.desktop.weeks.columns import week_text
from annual_planner.planning.shop_weeks.stored import KeepWeeks
from annual_planner.planning.shop_weeks.tried import Tried, try_move
from annual_planner.planning.shop_weeks.visits import WeeksAsked, WeeksPlan

if TYPE_CHECKING:
    from annual_planner.desktop.weeks.page import WeeksPage
    from annual_planner.planning.shop_weeks.kept import VisitLine


def keep_of(
    asked: WeeksAsked, plan: WeeksPlan, *pins: int, called: str = "plan of the shop's weeks"
) -> KeepWeeks:
    """The edit that keeps a plan of these weeks."""
    mondays = tuple(week.monday for week in asked.weeks)
    return KeepWeeks(mondays[0], mondays[-1], plan.placed, mondays, frozenset(pins), called)


class Moving(QObject):
    """One move at a time, on its way from asked to kept."""

    def __init__(self, page: WeeksPage) -> None:
        super().__init__(page)
        self._page = page
        self.tried: Tried | None = None

    def ask(self, key: int, monday: date) -> None:
        """Work out what a move costs; asked a second time for the same week, keep it."""
        page = self._page
        shown = page.shown
        line = shown.line(key) if shown is not None else None
        if shown is None or line is None:
            return
        if shown.put is None:
            page.say_fault()
        elif self.tried is not None and (self.tried.visit.key, self.tried.monday) == (key, monday):
            self.keep()
        elif monday == line.week_on and line.placed.first_on is not None:
            self.put_back()
            self.pin(line)
        elif monday not in shown.put.asked.monday_index():
            first, last = shown.put.asked.weeks[0].monday, shown.put.asked.weeks[-1].monday
            said = f"The week of {week_text(monday)} isn't planned here."
            page.strip.say(said, f"Choose one from {week_text(first)} to {week_text(last)}.")
        elif not (week := shown.put.asked.weeks[shown.put.asked.monday_index()[monday]]).open_days:
            said = f"The shop is closed in the week of {week_text(monday)}{week.why_closed}."
            page.strip.say(said, "Choose another week.")
        else:
            page.strip.put_away()
            asked, plan = shown.put.asked, shown.put.plan
            page.desk.jobs.long(
                lambda _progress: try_move(asked, plan, key, monday),
                self, self._show, self._failed, topic="move", says="Working out the move",
            )  # fmt: skip

    def _show(self, tried: Tried) -> None:
        self.tried = tried
        self._page.show_move(tried)
        self._page.announce(self._page.beside.move_panel.accessibleDescription())

    def _failed(self, error: Exception) -> None:
        self.put_back()
        self._page.failed(error)

    def keep(self) -> None:
        """Keep the move, pinned; one Undo takes all of it back."""
        tried, shown = self.tried, self._page.shown
        if tried is None or shown is None or shown.put is None or not tried.fits:
            return
        called = f"move of {tried.visit.title} to {week_text(tried.monday)}"
        edit = keep_of(shown.put.asked, tried.plan, tried.visit.key, called=called)
        self.put_back()
        said = f"{tried.visit.title} is pinned to the week of {week_text(tried.monday)}. Undo takes it back."
        page = self._page
        page.desk.jobs.write(edit, page, lambda _changed: page.tell(said), page.failed)

    def put_back(self) -> None:
        """Forget the move; everything is where it was."""
        self.tried = None
        self._page.hide_move()

    def pin(self, line: VisitLine) -> None:
        """Hold a visit in the week where it stands."""
        self._set_pin(line, pinned=True)

    def release(self, line: VisitLine) -> None:
        """Let a new plan put the visit elsewhere."""
        self._set_pin(line, pinned=False)

    def _set_pin(self, line: VisitLine, *, pinned: bool) -> None:
        from annual_planner.records.visits import ChangeVisit

        page = self._page
        row = page.seen.kept.get(line.key) if page.seen is not None else None
        if row is None or row.pinned == pinned:
            return
        said = (
            f"{line.registration} is pinned to its week: a new plan leaves it there."
            if pinned
            else f"{line.registration} is released: a new plan may put it elsewhere."
        )
        edit = ChangeVisit(row.visit_id, {"pinned": not pinned}, {"pinned": pinned})
        page.desk.jobs.write(edit, page, lambda _changed: page.tell(said), page.failed)
