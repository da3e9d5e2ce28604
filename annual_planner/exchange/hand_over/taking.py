"""A hand-over file as it is shown to a person, kept open until they record it or leave it."""

from __future__ import annotations

from contextlib import ExitStack
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Self

from annual_planner.exchange.hand_over.reading import HandOverFile, Reads, opened_hand_over
from annual_planner.records.taking_in import Preview, TakeIn, preview

if TYPE_CHECKING:
    from annual_planner.store.session import Fleet


@dataclass(frozen=True, slots=True)
class ShownFile:
    """A checked file and what it would record. It stays open: what is recorded is what was shown."""

    file: HandOverFile
    preview: Preview
    _open: ExitStack

    def edit(self, at: datetime) -> TakeIn:
        """The edit that records all of it; to be applied before the file is closed."""
        return TakeIn(self.file.records, self.file.sha256, self.file, at, self.preview.changed)

    def close(self) -> None:
        """Let go of the file; a second call does nothing."""
        self._open.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()


def shown_file(fleet: Fleet, path: Path, today: date, read: Reads | None = None) -> ShownFile:
    """Open a hand-over file and see what it would record; `read` decodes photographs where given.

    Raises Refused, with one line, for a file that can't be taken in.
    """
    with ExitStack() as stack:
        found = stack.enter_context(opened_hand_over(path, read))
        with fleet.reading() as work:
            shown = preview(work, found.records, today)
        return ShownFile(found, shown, stack.pop_all())
