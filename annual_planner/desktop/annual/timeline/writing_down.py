"""What is written down beside a plan: a promise, somebody away, awaited parts."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from annual_planner.desktop.annual.timeline.forms import part_form, promise_form, sick_form
from annual_planner.planning.work_plan import Promise
from annual_planner.records.edits import Edit

if TYPE_CHECKING:
    from annual_planner.desktop.annual.timeline.tab import Timeline


class WritingDown(QObject):
    """Opens the forms above the plan and writes what they ask for."""

    def __init__(self, tab: Timeline) -> None:
        super().__init__(tab)
        self.tab = tab

    def promise(self) -> None:
        """Promise the owner a date; the likely one is proposed."""
        tab = self.tab
        seen, found = tab.seen, tab.chances.likely
        if seen is None:
            return
        likely = found.value.nobody_replans.p80.date() if found is not None else None

        def done(on: object) -> Edit:
            return Promise(seen.package_id, seen.promised_on, on)  # type: ignore[arg-type]  # the field reads dates

        tab.page.open_form(promise_form(tab.page, seen.promised_on or likely, done))

    def somebody_away(self) -> None:
        """Write down who is away, then lay out anew."""
        if self.tab.seen is not None:
            self.tab.page.open_form(sick_form(self.tab.page, self._workers()))

    def _workers(self) -> dict[str, str]:
        """People who can have work on this airplane; everybody where that isn't known."""
        seen = self.tab.seen
        if seen is None or seen.asked is None:
            return seen.names if seen is not None else {}
        return {person.key: person.name for person in seen.asked.problem.people}

    def add_part(self) -> None:
        """Write down a part that is awaited."""
        if self.tab.seen is not None:
            self.tab.page.open_form(part_form(self.tab.page, self.tab.seen.package_id))

    def part_is_here(self) -> None:
        """Write down that the chosen part has come."""
        from annual_planner.records.awaited_parts import ChangePart

        tab, part = self.tab, self.tab.lists.parts.current
        if part is None:
            tab.page.strip.say("No part is chosen.", "Choose it in the list of awaited parts.")
            return
        saw, wants = {"arrived_on": part.arrived_on}, {"arrived_on": tab.desk.today}
        tab.write(ChangePart(part.part_id, saw, wants))
