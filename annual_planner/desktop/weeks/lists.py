"""The lists below the drawing: they say the same, and what it can't."""

from __future__ import annotations

from annual_planner.desktop.annual.held import HeldList
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.listing import Words
from annual_planner.desktop.parts import Parts
from annual_planner.desktop.weeks.columns import LEFT_OUT, LOADS, VISITS, WISHES
from annual_planner.desktop.weeks.seen import LeftOut, Seen, Shown, WishLine
from annual_planner.planning.shop_weeks.kept import STANDINGS, VisitLine
from annual_planner.planning.shop_weeks.lanes import LoadLine


class Lists(Parts):
    """Visits, load of the weeks, wished and blocked days, and who isn't in these weeks."""

    def __init__(self, desk: Desk) -> None:
        super().__init__("The weeks as lists")
        self.visits: HeldList[VisitLine] = HeldList(
            desk,
            "weeks-visits",
            VISITS,
            Words("visits", "No annual in these weeks", "None comes due in the coming twelve months."),
            states=STANDINGS,
            state_of=lambda line: line.standing,
        )
        self.loads: HeldList[LoadLine] = HeldList(
            desk,
            "weeks-loads",
            LOADS,
            Words("weeks", "No week is planned", "Write down hours and bays first."),
        )
        self.wishes: HeldList[WishLine] = HeldList(
            desk,
            "weeks-wishes",
            WISHES,
            Words(
                "days", "Nobody wishes for anything", "Days that owners wish for or can't spare stand here."
            ),
        )
        self.left_out: HeldList[LeftOut] = HeldList(
            desk,
            "weeks-left",
            LEFT_OUT,
            Words("airplanes", "Every airplane is in these weeks", "None was left out."),
        )
        named = (
            (self.visits, "Visits"),
            (self.loads, "Load of the weeks"),
            (self.wishes, "Wished and blocked days"),
            (self.left_out, "Not in these weeks"),
        )
        for part, words in named:
            self.add(part, words)

    def take(self, seen: Seen) -> None:
        """Show what was read; what can't be planned anew leaves the lists of the plan as they were."""
        self.wishes.take(seen.wishes)
        if seen.found is not None:
            self.left_out.take(seen.found.left_out)
            many = f" ({len(seen.found.left_out)})" if seen.found.left_out else ""
            words = f"Not in these weeks{many}"
            self.setTabText(self.place_of(self.left_out), words)

    def take_plan(self, shown: Shown, chosen: int | None) -> None:
        """Show a plan; the chosen visit stays chosen."""
        places = [place for place, line in enumerate(shown.lines) if line.key == chosen]
        if places:
            self.visits.point_next(places[0])
        self.visits.take(shown.lines)
        self.loads.take(shown.lanes.loads)

    def choose(self, key: int) -> None:
        """Choose that airplane's visit, where the filters show it."""
        for place, line in enumerate(self.visits.held.rows):
            if line.key == key:
                self.visits.view.point_to(place)

    @property
    def wish(self) -> WishLine | None:
        """The chosen wished or blocked days, while their list is in front."""
        place, rows = self.wishes.current_id, self.wishes.held.rows
        return rows[place] if self.part is self.wishes and 0 <= place < len(rows) else None

    def line_at(self, place: int) -> VisitLine | None:
        """The visit in that place of what is held."""
        rows = self.visits.held.rows
        return rows[place] if 0 <= place < len(rows) else None
