"""What every page is given: jobs, look, kept settings, the day, the person and the library."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QSettings

from annual_planner.desktop.jobs import Jobs
from annual_planner.desktop.theme import Theme
from annual_planner.desktop.who import Who

if TYPE_CHECKING:
    from annual_planner.library.shelf import Library

LoadLibrary = Callable[[], "Library"]


class Desk(QObject):
    """The parts a page works with. It knows no page and no window."""

    def __init__(
        self, jobs: Jobs, theme: Theme, settings: QSettings, who: Who, load_library: LoadLibrary
    ) -> None:
        super().__init__()
        self.jobs = jobs
        self.theme = theme
        self.settings = settings
        self.who = who
        self._load_library = load_library
        self._library: Library | None = None
        self.last_moment: datetime | None = None
        """The latest at which something was written down on a day that is fixed."""

    @property
    def today(self) -> date:
        """The day the program works from."""
        return self.jobs.today

    def library(self) -> Library:
        """The library, read on first use. Takes a moment: call it from a job, not on the window's thread."""
        if self._library is None:
            self._library = self._load_library()
        return self._library

    def with_library(
        self,
        asker: QObject,
        done: Callable[[Library], None],
        failed: Callable[[Exception], None] | None = None,
    ) -> None:
        """Hand over the library, at once if it was read before, else when a job has read it."""
        if self._library is not None:
            done(self._library)
            return
        self.jobs.long(
            lambda _p: self.library(), asker, done, failed, topic="library", says="Reading the library"
        )
