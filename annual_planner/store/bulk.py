"""Writing many rows at once, for demo fleets, imports and benchmarks. No audit lines, no checks."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from sqlalchemy import bindparam, insert, text

from annual_planner.store.session import Work
from annual_planner.store.writing import mapped

CHUNK = 5_000


def insert_many(work: Work, mapping_name: str, rows: Sequence[dict[str, Any]]) -> None:
    """Insert rows given by column name into the table `mapping_name`; the version starts at 1 unless given.

    All rows name the same columns. Raises KeyError for an unknown table.
    """
    if not rows:
        return
    table = mapped(mapping_name).__table__
    start = {"version": 1} if "version" in table.c else {}
    for first in range(0, len(rows), CHUNK):
        work.session.execute(insert(table), [{**start, **row} for row in rows[first : first + CHUNK]])
    if "id" in rows[0]:
        _move_on_counter(work, mapping_name)


def replace_rows(work: Work, mapping_name: str, key: str, value: int, rows: Sequence[dict[str, Any]]) -> None:
    """Put these rows in place of all whose column `key` has this value: one removal, one insertion."""
    table = mapped(mapping_name).__table__
    work.session.execute(table.delete().where(table.c[key] == bindparam("of")), {"of": value})
    if rows:
        work.session.execute(insert(table), list(rows))


def _move_on_counter(work: Work, table: str) -> None:
    """PostgreSQL counts ids apart from the rows: set its counter behind the ids just given."""
    if work.session.get_bind().dialect.name != "postgresql":
        return
    work.session.execute(
        text(f"SELECT setval(pg_get_serial_sequence('{table}', 'id'), (SELECT max(id) FROM {table}))")
    )
