"""The tabs about all discrepancies: groups with their sums, flow and age, and the promises held up."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from annual_planner.desktop.columns import Column
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.discrepancies.columns import AGE_COLUMNS, FLOW_COLUMNS
from annual_planner.desktop.discrepancies.flow_chart import FlowChart
from annual_planner.desktop.discrepancies.seen import OverTime
from annual_planner.desktop.listing import Listing, Words
from annual_planner.desktop.source import HeldSource
from annual_planner.desktop.widgets import label


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
        tables = QVBoxLayout()
        tables.addWidget(label("Month by month", section=True))
        tables.addWidget(self.months, 3)
        tables.addWidget(label("How long the open ones have been open", section=True))
        tables.addWidget(self.ages, 2)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 8, 0, 0)
        row.addWidget(self.chart, 3)
        row.addLayout(tables, 2)

    def take(self, over: OverTime) -> None:
        """Show flow, newest month first in the table, and ages."""
        self.chart.take(over.months)
        self.months.take(tuple(reversed(over.months)))
        self.ages.take(over.ages)
