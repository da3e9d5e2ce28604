"""Tables of what an annual must look at: Appendix D to Part 43 and the engine run of 43.15(c)(2)."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field, StringConstraints

from annual_planner.library.files import Kind
from annual_planner.library.rows import Row, Text, Texts, Words
from annual_planner.trade.cards import InspectionItem


class ItemRow(Row):
    """One [[item]]."""

    key: Annotated[str, StringConstraints(pattern=r"^(D-[a-j](-(\d+|open|clean))?|R-\d)$")]
    ref: Text
    group: Text
    subject: Text
    look_for: Annotated[Texts, Field(min_length=1)]
    applies_to: Words = ()
    never_because: str = ""

    def value(self) -> InspectionItem:
        """Give the trade's value."""
        return InspectionItem(
            self.key, self.ref, self.group, self.subject, self.look_for, self.applies_to, self.never_because
        )


ITEMS = Kind("inspection", "item", ItemRow)
