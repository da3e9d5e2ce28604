"""The tabs about all discrepancies: groups with their sums, flow and age, and the promises held up."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from PySide6.QtWidgets import QVBoxLayout, QWidget

from annual_planner.desktop.columns import Column
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.discrepancies.columns import AGE_COLUMNS, FLOW_COLUMNS
from annual_planner.desktop.discrepancies.flow_chart import FlowChart
from annual_planner.desktop.discrepancies.seen import OverTime
from annual_planner.desktop.least_height import LeastHeight
from annual_planner.desktop.least_rows import LeastRows
from annual_planner.desktop.listing import Listing, Words
from annual_planner.desktop.source import HeldSource
from annual_planner.desktop.split import Split
from annual_planner.desktop.widgets import label

BESIDE_LINES = 46
"""From that width, in lines of text, the numbers stand beside the chart."""


class HeldTable(Listing[Any]):
    """A list of some rows held in memory."""

    def __init__(
        self, desk: Desk, kept_as: str, columns: Sequence[Column[Any]], words: Words, *, small: bool = False
    ) -> None:
        """`small`: a handful, that needs no search field."""
        self.held: HeldSource[Any] = HeldSource(columns)
        super().__init__(desk, kept_as, columns, self.held, words)
        if small:
            self.search.hide()
            self.count.hide()

    def take(self, rows: Sequence[Any]) -> None:
        """Show these rows."""
        self.held.rows = list(rows)
        self.ask()


class OverTimeTab(QWidget):
    """The chart, the same as a table, and how old the open ones are."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self.setAccessibleName("Over time")
        self.chart = FlowChart(desk.theme)
        self.months = HeldTable(
            desk, "review-flow", FLOW_COLUMNS, Words("months", "No month yet", "Nothing was found yet.")
        )
        self.ages = HeldTable(
            desk, "review-ages", AGE_COLUMNS, Words("ages", "Nothing is open", "Nothing is open now."),
            small=True,
        )  # fmt: skip
        numbers = QWidget()
        numbers.setAccessibleName("Month by month, and how old the open ones are")
        tables = QVBoxLayout(numbers)
        tables.setContentsMargins(8, 0, 0, 0)
        how_long = label("How long the open ones have been open", section=True)
        how_long.setWordWrap(True)
        tables.addWidget(label("Month by month", section=True))
        tables.addWidget(self.months, 3)
        tables.addWidget(how_long)
        tables.addWidget(self.ages, 2)
        split = Split(desk.theme, "Chart and numbers", self.chart, numbers, beside=BESIDE_LINES)
        split.share(3, 2)
        for listing in (self.months, self.ages):
            LeastRows(listing)
        LeastHeight(numbers)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 8, 0, 0)
        whole.addWidget(split)

    def take(self, over: OverTime) -> None:
        """Show flow, newest month first in the table, and ages."""
        self.chart.take(over.months)
        self.months.take(tuple(reversed(over.months)))
        self.ages.take(over.ages)
