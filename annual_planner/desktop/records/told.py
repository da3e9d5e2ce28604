"""What the lists of entries and signatures ask, and what is told of a chosen one."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING

from annual_planner.desktop.listing import Words
from annual_planner.desktop.records.stored_part import Reads, Whose
from annual_planner.desktop.source import Query
from annual_planner.records.standing import signatures_on
from annual_planner.store.filed_reads import EntryLine, entries_of, entry_ids
from annual_planner.store.record_rows import SignedLine
from annual_planner.store.signed_reads import contents_of, signed_ids, signed_lines
from annual_planner.trade.entry_text import EntryKind
from annual_planner.trade.retention import entry_kept
from annual_planner.trade.seals import seal_text
from annual_planner.trade.shown import shown

if TYPE_CHECKING:
    from annual_planner.store.session import Work

ENTRY_WORDS = Words(
    "entries", "No entries", "Entries are drafted in an annual, under Closing, once its cards are done."
)
SIGNED_WORDS = Words("signatures", "No signatures", "What people sign with their own key is listed here.")
ENTRY_STATES = ("draft", "signed", "superseded")


def _entry_ids(work: Work, query: Query, whose: Whose) -> list[int]:
    order, descending = _order(query, "work_on")
    return entry_ids(
        work,
        aircraft_id=whose.aircraft_id,
        owner_id=whose.owner_id,
        search=query.search,
        state=query.state,
        order=order,
        descending=descending,
        then=query.then,
    )


def _signed_ids(work: Work, query: Query, whose: Whose) -> list[int]:
    order, descending = _order(query, "record")
    return signed_ids(
        work,
        aircraft_id=whose.aircraft_id,
        owner_id=whose.owner_id,
        search=query.search,
        order=order,
        descending=descending,
        then=query.then,
    )


def _order(query: Query, newest_by: str) -> tuple[str, bool]:
    """The order asked for; the newest first where none is."""
    return (query.order, query.descending) if query.order else (newest_by, True)


def entry_html(work: Work, line: EntryLine) -> str:
    """An entry's text, what it corrects, who signed it as what, and how long its owner keeps it."""
    standings = signatures_on(work, "log_entry", [line.entry_id])[line.entry_id]
    signatures = [f"<p><b>{escape(each.says)}</b></p>" for each in standings]
    unsigned = "" if standings else f"<p><i>{escape(line.state)}, not signed</i></p>"
    correction = (
        f"<p>Corrects entry {line.corrects_id}: {escape(line.correction_why)}</p>"
        if line.corrects_id is not None
        else ""
    )
    text = escape(line.text).replace("\n", "<br>")
    return f"<p>{text}</p>{correction}{''.join(signatures)}{unsigned}{_kept(line) if standings else ''}"


def _kept(line: EntryLine) -> str:
    """How long the entry is kept, with the rule; one of a kind unknown here as one for work."""
    kind = {each.value: each for each in EntryKind}.get(line.kind, EntryKind.MAINTENANCE)
    working = entry_kept(kind, line.work_on)
    rules = "; ".join(rule.citation for rule in working.rules)
    return f"<p>The owner's records: {escape(working.result)} ({escape(rules)}).</p>"


def signed_html(work: Work, line: SignedLine) -> str:
    """Exactly what was signed, its seal, and what superseded it."""
    content = contents_of(work, [line.record_id]).get(line.record_id, b"")
    later = f"<p><b>Superseded by record {line.corrected_by_id}.</b></p>" if line.corrected_by_id else ""
    said = f"<p style='white-space:pre-wrap'>{escape(shown(content))}</p>"
    return f"{later}{said}<p>Seal: {escape(seal_text(line.seal))}</p>"


ENTRIES: Reads[EntryLine] = Reads(
    _entry_ids,
    lambda work, ids: entries_of(work, entry_ids=ids),
    lambda line: line.entry_id,
    entry_html,
)
SIGNATURES: Reads[SignedLine] = Reads(_signed_ids, signed_lines, lambda line: line.record_id, signed_html)
