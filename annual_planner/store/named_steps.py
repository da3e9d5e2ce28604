"""Names for the steps between which nothing may be left half done, and a hook that hears of them.

Nobody listens in a running program. Tests listen, and end the program at a step to see what is left.
"""

from __future__ import annotations

from collections.abc import Callable

SIGNING = ("try counted", "key unlocked", "chain locked", "link written", "state written", "signed")
MIGRATING = ("backed up", "upgrade begun", "revision applied", "marked", "upgraded")
TAKING_IN = ("airplane written", "received records written", "due list kept", "airplane taken in")
COPYING = ("pages copied", "copy verified", "copy synced", "copy renamed")


def _nobody(step: str) -> None:
    """Hear of a step and do nothing."""


_listener: Callable[[str], None] = _nobody


def reached(step: str) -> None:
    """Say that a named step is behind."""
    _listener(step)


def listen(listener: Callable[[str], None] = _nobody) -> None:
    """Call `listener` at every step from now on; without one, nobody."""
    global _listener
    _listener = listener
