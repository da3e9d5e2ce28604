"""Rich text that knows the drawn caution sign."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QRectF, Qt, QUrl
from PySide6.QtGui import QImage, QPainter, QTextDocument
from PySide6.QtWidgets import QTextBrowser

from annual_planner.desktop.annual.card_text import SIGN
from annual_planner.desktop.colours import Colours
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.signs import draw_sign

Write = Callable[[Colours], str]


class SignedText(QTextBrowser):
    """Text written anew in the ink of the look in force, with the caution sign beside cautions."""

    def __init__(self, desk: Desk, name: str) -> None:
        super().__init__()
        self.setAccessibleName(name)
        self.setOpenLinks(False)
        self._desk = desk
        self._write: Write = lambda _inks: ""
        desk.theme.changed.connect(self._draw)

    def show_text(self, write: Write) -> None:
        """Show what this writes, from its beginning."""
        self._write = write
        self._draw()
        self.verticalScrollBar().setValue(0)

    def _draw(self) -> None:
        document = self.document()
        self.setHtml("")
        document.addResource(QTextDocument.ResourceType.ImageResource, QUrl(SIGN), self._sign())
        self.setHtml(self._write(self._desk.theme.colours))

    def _sign(self) -> QImage:
        """A triangle with an exclamation mark, drawn at twice its size for sharp screens."""
        side = self._desk.theme.sizes.of(1.3)
        image = QImage(side * 2, side * 2, QImage.Format.Format_ARGB32_Premultiplied)
        image.setDevicePixelRatio(2)
        image.fill(Qt.GlobalColor.transparent)
        painter = QPainter(image)
        box = QRectF(1.5, 1.5, side - 3, side - 3)
        draw_sign(painter, box, "caution", self._desk.theme.colours)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        middle = box.center().x()
        painter.setBrush(Qt.GlobalColor.black)
        painter.setPen(Qt.PenStyle.NoPen)
        wide = side * 0.09
        painter.drawRect(QRectF(middle - wide / 2, box.top() + side * 0.34, wide, side * 0.26))
        painter.drawEllipse(QRectF(middle - wide / 2, box.top() + side * 0.68, wide, wide))
        painter.end()
        return image
