"""The lock beside a fleet file that keeps a second program from writing to it.

The operating system drops the lock when the program ends, however it ends, so none is ever left behind
stale. The lock is a file of its own: the fleet file itself is touched by the database library alone.
"""

from __future__ import annotations

import os
import sys
from contextlib import suppress
from pathlib import Path

from annual_planner.store.refusals import CannotWrite, FleetInUse

if sys.platform == "win32":
    import msvcrt

    def _try_lock(handle: int) -> None:
        # Far behind the text, so that another program can still read who holds it.
        os.lseek(handle, 1_000_000, os.SEEK_SET)
        msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)

else:
    import fcntl

    def _try_lock(handle: int) -> None:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)


def lock_path(fleet_path: Path) -> Path:
    """Where the lock of a fleet file lies: `NAME.lock` beside it."""
    return fleet_path.with_name(fleet_path.name + ".lock")


class FleetLock:
    """The right to write to one fleet file, held from making to `release`.

    Raises FleetInUse when another program, or this one elsewhere, holds it; CannotWrite when the folder
    takes no file.
    """

    def __init__(self, fleet_path: Path) -> None:
        self.path = lock_path(fleet_path)
        self._handle: int | None = _held(self.path, fleet_path)

    def release(self) -> None:
        """Give the right back; a second call does nothing."""
        if self._handle is None:
            return
        if sys.platform != "win32":
            self.path.unlink(missing_ok=True)
        os.close(self._handle)
        self._handle = None


def _held(path: Path, fleet_path: Path) -> int:
    while True:
        handle = _opened(path)
        try:
            _try_lock(handle)
        except OSError as fault:
            os.close(handle)
            raise FleetInUse(
                said=f"{fleet_path} is open in another program{_holder(path)}.",
                remedy="Close it there first.",
            ) from fault
        if _still_there(path, handle):
            break
        os.close(handle)  # its last holder removed the file between our opening and locking it
    _say_who_holds(handle)
    return handle


def _say_who_holds(handle: int) -> None:
    """Write down who holds the lock. On a full disk it stays unsaid: the lock itself needs no room."""
    with suppress(OSError):
        os.ftruncate(handle, 0)
        os.lseek(handle, 0, os.SEEK_SET)
        os.write(handle, f"process {os.getpid()}\n".encode())


def _opened(path: Path) -> int:
    try:
        return os.open(path, os.O_RDWR | os.O_CREAT, 0o644)
    except OSError as fault:
        raise CannotWrite(
            said=f"No file can be made in {path.parent}: {fault.strerror}.",
            remedy="Allow writing in that folder, or choose another one.",
        ) from fault


def _still_there(path: Path, handle: int) -> bool:
    try:
        return path.stat().st_ino == os.fstat(handle).st_ino
    except FileNotFoundError:
        return False


def _holder(path: Path) -> str:
    try:
        text = path.read_text(encoding="utf-8", errors="replace").strip()
    except OSError:
        return ""
    return f" ({text[:60]})" if text else ""
