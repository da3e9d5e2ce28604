"""The guards are there however a fleet was made, and hold against statements that go past the program."""

from __future__ import annotations

from pathlib import Path

import pytest
from sqlalchemy import Engine, text
from sqlalchemy.exc import DBAPIError

from annual_planner.store import schema
from annual_planner.store.engines import file_engine, server_engine
from annual_planner.store.guards import GUARDS
from annual_planner.store.session import Fleet
from tests.fleets import new_database
from tests.signing import shop_in, signed_entry


def guards_in(engine: Engine) -> set[str]:
    asks = {
        "sqlite": "SELECT name FROM sqlite_master WHERE type = 'trigger'",
        "postgresql": "SELECT tgname FROM pg_trigger WHERE NOT tgisinternal",
    }
    with engine.connect() as connection:
        return set(connection.execute(text(asks[engine.dialect.name])).scalars())


@pytest.fixture(params=["sqlite", pytest.param("postgresql", marks=pytest.mark.postgres)])
def stepped(request: pytest.FixtureRequest, tmp_path: Path) -> Engine:
    """A database brought up step by step."""
    if request.param == "sqlite":
        (tmp_path / "stepped.fleet").touch()
        engine = file_engine(tmp_path / "stepped.fleet")
    else:
        engine = server_engine(new_database(request.getfixturevalue("pg_url"), "guards_stepped"))
    schema.upgrade(engine)
    return engine


def test_a_fleet_brought_up_step_by_step_has_every_guard(stepped: Engine) -> None:
    found = guards_in(stepped)
    stepped.dispose()
    assert found >= {guard.name for guard in GUARDS}


def test_a_fleet_made_at_once_has_every_guard(fleet: Fleet) -> None:
    assert guards_in(fleet.engine) >= {guard.name for guard in GUARDS}


PAST = (
    "UPDATE signed_record SET meaning = 'supervised'",
    "UPDATE signed_record SET link = link + 1",
    "DELETE FROM signed_record",
    "UPDATE log_entry SET text = 'other'",
    "UPDATE log_entry SET state = 'draft'",
    "DELETE FROM log_entry",
    "UPDATE person_key SET person_id = 1 WHERE person_id = 2",
    "DELETE FROM person_key",
    "UPDATE audit SET what = ''",
    "DELETE FROM audit",
    """INSERT INTO signed_record (id, link, kind, subject_table, subject_id, content, digest, act, signature,
    key_id, person_id, meaning, signed_at, previous_seal, seal) SELECT 9, 9, kind, subject_table, subject_id,
    content, digest, act, signature, key_id, person_id, meaning, signed_at, previous_seal, 'x'
    FROM signed_record""",
)


@pytest.mark.parametrize("statement", PAST)
def test_statements_past_the_program_are_refused(fleet: Fleet, statement: str) -> None:
    shop = shop_in(fleet)
    signed_entry(shop)
    engine = fleet.engine.execution_options(fleet_write=True)
    with pytest.raises(DBAPIError, match="never changed"), engine.begin() as connection:
        connection.execute(text(statement))
    assert shop.aircraft_id == 1


def test_a_signed_entry_may_only_become_a_superseded_one(fleet: Fleet) -> None:
    signed_entry(shop_in(fleet))
    with fleet.engine.execution_options(fleet_write=True).begin() as connection:
        connection.execute(text("UPDATE log_entry SET state = 'superseded'"))
    with fleet.engine.connect() as connection:
        assert connection.execute(text("SELECT state FROM log_entry")).scalar() == "superseded"
