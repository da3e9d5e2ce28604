"""One page of paper on the screen."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QColor, QImage, QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from annual_planner.desktop.theme import Theme
from annual_planner.paper.preview import PageImage


def as_image(page: PageImage) -> QImage:
    """A page's pixels as a picture of Qt."""
    made = QImage(page.pixels, page.width, page.height, page.stride, QImage.Format.Format_BGR888)
    return made.copy()


class PageView(QWidget):
    """The picture of a page, as large as it was asked for."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self.image = QImage()
        self.setAccessibleName("Page of the paper, drawn")
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)

    def take(self, image: QImage, said: str) -> None:
        """Show a picture; `said` is what it is, for a reader."""
        self.image = image
        self.setAccessibleDescription(said)
        self.setFixedSize(self.sizeHint())
        self.update()

    def sizeHint(self) -> QSize:
        """The picture with a hairline around it."""
        ratio = self.image.devicePixelRatio() or 1
        return QSize(round(self.image.width() / ratio) + 2, round(self.image.height() / ratio) + 2)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the page on the table."""
        if self.image.isNull():
            return
        painter = QPainter(self)
        painter.drawImage(1, 1, self.image)
        painter.setPen(QColor(self._theme.colours.edge))
        painter.drawRect(self.rect().adjusted(0, 0, -1, -1))
        painter.end()
