"""Photographs of the open card: taken in, looked at, given words, taken away."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from annual_planner.desktop.annual.in_work import forms
from annual_planner.desktop.form import Values
from annual_planner.desktop.moment import moment_of

if TYPE_CHECKING:
    from annual_planner.desktop.annual.in_work.doings import CardDoings
    from annual_planner.records.pictures import Picture
    from annual_planner.store.doing_rows import PhotographLine

CHOOSE = "Choose a photograph first."


class CardPhotographs:
    """Every picture from outside is read in a process of its own, off the window's thread."""

    def __init__(self, doings: CardDoings) -> None:
        self._doings = doings

    def choose(self) -> None:
        """Choose pictures from files."""
        from PySide6.QtWidgets import QFileDialog

        paths, _ = QFileDialog.getOpenFileNames(
            self._doings.tab, "Photographs for the card", "", "Pictures (*.jpg *.jpeg *.png *.webp)"
        )
        self.take_files(paths)

    def take_files(self, paths: list[str]) -> None:
        """Keep these pictures with the card; an open form stays as it is."""
        card = self._doings.card
        if card is None:
            return
        card_id, aircraft_id = card.card.card_id, card.aircraft.aircraft_id
        for path in map(Path, paths):
            self._take_file(path, card_id, aircraft_id)

    def _take_file(self, path: Path, card_id: int, aircraft_id: int) -> None:
        doings = self._doings

        def read(_progress: object) -> Picture:
            from annual_planner.records.picture_process import read_file_apart

            return read_file_apart(path)

        def keep(picture: Picture) -> None:
            from annual_planner.records.photographs import TakePhotograph

            at = moment_of(doings.tab.desk)
            doings.write_result(TakePhotograph(aircraft_id, picture, at, card_id, caption=path.stem))

        doings.tab.desk.jobs.long(
            read, doings.tab, keep, doings.failed, topic=f"photograph {path}", says="Reading the photograph"
        )

    def look_at(self, photograph_id: int) -> None:
        """Show a photograph of the card as large as the window, or larger."""
        from annual_planner.desktop.photograph_window import open_photograph

        doings, line = self._doings, self._line(photograph_id)
        if line is not None:
            open_photograph(doings.tab.desk, photograph_id, line.caption, doings.tab, doings.failed)

    def caption(self) -> None:
        """Write words under the chosen photograph."""
        from annual_planner.records.photographs import SetCaption

        line = self._chosen()
        if line is None:
            return
        doings = self._doings

        def done(values: Values) -> None:
            doings.write(SetCaption(line.photograph_id, line.caption, values["text"]), form)

        form = forms.caption_form(line.caption, done, doings.tab.open.close_form)
        doings.tab.open.open_form(form)

    def drop(self) -> None:
        """Take the chosen photograph away; Undo brings it back."""
        from annual_planner.records.photographs import RemovePhotograph

        line = self._chosen()
        if line is not None:
            self._doings.write(RemovePhotograph(line.photograph_id))

    def _chosen(self) -> PhotographLine | None:
        chosen = self._doings.tab.open.pictures.chosen
        line = self._line(chosen) if chosen is not None else None
        if line is None:
            self._doings.tab.open.say(CHOOSE)
        return line

    def _line(self, photograph_id: int) -> PhotographLine | None:
        card = self._doings.card
        lines = card.photographs if card is not None else ()
        return next((each for each in lines if each.photograph_id == photograph_id), None)
