"""How far a long piece of work has come, and whether a person has stopped it. Knows no Qt."""

from __future__ import annotations

from collections.abc import Callable
from threading import Event


class Cancelled(Exception):  # noqa: N818 - a person's wish, not an error
    """A person stopped the work."""


class Progress:
    """A count that work reports to; calling it raises Cancelled once a person has stopped the work."""

    def __init__(self, says: str, heard: Callable[[Progress], None] | None = None) -> None:
        self.says = says
        self.done = 0
        self.total = 0
        self._heard = heard
        self._stopped = Event()

    def __call__(self, done: int, total: int = 0) -> None:
        """Report `done` of `total` parts (0 when the whole isn't known). Raises Cancelled."""
        self.check()
        self.done, self.total = done, total
        if self._heard is not None:
            self._heard(self)

    def check(self) -> None:
        """Raise Cancelled if a person has stopped the work."""
        if self._stopped.is_set():
            raise Cancelled(self.says)

    def cancel(self) -> None:
        """Ask the work to stop at its next report."""
        self._stopped.set()

    @property
    def cancelled(self) -> bool:
        """True once a person has stopped the work."""
        return self._stopped.is_set()

    @property
    def text(self) -> str:
        """What to show: the words and, where the whole is known, the share done."""
        return f"{self.says} ({100 * self.done // self.total} %)" if self.total else f"{self.says} …"
