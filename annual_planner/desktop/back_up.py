"""Writing a checked copy of the fleet file, from the File menu."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtWidgets import QFileDialog, QWidget

from annual_planner.desktop.desk import Desk
from annual_planner.desktop.progress import Progress
from annual_planner.desktop.widgets import Strip
from annual_planner.trade.refused import Refused


def ask_and_back_up(parent: QWidget, desk: Desk, strip: Strip) -> None:
    """Ask where to, and write the copy off the window's thread."""
    name = f"fleet-{desk.today:%Y-%m-%d}.fleet"
    chosen, _ = QFileDialog.getSaveFileName(parent, "Back up fleet", name, "Fleet file (*.fleet)")
    if chosen:
        back_up(desk, strip, Path(chosen))


def back_up(desk: Desk, strip: Strip, target: Path) -> None:
    """Write the copy and say on the strip how it went."""
    from annual_planner.store.backup import backup

    def work(_progress: Progress) -> Path:
        backup(desk.jobs.fleet, target)
        return target

    def done(path: Path) -> None:
        strip.say(f"The fleet was copied to {path.name} and the copy was checked.", str(path.parent))

    def failed(error: Exception) -> None:
        if isinstance(error, Refused):
            strip.refuse(error)

    desk.jobs.long(work, strip, done, failed, topic="backup", says="Backing up the fleet")
