"""Reading a filled copy of a work package back: what it would record, what differs, what is refused.

Nothing is written here. The preview is shown first; what it gives is then applied as one edit made of the
same edits as the window uses. A signature is never taken from a form: there is no
field for one, and none is read.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from annual_planner.exchange.form_fields import MOST_BYTES, FormField, read_form
from annual_planner.planning.paper_fields import (
    INITIALS,
    NOTES,
    FieldName,
    plan_digest,
    read_name,
)
from annual_planner.records.card_results import AddNote, Asked, RecordResult, measures_of
from annual_planner.records.card_work import SetCardState
from annual_planner.records.edits import Edit
from annual_planner.records.in_turn import InTurn
from annual_planner.store.packages import card_lines, find_package, package_dates
from annual_planner.store.people_reads import people
from annual_planner.store.rows import CardLine
from annual_planner.store.written_reads import Written, written_on
from annual_planner.trade.card_states import DONE, NOT_APPLICABLE, WORKABLE
from annual_planner.trade.refused import Refused
from annual_planner.trade.results import measurement_titles, read_result

if TYPE_CHECKING:
    from annual_planner.store.session import Work


@dataclass(frozen=True, slots=True)
class FilledLine:
    """One thing that would be recorded: its place on paper, what stands in the fleet, what is wanted."""

    page: int
    card: int
    what: str
    stands: str
    wants: str
    edit: Edit = field(repr=False)

    @property
    def where(self) -> str:
        """Page, card and field."""
        return f"page {self.page}, card {self.card}, {self.what}"

    def __str__(self) -> str:
        before = f" (now '{self.stands}')" if self.stands else ""
        return f"{self.where}: {self.wants}{before}"


@dataclass(frozen=True, slots=True)
class FilledFault:
    """One thing that can't be taken. With one of them nothing is recorded."""

    page: int
    field: str
    said: str

    def __str__(self) -> str:
        return f"page {self.page}, {self.field}: {self.said}"


@dataclass(frozen=True, slots=True)
class FilledPreview:
    """What a filled copy would record, and every refusal."""

    package_id: int
    package: str
    aircraft_id: int
    lines: tuple[FilledLine, ...]
    faults: tuple[FilledFault, ...]
    same: int
    """Fields that say what stands in the fleet already."""

    def edit(self) -> InTurn:
        """All of it as one edit. Refused while there are faults, or where there is nothing to record."""
        if self.faults:
            raise Refused(str(self.faults[0]), "Nothing was recorded; correct the copy, then read it again.")
        if not self.lines:
            raise Refused(
                "The copy holds nothing that isn't recorded yet.", "Fill it in, then read it again."
            )
        return InTurn(
            f"filled copy of {self.package}",
            tuple(line.edit for line in self.lines),
            tuple(line.where for line in self.lines),
            self.aircraft_id,
        )


def read_filled(path: Path) -> tuple[FormField, ...]:
    """The fields of a file. Refused where it can't be read."""
    try:
        with path.open("rb") as file:
            content = file.read(MOST_BYTES + 1)
    except OSError as fault:
        raise Refused(
            f"{path} can't be read: {fault.strerror or fault}.", "Choose the file again."
        ) from fault
    return read_form(content)


def preview(work: Work, fields: Iterable[FormField], person_id: int, at: datetime) -> FilledPreview:
    """Say what a filled copy would record. Refused for a form of no package, several, or another plan."""
    ours = [(each, name) for each in fields if (name := read_name(each.name))]
    named = {(name.package, name.plan) for _, name in ours}
    if len(named) != 1:
        said = "The file is no work package of this program." if not named else "It holds several packages."
        raise Refused(said, "Choose a copy of one work package that this program wrote.")
    ((number, plan),) = named
    package_id = find_package(work, number)
    cards = {card.number: card for card in card_lines(work, package_id) if card.included}
    if plan_digest(cards.values()) != plan:
        raise Refused(
            f"Package {number} was planned anew since this copy was printed.",
            "Print it again and carry over what was filled in; nothing was recorded.",
        )
    reading = _Reading(written_on(work, package_id), person_id, at, _by_initials(work))
    for card_number, filled in _by_card(ours).items():
        reading.take(cards.get(card_number), card_number, filled)
    lines = (*reading.written, *reading.states)
    aircraft_id = package_dates(work, package_id).aircraft_id
    return FilledPreview(package_id, number, aircraft_id, lines, tuple(reading.faults), reading.same)


Filled = dict[str, tuple[FormField, FieldName]]


def _by_card(ours: list[tuple[FormField, FieldName]]) -> dict[int, Filled]:
    """Filled fields by the card's number and what they are for. Refused for a name with two values."""
    found: dict[int, Filled] = {}
    for each, name in sorted(ours, key=lambda pair: pair[1].card):
        held = found.setdefault(name.card, {})
        if name.what in held and held[name.what][0].value != each.value:
            raise Refused(
                f"Page {each.page}: the field '{each.name}' stands twice with two values.",
                "Fill in a copy as this program wrote it.",
            )
        if each.value.strip():
            held[name.what] = (each, name)
    return found


def _by_initials(work: Work) -> dict[str, list[int]]:
    found: dict[str, list[int]] = {}
    for person in people(work):
        letters = "".join(part[0] for part in person.name.split()).casefold()
        found.setdefault(letters, []).append(person.person_id)
    return found


@dataclass(slots=True)
class _Reading:
    """A filled copy while it is held against the fleet."""

    stands: Written
    person_id: int
    at: datetime
    initials: Mapping[str, list[int]]
    written: list[FilledLine] = field(default_factory=list)
    """Results and notes; they come first, since a card that is left out takes none."""
    states: list[FilledLine] = field(default_factory=list)
    faults: list[FilledFault] = field(default_factory=list)
    same: int = 0

    def take(self, card: CardLine | None, number: int, filled: Filled) -> None:
        """Take what stands on one card."""
        if not filled:
            return
        if card is None:
            page = next(iter(filled.values()))[0].page
            self.faults.append(FilledFault(page, f"card {number}", "the package has no such card"))
            return
        doer = self._doer(card, filled)
        self._results(card, filled, doer)
        self._note(card, filled, doer)
        self._state(card, filled, doer)

    def _fault(self, card: CardLine, each: FormField, what: str, said: str) -> None:
        self.faults.append(FilledFault(each.page, f"card {card.number}, {what}", said))

    def _doer(self, card: CardLine, filled: Filled) -> int:
        if INITIALS not in filled:
            return self.person_id
        each = filled[INITIALS][0]
        typed = "".join(letter for letter in each.value if letter.isalnum()).casefold()
        found = self.initials.get(typed, [])
        if len(found) != 1:
            whose = "nobody's" if not found else "those of several people"
            self._fault(card, each, INITIALS, f"'{each.value[:20]}' are {whose}")
            return self.person_id
        return found[0]

    def _results(self, card: CardLine, filled: Filled, doer: int) -> None:
        stored, asked = self.stands.results.get(card.card_id, {}), _asked(card)
        for each, name in filled.values():
            if name.measure is None:
                continue
            if name.measure not in asked:
                self._fault(card, each, name.what, "the card has no such measurement")
                continue
            self._result(card, each, asked[name.measure], stored, doer)

    def _result(
        self, card: CardLine, each: FormField, asked: Asked, stored: Mapping[str, str], doer: int
    ) -> None:
        try:
            reading = read_result(each.value, asked.unit, asked.low, asked.high).value
        except Refused as refused:
            self._fault(card, each, asked.title, refused.said)
            return
        stands = stored.get(asked.title)
        if stands == reading.text:
            self.same += 1
            return
        edit = RecordResult(card.card_id, asked.title, each.value, doer, self.at, stands)
        told = f"{reading.text} ({reading.says})"
        self.written.append(FilledLine(each.page, card.number, asked.title, stands or "", told, edit))

    def _note(self, card: CardLine, filled: Filled, doer: int) -> None:
        if NOTES not in filled:
            return
        each = filled[NOTES][0]
        text = " ".join(each.value.split())
        if text in (" ".join(note.split()) for note in self.stands.notes.get(card.card_id, ())):
            self.same += 1
            return
        self.written.append(
            FilledLine(each.page, card.number, NOTES, "", text, AddNote(card.card_id, text, doer, self.at))
        )

    def _state(self, card: CardLine, filled: Filled, doer: int) -> None:
        done, left_out = filled.get(DONE), filled.get(NOT_APPLICABLE)
        if done and left_out:
            self._fault(card, done[0], DONE, "it is ticked, and a reason why it does not apply stands there")
            return
        if done:
            note = filled[NOTES][0].value if NOTES in filled else ""
            self._set(card, done[0], DONE, " ".join(note.split()), doer)
        elif left_out:
            self._set(card, left_out[0], NOT_APPLICABLE, " ".join(left_out[0].value.split()), doer)

    def _set(self, card: CardLine, each: FormField, wants: str, why: str, doer: int) -> None:
        if card.state == wants:
            self.same += 1
        elif card.state not in WORKABLE:
            self._fault(card, each, wants, f"the card is {card.state} already")
        else:
            edit = SetCardState(card.card_id, card.state, wants, doer, self.at, why)
            told = wants if wants == DONE else f"{wants}: {why}"
            self.states.append(FilledLine(each.page, card.number, wants, card.state, told, edit))


def _asked(card: CardLine) -> dict[tuple[int, int], Asked]:
    """What each blank of the card asks for, by the measurement and its taking, from 0."""
    content: Mapping[str, object] = card.content
    by_title = measures_of(content)
    measured = content.get("measurements") or ()
    assert isinstance(measured, list | tuple)
    return {
        (number, taking): by_title[title]
        for number, each in enumerate(measured)
        for taking, title in enumerate(measurement_titles(each["name"], each["per"], each["count"]))
    }
