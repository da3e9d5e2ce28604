"""Working on an open fleet in short transactions."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Self

from sqlalchemy import Engine
from sqlalchemy.exc import DBAPIError, OperationalError
from sqlalchemy.orm import Session
from sqlalchemy.orm.exc import StaleDataError

from annual_planner.store.guards import SAID, TRAIL
from annual_planner.store.lockfile import FleetLock
from annual_planner.store.refusals import CannotWrite, ChangedMeanwhile, FleetInUse, NeverChanged, NotAFleet
from annual_planner.trade.refused import Refused


@dataclass(frozen=True, slots=True)
class Work:
    """One unit of work on the fleet: the session belongs to the store's own modules alone."""

    session: Session
    by: str
    """Name of the person whose work it is."""


class Fleet:
    """An open fleet: a file (SQLite) or a server (PostgreSQL). Made by `opening.open_fleet`."""

    def __init__(
        self,
        engine: Engine,
        *,
        path: Path | None = None,
        lock: FleetLock | None = None,
        read_only: bool = False,
        hang_up: Callable[[], None] = lambda: None,
    ) -> None:
        self.engine = engine
        self.path = path
        """The fleet's file; None on a server."""
        self.read_only = read_only
        self._lock = lock
        self.hang_up = hang_up
        """Ends every connection to a server at once; later work calls anew. On a file it does nothing."""
        server = path is None
        reads = {"isolation_level": "REPEATABLE READ", "postgresql_readonly": True} if server else {}
        writes = {"postgresql_readonly": False} if server else {}
        self._reader = engine.execution_options(**reads)
        self._writer = engine.execution_options(fleet_write=True, **writes)

    @contextmanager
    def reading(self) -> Iterator[Work]:
        """A consistent look at the fleet; nothing can be written."""
        with _said_plainly(), Session(self._reader, autoflush=False) as session:
            yield Work(session, "")

    @contextmanager
    def work(self, by: str) -> Iterator[Work]:
        """One short writing transaction: all of it or nothing.

        Raises ChangedMeanwhile when another person changed the same row first.
        """
        if self.read_only:
            to_change = "Open it for writing" if self.path else "Ask whoever runs the server for the right"
            raise CannotWrite("The fleet is open for reading only.", f"{to_change} to change it.")
        with _said_plainly(), Session(self._writer, expire_on_commit=False) as session, session.begin():
            yield Work(session, by)

    def close(self) -> None:
        """Let go of the fleet; a second call does nothing."""
        self.engine.dispose()
        if self._lock is not None:
            self._lock.release()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()


@contextmanager
def _said_plainly() -> Iterator[None]:
    """Turn the database's own complaints that a person can do something about into words for them."""
    try:
        yield
    except StaleDataError as fault:
        raise ChangedMeanwhile("record") from fault
    except DBAPIError as fault:
        refusal = refusal_of(fault)
        if refusal is None:
            raise
        raise refusal from fault


def refusal_of(fault: DBAPIError) -> Refused | None:
    """What a person can do about the database's complaint; None when it is a fault of the program."""
    from annual_planner.store.server_faults import said_by_server  # late: most fleets never complain

    text = str(fault.orig).lower()
    if SAID in text or TRAIL in text:
        return NeverChanged("What is signed, and the audit trail, is never changed.", "Write a correction.")
    if "locked" in text or "lock timeout" in text or "deadlock" in text:
        return FleetInUse("Another piece of work keeps the fleet busy.", "Try again in a moment.")
    told = said_by_server(fault)
    if told is not None:
        return told
    if "full" in text and isinstance(fault, OperationalError):
        return CannotWrite("The disk is full; nothing was written.", "Make room on the disk, then try again.")
    if "readonly" in text or "read-only" in text or "disk i/o" in text:
        return CannotWrite(f"The fleet could not be written: {fault.orig}.", "Check the folder and the disk.")
    if "malformed" in text or "not a database" in text or "could not decode" in text:
        return NotAFleet(
            f"The fleet file is damaged: {fault.orig}.",
            "Keep it aside and restore the last backup, under a new name.",
        )
    return None
