"""Ends a search when it is asked to."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from threading import Event, Thread

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
