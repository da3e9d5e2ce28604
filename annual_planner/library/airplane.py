"""Tables of zones with their panels, and of features."""

from __future__ import annotations

from annual_planner.library.files import Kind
from annual_planner.library.rows import Row, Text, Word
from annual_planner.trade.cards import Feature, Panel, Zone


class PanelRow(Row):
    """A panel within a zone."""

    key: Word
    title: Text


class ZoneRow(Row):
    """One [[zone]]."""

    key: Word
    title: Text
    panels: tuple[PanelRow, ...] = ()

    def value(self) -> Zone:
        """Give the trade's value."""
        return Zone(self.key, self.title, tuple(Panel(each.key, each.title) for each in self.panels))


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
