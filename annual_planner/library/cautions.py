"""Tables of cautions."""

from __future__ import annotations

from annual_planner.library.files import Kind
from annual_planner.library.rows import Row, Text, Word
from annual_planner.trade.cards import Caution


class CautionRow(Row):
    """One [[caution]]."""

    key: Word
    title: Text
    text: Text

    def value(self) -> Caution:
        """Give the trade's value."""
        return Caution(self.key, self.title, self.text)


CAUTIONS = Kind("cautions", "caution", CautionRow)
