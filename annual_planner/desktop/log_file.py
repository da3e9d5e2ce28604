"""The file of the log."""

from __future__ import annotations

import logging
from functools import cached_property
from pathlib import Path

LARGEST_BYTES, KEPT_FILES = 300_000, 3
FORM = "%(asctime)s %(levelname)s %(name)s: %(message)s"


class LogFile(logging.Handler):
    """Writes into `program.log` in a folder. Most days nothing is logged, and then no file is opened."""

    def __init__(self, folder: Path) -> None:
        super().__init__()
        self.folder = folder

    @cached_property
    def _file(self) -> logging.Handler:
        from logging.handlers import RotatingFileHandler  # with sockets and pickles, which nothing else needs

        file = RotatingFileHandler(
            self.folder / "program.log", maxBytes=LARGEST_BYTES, backupCount=KEPT_FILES, encoding="utf-8"
        )
        file.setFormatter(logging.Formatter(FORM))
        return file

    def emit(self, record: logging.LogRecord) -> None:
        """Write one record."""
        self._file.emit(record)

    def close(self) -> None:
        """Let the file go, where one was opened."""
        if "_file" in vars(self):
            self._file.close()
        super().close()


def log_to(folder: Path) -> None:
    """Write what the program logs into a file in that folder, instead of one named before."""
    folder.mkdir(parents=True, exist_ok=True)
    root = logging.getLogger("annual_planner")
    for old in [handler for handler in root.handlers if isinstance(handler, LogFile)]:
        root.removeHandler(old)
        old.close()
    root.addHandler(LogFile(folder))
