"""Connections to a fleet: settings that keep what was committed, and how transactions begin."""

from __future__ import annotations

import sqlite3
from pathlib import Path
from typing import Any

from sqlalchemy import URL, Connection, Engine, create_engine, event, make_url

BUSY_TIMEOUT_MS = 10_000
CACHE_KB = 8_000
"""Of each connection, where it needs so much: one page of a list touches hundreds of pages of a large file,
more than SQLite's own 2 MB hold."""
SERVER_LIMITS = {
    "options": "-c lock_timeout=10000 -c idle_in_transaction_session_timeout=60000 -c timezone=UTC",
    "connect_timeout": 10,
    "keepalives_idle": 20,
    "keepalives_interval": 5,
    "keepalives_count": 3,
    "tcp_user_timeout": 30_000,
}
"""For work on a server, in seconds, the last in milliseconds: a network that is cut says nothing by itself,
and the system would wait a quarter of an hour for it. An address can give others."""


def wal_is_safe(version: tuple[int, int, int]) -> bool:
    """Say whether this SQLite release's write-ahead log is free of the reset fault that can lose commits.

    The fault sits in 3.7.0 to 3.51.2; 3.51.3 mends it, and so do 3.50.7 and 3.44.6.

    >>> wal_is_safe((3, 40, 1)), wal_is_safe((3, 50, 7)), wal_is_safe((3, 51, 2)), wal_is_safe((3, 52, 0))
    (False, True, False, True)
    """
    if version >= (3, 51, 3):
        return True
    return (3, 50, 7) <= version < (3, 51, 0) or (3, 44, 6) <= version < (3, 45, 0)


def journal_settings(version: tuple[int, int, int]) -> tuple[str, str]:
    """Journal mode and sync level that keep every acknowledged commit on this SQLite release."""
    return ("WAL", "FULL") if wal_is_safe(version) else ("DELETE", "EXTRA")


def file_engine(path: Path, *, read_only: bool = False) -> Engine:
    """Connections to a fleet file. Nothing is opened until the first use."""
    mode = "ro" if read_only else "rw"
    engine = create_engine(
        URL.create("sqlite", database=f"file:{_as_uri_path(path)}", query={"mode": mode, "uri": "true"})
    )
    event.listen(engine, "connect", _read_settings if read_only else _write_settings)
    event.listen(engine, "begin", _begin_on_file)
    return engine


def server_engine(url: str | URL) -> Engine:
    """Connections to a fleet on a PostgreSQL server; times are limited so that nobody waits for ever."""
    given = make_url(url)
    args = {key: value for key, value in SERVER_LIMITS.items() if key not in given.query}
    return create_engine(given, pool_pre_ping=True, connect_args=args)


def _as_uri_path(path: Path) -> str:
    return path.as_uri().removeprefix("file://")


def _settings(connection: Any) -> None:
    connection.isolation_level = None  # the 'begin' event below says how a transaction starts
    for setting in (
        f"busy_timeout={BUSY_TIMEOUT_MS}",
        "foreign_keys=ON",
        "trusted_schema=OFF",
        "cell_size_check=ON",
        "mmap_size=0",
        f"cache_size=-{CACHE_KB}",
    ):
        connection.execute(f"PRAGMA {setting}")


def _read_settings(connection: Any, record: object) -> None:
    _settings(connection)


def _write_settings(connection: Any, record: object) -> None:
    _settings(connection)
    journal, sync = journal_settings(sqlite3.sqlite_version_info)
    connection.execute(f"PRAGMA journal_mode={journal}")
    connection.execute(f"PRAGMA synchronous={sync}")


def _begin_on_file(connection: Connection) -> None:
    # A transaction that reads first and writes later would fail at once when another committed in between.
    write = connection.get_execution_options().get("fleet_write", False)
    if (
        connection.info.get("fleet_write") is not write
    ):  # told only when it changes: it costs as much as a look
        connection.exec_driver_sql(f"PRAGMA query_only={'OFF' if write else 'ON'}")
        connection.info["fleet_write"] = write
    connection.exec_driver_sql("BEGIN IMMEDIATE" if write else "BEGIN")
