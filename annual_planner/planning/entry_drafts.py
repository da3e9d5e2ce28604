"""Drafting a package's entries, and changing a draft's text by hand."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from annual_planner.library.entries import load_entry_templates
from annual_planner.planning.card_content import from_stored
from annual_planner.planning.compose import ComposedEntry, NextDue, compose_entries, side_of
from annual_planner.records.edits import Changed
from annual_planner.records.row_edits import AddRow, ChangeRow, RemoveRow, Subject, Together
from annual_planner.store.done_reads import DoneCard, done_cards
from annual_planner.store.packages import package_dates
from annual_planner.store.repair_reads import RepairMade, repairs_made
from annual_planner.store.weighable import Weighable, weighables
from annual_planner.store.writing import field_of, rows_where, values_of
from annual_planner.trade.entry_text import missing_in
from annual_planner.trade.intervals import next_due
from annual_planner.trade.periods import Point
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.store.session import Work

TABLE = "log_entry"


@dataclass(frozen=True, slots=True)
class DraftEntries:
    """Draft every entry that a package's done cards call for, in place of drafts that nobody signed.

    `approved`: whether the inspection's entry approves the airplane. Signed entries stay; what they cover
    isn't drafted again.
    """

    package_id: int
    approved: bool
    work_on: date
    inspection: str = "annual"

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "drafts of entries"

    def apply(self, work: Work, today: date) -> Changed:
        """Write the drafts down. Refused when nothing is done, or a fact is missing."""
        dates = package_dates(work, self.package_id)
        if self.work_on > today:
            raise Refused("An entry can't be for a day after today.", "Give the day the work was completed.")
        together = Together(work, Subject("entry", self.says, dates.aircraft_id))
        kept: set[Known] = set()
        for row_id, row in rows_where(work, TABLE, package_id=self.package_id).items():
            if row["state"] == "draft" and row["corrects_id"] is None:
                together.write(RemoveRow(together.of, TABLE, row_id))
            elif row["state"] == "signed":
                kept.add(_same(row))
        cards = {card.card_id: card for card in done_cards(work, self.package_id)}
        repairs = {each.discrepancy_id: each for each in repairs_made(work, self.package_id)}
        for entry in self._composed(work, dates.aircraft_id):
            values = self._values(entry, dates.aircraft_id, cards, repairs)
            if _same(values) not in kept:
                together.write(AddRow(together.of, TABLE, values))
        return together.settled(today)

    def _composed(self, work: Work, aircraft_id: int) -> tuple[ComposedEntry, ...]:
        return compose_entries(
            work,
            self.package_id,
            load_entry_templates(),
            approved=self.approved,
            work_on=self.work_on,
            inspection=self.inspection.replace("100-hour", "hundred_hour"),
            next_dues=next_dues(weighables(work, aircraft_id), self.work_on),
        )

    def _values(
        self,
        entry: ComposedEntry,
        aircraft_id: int,
        cards: Mapping[int, DoneCard],
        repairs: Mapping[int, RepairMade],
    ) -> dict[str, object]:
        own = [cards[card_id] for card_id in entry.card_ids]
        mended = [repairs[each] for each in entry.discrepancy_ids]
        facts: dict[str, object] = {
            **entry.facts,
            "template": entry.template.key,
            "card_ids": list(entry.card_ids),
        }
        if mended:
            facts["discrepancy_ids"] = list(entry.discrepancy_ids)
        if entry.template.approved is not None:
            facts["inspection"] = self.inspection
        else:
            facts["work"] = [*(_piece(card) for card in own), *(_repair(each) for each in mended)]
        performers = {card.done_by_id for card in own} | {each.done_by_id for each in mended}
        if entry.facts.get("performer") and len(performers) == 1:
            facts["performer_id"] = performers.pop()
        return {
            "aircraft_id": aircraft_id,
            "assembly_id": entry.book.assembly_id,
            "package_id": self.package_id,
            "kind": entry.template.kind.value,
            "work_on": entry.work_on,
            "approved": entry.template.approved,
            "text": entry.text,
            "facts": facts,
        }


Known = tuple[str, int | None, frozenset[int], frozenset[int]]


def _same(values: Mapping[str, object]) -> Known:
    """By which an entry is known again: its sort, its book, the cards and the repairs it covers."""
    facts, assembly_id = field_of(values, "facts", dict), values["assembly_id"]
    assert assembly_id is None or isinstance(assembly_id, int)
    cards, repairs = (frozenset(facts.get(name, ())) for name in ("card_ids", "discrepancy_ids"))
    return str(facts.get("template", "")), assembly_id, cards, repairs


def _repair(repair: RepairMade) -> dict[str, object]:
    """A repair as the rules about signing ask for it."""
    piece = {"kind": "repair", "subject": side_of(repair), "preventive": [], "inspection": ""}
    return {**piece, "major": repair.major}


def _piece(card: DoneCard) -> dict[str, object]:
    """A card as the rules about signing ask for it."""
    content = from_stored(card.content)
    return {
        "kind": card.kind,
        "subject": content.subject,
        "preventive": list(content.preventive),
        "inspection": "",
        "complex": content.complex,
        "major": content.major,
    }


def next_dues(things: list[Weighable], work_on: date) -> dict[int, NextDue]:
    """When each recurring requirement is next due if it is done on a day, at the hours now."""
    found = {}
    for thing in things:
        if thing.interval is not None and thing.interval.recurring:
            due = next_due(thing.interval, Point(work_on, thing.hours_now)).value
            found[thing.line.requirement_id] = NextDue(due.hours, due.on)
    return found


@dataclass(frozen=True, slots=True)
class ChangeEntryText:
    """Write another text of a draft, if it still reads what the person saw."""

    entry_id: int
    saw: str
    wants: str

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "text of an entry"

    def apply(self, work: Work, today: date) -> Changed:
        """Write it. Refused for a signed entry, and where the text lacks what the rule asks for."""
        held = values_of(work, TABLE, self.entry_id, said="entry")
        if held["state"] != "draft":
            raise Refused("A signed entry isn't changed.", "Write a correction, which is signed anew.")
        missing = contents(held, self.wants)
        if missing:
            raise Refused(f"The entry now lacks: {', '.join(missing)}.", "Write that in again, then save it.")
        of = Subject("entry", self.says, field_of(held, "aircraft_id", int))
        return ChangeRow(of, TABLE, self.entry_id, {"text": self.saw}, {"text": self.wants}).apply(
            work, today
        )


def contents(held: Mapping[str, object], text: str) -> tuple[str, ...]:
    """What the rule asks for and a text for this entry lacks; nothing is asked of one without a template."""
    facts = field_of(held, "facts", dict)
    template = load_entry_templates().get(str(facts.get("template", "")))
    if template is None:
        return ()
    return tuple(part.value for part in missing_in(template, text, _words(facts)).value)


def _words(facts: Mapping[str, object]) -> dict[str, str]:
    return {key: value for key, value in facts.items() if isinstance(value, str)}


@dataclass(frozen=True, slots=True)
class CorrectEntry:
    """Draft a correction of a signed entry; signed, it takes its place, and the old stays readable."""

    entry_id: int
    text: str
    why: str

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "correction of an entry"

    def apply(self, work: Work, today: date) -> Changed:
        """Write the draft. Refused without a reason, or for an entry that isn't signed."""
        held = values_of(work, TABLE, self.entry_id, said="entry")
        if held["state"] != "signed":
            raise Refused(
                f"Only a signed entry is corrected; this one is {held['state']}.", "Change the draft."
            )
        if not self.why.strip():
            raise Refused("The correction gives no reason.", "Say why the entry is corrected.")
        missing = contents(held, self.text)
        if missing:
            raise Refused(f"The correction lacks: {', '.join(missing)}.", "Write that in, then save it.")
        aircraft_id = field_of(held, "aircraft_id", int)
        values = {key: value for key, value in held.items() if key != "id"}
        values |= {
            "text": self.text,
            "state": "draft",
            "corrects_id": self.entry_id,
            "correction_why": self.why.strip(),
        }
        return AddRow(Subject("entry", self.says, aircraft_id), TABLE, values).apply(work, today)
