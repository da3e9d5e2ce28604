"""What the place shows, read off the window's thread: the engines of an airplane and one of them in full."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from annual_planner.planning.engine_view import EngineView
from annual_planner.store.plug_rows import EnginePlace
from annual_planner.trade.package_states import CLOSED
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.library.shelf import Library
    from annual_planner.store.session import Work


@dataclass(frozen=True, slots=True)
class Seen:
    """An airplane's engines; `view` is None while the one asked for has no type, or there is none."""

    aircraft_id: int
    registration: str
    engines: tuple[EnginePlace, ...]
    position: int
    view: EngineView | None
    open_package_id: int | None = None

    @property
    def engine(self) -> EnginePlace | None:
        """The engine that is asked for."""
        return next((each for each in self.engines if each.position == self.position), None)


def read_seen(
    work: Work, aircraft_id: int, position: int, owner_id: int | None, library: Library, today: date
) -> Seen:
    """Read one engine of an airplane; the first one where that position has none.

    Raises Refused when the airplane is gone or another owner's.
    """
    from annual_planner.planning.engines import read_engine
    from annual_planner.store.fleet_reads import aircraft_sheet, packages
    from annual_planner.store.plug_reads import engine_places

    sheet = aircraft_sheet(work, aircraft_id)
    if owner_id is not None and sheet.owner_id != owner_id:
        raise Refused("This airplane belongs to somebody else.", "Pick one of your own in the fleet list.")
    engines = engine_places(work, aircraft_id)
    positions = [each.position for each in engines]
    wanted = position if position in positions else next(iter(positions), 0)
    engine = next((each for each in engines if each.position == wanted), None)
    known = engine is not None and any(each.key == engine.type_key for each in library.engines)
    view = read_engine(work, aircraft_id, wanted, library, today) if known else None
    still_open = (line for line in packages(work, aircraft_id=aircraft_id) if line.state != CLOSED)
    package = next(still_open, None)
    return Seen(
        aircraft_id, sheet.registration, engines, wanted, view, package.package_id if package else None
    )
