"""Opening a fleet: a file on this computer, or a database on a PostgreSQL server."""

from __future__ import annotations

from pathlib import Path

from sqlalchemy import Engine, inspect
from sqlalchemy.exc import DBAPIError

from annual_planner.store import schema
from annual_planner.store.copying import before_upgrade
from annual_planner.store.engines import file_engine
from annual_planner.store.file_marks import APPLICATION_ID, HEAD
from annual_planner.store.lockfile import FleetLock
from annual_planner.store.named_steps import reached
from annual_planner.store.refusals import FleetInUse, NotAFleet
from annual_planner.store.session import Fleet, refusal_of


def open_fleet(
    where: str | Path, *, create: bool = False, read_only: bool = False, as_it_is: bool = False
) -> Fleet:
    """Open the fleet at a path or a 'postgresql+psycopg://…' address; `create` makes one where there is none.

    An older fleet is brought up to date, a file after a verified backup beside it. `read_only` leaves the
    file to another program that writes to it; with `as_it_is` one of an older release is taken too, to copy.
    Raises NotAFleet when there is none to open, FleetInUse when another program writes to the file.
    """
    text = str(where)
    if text.startswith("postgres") and "://" in text:
        from annual_planner.store.server import open_server  # late: a file needs none of it

        return open_server(text, create=create, read_only=read_only)
    return _open_file(_resolved(text), create=create, read_only=read_only, as_it_is=as_it_is and read_only)


def _resolved(text: str) -> Path:
    try:
        return Path(text).resolve()
    except (OSError, RuntimeError) as fault:  # RuntimeError: links that go round in a ring
        raise NotAFleet(f"{text} can't be looked at: {fault}.", "Check the name.") from fault


def _open_file(path: Path, *, create: bool, read_only: bool, as_it_is: bool) -> Fleet:
    try:
        _check_path(path, create and not read_only)
    except OSError as fault:
        raise NotAFleet(f"{path} can't be looked at: {fault.strerror}.", "Check the name.") from fault
    lock = None if read_only else FleetLock(path)
    new = create and not read_only and not path.exists()
    try:
        if new:
            path.touch()
        engine = file_engine(path, read_only=read_only)
        _prepare_file(engine, path, create=create, read_only=read_only, as_it_is=as_it_is)
    except BaseException:
        if new:
            path.unlink(missing_ok=True)  # made just now and no fleet: it would be in the way of the next try
        if lock is not None:
            lock.release()
        raise
    return Fleet(engine, path=path, lock=lock, read_only=read_only)


def _check_path(path: Path, create: bool) -> None:
    if path.is_dir():
        raise NotAFleet(f"{path} is a folder, not a fleet file.", "Name a file in it.")
    if not path.exists():
        if not create:
            raise NotAFleet(f"There is no fleet file {path}.", "Check the name, or make a new fleet there.")
        if not path.parent.is_dir():
            raise NotAFleet(f"There is no folder {path.parent}.", "Make the folder first.")
    elif not path.is_file():
        raise NotAFleet(f"{path} is a device or a pipe, not a fleet file.", "Choose another file.")
    elif path.stat().st_nlink > 1:
        raise NotAFleet(
            f"{path} has a second name on this disk (a hard link); it can't be guarded under both.",
            "Remove the other name, then open it again.",
        )


def _prepare_file(engine: Engine, path: Path, *, create: bool, read_only: bool, as_it_is: bool) -> None:
    try:
        with engine.connect() as connection:
            marked = connection.exec_driver_sql("PRAGMA application_id").scalar()
            empty = not inspect(connection).get_table_names()
            revision = schema.stored_revision(connection)
    except DBAPIError as fault:
        engine.dispose()
        refusal = refusal_of(fault)
        if isinstance(refusal, FleetInUse):
            raise FleetInUse(f"{path} is kept busy by another program.", "Try again in a moment.") from fault
        damaged = "malformed" in str(fault.orig)
        raise NotAFleet(
            f"{path} can't be opened as a fleet: {fault.orig}.",
            "Keep it aside as it is, and open the last backup instead."
            if damaged
            else "Choose another file.",
        ) from fault
    if empty and marked in (0, APPLICATION_ID) and create:
        _make(engine)
    elif marked != APPLICATION_ID:
        engine.dispose()
        raise NotAFleet(f"{path} is not a fleet of this program.", "Choose another file.")
    elif as_it_is:
        schema.check_known(revision, str(path))
    else:
        _bring_up_to_date(engine, path, revision, read_only)


def _make(engine: Engine) -> None:
    try:
        with engine.execution_options(fleet_write=True).begin() as connection:
            schema.make(connection)
    except DBAPIError as fault:
        engine.dispose()
        refusal = refusal_of(fault)
        if refusal is None:
            raise
        raise refusal from fault


def _bring_up_to_date(engine: Engine, path: Path, revision: str, read_only: bool) -> None:
    schema.check_known(revision, str(path))
    if revision == HEAD:
        return
    if read_only:
        raise NotAFleet(
            f"{path} was written by an older release of this program.",
            "Open it once in the window: it is backed up and brought up to date. Or restore it to a new one.",
        )
    before_upgrade(engine, path, revision)
    reached("backed up")
    schema.upgrade(engine)
