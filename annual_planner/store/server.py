"""Opening a fleet on a PostgreSQL server, and the addresses by which it is named."""

from __future__ import annotations

import re
from contextlib import closing, suppress
from os import dup
from socket import SHUT_RDWR, socket
from typing import Any
from weakref import WeakSet

from sqlalchemy import URL, Connection, Engine, event, make_url, text
from sqlalchemy.exc import ArgumentError, DBAPIError, ProgrammingError

from annual_planner.store import schema
from annual_planner.store.engines import server_engine
from annual_planner.store.refusals import NoFleetYet, NoRight, NotAFleet
from annual_planner.store.session import Fleet, refusal_of

EXAMPLE = "postgresql+psycopg://bench@shop/fleet"
_DRIVER = "postgresql+psycopg"
_PLAIN = re.compile(r"^postgres(ql)?://")
_PASSWORD = re.compile(r"(://[^:/?@]*):[^@]*@")


def is_server(where: str) -> bool:
    """Say whether it is the address of a server and not the name of a file."""
    return where.startswith("postgres") and "://" in where


def address_of(where: str) -> URL:
    """The address as the driver takes it. Raises NotAFleet for what is none; the password isn't repeated."""
    try:
        return make_url(_PLAIN.sub(f"{_DRIVER}://", where.strip()))
    except (ArgumentError, ValueError) as fault:
        shown = _PASSWORD.sub(r"\1:***@", where)
        raise NotAFleet(f"{shown} is no address of a server.", f"Write it like {EXAMPLE}.") from fault


def without_password(where: str) -> str:
    """The address as it may be kept and shown: a password belongs in neither settings nor log."""
    if not is_server(where):
        return where
    whole = address_of(where).difference_update_query(["password"])
    bare = URL.create(
        whole.drivername, whole.username, None, whole.host, whole.port, whole.database, whole.query
    )
    return bare.render_as_string(hide_password=False)


def with_password(where: str, password: str) -> str:
    """The address with the password typed beside it."""
    return address_of(where).set(password=password).render_as_string(hide_password=False)


def open_server(where: str, *, create: bool, read_only: bool) -> Fleet:
    """Open the fleet on a server; one of an older release is brought up to date in one transaction.

    A login that may only look gets a fleet that is read only. Raises NoFleetYet for an empty database without
    `create`, NotAFleet for one that holds something else, NoRight, ServerAway.
    """
    url = address_of(where)
    try:
        engine = server_engine(url)
    except (ArgumentError, ImportError) as fault:  # another database, or a driver that isn't here
        raise NotAFleet(f"{_shown(url)} is no address of a server.", f"Write it like {EXAMPLE}.") from fault
    lines = Lines(engine)
    try:
        return _opened(engine, lines, _shown(url), create=create, read_only=read_only)
    except DBAPIError as fault:
        engine.dispose()
        raise refusal_of(fault) or _no_option(fault, _shown(url)) or fault from fault
    except BaseException:
        engine.dispose()
        raise


class Lines:
    """The connections of an engine to its server."""

    def __init__(self, engine: Engine) -> None:
        self._open: WeakSet[Any] = WeakSet()
        self._fault: type[Exception] = engine.dialect.loaded_dbapi.Error
        event.listen(engine, "connect", lambda connection, _record: self._open.add(connection))

    def hang_up(self) -> None:
        """Cut them all from this end: a frozen server would let a reader wait on. Later work calls anew."""
        for each in list(self._open):
            with suppress(OSError, self._fault), closing(socket(fileno=dup(each.pgconn.socket))) as line:
                line.shutdown(SHUT_RDWR)


def _opened(engine: Engine, lines: Lines, where: str, *, create: bool, read_only: bool) -> Fleet:
    with engine.connect() as connection:
        revision = schema.stored_revision(connection)
        may_write = not read_only and _may_write(connection, revision)
        strange = not revision and bool(_tables(connection))
    schema.check_known(revision, where)
    if strange:
        raise NotAFleet(
            f"{where} holds tables of something else.", "Name a database of its own for the fleet."
        )
    if not revision and (read_only or not create):
        raise NoFleetYet(f"There is no fleet in {where} yet.", "Start one there, or check the address.")
    if not schema.is_newest(revision):
        _bring_up_to_date(engine, where, revision, may_write=may_write, read_only=read_only)
    return Fleet(engine, read_only=not may_write, hang_up=lines.hang_up)


def _bring_up_to_date(engine: Engine, where: str, revision: str, *, may_write: bool, read_only: bool) -> None:
    if revision and not may_write:
        raise NotAFleet(
            f"{where} was written by an older release of this program.",
            "Open it once in the window: it is brought up to date. Back it up first with pg_dump."
            if read_only
            else "Your login may only look at it: let somebody who may write open it once with this release.",
        )
    try:
        schema.upgrade(engine)
    except DBAPIError as fault:
        refusal = refusal_of(fault)
        if not isinstance(refusal, NoRight):
            raise
        if not revision:
            raise NoRight(
                f"Your login may make no tables in {where}.", "Ask whoever runs the server for that right."
            ) from fault
        raise NoRight(
            f"{where} was written by an older release, and your login may not bring it up to date.",
            "Open it once with this release under the login that made the fleet.",
        ) from fault


def _no_option(fault: DBAPIError, where: str) -> NotAFleet | None:
    """What follows a '?' in the address and the driver doesn't know."""
    if isinstance(fault, ProgrammingError) and fault.statement is None:
        said = (str(fault.orig).splitlines() or [""])[0]
        return NotAFleet(f"{where} is no address of a server: {said}.", f"Write it like {EXAMPLE}.")
    return None


def _may_write(connection: Connection, revision: str) -> bool:
    if not revision:
        return True  # making the tables will tell
    asked = text("SELECT has_table_privilege('audit', 'INSERT') AND NOT pg_is_in_recovery()")
    return bool(connection.execute(asked).scalar())


def _tables(connection: Connection) -> int:
    asked = text("SELECT count(*) FROM information_schema.tables WHERE table_schema = current_schema()")
    return int(connection.execute(asked).scalar() or 0)


def _shown(url: URL) -> str:
    return url.difference_update_query(["password"]).render_as_string(hide_password=True)
