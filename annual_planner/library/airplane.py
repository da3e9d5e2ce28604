"""Tables of zones with their panels, and of features."""

from __future__ import annotations

from annual_planner.library.files import Kind
from annual_planner.library.rows import Row, Text, Word, Words
from annual_planner.trade.cards import Feature, Panel, Zone


class PanelRow(Row):
    """A panel within a zone."""

    key: Word
    title: Text
    needs: Words = ()

    def value(self) -> Panel:
        """Give the trade's value."""
        return Panel(self.key, self.title, self.needs)


class ZoneRow(Row):
    """One [[zone]]."""

    key: Word
    title: Text
    panels: tuple[PanelRow, ...] = ()
    cautions: Words = ()

    def value(self) -> Zone:
        """Give the trade's value."""
        return Zone(self.key, self.title, tuple(each.value() for each in self.panels), self.cautions)


class FeatureRow(Row):
    """One [[feature]]."""

    key: Word
    title: Text
    group: Text

    def value(self) -> Feature:
        """Give the trade's value."""
        return Feature(self.key, self.title, self.group)


ZONES = Kind("zones", "zone", ZoneRow)
FEATURES = Kind("features", "feature", FeatureRow)
