"""Ends a search when it is asked to."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from threading import Event, Thread
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import CpSolver


@contextmanager
def stopping(solver: CpSolver, stopped: Callable[[], bool]) -> Iterator[None]:
    """Ask every few hundredths of a second whether to stop, while the solver runs."""
    over = Event()

    def watch() -> None:
        while not over.wait(0.03):
            if stopped():
                solver.stop_search()

    watcher = Thread(target=watch, daemon=True)
    watcher.start()
    try:
        yield
    finally:
        over.set()
        watcher.join()
