"""What is written down beside a plan: a promise, somebody away, awaited parts; and the plan that follows."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from annual_planner.desktop.annual.timeline.forms import part_day_form, part_form, promise_form, sick_form
from annual_planner.desktop.form import Form
from annual_planner.planning.work_plan import Promise
from annual_planner.records.edits import Edit
from annual_planner.store.shop_reads import PartAwaited

if TYPE_CHECKING:
    from annual_planner.desktop.annual.timeline.chances import Chances
    from annual_planner.desktop.annual.timeline.tab import Timeline


class WritingDown(QObject):
    """Opens the forms above the plan and writes what they ask for; then the work is laid out again."""

    def __init__(self, tab: Timeline) -> None:
        super().__init__(tab)
        self.tab = tab
        self._promises = False
        """A promise waits for the likely date to be drawn."""

    def follow(self, chances: Chances) -> None:
        """Go on with a promise once the likely date is known, or can't be."""
        chances.found.connect(self._go_on)
        chances.outdated.connect(self._go_on)

    def forget(self) -> None:
        """Another package is shown."""
        self._promises = False

    def _go_on(self) -> None:
        if self._promises:
            self.promise()

    def _open(self, form: Form) -> None:
        self.tab.pinning.put_back()
        self.tab.page.open_form(form)

    def _replan(self) -> None:
        """Lay out again once what was written is read; not where nothing was laid out yet."""
        tab = self.tab
        if tab.seen is not None and tab.seen.kept is not None:
            tab.when_read(tab.replanning.lay_out, anew=True)

    @property
    def awaited(self) -> tuple[PartAwaited, ...]:
        """Parts that have not come."""
        seen = self.tab.seen
        return tuple(part for part in seen.parts if part.arrived_on is None) if seen is not None else ()

    def promise(self) -> None:
        """Promise the owner a date; the likely one is proposed."""
        tab = self.tab
        seen, found = tab.seen, tab.chances.likely
        self._promises = tab.chances.drawing
        if seen is None or self._promises:
            return
        likely = found.value.nobody_replans.p80.date() if found is not None else None

        def edit_of(on: date | None) -> Edit:
            return Promise(seen.package_id, seen.promised_on, on)

        self._open(promise_form(tab.page, likely or seen.promised_on, edit_of))

    def somebody_away(self) -> None:
        """Write down who is away, then lay out again."""
        if self.tab.seen is not None:
            self._open(sick_form(self.tab.page, self._workers(), self._replan))

    def _workers(self) -> dict[str, str]:
        """People who can have work on this airplane; everybody where that isn't known."""
        seen = self.tab.seen
        if seen is None or seen.asked is None:
            return seen.names if seen is not None else {}
        return {person.key: person.name for person in seen.asked.problem.people}

    def add_part(self) -> None:
        """Write down a part that is awaited."""
        if self.tab.seen is not None:
            self._open(part_form(self.tab.page, self.tab.seen.package_id))

    def change_part_day(self) -> None:
        """Write another day for an awaited part, then lay out again."""
        parts, chosen = self.awaited, self.tab.lists.parts.current
        if not parts:
            self.tab.page.strip.say("No part is awaited.", "Add what is ordered, with its day.")
            return
        self._open(part_day_form(self.tab.page, parts, chosen, self._replan))

    def part_is_here(self) -> None:
        """Write down that the chosen part has come; where one alone is awaited, that one."""
        from annual_planner.records.awaited_parts import ChangePart

        tab, parts = self.tab, self.awaited
        part = parts[0] if len(parts) == 1 else tab.lists.parts.current
        if part is None or part not in parts:
            tab.lists.show_parts()
            tab.page.strip.say("No awaited part is chosen.", "Choose it in the list of awaited parts.")
            return
        tab.write(ChangePart(part.part_id, {"arrived_on": None}, {"arrived_on": tab.desk.today}))
