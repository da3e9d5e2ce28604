"""Reading pictures in a process of its own, with limits of memory and time.

A file made to break a decoder ends that process and nothing else. The child (a fresh interpreter) gets the
bytes of a file over a pipe and sends back plain bytes; nothing that it sends is unpickled or run.
"""

from __future__ import annotations

import json
import threading
from multiprocessing import get_context
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Self

from annual_planner.records.pictures import LONGEST_SIDE_PX, MOST_BYTES, REMEDY, Picture, read_picture
from annual_planner.trade.refused import Refused

MOST_MEMORY = 1_500_000_000
"""Bytes of address space: a picture of 50 million pixels, four bytes each, lies there some times over."""
MOST_SECONDS = 30
"""For one picture, from handing it over to its answer."""
MOST_HEAD = 4_000
"""Bytes of the child's first word."""
_JPEG = b"\xff\xd8\xff"
_UNREADABLE = "That file can't be read as a picture."


class PictureReader:
    """Reads pictures one after another in a child, which leaving `with` ends.

    A child that fails is ended; the next picture gets another.
    """

    def __init__(self, *, seconds: float = MOST_SECONDS, memory: int = MOST_MEMORY) -> None:
        self._seconds = seconds
        self._memory = memory
        self._child: _Child | None = None

    def read(self, content: bytes) -> Picture:
        """Read one picture. Refused, with one line, for what is none, is too large, or takes too long."""
        if len(content) > MOST_BYTES:
            raise Refused(f"The file has {len(content) / 1e6:.0f} MB.", REMEDY)
        child = self._child = self._child or _Child(self._memory)
        try:
            return child.read(content, self._seconds)
        except _ChildError as broken:
            self.close()
            raise Refused(broken.said, REMEDY) from broken

    def close(self) -> None:
        """End the child."""
        child, self._child = self._child, None
        if child is not None:
            child.end()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()


def read_apart(content: bytes) -> Picture:
    """Read one picture in a child of its own. Refused as `PictureReader.read`; off the window's thread."""
    with PictureReader() as reader:
        return reader.read(content)


def read_file_apart(path: Path) -> Picture:
    """Read a picture's file in a child of its own. Refused where the file can't be read or is no picture."""
    try:
        if path.stat().st_size > MOST_BYTES:
            raise Refused(f"{path.name} is larger than 25 MB.", "Make the picture smaller first.")
        content = path.read_bytes()
    except OSError as fault:
        said = f"{path.name} can't be read: {fault.strerror or fault}."
        raise Refused(said, "Choose another file.") from fault
    return read_apart(content)


class _ChildError(Exception):
    """The child ended, was ended, or said what makes no sense."""

    def __init__(self, said: str) -> None:
        super().__init__(said)
        self.said = said


class _Child:
    """One process that reads pictures."""

    def __init__(self, memory: int) -> None:
        spawn = get_context("spawn")
        self._pipe, theirs = spawn.Pipe()
        self._process = spawn.Process(target=_read_all, args=(theirs, memory), daemon=True)
        self._process.start()
        theirs.close()

    def read(self, content: bytes, seconds: float) -> Picture:
        """Hand the bytes over and take the answer.

        Raises Refused, and _ChildError where the child is of no use any more.
        """
        late = threading.Event()
        watch = threading.Timer(seconds, self._too_late, (late,))
        watch.start()
        try:
            self._pipe.send_bytes(content)
            return self._answer()
        except (OSError, EOFError, ValueError, KeyError) as fault:
            said = f"Reading the picture took more than {seconds:g} s." if late.is_set() else _UNREADABLE
            raise _ChildError(said) from fault
        finally:
            watch.cancel()

    def _too_late(self, late: threading.Event) -> None:
        late.set()
        self._process.kill()

    def _answer(self) -> Picture:
        head = json.loads(self._pipe.recv_bytes(MOST_HEAD))
        if head.get("refused"):
            raise Refused(str(head["refused"]), str(head["remedy"]))
        jpeg, thumbnail = (self._pipe.recv_bytes(MOST_BYTES) for _ in range(2))
        width, height = int(head["width"]), int(head["height"])
        sound = 1 <= width <= LONGEST_SIDE_PX and 1 <= height <= LONGEST_SIDE_PX
        if not (sound and jpeg.startswith(_JPEG) and thumbnail.startswith(_JPEG)):
            raise ValueError("not what a picture's reader answers")
        return Picture(jpeg, thumbnail, width, height)

    def end(self) -> None:
        """End it and free what it holds."""
        self._pipe.close()
        self._process.kill()
        self._process.join()
        self._process.close()


def _read_all(pipe: Connection, memory: int) -> None:
    """What the child does until its parent is gone."""
    _limit(memory)
    while True:
        try:
            content = pipe.recv_bytes(MOST_BYTES)
        except (EOFError, OSError):
            return
        _tell(pipe, content)


def _tell(pipe: Connection, content: bytes) -> None:
    try:
        picture = read_picture(content)
    except Refused as refused:
        pipe.send_bytes(json.dumps({"refused": refused.said, "remedy": refused.remedy}).encode())
        return
    pipe.send_bytes(json.dumps({"width": picture.width_px, "height": picture.height_px}).encode())
    pipe.send_bytes(picture.jpeg)
    pipe.send_bytes(picture.thumbnail)


def _limit(memory: int) -> None:
    """Take from this process what it doesn't need, where the system knows how."""
    try:
        import resource
    except ImportError:  # no such limits on this system; the time limit holds there too
        return
    for what, most in (
        (resource.RLIMIT_AS, memory),
        (resource.RLIMIT_CORE, 0),
        (resource.RLIMIT_FSIZE, 0),
    ):
        _soft, hard = resource.getrlimit(what)
        allowed = most if hard == resource.RLIM_INFINITY else min(most, hard)
        resource.setrlimit(what, (allowed, allowed))
