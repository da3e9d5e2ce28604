"""Writing a checked copy of the fleet file, and bringing one back, from the File menu."""

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


def ask_and_restore(parent: QWidget, desk: Desk, strip: Strip) -> None:
    """Ask which backup and under which new name, and write the fleet there off the window's thread."""
    kinds = "Fleet file (*.fleet);;All files (*)"
    source, _ = QFileDialog.getOpenFileName(parent, "Which backup is restored?", "", kinds)
    if not source:
        return
    name = str(Path(source).with_name(f"restored-{desk.today:%Y-%m-%d}.fleet"))
    target, _ = QFileDialog.getSaveFileName(parent, "Restore it to a new file", name, kinds)
    if target:
        restore_backup(desk, strip, Path(source), Path(target))


def restore_backup(desk: Desk, strip: Strip, source: Path, target: Path) -> None:
    """Write the fleet of the backup to a new file and say on the strip how it went; the open fleet stays."""

    def work(_progress: Progress) -> Path:
        from annual_planner.store.backup import restore

        return restore(source, target)

    def done(path: Path) -> None:
        strip.say(
            f"The backup was restored to {path.name} and checked.",
            "Open it with File, Open fleet. The fleet that is open now, and the backup, stay as they are.",
        )

    def failed(error: Exception) -> None:
        if isinstance(error, Refused):
            strip.refuse(error)

    desk.jobs.long(work, strip, done, failed, topic="restore", says="Restoring the backup")
