"""The fleet's schema: making it, telling which one a fleet has, and bringing an older one up to date."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from sqlalchemy import Connection, Engine, inspect, text

from annual_planner.store.file_marks import APPLICATION_ID, HEAD, KNOWN
from annual_planner.store.guards import GUARDS, RECEIVED, make_guards
from annual_planner.store.named_steps import reached
from annual_planner.store.refusals import NotAFleet

if TYPE_CHECKING:
    from alembic.config import Config

_UPGRADE_LOCK = 0x41504C46


def stored_revision(connection: Connection) -> str:
    """The revision a fleet was last brought to; empty when it has no tables of ours yet."""
    if not inspect(connection).has_table("alembic_version"):
        return ""
    return str(connection.execute(text("SELECT version_num FROM alembic_version")).scalar() or "")


def is_newest(revision: str) -> bool:
    """Say whether a fleet of this revision needs no bringing up to date."""
    return revision == HEAD


def check_known(revision: str, where: str) -> None:
    """Raise NotAFleet for a revision made by a newer program."""
    if revision and revision not in KNOWN:
        raise NotAFleet(
            said=f"{where} was written by a newer release of this program (schema {revision}, known {HEAD}).",
            remedy="Open it with that release, or a later one.",
        )


def make(connection: Connection) -> None:
    """Make all tables of the present schema in an empty database, and write down which it is."""
    _make_tables(connection)
    make_guards(connection, (*GUARDS, *RECEIVED))
    connection.execute(
        text(
            "CREATE TABLE alembic_version (version_num VARCHAR(32) NOT NULL, "
            "CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num))"
        )
    )
    connection.execute(text("INSERT INTO alembic_version VALUES (:head)"), {"head": HEAD})
    mark(connection)


def _make_tables(connection: Connection) -> None:
    """Tables and indexes, always in the same order: the same rows then make the same file, byte for byte."""
    from sqlalchemy.schema import AddConstraint, CreateIndex, CreateTable

    from annual_planner.store.tables import METADATA

    for table in METADATA.sorted_tables:
        connection.execute(CreateTable(table))
        for index in sorted(table.indexes, key=lambda each: str(each.name)):
            connection.execute(CreateIndex(index))
    if connection.dialect.supports_alter:  # else they stand in the table itself
        later = (
            key for table in METADATA.sorted_tables for key in table.foreign_key_constraints if key.use_alter
        )
        for key in sorted(later, key=lambda each: str(each.name)):
            connection.execute(AddConstraint(key))


def mark(connection: Connection) -> None:
    """Mark a file as a fleet of ours with the number of its schema."""
    if connection.dialect.name == "sqlite":
        connection.exec_driver_sql(f"PRAGMA application_id={APPLICATION_ID}")
        connection.exec_driver_sql(f"PRAGMA user_version={len(KNOWN)}")


def upgrade(engine: Engine) -> None:
    """Bring a fleet to HEAD on the program's own connection; the caller has made a backup of a file.

    On a server one program at a time upgrades: the others wait, and then find it done.
    """
    from alembic import command

    with engine.execution_options(fleet_write=True).begin() as connection:
        if connection.dialect.name == "postgresql":
            connection.execute(text("SELECT pg_advisory_xact_lock(:key)"), {"key": _UPGRADE_LOCK})
        if stored_revision(connection) != HEAD:
            reached("upgrade begun")
            command.upgrade(_config(connection), "head")
            mark(connection)
            reached("marked")
    reached("upgraded")


def _config(connection: Connection) -> Config:
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(Path(__file__).parent / "migrations"))
    config.attributes["connection"] = connection
    return config


def missing_tables(connection: Connection) -> list[str]:
    """Names of the tables that a fleet of the present schema should have and this one lacks."""
    from annual_planner.store.tables import METADATA

    return sorted(set(METADATA.tables) - set(inspect(connection).get_table_names()))
