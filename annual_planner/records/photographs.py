"""Photographs kept with the fleet: pictures that were read and written anew, with words under them."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime
from typing import TYPE_CHECKING

from annual_planner.records.card_rules import check_open_package, check_unsigned
from annual_planner.records.edits import Changed
from annual_planner.records.pictures import Picture
from annual_planner.records.row_edits import AddRow, ChangeRow, RemoveRow, Subject
from annual_planner.store.card_reads import place_of_card
from annual_planner.store.writing import field_of, values_of

if TYPE_CHECKING:
    from annual_planner.store.session import Work

TABLE = "photograph"


@dataclass(frozen=True, slots=True)
class TakePhotograph:
    """Keep a photograph with an airplane, and with a card or a discrepancy where it is of one."""

    aircraft_id: int
    picture: Picture = field(repr=False)
    """As `read_picture` gives it, in a process of its own for what comes from outside."""
    at: datetime
    card_id: int | None = None
    discrepancy_id: int | None = None
    caption: str = ""

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "photograph"

    def apply(self, work: Work, today: date) -> Changed:
        """Write it down. Refused for a card that was signed, or of a closed package."""
        _check_card(work, self.card_id)
        picture = self.picture
        values = {
            "aircraft_id": self.aircraft_id,
            "card_id": self.card_id,
            "discrepancy_id": self.discrepancy_id,
            "taken_at": self.at,
            "caption": self.caption.strip(),
            "width_px": picture.width_px,
            "height_px": picture.height_px,
            "sha256": picture.digest,
            "jpeg": picture.jpeg,
            "thumbnail": picture.thumbnail,
        }
        return AddRow(Subject("photograph", self.says, self.aircraft_id), TABLE, values).apply(work, today)


@dataclass(frozen=True, slots=True)
class SetCaption:
    """Write other words under a photograph."""

    photograph_id: int
    saw: str
    wants: str

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "words under a photograph"

    def apply(self, work: Work, today: date) -> Changed:
        """Write them."""
        of = _of(work, self.photograph_id, self.says)
        saw, wants = {"caption": self.saw}, {"caption": self.wants.strip()}
        return ChangeRow(of, TABLE, self.photograph_id, saw, wants).apply(work, today)


@dataclass(frozen=True, slots=True)
class RemovePhotograph:
    """Take a photograph away."""

    photograph_id: int

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "removal of a photograph"

    def apply(self, work: Work, today: date) -> Changed:
        """Remove it; taking that back brings the picture back."""
        of = _of(work, self.photograph_id, self.says)
        return RemoveRow(of, TABLE, self.photograph_id).apply(work, today)


def _of(work: Work, photograph_id: int, says: str) -> Subject:
    held = values_of(work, TABLE, photograph_id, said="photograph")
    card_id = held["card_id"]
    _check_card(work, card_id if isinstance(card_id, int) else None)
    return Subject("photograph", says, field_of(held, "aircraft_id", int))


def _check_card(work: Work, card_id: int | None) -> None:
    """What is signed covers the photographs of a card; they stay as they were signed."""
    if card_id is not None:
        place = place_of_card(work, card_id)
        check_open_package(place)
        check_unsigned(work, place)
