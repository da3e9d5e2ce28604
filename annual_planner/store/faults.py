"""What is wrong with a fleet's database: its structure, its references, the number of its schema."""

from __future__ import annotations

from sqlalchemy import Connection
from sqlalchemy.exc import DatabaseError

from annual_planner.store import schema
from annual_planner.store.refusals import NotAFleet
from annual_planner.store.session import Fleet


def check(fleet: Fleet) -> list[str]:
    """What is wrong with the fleet's database; empty when nothing is.

    Structure, indexes, references between tables, the schema's number. It can't tell that rows are missing.
    """
    with fleet.engine.connect() as connection:
        if fleet.path is not None:
            return faults_of_file(connection)
        return _faults_of_revision(connection)


def faults_of_file(connection: Connection, *, any_revision: bool = False) -> list[str]:
    """What is wrong with a file; `any_revision`: one of an older release passes too."""
    faults = _faults_of_structure(connection)
    if faults:
        return faults  # rows of a damaged file can't be trusted to tell more
    for table, row, parent, _ in connection.exec_driver_sql("PRAGMA foreign_key_check"):
        faults.append(f"Row {row} of {table} refers to a row of {parent} that is not there.")
    return faults if any_revision else faults + _faults_of_revision(connection)


def _faults_of_structure(connection: Connection) -> list[str]:
    try:
        found = connection.exec_driver_sql("PRAGMA integrity_check(20)").scalars().all()
    except DatabaseError as fault:
        return [f"The file is damaged: {fault.orig}."]
    return [part for line in found if line != "ok" for part in str(line).splitlines()]


def _faults_of_revision(connection: Connection) -> list[str]:
    try:
        schema.check_known(schema.stored_revision(connection), "The fleet")
    except NotAFleet as refusal:
        return [refusal.said]
    missing = schema.missing_tables(connection)
    return [f"The table {name} is missing." for name in missing]
