"""How many people each zone of the airplane holds at a time."""

from __future__ import annotations

from functools import partial

from annual_planner.desktop.desk import Desk
from annual_planner.desktop.fields import TextField
from annual_planner.desktop.form import Form
from annual_planner.desktop.shop.part import Failed, ShopPart
from annual_planner.desktop.shop.seen import ShopSeen
from annual_planner.desktop.typed import read_count
from annual_planner.records.edits import Changed
from annual_planner.records.shop import MOST_IN_A_ZONE, SetRoom
from annual_planner.trade.refused import Refused

SAYS = (
    "How many people can work in a zone at a time. Empty: as many as the program's own table says (common "
    "practice, no source). Each field saves itself when it is left."
)


def read_room(text: str) -> int:
    """How many a zone holds. Raises Refused."""
    count = read_count(text, "number")
    if not 1 <= count <= MOST_IN_A_ZONE:
        raise Refused(f"{count} people can't be in a zone.", f"Type a number from 1 to {MOST_IN_A_ZONE}.")
    return count


class RoomsPart(ShopPart):
    """A field for each zone."""

    def __init__(self, desk: Desk, failed: Failed) -> None:
        super().__init__(desk, "Room in the zones", SAYS, failed)
        self.zones: Form | None = None
        self.fields: dict[str, TextField] = {}
        self._saw: dict[str, int] = {}
        self._shown: dict[str, str] = {}

    def show_seen(self, seen: ShopSeen) -> None:
        """Show the shop's own numbers; what is being typed is left alone."""
        if self.zones is None:
            self._add_fields(seen)
        self._saw = dict(seen.place.room_for)
        for zone, field in self.fields.items():
            text = str(self._saw.get(zone, ""))
            if field.line.text() == self._shown[zone] and not field.at_fault:
                field.put(text)
                self._shown[zone] = text
            field.editor.setEnabled(self.desk.who.person.may_edit)

    def _add_fields(self, seen: ShopSeen) -> None:
        self.zones = Form("People at a time")
        for zone in seen.zones:
            field = TextField(zone.key, zone.title, read_room, hint=f"{zone.usual} when empty", letters=5)
            field.left.connect(partial(self._left, zone.key))
            self.fields[zone.key], self._shown[zone.key] = field, ""
            self.zones.add(field)
        self.body.addWidget(self.zones)
        self.body.addStretch(1)

    def _left(self, zone: str) -> None:
        field = self.fields[zone]
        if not field.check():
            return
        wants, saw = field.value(), self._saw.get(zone)
        if wants == saw:
            return

        typed = field.line.text()

        def done(_changed: Changed) -> None:
            self._shown[zone] = typed

        self.desk.jobs.write(SetRoom(zone, saw, wants), self, done, self._failed)
