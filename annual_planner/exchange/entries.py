"""Entries as text to read and as values for scripts."""

from __future__ import annotations

from annual_planner.planning.entries_read import EntriesRead, EntryRead
from annual_planner.trade.canonical import moment_text

UNSIGNED = "Not signed with a key."


def entries_text(read: EntriesRead) -> str:
    """Every entry with its book, its text and who signed it; the newest seal at the end."""
    parts = [_text_of(each) for each in read.entries]
    if read.last_seal:
        parts.append(f"Newest seal of the fleet: {read.last_seal}")
    return "\n\n".join(parts) + "\n"


def _text_of(entry: EntryRead) -> str:
    line = entry.line
    head = f"{line.registration}, {line.book}: {line.kind}, {line.state}"
    return "\n".join([head, "-" * len(head), line.text.strip(), *(entry.signed or (UNSIGNED,))])


def entries_values(read: EntriesRead) -> dict[str, object]:
    """One object.

    Keys: aircraft, package (its number), today, demo, last_seal (empty before the first signature) and
    entries, a list: entry_id, book, kind, work_on, approved (true, false, or null where the entry says
    neither), state ('draft', 'signed', 'superseded'), text, corrects_id, correction_why and signatures, a
    list: record (its link in the chain), person, signer (name and certificates as they were signed),
    meaning, work_on, signed_at (UTC), seal, superseded_by, changed (names of what no longer reads as it was
    signed; empty while the signature holds). Dates are ISO text, unknown is null.
    """
    return {
        "aircraft": read.registration,
        "package": read.package,
        "today": read.today,
        "demo": read.demo,
        "last_seal": read.last_seal,
        "entries": [_values_of(each) for each in read.entries],
    }


def _values_of(entry: EntryRead) -> dict[str, object]:
    line = entry.line
    return {
        "entry_id": line.entry_id,
        "book": line.book,
        "kind": line.kind,
        "work_on": line.work_on,
        "approved": line.approved,
        "state": line.state,
        "text": line.text,
        "corrects_id": line.corrects_id,
        "correction_why": line.correction_why,
        "signatures": [
            {
                "record": each.line.record_id,
                "person": each.line.person,
                "signer": each.signer,
                "meaning": each.line.meaning,
                "work_on": each.line.work_on,
                "signed_at": moment_text(each.line.signed_at),
                "seal": each.line.seal,
                "superseded_by": each.line.corrected_by_id,
                "changed": list(each.changed),
            }
            for each in entry.standings
        ],
    }
