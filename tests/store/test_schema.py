"""The written steps, the mapped tables and what a new fleet gets are one and the same schema."""

from __future__ import annotations

import sqlite3
import subprocess
import sys
from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import Engine, inspect, text

from annual_planner.store import schema
from annual_planner.store.due_reads import due_page
from annual_planner.store.engines import file_engine, server_engine
from annual_planner.store.file_marks import APPLICATION_ID, HEAD, KNOWN
from annual_planner.store.fleet_reads import people
from annual_planner.store.opening import open_fleet
from annual_planner.store.session import Fleet
from annual_planner.store.shop_reads import shop
from annual_planner.store.tables import METADATA
from annual_planner.trade.shop_floor import HolidaysOf
from tests.fleets import new_database


@pytest.fixture(params=["sqlite", pytest.param("postgresql", marks=pytest.mark.postgres)])
def empty(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Callable[[], Engine]]:
    """Makes databases without any table, of one kind."""
    engines: list[Engine] = []

    def make() -> Engine:
        name = f"empty_{len(engines)}_{abs(hash(tmp_path))}"
        if request.param == "sqlite":
            (tmp_path / name).touch()
            engines.append(file_engine(tmp_path / name))
        else:
            engines.append(server_engine(new_database(request.getfixturevalue("pg_url"), name)))
        return engines[-1]

    yield make
    for engine in engines:
        engine.dispose()


def test_the_head_is_the_newest_step() -> None:
    from alembic.config import Config
    from alembic.script import ScriptDirectory

    folder = Path(schema.__file__).parent / "migrations"
    config = Config()
    config.set_main_option("script_location", str(folder))
    steps = [each.revision for each in ScriptDirectory.from_config(config).walk_revisions()]
    assert (steps[0], tuple(reversed(steps))) == (HEAD, KNOWN)


def test_the_steps_lead_to_the_mapped_tables(empty: Callable[[], Engine]) -> None:
    from alembic.autogenerate import compare_metadata
    from alembic.migration import MigrationContext

    engine = empty()
    schema.upgrade(engine)
    with engine.connect() as connection:
        context = MigrationContext.configure(connection, opts={"compare_type": True})
        assert compare_metadata(context, METADATA) == []


def test_a_fleet_made_at_once_is_the_same_as_one_brought_up_step_by_step(empty: Callable[[], Engine]) -> None:
    stepped, at_once = empty(), empty()
    schema.upgrade(stepped)
    with at_once.execution_options(fleet_write=True).begin() as connection:
        schema.make(connection)
    assert described(stepped) == described(at_once)


def test_people_of_an_older_fleet_have_no_cost_of_their_own_and_it_keeps_the_holidays_it_had(
    empty: Callable[[], Engine],
) -> None:
    from alembic import command

    engine = empty()
    with engine.execution_options(fleet_write=True).begin() as connection:
        command.upgrade(schema._config(connection), "0007")
        person = "INSERT INTO person (name, roles, contact, version) VALUES ('Ann Quill', '[]', '', 1)"
        connection.execute(text(person))
    schema.upgrade(engine)
    path = Path(str(engine.url.database)) if engine.dialect.name == "sqlite" else None
    with Fleet(engine, path=path).reading() as work:
        assert [(each.name, each.cost_per_hour) for each in people(work)] == [("Ann Quill", None)]
        assert shop(work).holidays_of == HolidaysOf("US")


def test_what_an_older_fleet_keeps_as_due_is_worked_out_anew_at_the_first_look(
    empty: Callable[[], Engine],
) -> None:
    from alembic import command

    from annual_planner.records.due_today import bring_forward

    engine = empty()
    with engine.execution_options(fleet_write=True).begin() as connection:
        command.upgrade(schema._config(connection), "0008")
        for row in OLD_AIRPLANE:
            connection.execute(text(row))
    schema.upgrade(engine)
    path = Path(str(engine.url.database)) if engine.dialect.name == "sqlite" else None
    fleet = Fleet(engine, path=path)
    assert bring_forward(fleet, "Ann Quill", date(2026, 5, 4)) == 1
    with fleet.reading() as work:
        [line] = due_page(work)
        assert (line.state, line.due_on) == ("overdue", date(2026, 4, 30))
    assert bring_forward(fleet, "Ann Quill", date(2026, 5, 4)) == 0


OLD_AIRPLANE = (
    """INSERT INTO aircraft (id, registration, maker, model, serial, category, uses, features, counts, base,
    notes, version) VALUES
    (1, 'N012AP', 'Harrow', 'Kestrel 2', '17', 'standard', '[]', '[]', '{}', '', '', 1)""",
    """INSERT INTO requirement (id, aircraft_id, key, title, source, citation, force, every_calendar_months,
    logic, recurring, enroute_excess_hours, directive_number, terminated, note, version) VALUES
    (1, 1, 'annual', 'Annual inspection', '', '', 'rule', 12, 'first', TRUE, 0, '', '', '', 1)""",
    """INSERT INTO compliance (requirement_id, done_on, method, entry, done_by, enroute, version) VALUES
    (1, '2025-04-20', '', '', '', FALSE, 1)""",
    """INSERT INTO due (requirement_id, aircraft_id, due_on, state, first_limit, comes_first_on,
    worked_out_on, counts_on, interval, note) VALUES
    (1, 1, '2026-04-30', 'due soon', 'date', '2026-04-30', '2026-04-29', 'airframe', '', '')""",
    """INSERT INTO aircraft_standing (aircraft_id, comes_first_on, first_requirement_id, first_title, state,
    overdue, due_soon) VALUES (1, '2026-04-30', 1, 'Annual inspection', 'due soon', 0, 1)""",
)


def described(engine: Engine) -> dict[str, Any]:
    look = inspect(engine)
    return {
        table: (
            {(c["name"], str(c["type"]), c["nullable"]) for c in look.get_columns(table)},
            {(i["name"], tuple(i["column_names"]), bool(i["unique"])) for i in look.get_indexes(table)},
            {(tuple(k["constrained_columns"]), k["referred_table"]) for k in look.get_foreign_keys(table)},
            {(u["name"], tuple(u["column_names"])) for u in look.get_unique_constraints(table)},
        )
        for table in sorted(look.get_table_names())
    }


def test_an_older_file_is_backed_up_and_then_brought_up_to_date(tmp_path: Path) -> None:
    path = tmp_path / "old.fleet"
    with sqlite3.connect(path) as old:
        old.execute(f"PRAGMA application_id={APPLICATION_ID}")
        old.execute("CREATE TABLE kept (word TEXT)")
        old.execute("INSERT INTO kept VALUES ('still here')")
    old.close()
    with open_fleet(path) as fleet, fleet.engine.connect() as connection:
        assert schema.stored_revision(connection) == HEAD
        assert connection.execute(text("SELECT word FROM kept")).scalar() == "still here"
    backups = list(tmp_path.glob("old.fleet.before-*"))
    assert len(backups) == 1
    with sqlite3.connect(backups[0]) as copy:
        tables = [row[0] for row in copy.execute("SELECT name FROM sqlite_master WHERE type='table'")]
    copy.close()
    assert tables == ["kept"]


def test_opening_a_fleet_of_today_does_not_load_the_migration_library(tmp_path: Path) -> None:
    program = (
        "import sys; from annual_planner.store.opening import open_fleet\n"
        f"open_fleet({str(tmp_path / 'new.fleet')!r}, create=True).close()\n"
        f"open_fleet({str(tmp_path / 'new.fleet')!r}).close()\n"
        "sys.exit('alembic' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", program], check=False).returncode == 0
