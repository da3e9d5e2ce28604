"""A photograph in a window of its own: whole, or at its full size to look at a crack or a number."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QImage, QPixmap, QResizeEvent
from PySide6.QtWidgets import QDialog, QHBoxLayout, QLabel, QScrollArea, QVBoxLayout, QWidget

from annual_planner.desktop.desk import Desk
from annual_planner.desktop.widgets import button, label

if TYPE_CHECKING:
    from annual_planner.store.session import Work


class PhotographWindow(QDialog):
    """One photograph. Full size shows every kept pixel and scrolls; else it is as large as the window."""

    def __init__(self, image: QImage, caption: str, parent: QWidget) -> None:
        super().__init__(parent)
        said = caption or "Photograph"
        self.setWindowTitle(said)
        self.setAccessibleName(said)
        self._whole = QPixmap.fromImage(image)
        self.shown = QLabel()
        self.shown.setAccessibleName(said)
        self.shown.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self._area = QScrollArea()
        self._area.setAccessibleName(f"{said}, scrolls at full size")
        self._area.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self._area.setWidget(self.shown)
        self.full = button("&Full size", self._fit, tip="Every pixel; drag the bars or use the arrow keys")
        self.full.setCheckable(True)
        self.full.setAutoDefault(False)
        leave = button("Close", self.close, tip="Escape closes it, too")
        leave.setAutoDefault(False)
        row = QHBoxLayout()
        row.addWidget(label(f"{caption}  {image.width()} × {image.height()} pixels".strip(), faint=True), 1)
        row.addWidget(self.full)
        row.addWidget(leave)
        column = QVBoxLayout(self)
        column.addWidget(self._area, 1)
        column.addLayout(row)
        self.resize(900, 700)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Fit the picture to the window."""
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        picture = self._whole
        if not self.full.isChecked():
            bars = self._area.frameWidth() * 2
            room = self._area.size().shrunkBy(self._area.contentsMargins())
            picture = picture.scaled(
                room.width() - bars, room.height() - bars, Qt.AspectRatioMode.KeepAspectRatio,
                Qt.TransformationMode.SmoothTransformation,
            )  # fmt: skip
        self.shown.setPixmap(picture)
        self.shown.resize(picture.size())


def open_photograph(
    desk: Desk, photograph_id: int, caption: str, parent: QWidget, failed: Callable[[Exception], None]
) -> None:
    """Read a photograph off the window's thread and show it."""

    def read(work: Work) -> QImage:
        from annual_planner.store.card_reads import photograph_jpeg

        return QImage.fromData(photograph_jpeg(work, photograph_id))

    def show(image: QImage) -> None:
        PhotographWindow(image, caption, parent).show()

    desk.jobs.read(read, parent, show, failed, topic="whole photograph")
