"""Which list a person means who asks for something of 'the list'."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from annual_planner.desktop.listing import AnyListing, Listing


def list_here(place: QWidget, focus: QWidget | None) -> AnyListing | None:
    """The list that has the keys, else the largest one in sight; None where there is none."""
    above = focus
    while above is not None and above is not place:
        if isinstance(above, Listing):
            return above
        above = above.parentWidget()
    seen = [each for each in place.findChildren(Listing) if each.isVisible()]
    return max(seen, key=lambda each: each.width() * each.height(), default=None)
