"""An engine's history read in from a file, after a look at what it holds, and written out to one."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QStandardPaths
from PySide6.QtWidgets import QFileDialog

from annual_planner.desktop.form import Form, Values
from annual_planner.desktop.plugs.writer import Writer

if TYPE_CHECKING:
    from annual_planner.desktop.progress import Progress
    from annual_planner.exchange.plug_history import HistoryPreview

FILES = "Text with separators (*.csv *.txt)"
MOST_FAULTS = 12
"""Faults that are shown; the file is mended and read again."""


class HistoryFiles(Writer):
    """Asks for a file, shows what it holds or every fault, and writes it only when that is wanted."""

    def start_reading(self) -> None:
        """Ask which file is read in."""
        path, _ = QFileDialog.getOpenFileName(self.page, "Read a history in", _documents(), FILES)
        if path:
            self.read(Path(path))

    def read(self, path: Path) -> None:
        """Read a file off the window's thread and show what it holds."""
        view, desk = self._view, self.page.desk
        if view is None:
            return

        def work(_progress: Progress) -> HistoryPreview:
            from annual_planner.exchange.plug_history import read_plug_history

            return read_plug_history(path, engine=view.engine_type, shelf=desk.library(), today=desk.today)

        desk.jobs.long(
            work,
            self.page,
            lambda found: self._show(path.name, found),
            self.page.failed,
            topic="history",
            says="Reading the file",
        )

    def _show(self, name: str, found: HistoryPreview) -> None:
        page, view = self.page, self._view
        if view is None:
            return
        faults = [str(fault) for fault in found.faults]

        def done(_values: Values) -> None:
            from annual_planner.exchange.history_edit import ApplyHistory

            edit = ApplyHistory(view.assembly_id, found, page.desk.library())
            self._write(edit, form, f"{found.said}: all of it is written down.")

        if faults:
            more = [f"… and {len(faults) - MOST_FAULTS} more."] if len(faults) > MOST_FAULTS else []
            says = "\n".join([*faults[:MOST_FAULTS], *more, "Nothing was written. Mend these lines first."])
            form = Form(f"{name} can't be taken: {len(faults)} faults", "Close", self._leave, says=says)
        else:
            says = (
                f"It holds {found.said}{found.span and f', {found.span}'}. "
                "All of it is written down, or nothing; Undo takes it back."
            )
            form = Form(f"Read {name} in?", "Write it down", done, page.close_form, says=says)
        page.open_form(form)

    def _leave(self, _values: Values) -> None:
        self.page.close_form()

    def start_writing(self) -> None:
        """Ask where the history of this engine goes."""
        view = self._view
        if view is None:
            return
        name = f"{view.registration} engine {view.position} history.csv"
        path, _ = QFileDialog.getSaveFileName(
            self.page, "Write the history out", str(Path(_documents()) / name), FILES
        )
        if path:
            self.write(Path(path))

    def write(self, path: Path) -> None:
        """Write the history of this engine, in the layout in which one is read."""
        view, desk = self._view, self.page.desk
        if view is None:
            return

        def work(_progress: Progress) -> None:
            from annual_planner.exchange.history_out import history_csv
            from annual_planner.store.plug_reads import engine_history

            with desk.jobs.fleet.reading() as reading:
                held = engine_history(reading, view.assembly_id)
            path.write_text(history_csv(held, view.assembly_id), encoding="utf-8", newline="")

        def done(_nothing: None) -> None:
            self.page.strip.say(f"Saved as {path.name}.", str(path.parent))

        desk.jobs.long(work, self.page, done, self.page.failed, topic="history", says="Writing the file")


def _documents() -> str:
    return QStandardPaths.writableLocation(QStandardPaths.StandardLocation.DocumentsLocation)
