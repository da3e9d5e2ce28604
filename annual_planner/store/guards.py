"""Guards inside the database: what is signed, and the audit trail, can't be changed or removed by any writer.

They hold against every program that goes through the database, this one first. Who owns the file or the
server can take them away; the chain of seals is for that.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy import Connection

SAID = "what is signed is never changed"
"""Stands in every guard's complaint, so that it can be told to people in words."""
TRAIL = "the audit trail is never changed"

_SIGNED_STATES = "('signed', 'superseded')"
_ENTRY_COLUMNS = (
    "id", "aircraft_id", "assembly_id", "package_id", "card_id", "discrepancy_id", "kind", "work_on",
    "approved", "text", "corrects_id", "correction_why",
)  # fmt: skip
_KEY_COLUMNS = ("id", "person_id", "public_key", "made_at")


@dataclass(frozen=True, slots=True)
class Guard:
    """One refusal: on which table, before what, under which condition on OLD and NEW (empty = always)."""

    table: str
    name: str
    before: str
    said: str
    when: str = ""
    when_postgresql: str = ""
    """The condition where PostgreSQL has to write it otherwise."""


def _same(columns: tuple[str, ...], sign: str) -> str:
    return " AND ".join(f"OLD.{name} {sign} NEW.{name}" for name in columns)


def _entry_kept(same: str, facts: str) -> str:
    columns = _same(_ENTRY_COLUMNS, same)
    replaced = f"OLD.state = 'signed' AND NEW.state = 'superseded' AND {columns} AND {facts}"
    return f"OLD.state IN {_SIGNED_STATES} AND NOT ({replaced})"


def _key_kept(same: str) -> str:
    reopened = "(OLD.closed_at IS NOT NULL AND NEW.closed_at IS NULL)"
    return f"NOT ({_same(_KEY_COLUMNS, same)}) OR {reopened}"


_NEXT_LINK = (
    "NEW.link <> COALESCE((SELECT MAX(link) FROM signed_record), 0) + 1 OR NEW.id <> NEW.link OR "
    "NEW.previous_seal <> COALESCE((SELECT seal FROM signed_record ORDER BY link DESC LIMIT 1), "
    f"'{'0' * 64}')"
)
GUARDS = (
    Guard("signed_record", "signed_record_not_changed", "UPDATE", SAID),
    Guard("signed_record", "signed_record_not_removed", "DELETE", SAID),
    Guard("signed_record", "signed_record_next_link", "INSERT", f"{SAID}: links rise by one", _NEXT_LINK),
    Guard(
        "log_entry",
        "log_entry_not_changed",
        "UPDATE",
        SAID,
        _entry_kept("IS", "OLD.facts IS NEW.facts"),
        _entry_kept("IS NOT DISTINCT FROM", "OLD.facts::text = NEW.facts::text"),
    ),
    Guard("log_entry", "log_entry_not_removed", "DELETE", SAID, f"OLD.state IN {_SIGNED_STATES}"),
    Guard(
        "person_key",
        "person_key_not_changed",
        "UPDATE",
        SAID,
        _key_kept("IS"),
        _key_kept("IS NOT DISTINCT FROM"),
    ),
    Guard("person_key", "person_key_not_removed", "DELETE", SAID),
    Guard("audit", "audit_not_changed", "UPDATE", TRAIL),
    Guard("audit", "audit_not_removed", "DELETE", TRAIL),
)
RECEIVED = tuple(
    Guard(table, f"{table}_not_{done}", before, SAID)
    for table in ("received_chain", "received_record")
    for done, before in (("changed", "UPDATE"), ("removed", "DELETE"))
)
"""Guards of what an earlier keeper signed."""
_NEVER_EMPTIED = ("signed_record", "person_key", "audit", "received_chain", "received_record")


def make_guards(connection: Connection, guards: Sequence[Guard] = GUARDS) -> None:
    """Make these guards; their tables are there and the guards are not."""
    write = _on_server if connection.dialect.name == "postgresql" else _in_file
    for guard in guards:
        write(connection, guard)
    if connection.dialect.name == "postgresql":
        for table in _NEVER_EMPTIED:
            if any(guard.table == table for guard in guards):
                _not_emptied(connection, table)


def _in_file(connection: Connection, guard: Guard) -> None:
    when = f" WHEN {guard.when}" if guard.when else ""
    connection.exec_driver_sql(
        f"CREATE TRIGGER {guard.name} BEFORE {guard.before} ON {guard.table}{when} "
        f"BEGIN SELECT RAISE(ABORT, '{guard.said}'); END"
    )


def _on_server(connection: Connection, guard: Guard) -> None:
    when = guard.when_postgresql or guard.when or "TRUE"
    gives = "OLD" if guard.before == "DELETE" else "NEW"
    connection.exec_driver_sql(
        f"CREATE FUNCTION {guard.name}() RETURNS trigger LANGUAGE plpgsql AS $guard$ BEGIN "
        f"IF {when} THEN RAISE EXCEPTION '{guard.said}'; END IF; RETURN {gives}; END $guard$"
    )
    connection.exec_driver_sql(
        f"CREATE TRIGGER {guard.name} BEFORE {guard.before} ON {guard.table} "
        f"FOR EACH ROW EXECUTE FUNCTION {guard.name}()"
    )


def _not_emptied(connection: Connection, table: str) -> None:
    said = TRAIL if table == "audit" else SAID
    name = f"{table}_not_emptied"
    connection.exec_driver_sql(
        f"CREATE FUNCTION {name}() RETURNS trigger LANGUAGE plpgsql AS $guard$ BEGIN "
        f"RAISE EXCEPTION '{said}'; END $guard$"
    )
    connection.exec_driver_sql(
        f"CREATE TRIGGER {name} BEFORE TRUNCATE ON {table} FOR EACH STATEMENT EXECUTE FUNCTION {name}()"
    )
