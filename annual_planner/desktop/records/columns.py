"""Columns of the lists of records."""

from __future__ import annotations

from annual_planner.desktop.column_room import LAST_RESORT
from annual_planner.desktop.columns import Column, day_text, spoken_day
from annual_planner.desktop.moment import moment_with_zone
from annual_planner.store.filed_reads import EntryLine, PaperLine
from annual_planner.store.record_rows import SignedLine


def _signed(line: SignedLine) -> str:
    return moment_with_zone(line.signed_at)


def result_word(line: EntryLine) -> str:
    """What an entry says of the airplane: approved, not approved, or nothing."""
    return "" if line.approved is None else "approved" if line.approved else "not approved"


def first_words(text: str) -> str:
    """The line of an entry that says most: the second, behind date and book; else the first."""
    lines = [line for line in text.splitlines() if line.strip()]
    return lines[1] if len(lines) > 1 else "".join(lines)


ENTRY_COLUMNS: tuple[Column[EntryLine], ...] = (
    Column(
        "work_on", "Work of", lambda e: day_text(e.work_on), "work_on", 12, right=True,
        by=lambda e: (e.work_on, e.entry_id), spoken=lambda e: spoken_day(e.work_on),
    ),
    Column("registration", "Airplane", lambda e: e.registration, "registration", 10),
    Column("book", "Book", lambda e: e.book, "book", 11, aside=3),
    Column("kind", "Kind", lambda e: e.kind, "kind", 16, aside=1),
    Column("result", "Result", result_word, "result", 13, aside=2),
    Column("state", "State", lambda e: e.state, "state", 13, sign=lambda e: e.state, aside=LAST_RESORT),
    Column("text", "Text", lambda e: first_words(e.text), width=40, aside=LAST_RESORT + 1),
    Column("package", "Package", lambda e: e.package, "package", 15, hidden=True),
)  # fmt: skip
SIGNED_COLUMNS: tuple[Column[SignedLine], ...] = (
    Column("record", "Link", lambda s: str(s.record_id), "record", 6, right=True, by=lambda s: s.record_id),
    Column("signed_at", "Signed", _signed, "signed_at", 21, by=lambda s: s.signed_at, aside=LAST_RESORT),
    Column("person", "By", lambda s: s.person, "person", 18, aside=LAST_RESORT + 1),
    Column("meaning", "As", lambda s: s.meaning, "meaning", 23, aside=3),
    Column("kind", "What", lambda s: s.kind, "kind", 12, aside=2),
    Column("registration", "Airplane", lambda s: s.registration, "registration", 10, aside=LAST_RESORT + 2),
    Column(
        "work_on",
        "Work of",
        lambda s: day_text(s.work_on),
        "work_on",
        12,
        right=True,
        by=lambda s: str(s.work_on),
        aside=1,
    ),
)
PAPER_COLUMNS: tuple[Column[PaperLine], ...] = (
    Column(
        "made_at",
        "Filed",
        lambda p: moment_with_zone(p.made_at),
        "made_at",
        21,
        by=lambda p: p.made_at,
        aside=LAST_RESORT + 1,
    ),
    Column("title", "Paper", lambda p: p.title, "title", 34),
    Column("registration", "Airplane", lambda p: p.registration, "registration", 10, aside=LAST_RESORT),
    Column("package", "Package", lambda p: p.package, "package", 15, aside=1),
    Column("pages", "Pages", lambda p: str(p.pages), "pages", 7, right=True, by=lambda p: p.pages, aside=2),
    Column("made_by", "By", lambda p: p.made_by, "made_by", 18, aside=3),
)
