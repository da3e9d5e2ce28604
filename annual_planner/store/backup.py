"""Backups of a fleet file through the database's own backup, verified before they count."""

from __future__ import annotations

import os
import sqlite3
from datetime import UTC, datetime
from pathlib import Path

from sqlalchemy import Connection, Engine
from sqlalchemy.exc import DatabaseError

from annual_planner.store import schema
from annual_planner.store.engines import file_engine
from annual_planner.store.lockfile import FleetLock
from annual_planner.store.named_steps import reached
from annual_planner.store.refusals import CannotWrite, NotAFleet
from annual_planner.store.session import Fleet
from annual_planner.trade.refused import Refused

_PAGES_AT_A_TIME = 1000


def backup(fleet: Fleet, target: str | Path) -> Path:
    """Write a verified copy of the fleet to `target` and give its path; the fleet stays open.

    Raises Refused where the target exists, the fleet is on a server (its own tools back it up), or the copy
    does not pass.
    """
    if fleet.path is None:
        raise Refused("This fleet is on a server.", "Back it up there with pg_dump, and try restoring it.")
    return _copy(fleet.engine, Path(target).resolve())


def restore(source: str | Path, target: str | Path) -> Path:
    """Write the fleet in the backup `source` to the new file `target`, verified. The backup stays as it is.

    A backup of an older release is brought up to date in the new file. Raises NotAFleet when the source is
    none, Refused where the target exists or the copy does not pass.
    """
    from annual_planner.store.opening import open_fleet

    with open_fleet(source, read_only=True, as_it_is=True) as fleet:
        return _copy(fleet.engine, Path(target).resolve(), up_to_date=True)


def before_upgrade(engine: Engine, path: Path, revision: str) -> Path:
    """A verified backup beside a file that is about to get a newer schema."""
    moment = datetime.now(UTC).strftime("%Y%m%d-%H%M%S-%f")
    return _copy(engine, path.with_name(f"{path.name}.before-{schema.HEAD}-{revision or 'none'}-{moment}"))


def check(fleet: Fleet) -> list[str]:
    """What is wrong with the fleet's database; empty when nothing is.

    Structure, indexes, references between tables, the schema's number. It can't tell that rows are missing.
    """
    with fleet.engine.connect() as connection:
        if fleet.path is not None:
            return _faults_of_file(connection)
        return _faults_of_revision(connection)


def _copy(engine: Engine, target: Path, *, up_to_date: bool = False) -> Path:
    if target.exists():
        raise Refused(f"{target} is already there.", "Choose another name; nothing is written over.")
    if not target.parent.is_dir():
        raise Refused(f"There is no folder {target.parent}.", "Make the folder first.")
    part = target.with_name(target.name + ".part")
    lock = FleetLock(target)
    try:
        part.unlink(missing_ok=True)
        _copy_pages(engine, part)
        reached("pages copied")
        _verify(part)
        reached("copy verified")
        if up_to_date:
            _upgrade(part)
        _settle(part, target)
        reached("copy renamed")
    finally:
        part.unlink(missing_ok=True)
        part.with_name(f"{part.name}-journal").unlink(missing_ok=True)
        lock.release()
    return target


def _copy_pages(engine: Engine, part: Path) -> None:
    raw = engine.raw_connection()
    try:
        copy = sqlite3.connect(part, isolation_level=None)
        try:
            raw.driver_connection.backup(copy, pages=_PAGES_AT_A_TIME)  # type: ignore[union-attr]
            copy.execute("PRAGMA journal_mode=DELETE")  # a backup is one file
        finally:
            copy.close()
    except sqlite3.Error as fault:
        raise CannotWrite(
            f"The backup {part.with_suffix('')} could not be written: {fault}.",
            "Make room on the disk it goes to, or choose another one.",
        ) from fault
    finally:
        raw.close()


def _verify(part: Path) -> None:
    engine = file_engine(part, read_only=True)
    try:
        with engine.connect() as connection:
            faults = _faults_of_file(connection, any_revision=True)
    finally:
        engine.dispose()
    if faults:
        raise CannotWrite(f"The copy does not pass its check: {faults[0]}", "Keep the last good backup.")


def _upgrade(part: Path) -> None:
    """Bring a copy of an older schema up to date."""
    engine = file_engine(part)
    try:
        with engine.connect() as connection:
            revision = schema.stored_revision(connection)
        if revision != schema.HEAD:
            schema.upgrade(engine)
    finally:
        engine.dispose()


def _settle(part: Path, target: Path) -> None:
    """Give the closed and verified copy its name, so that it is there whole or not at all."""
    _sync(part)
    reached("copy synced")
    part.rename(target)
    if os.name == "posix":
        _sync(target.parent)


def _sync(path: Path) -> None:
    handle = os.open(path, os.O_RDONLY if path.is_dir() else os.O_RDWR)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _faults_of_file(connection: Connection, *, any_revision: bool = False) -> list[str]:
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
