"""Opening, making and building fleets off the window's thread, before there is a fleet to have jobs on."""

from __future__ import annotations

import logging
from collections.abc import Callable
from datetime import date
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from PySide6.QtCore import QObject, Qt, Signal

if TYPE_CHECKING:
    from concurrent.futures import ThreadPoolExecutor

    from annual_planner.store.session import Fleet

log = logging.getLogger(__name__)


class Opener(QObject):
    """One piece of opening at a time; the answer comes on the window's thread."""

    opened = Signal(object, str)
    """A Fleet and where it is."""
    failed = Signal(object)
    arrived = Signal(object, object)
    """The fleet that a window already waits for, and its facts."""
    missed = Signal(object)
    """That fleet could not be opened: why."""
    glanced = Signal(str, object)
    """A fleet's file, and what was seen of it at a glance; None where nothing was."""
    _answered = Signal(object, str, object)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._unclaimed: Fleet | None = None
        self._answered.connect(self._answer, Qt.ConnectionType.QueuedConnection)

    @cached_property
    def _thread(self) -> ThreadPoolExecutor:
        from concurrent.futures import ThreadPoolExecutor

        return ThreadPoolExecutor(1, "opener")

    def open(self, where: str, *, create: bool = False) -> None:
        """Open the fleet there; `create` makes one where there is none."""
        self._thread.submit(self._attempt, lambda: opened(where, create=create), where)

    def open_sample(self, path: Path) -> None:
        """Open the sample fleet, built afresh where it isn't there yet."""

        def work() -> Fleet:
            if not path.exists():
                build_sample(path)
            return opened(str(path))

        self._thread.submit(self._attempt, work, str(path))

    def glance(self, where: str, look: Callable[[Path], object]) -> None:
        """Look at a file before it is opened; what goes wrong there, opening it will tell."""
        self._thread.submit(self._glance, where, look)

    def _glance(self, where: str, look: Callable[[Path], object]) -> None:
        seen: object = None
        try:
            seen = look(Path(where))
        except Exception:
            log.exception("no glance at %s", where)
        self.glanced.emit(where, seen)

    def fill(self, where: str) -> None:
        """Open a fleet for a window that is shown already and waits for it."""
        self._thread.submit(self._fill, where)

    def _fill(self, where: str) -> None:
        try:
            fleet = self._unclaimed = opened(where)
            facts = facts_of(fleet, where)
        except Exception as caught:
            self._let_go()
            self.missed.emit(caught)
        else:
            self.arrived.emit(fleet, facts)

    def claim(self, fleet: Fleet) -> None:
        """Note that this fleet is in somebody's hands, who closes it."""
        if self._unclaimed is fleet:
            self._unclaimed = None

    def close(self) -> None:
        """Wait for what is under way and end the thread; a fleet that nobody took is closed."""
        self._thread.shutdown(wait=True, cancel_futures=True)
        self._let_go()

    def _let_go(self) -> None:
        """Close the fleet that nobody took: it would keep others from opening it."""
        if self._unclaimed is not None:
            self._unclaimed.close()
            self._unclaimed = None

    def _attempt(self, work: Callable[[], Fleet], where: str) -> None:
        fleet, error = None, None
        try:
            fleet = self._unclaimed = work()
        except Exception as caught:
            error = caught
        self._answered.emit(fleet, where, error)

    def _answer(self, fleet: Fleet | None, where: str, error: Exception | None) -> None:
        if fleet is not None:
            self.opened.emit(fleet, where)
        else:
            self.failed.emit(error)


class FleetFacts(NamedTuple):
    """What the window says about the fleet it shows."""

    name: str
    where: str
    demo: bool = False
    fixed_today: str = ""
    """The day the sample always stands on; empty for a real fleet."""


def facts_of(fleet: Fleet, where: str) -> FleetFacts:
    """Read the facts about a fleet as a whole."""
    from annual_planner.store.fleet_reads import fleet_fact

    with fleet.reading() as work:
        name, demo, fixed = (fleet_fact(work, key) for key in ("name", "demo", "today"))
    place = where.split("?", 1)[0] if "://" in where else where  # an address may go on with options
    return FleetFacts(name or Path(place).stem, where, bool(demo), fixed)


def opened(where: str, *, create: bool = False) -> Fleet:
    """The fleet there, opened. Raises Refused when it can't be."""
    from annual_planner.store.opening import open_fleet

    return open_fleet(where, create=create)


def build_sample(path: Path) -> None:
    """Build the sample under another name first, so that a half-built one is never opened."""
    from demo_fleet.loader import build_demo

    path.parent.mkdir(parents=True, exist_ok=True)
    building = path.with_name(f"building-{path.name}")
    building.unlink(missing_ok=True)
    build_demo(building)
    building.rename(path)


def today_of(fixed: str) -> date:
    """The day to count from: the fleet's own fixed day (the sample has one), else today."""
    return date.fromisoformat(fixed) if fixed else date.today()  # noqa: DTZ011 - the local day is meant
