"""Views of lists kept under a name, and forgotten."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from annual_planner.records.edits import Changed
from annual_planner.records.row_edits import AddRow, ChangeRow, RemoveRow, RowEdit, Subject
from annual_planner.store.kept_views import kept_views
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.store.session import Work

TABLE = "kept_view"


@dataclass(frozen=True, slots=True)
class KeepView:
    """Keep a filter, grouping and order under a name; a view of that name is written over."""

    person: str
    place: str
    name: str
    settings: Mapping[str, object]

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return f"view '{self.name}'"

    def apply(self, work: Work, today: date) -> Changed:
        """Write it down. Refused without a name."""
        if not self.name.strip():
            raise Refused("The view needs a name.", "Say what it is to be called.")
        return self._edit(work).apply(work, today)

    def _edit(self, work: Work) -> RowEdit:
        of, name = Subject("view", self.says), self.name.strip()
        settings = dict(self.settings)
        there = [view for view in kept_views(work, self.person, self.place) if view.name == name]
        if there:
            saw = {"settings": there[0].settings}
            return ChangeRow(of, TABLE, there[0].view_id, saw, {"settings": settings})
        whose = {"person": self.person, "place": self.place}
        return AddRow(of, TABLE, {**whose, "name": name, "settings": settings})


@dataclass(frozen=True, slots=True)
class ForgetView:
    """Forget a kept view."""

    view_id: int

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "forgetting a view"

    def apply(self, work: Work, today: date) -> Changed:
        """Remove it."""
        return RemoveRow(Subject("view", self.says), TABLE, self.view_id).apply(work, today)
