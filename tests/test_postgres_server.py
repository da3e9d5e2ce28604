"""The throw-away server the tests on PostgreSQL run on."""

import psycopg
import pytest

from tests.postgres_server import programs

pytestmark = pytest.mark.postgres


def test_the_server_answers_in_utf8(pg_url: str) -> None:
    with psycopg.connect(pg_url.replace("+psycopg", "")) as connection:
        assert connection.execute("SHOW server_encoding").fetchone() == ("UTF8",)


def test_a_missing_server_fails_and_does_not_skip(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PG_CTL", "/nowhere/pg_ctl")
    with pytest.raises(pytest.fail.Exception, match="no PostgreSQL server found"):
        programs()
