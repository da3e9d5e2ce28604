"""Ends a search when it is asked to."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from threading import Event, Thread
from time import sleep
from typing import Any

OFTEN_S = 0.03


@contextmanager
def stopping(stop: Callable[[], None], stopped: Callable[[], bool]) -> Iterator[None]:
    """Ask every few hundredths of a second whether to stop, and call `stop` while that is so."""
    over = Event()

    def watch() -> None:
        while not over.wait(OFTEN_S):
            if stopped():
                stop()

    watcher = Thread(target=watch, daemon=True)
    watcher.start()
    try:
        yield
    finally:
        over.set()
        watcher.join()


def solve_interruptibly(solver: Any, model: Any, callback: Any = None) -> Any:
    """Run the solver, so that Ctrl-C ends it soon and is raised here as everywhere; gives its status.

    Left to itself the solver takes the interrupt as 'good enough', and afterwards leaves the process without
    any answer to a second one: a plan would be kept that somebody wanted to stop.
    """
    solver.parameters.catch_sigint_signal = False
    with ThreadPoolExecutor(1, "solver") as beside:
        found = beside.submit(solver.solve, model, callback)
        try:
            return found.result()
        except BaseException:
            while not found.done():
                solver.stop_search()  # again and again: it does nothing before the search has begun
                sleep(OFTEN_S)
            raise
