"""Backups of a fleet file, and what brings one back."""

from __future__ import annotations

from pathlib import Path

from annual_planner.store.copying import copy_verified
from annual_planner.store.opening import open_fleet
from annual_planner.store.session import Fleet
from annual_planner.trade.refused import Refused


def backup(fleet: Fleet, target: str | Path) -> Path:
    """Write a verified copy of the fleet to `target` and give its path; the fleet stays open.

    Raises Refused where the target exists, the fleet is on a server (its own tools back it up), or the copy
    does not pass.
    """
    if fleet.path is None:
        raise Refused("This fleet is on a server.", "Back it up there with pg_dump, and try restoring it.")
    return copy_verified(fleet.engine, Path(target).resolve())


def restore(source: str | Path, target: str | Path) -> Path:
    """Write the fleet in the backup `source` to the new file `target`, verified. The backup stays as it is.

    A backup of an older release is brought up to date in the new file. Raises NotAFleet when the source is
    none, Refused where the target exists or the copy does not pass.
    """
    with open_fleet(source, read_only=True, as_it_is=True) as fleet:
        return copy_verified(fleet.engine, Path(target).resolve(), up_to_date=True)
