"""What a hand-over file is made of: the names of its parts, and how much of each is taken."""

from __future__ import annotations

import re

FORMAT = "annual-planner hand-over"
VERSION = 2
"""Of what is written; version 1 had no closing statement."""
READS = (1, 2)

RECORDS = "records.json"
"""Everything that is written down, in the form that the schema describes."""
SCHEMA = "records.schema.json"
"""The published JSON Schema of RECORDS; the same file ships with the program."""
MANIFEST = "manifest.json"
"""SHA-256 and length of every other part."""
STATEMENT = "statement.json"
"""What the keeper says of the file as a whole, signed or not."""
READ_ME = "read-me.txt"
"""For people who open the file without the program."""

PAPER = re.compile(r"papers/([0-9a-f]{64})\.pdf")
PHOTOGRAPH = re.compile(r"photographs/([0-9a-f]{64})\.jpg")
"""Files are named by the SHA-256 of their bytes: no name from outside is ever used as a path."""

MOST_BYTES = 1_000_000_000
"""A whole file, as it lies on the disk, and all that is unpacked from it."""
MOST_PARTS = 10_000
MOST_RECORDS_BYTES = 32_000_000
"""Records of thirty years are some ten million."""
MOST_SMALL_BYTES = 4_000_000
"""The manifest, the schema, the statement and the read-me, each."""
MOST_PAPER_BYTES = 60_000_000
MOST_PHOTOGRAPH_BYTES = 25_000_000
MOST_RATIO = 200
"""How many times larger a part may be than it is packed; JSON of records packs to about a twelfth."""
MOST_VALUES, MOST_TABLES, MOST_NAMES = 800_000, 200_000, 20_000
"""In one part of JSON: values, lists and tables, and names in one table. Many small ones take much memory.

Records of thirty years have some four hundred thousand values."""
LONGEST_TEXT_BYTES, LONGEST_NAME_BYTES, LONGEST_NUMBER = 4_000_000, 300, 40
"""Of one text, one name and one number as they are written."""
DEEPEST = 40
"""Levels of lists and tables within each other; records have fewer than ten."""


def paper_name(sha256: str) -> str:
    """Where a filed paper stands in the file."""
    return f"papers/{sha256}.pdf"


def photograph_name(sha256: str) -> str:
    """Where a photograph stands in the file."""
    return f"photographs/{sha256}.jpg"


def file_name(table: str, sha256: str) -> str:
    """Where the bytes of a row stand in the file."""
    return paper_name(sha256) if table == "filed_paper" else photograph_name(sha256)


def most_bytes(name: str) -> int:
    """The most bytes a part may have; 0 for a name that no part has."""
    if name == RECORDS:
        return MOST_RECORDS_BYTES
    if name in (SCHEMA, STATEMENT, MANIFEST, READ_ME):
        return MOST_SMALL_BYTES
    if PAPER.fullmatch(name):
        return MOST_PAPER_BYTES
    return MOST_PHOTOGRAPH_BYTES if PHOTOGRAPH.fullmatch(name) else 0
