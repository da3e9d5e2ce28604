"""What the drawings of the engine and of the plug box share: one place is chosen, opened and told aloud."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QPointF, Signal
from PySide6.QtGui import QHelpEvent, QMouseEvent
from PySide6.QtWidgets import QToolTip

from annual_planner.desktop.drawn import Drawn
from annual_planner.desktop.theme import Theme
from annual_planner.trade.engines import Place


class DrawnPlaces(Drawn):
    """Places of an engine that can be pointed at; subclasses say where these stand and what is told."""

    pointed = Signal(object)
    """Another place was chosen."""
    opened = Signal(object)
    """A place was double-clicked, or Enter was pressed on it."""

    def __init__(self, theme: Theme, name: str) -> None:
        super().__init__(theme, name)
        self.chosen: Place | None = None

    def place_at(self, point: QPointF) -> Place | None:
        """The place under a point."""
        raise NotImplementedError

    def told_of(self, at: Place) -> str:
        """What stands in the tooltip of a place."""
        raise NotImplementedError

    def say(self) -> None:
        """Tell a screen reader what is chosen."""
        raise NotImplementedError

    def choose(self, at: Place | None) -> None:
        """Choose a place without telling anyone."""
        if at != self.chosen:
            self.chosen = at
            self.say()
            self.update()

    def point(self, at: Place) -> None:
        """Choose a place, as the pointer and the keys do."""
        self.choose(at)
        self.pointed.emit(at)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Open the place under the pointer."""
        at = self.place_at(event.position())
        if at is not None:
            self.opened.emit(at)

    def event(self, event: QEvent) -> bool:
        """Tell in a tooltip what is under the pointer."""
        if event.type() == QEvent.Type.ToolTip and isinstance(event, QHelpEvent):
            at = self.place_at(QPointF(event.pos()))
            QToolTip.showText(event.globalPos(), self.told_of(at) if at is not None else "", self)
            return True
        return super().event(event)
