"""What is wrong with a fleet's database: its structure, its references, the number of its schema."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice

from sqlalchemy import Connection, LargeBinary, Select, Table, select
from sqlalchemy.exc import DatabaseError

from annual_planner.store import schema
from annual_planner.store.refusals import NotAFleet
from annual_planner.store.session import Fleet

ROWS_AT_ONCE = 1000
MOST_TOLD = 20
"""Rows of one table that are named; a table with more is gone as a whole."""
UNREADABLE = (DatabaseError, ValueError, ArithmeticError, LookupError, TypeError)
"""What reading raises where a row's bytes are no words, day, number or list any more."""


def check(fleet: Fleet) -> list[str]:
    """What is wrong with the fleet's database; empty when nothing is.

    Structure, indexes, references between tables, the schema's number, and in a file that every row can be
    read. It can't tell that rows are missing.
    """
    with fleet.engine.connect() as connection:
        if fleet.path is None:
            return _faults_of_revision(connection)
        return faults_of_file(connection) or list(_unreadable(connection))


def faults_of_file(connection: Connection, *, any_revision: bool = False) -> list[str]:
    """What is wrong with a file; `any_revision`: one of an older release passes too."""
    faults = _faults_of_structure(connection)
    if faults:
        return faults  # rows of a damaged file can't be trusted to tell more
    for table, row, parent, _ in connection.exec_driver_sql("PRAGMA foreign_key_check"):
        faults.append(f"Row {row} of {table} refers to a row of {parent} that is not there.")
    return faults if any_revision else faults + _faults_of_revision(connection)


def _unreadable(connection: Connection) -> Iterator[str]:
    """Rows whose words, days, numbers or lists were damaged within a page that is sound as a page."""
    from annual_planner.store.tables import METADATA

    for table in METADATA.sorted_tables:
        columns = [column for column in table.columns if not isinstance(column.type, LargeBinary)]
        everything = select(*columns)
        try:
            for _ in connection.execute(everything).partitions(ROWS_AT_ONCE):
                pass
        except UNREADABLE:
            yield from islice(_rows_unreadable(connection, table, everything), MOST_TOLD)


def _rows_unreadable(
    connection: Connection, table: Table, everything: Select[tuple[object, ...]]
) -> Iterator[str]:
    keys = list(table.primary_key)
    for row in connection.execute(select(*keys)).all():
        try:
            connection.execute(
                everything.where(*(key == part for key, part in zip(keys, row, strict=True)))
            ).all()
        except UNREADABLE as fault:
            why = fault.orig if isinstance(fault, DatabaseError) else fault
            said = str(why).partition(" with text ")[0]
            yield f"Row {'/'.join(map(str, row))} of {table.name} can't be read: {said}."


def _faults_of_structure(connection: Connection) -> list[str]:
    try:
        found = connection.exec_driver_sql("PRAGMA integrity_check(20)").scalars().all()
    except DatabaseError as fault:
        return [f"The file is damaged: {fault.orig}."]
    said = (part for line in found if line != "ok" for part in str(line).splitlines())
    return [part for part in said if not part.startswith("***")]  # else a heading of the database's own


def _faults_of_revision(connection: Connection) -> list[str]:
    try:
        schema.check_known(schema.stored_revision(connection), "The fleet")
    except NotAFleet as refusal:
        return [refusal.said]
    missing = schema.missing_tables(connection)
    return [f"The table {name} is missing." for name in missing]
