"""Several of the trade's edits as one: all of them or none, and one way back."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from annual_planner.records.edits import Changed, Edit
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.store.session import Work


@dataclass(frozen=True, slots=True)
class InTurn:
    """Edits applied one after the other within one transaction."""

    says: str
    edits: tuple[Edit, ...]
    where: tuple[str, ...] = ()
    """Where each came from, such as 'page 3, card 7 done', said when it is refused."""
    aircraft_id: int | None = None

    def apply(self, work: Work, today: date) -> Changed:
        """Apply all. Refused, with where it came from, when one is; nothing is written then."""
        kinds: set[str] = set()
        backs: list[Edit] = []
        for number, edit in enumerate(self.edits):
            changed = self._one(work, today, number, edit)
            kinds |= changed.kinds
            backs += [changed.back] if changed.back is not None else []
        back = InTurn(self.says, tuple(reversed(backs)), aircraft_id=self.aircraft_id)
        whole = len(backs) == len(self.edits)
        return Changed(frozenset(kinds), back if whole else None, self.aircraft_id)

    def _one(self, work: Work, today: date, number: int, edit: Edit) -> Changed:
        try:
            return edit.apply(work, today)
        except Refused as refused:
            if number >= len(self.where):
                raise
            raise Refused(f"{self.where[number]}: {refused.said}", refused.remedy) from refused
