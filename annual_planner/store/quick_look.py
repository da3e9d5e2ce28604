"""A quick look at an open fleet file: whether its pages hang together, table by table.

It finds what a failing disk or a copy taken at a bad moment leaves behind. It doesn't compare indexes with
their rows, nor look at references and signatures: `faults.check` and the chain's own check do.
"""

from __future__ import annotations

from collections.abc import Callable

from sqlalchemy.exc import DatabaseError

from annual_planner.store.session import Fleet

MOST_FAULTS = 5
_TABLES = "SELECT name FROM sqlite_schema WHERE type = 'table' ORDER BY name"


def quick_faults(fleet: Fleet, go_on: Callable[[int, int], object] = lambda _done, _of: None) -> list[str]:
    """What is wrong with the file, as the database says it; empty when nothing is, and for a server.

    Each table is a look of its own, so that whoever writes meanwhile waits for one table at most. `go_on` is
    told how far it is and may raise to stop it.
    """
    if fleet.path is None:
        return []
    try:
        tables = _asked(fleet, _TABLES)
        for done, table in enumerate(tables):
            go_on(done, len(tables))
            quoted = table.replace("'", "''")
            found = _asked(fleet, f"PRAGMA quick_check('{quoted}')")
            faults = [part for line in found if line != "ok" for part in line.splitlines()]
            if faults:
                return faults[:MOST_FAULTS]
    except DatabaseError as fault:
        return [str(fault.orig)]
    return []


def _asked(fleet: Fleet, question: str) -> list[str]:
    with fleet.engine.connect() as connection:
        return [str(answer) for answer in connection.exec_driver_sql(question).scalars()]
