"""An entry as it is printed, on sheets and on labels."""

from __future__ import annotations

from dataclasses import dataclass

from annual_planner.planning.entries_read import EntriesRead

UNSIGNED = "Not signed with a key; sign in ink."


@dataclass(frozen=True, slots=True)
class PrintedEntry:
    """One entry as it is printed: its book, its text, and who signed it in words (none: not signed)."""

    book: str
    text: str
    signed: tuple[str, ...] = ()


def printed_entries(read: EntriesRead) -> tuple[PrintedEntry, ...]:
    """Entries as they were read, for printing."""
    return tuple(PrintedEntry(each.line.book, each.line.text, each.signed) for each in read.entries)
