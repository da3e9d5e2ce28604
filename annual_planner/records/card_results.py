"""What is written on a card while it is worked: results of measurements, notes, parts used."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from annual_planner.records.card_rules import because, check_open_package, check_unsigned
from annual_planner.records.edits import Changed
from annual_planner.records.row_edits import AddRow, ChangeRow, RemoveRow, RowEdit, Subject
from annual_planner.store.card_reads import place_of_card
from annual_planner.store.packages import card_line
from annual_planner.store.writing import changed_meanwhile, rows_where, values_of
from annual_planner.trade.refused import Refused
from annual_planner.trade.results import Result, measurement_titles, read_result

if TYPE_CHECKING:
    from annual_planner.store.session import Work

RESULT, NOTE, PART = "card_result", "card_note", "part_used"
"""Names of the tables."""


def writable(work: Work, card_id: int, kind: str, says: str) -> Subject:
    """What an edit of a card's writing is about. Refused for a closed package, a card left out or signed."""
    place = place_of_card(work, card_id)
    check_open_package(place)
    check_unsigned(work, place)
    return Subject(kind, says, place.aircraft_id)


@dataclass(frozen=True, slots=True)
class RecordResult:
    """Write a measurement down as it is typed, change it, or take it away with an empty text.

    `measurement` as `measurement_titles` says it; `saw`: what stood there as typed, None when nothing did.
    """

    card_id: int
    measurement: str
    typed: str
    person_id: int | None
    at: datetime
    saw: str | None = None

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return f"result '{self.measurement}'"

    def apply(self, work: Work, today: date) -> Changed:
        """Write it down. Refused for what can't be read, or a measurement that the card doesn't ask for."""
        of = writable(work, self.card_id, "result", self.says)
        asked = measures_of(card_line(work, self.card_id).content).get(self.measurement)
        if asked is None:
            raise Refused(f"The card asks for no '{self.measurement}'.", "Choose one of its measurements.")
        there = rows_where(work, RESULT, card_id=self.card_id, measurement=self.measurement)
        self._check_seen(work, next(iter(there), None), next(iter(there.values()), None))
        return self._edit(of, next(iter(there), None), there, asked).apply(work, today)

    def _check_seen(self, work: Work, row_id: int | None, held: Mapping[str, object] | None) -> None:
        now = None if held is None else held["text"]
        if now != self.saw:
            saw, wants = {"result": self.saw}, {"result": self.typed}
            raise changed_meanwhile(
                work, RESULT, row_id, self.says, saw=saw, wants=wants, now={"result": now}
            )

    def _edit(
        self, of: Subject, row_id: int | None, there: Mapping[int, Mapping[str, object]], asked: Asked
    ) -> RowEdit:
        if not self.typed.strip():
            if row_id is None:
                raise Refused("There is nothing to take away.", "Type what was read.")
            return RemoveRow(of, RESULT, row_id, there[row_id])
        values = self._values(read_result(self.typed, asked.unit, asked.low, asked.high).value)
        if row_id is None:
            known = {"card_id": self.card_id, "measurement": self.measurement}
            return AddRow(of, RESULT, {**known, **values})
        return ChangeRow(of, RESULT, row_id, {"text": self.saw}, values)

    def _values(self, reading: Result) -> dict[str, object]:
        return {
            "value": None if reading.value is None else float(reading.value),
            "text": reading.text,
            "unit": reading.unit,
            "within": reading.within,
            "read_at": self.at,
            "person_id": self.person_id,
        }


@dataclass(frozen=True, slots=True)
class Asked:
    """A measurement that a card asks for, once for each time it is taken."""

    title: str
    unit: str
    low: Decimal | None
    high: Decimal | None
    note: str


def measures_of(content: Mapping[str, Any]) -> dict[str, Asked]:
    """Every taking of every measurement of a stored card's content, by its title, in the card's order."""
    return {
        title: Asked(title, each["unit"], _limit(each["low"]), _limit(each["high"]), each["note"])
        for each in content.get("measurements", ())
        for title in measurement_titles(each["name"], each["per"], each["count"])
    }


def _limit(text: str | None) -> Decimal | None:
    return None if text is None else Decimal(text)


@dataclass(frozen=True, slots=True)
class AddNote:
    """Write words on a card."""

    card_id: int
    text: str
    person_id: int | None
    at: datetime

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "note on the card"

    def apply(self, work: Work, today: date) -> Changed:
        """Write them. Refused for no words."""
        of = writable(work, self.card_id, "work", self.says)
        values = {
            "card_id": self.card_id,
            "written_at": self.at,
            "person_id": self.person_id,
            "text": _words(self.text),
        }
        return AddRow(of, NOTE, values).apply(work, today)


def _words(text: str) -> str:
    if not text.strip():
        raise Refused("A note needs a few words.", "Write down what is to be remembered.")
    return text.strip()


@dataclass(frozen=True, slots=True)
class ChangeNote:
    """Write other words in place of a note's."""

    note_id: int
    saw: str
    wants: str
    why: str = ""
    """The reason, which the trail keeps."""

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return because("change of a note", self.why)

    def apply(self, work: Work, today: date) -> Changed:
        """Write them. Refused for no words."""
        of = writable(work, _card_of(work, NOTE, self.note_id, "note"), "work", self.says)
        wants = {"text": _words(self.wants)}
        return ChangeRow(of, NOTE, self.note_id, {"text": self.saw}, wants).apply(work, today)


@dataclass(frozen=True, slots=True)
class RemoveNote:
    """Take a note away."""

    note_id: int
    why: str = ""

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return because("removal of a note", self.why)

    def apply(self, work: Work, today: date) -> Changed:
        """Remove it."""
        of = writable(work, _card_of(work, NOTE, self.note_id, "note"), "work", self.says)
        return RemoveRow(of, NOTE, self.note_id).apply(work, today)


def _card_of(work: Work, table: str, row_id: int, said: str) -> int:
    card_id = values_of(work, table, row_id, said=said)["card_id"]
    if not isinstance(card_id, int):
        raise Refused(f"That {said} is of no card.", "Look at the discrepancy.")
    return card_id


@dataclass(frozen=True, slots=True)
class UsePart:
    """Write down a part or consumable that was used on a card, perhaps for a discrepancy."""

    card_id: int
    name: str
    quantity: Decimal
    unit: str = ""
    serial: str = ""
    cost: Decimal | None = None
    discrepancy_id: int | None = None

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return f"part '{self.name}'"

    def apply(self, work: Work, today: date) -> Changed:
        """Write it down. Refused without a name, for none of it, or for a cost below 0."""
        check_part(self.name, self.quantity, self.cost)
        of = writable(work, self.card_id, "work", self.says)
        values = {
            "card_id": self.card_id,
            "discrepancy_id": self.discrepancy_id,
            "name": self.name.strip(),
            "quantity": self.quantity,
            "unit": self.unit.strip(),
            "serial": self.serial.strip(),
            "cost": self.cost,
        }
        return AddRow(of, PART, values).apply(work, today)


def check_part(name: str, quantity: Decimal, cost: Decimal | None) -> None:
    """Refused for a part without a name, for none of it, or for a cost below 0."""
    if not name.strip():
        raise Refused("The part needs a name.", "Write down what was used.")
    if not quantity.is_finite() or quantity <= 0:
        raise Refused(f"{quantity} of it can't have been used.", "Give a quantity above 0.")
    if cost is not None and (not cost.is_finite() or cost < 0):
        raise Refused(f"{cost} can't be a cost.", "Give 0 or more, or leave it out.")


@dataclass(frozen=True, slots=True)
class PartUsed:
    """What is written of a part that was used."""

    name: str
    quantity: Decimal
    unit: str = ""
    serial: str = ""
    cost: Decimal | None = None

    def values(self) -> dict[str, object]:
        """As the row holds it."""
        return {
            "name": self.name.strip(),
            "quantity": self.quantity,
            "unit": self.unit.strip(),
            "serial": self.serial.strip(),
            "cost": self.cost,
        }


@dataclass(frozen=True, slots=True)
class CorrectPart:
    """Write down otherwise what was used, with the reason."""

    part_id: int
    saw: PartUsed
    wants: PartUsed
    why: str = ""

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return because(f"part '{self.saw.name}'", self.why)

    def apply(self, work: Work, today: date) -> Changed:
        """Write it. Refused as `UsePart` is."""
        check_part(self.wants.name, self.wants.quantity, self.wants.cost)
        of = writable(work, _card_of(work, PART, self.part_id, "part"), "work", self.says)
        return ChangeRow(of, PART, self.part_id, self.saw.values(), self.wants.values()).apply(work, today)


@dataclass(frozen=True, slots=True)
class RemovePart:
    """Take a part away that wasn't used."""

    part_id: int
    why: str = ""

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return because("removal of a part", self.why)

    def apply(self, work: Work, today: date) -> Changed:
        """Remove it."""
        of = writable(work, _card_of(work, PART, self.part_id, "part"), "work", self.says)
        return RemoveRow(of, PART, self.part_id).apply(work, today)
