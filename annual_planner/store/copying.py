"""Copies of a fleet file through the database's own backup, verified before they count."""

from __future__ import annotations

import os
import sqlite3
from datetime import UTC, datetime
from pathlib import Path

from sqlalchemy import Engine

from annual_planner.store import schema
from annual_planner.store.engines import file_engine
from annual_planner.store.faults import faults_of_file
from annual_planner.store.file_marks import HEAD
from annual_planner.store.lockfile import FleetLock
from annual_planner.store.named_steps import reached
from annual_planner.store.refusals import CannotWrite
from annual_planner.trade.refused import Refused

_PAGES_AT_A_TIME = 1000


def before_upgrade(engine: Engine, path: Path, revision: str) -> Path:
    """A verified backup beside a file that is about to get a newer schema."""
    moment = datetime.now(UTC).strftime("%Y%m%d-%H%M%S-%f")
    return copy_verified(engine, path.with_name(f"{path.name}.before-{HEAD}-{revision or 'none'}-{moment}"))


def copy_verified(engine: Engine, target: Path, *, up_to_date: bool = False) -> Path:
    """Write a verified copy to `target`, whole or not at all; `up_to_date`: with the schema of this release.

    Raises Refused where the target exists, CannotWrite where the copy can't be written or does not pass.
    """
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
            faults = faults_of_file(connection, any_revision=True)
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
        if revision != HEAD:
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
