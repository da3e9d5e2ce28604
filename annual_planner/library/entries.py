"""Templates of record entries."""

from __future__ import annotations

from importlib.resources.abc import Traversable
from typing import Annotated

from pydantic import StrictBool, StringConstraints, model_validator

from annual_planner.library.faults import refuse
from annual_planner.library.files import Kind, read_shelf, shipped
from annual_planner.library.rows import LINES, Row, Text, Word, Words
from annual_planner.trade.entries import DirectivePart, EntryPart
from annual_planner.trade.entry_text import BY_SIGNING, AskedPart, EntryKind, EntryTemplate

LongText = Annotated[
    str,
    StringConstraints(strip_whitespace=True, min_length=1, max_length=4000, pattern=LINES),
]
"""Words over several lines."""


class AskedRow(Row):
    """One thing the rule asks for."""

    part: EntryPart | DirectivePart
    facts: Words = ()
    words: tuple[Text, ...] = ()
    only_with: Word | None = None

    @model_validator(mode="after")
    def _shows_itself(self) -> AskedRow:
        if self.part not in BY_SIGNING and not (self.facts or self.words):
            raise ValueError("facts or words by which the part is recognised")
        return self

    def value(self) -> AskedPart:
        """Give the trade's value."""
        return AskedPart(self.part, self.facts, self.words, self.only_with or "")


class EntryRow(Row):
    """One [[entry]]."""

    key: Word
    title: Text
    kind: EntryKind
    citation: Text
    approved: StrictBool | None = None
    asks: tuple[AskedRow, ...]
    text: LongText

    @model_validator(mode="after")
    def _says_what_is_asked(self) -> EntryRow:
        unsaid = [name for each in self.asks for name in each.facts if f"{{{name}}}" not in self.text]
        if unsaid:
            raise ValueError(f"a text with a place for {', '.join(sorted(set(unsaid)))}")
        return self

    def value(self) -> EntryTemplate:
        """Give the trade's value."""
        asks = tuple(each.value() for each in self.asks)
        return EntryTemplate(self.key, self.title, self.kind, self.citation, self.approved, asks, self.text)


ENTRIES = Kind("entries", "entry", EntryRow)


def load_entry_templates(*folders: Traversable) -> dict[str, EntryTemplate]:
    """Return every template by key: those shipped, then a shop's own. Raises Refused with every fault."""
    shelf = read_shelf(ENTRIES, (shipped(), *folders))
    refuse(shelf.faults)
    return {key: entry.row.value() for key, entry in shelf.entries.items()}
