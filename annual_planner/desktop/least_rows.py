"""Lists that keep some rows in sight where the room is low; what is around them scrolls."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject
from PySide6.QtWidgets import QWidget

from annual_planner.desktop.listing import AnyListing, Listing

ROWS = 4


class LeastRows(QObject):
    """Keeps a list high enough for what stands above it and for four rows."""

    def __init__(self, listing: AnyListing) -> None:
        super().__init__(listing)
        self._listing = listing
        listing.installEventFilter(self)
        self._keep()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Follow its width, and the search row above it when that wraps."""
        if event.type() in (QEvent.Type.Resize, QEvent.Type.LayoutRequest, QEvent.Type.Show):
            self._keep()
        return super().eventFilter(watched, event)

    def _keep(self) -> None:
        listing, view = self._listing, self._listing.view
        layout = listing.layout()
        above = layout.itemAt(0) if layout is not None else None
        high = 0 if above is None or above.isEmpty() else above.heightForWidth(listing.width())
        rows = view.header.sizeHint().height() + view.verticalHeader().defaultSectionSize() * ROWS
        least = high + rows + view.fontMetrics().height() // 2
        if listing.minimumHeight() != least:
            listing.setMinimumHeight(least)


def keep_rows(part: QWidget) -> None:
    """Keep rows of every list in that part in sight."""
    for listing in [part, *part.findChildren(QWidget)]:
        if isinstance(listing, Listing):
            LeastRows(listing)
