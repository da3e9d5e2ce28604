"""A hand-over file as it is shown to a person, kept open until they record it or leave it."""

from __future__ import annotations

from collections.abc import Collection
from contextlib import ExitStack
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Self

from annual_planner.exchange.hand_over.reading import HandOverFile, Reads, opened_hand_over
from annual_planner.records.known import AIRPLANE, Same
from annual_planner.records.taking_in import TakeIn
from annual_planner.records.taking_in_preview import Preview, preview
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.store.session import Fleet


@dataclass(frozen=True, slots=True)
class ShownFile:
    """A checked file and what it would record. It stays open: what is recorded is what was shown."""

    file: HandOverFile
    preview: Preview
    _open: ExitStack

    def edit(self, at: datetime, same: Same | None = None) -> TakeIn:
        """The edit that records all of it, to be applied before the file is closed; `same` is known here."""
        return TakeIn(
            self.file.records, self.file.sha256, self.file, at, self.preview.changed, same or Same()
        )

    def same(self, names: Collection[str]) -> Same:
        """What is known here, by the names in the preview and 'airplane'. Raises Refused for another name."""
        offered = {offer.name: offer for offer in self.preview.offers}
        unknown = sorted(set(names) - set(offered) - ({AIRPLANE} if self.preview.again else set()))
        if unknown:
            raise Refused(
                f"'{unknown[0]}' is nothing of the file that may be known here.",
                "Write it as the preview does, or leave it out.",
            )
        said = [offered[name] for name in names if name != AIRPLANE]
        return Same(
            AIRPLANE in names,
            frozenset(each.file_id for each in said if each.table == "assembly"),
            frozenset(each.file_id for each in said if each.table == "person"),
        )

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
