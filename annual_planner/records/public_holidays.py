"""The country, and the part of it, whose public holidays the shop keeps."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from annual_planner.records.edits import Changed
from annual_planner.records.row_edits import AddRow, ChangeRow, RowEdit, Subject
from annual_planner.store.refusals import ChangedMeanwhile
from annual_planner.store.writing import rows_where
from annual_planner.trade.shop_floor import HolidaysOf

if TYPE_CHECKING:
    from annual_planner.store.session import Work

TABLE = "public_holidays"
ROW_ID = 1
"""The table has this row or none, so that two benches can't choose two countries."""


@dataclass(frozen=True, slots=True)
class SetPublicHolidays:
    """Keep the public holidays of another country, or of none; `saw` is the choice that was shown."""

    saw: HolidaysOf
    wants: HolidaysOf

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return f"choice of public holidays ({self.wants.said})"

    def apply(self, work: Work, today: date) -> Changed:
        """Write it down. Refused where no holidays are known, ChangedMeanwhile as every change."""
        from annual_planner.library.public_holidays import check_known

        check_known(self.wants)
        return self._row(work).apply(work, today)

    def _row(self, work: Work) -> RowEdit:
        of, saw, wants = Subject("calendar", self.says), _values(self.saw), _values(self.wants)
        if rows_where(work, TABLE):
            return ChangeRow(of, TABLE, ROW_ID, saw, wants)
        if self.saw != HolidaysOf():
            raise ChangedMeanwhile(self.says)
        return AddRow(of, TABLE, {"id": ROW_ID, **wants})


def _values(of: HolidaysOf) -> dict[str, object]:
    return {"country": of.country, "subdivision": of.subdivision}
