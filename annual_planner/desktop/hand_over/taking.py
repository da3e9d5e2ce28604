"""Taking an airplane in: the file is checked and shown; nothing is recorded until it is told to be."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from html import escape
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QCheckBox,
    QDialog,
    QFileDialog,
    QGroupBox,
    QHBoxLayout,
    QProgressBar,
    QTextBrowser,
    QVBoxLayout,
    QWidget,
)

from annual_planner.desktop.columns import day_text
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.hand_over.words import (
    FILES,
    counting,
    counts,
    counts_table,
    documents,
    fit,
    heading,
    listed,
    records_said,
    signers_table,
    which_airplane,
)
from annual_planner.desktop.moment import moment_of
from annual_planner.desktop.progress import Progress
from annual_planner.desktop.widgets import Strip, button, label
from annual_planner.trade.refused import Refused
from annual_planner.trade.seals import seal_text

if TYPE_CHECKING:
    from annual_planner.exchange.hand_over.taking import ShownFile
    from annual_planner.records.edits import Changed
    from annual_planner.records.offers import Offer
    from annual_planner.store.hand_over_rows import SentChain

TITLE = "Take an airplane in"
AIRPLANE = "airplane"
SAYS = (
    "Nothing is recorded until you press Take in; then all of it or nothing, and it can't be taken back. "
    "First compare the SHA-256 and the keys with the keeper before."
)
ADD_SAYS = (
    "This airplane is known here. What is new in the file is recorded beside what is here, all of it or "
    "nothing, and can't be taken back; what was signed here stays. First compare the SHA-256 and the keys "
    "with the keeper before."
)
ONE_SAYS = "Ticked, its life is one line with what is here; not ticked, it stands here apart."
Taken = Callable[[int, str], object]


class TakeInDialog(QDialog):
    """Shows what a hand-over file holds and what was checked; `taken` says which airplane was recorded."""

    taken = Signal(int, str)

    def __init__(self, desk: Desk, path: Path, parent: QWidget) -> None:
        super().__init__(parent)
        self.desk = desk
        self.shown: ShownFile | None = None
        self._recording = False
        self.setWindowTitle(TITLE)
        self.setAccessibleName(TITLE)
        self.strip = Strip()
        self.text = QTextBrowser()
        self.text.setAccessibleName("What would be recorded")
        self.text.document().setIndentWidth(desk.theme.sizes.of(1.2))
        self.text.setPlainText("Checking every part of the file …")
        self.bar = QProgressBar()
        self.bar.setAccessibleName("The file is being checked")
        self.bar.setRange(0, 0)
        self.record = button("Take in", self._record, leading=True)
        self.leave = button("Cancel", self.reject)
        for press in (self.record, self.leave):
            press.setAutoDefault(False)
        self.record.setEnabled(False)
        self.same = QGroupBox("The same as here")
        self.same.hide()
        self.boxes: dict[str, QCheckBox] = {}
        """By the name of what is offered as known here."""
        self._lay_out(path.name)
        self.finished.connect(self._let_go)
        self._checking = self._check(path)
        desk.jobs.running.connect(self._follow)

    def _lay_out(self, name: str) -> None:
        self.says = label(SAYS)
        self.says.setWordWrap(True)
        foot = QHBoxLayout()
        foot.addWidget(self.bar, 1)
        foot.addStretch(1)
        foot.addWidget(self.leave)
        foot.addWidget(self.record)
        column = QVBoxLayout(self)
        column.setSpacing(10)
        column.addWidget(label(name, section=True))
        column.addWidget(self.strip)
        column.addWidget(self.text, 1)
        column.addWidget(self.same)
        column.addStretch(0)
        column.addWidget(self.says)
        column.addLayout(foot)
        of = self.desk.theme.sizes.of
        fit(self, of(52), of(42))

    # -- looking at the file -----------------------------------------------------------------------------

    def _check(self, path: Path) -> Progress:
        jobs, today = self.desk.jobs, self.desk.today

        def work(progress: Progress) -> ShownFile:
            from annual_planner.exchange.hand_over.taking import shown_file
            from annual_planner.records.picture_process import PictureReader
            from annual_planner.records.pictures import Picture

            step = counting(progress)
            with PictureReader() as pictures:

                def read(content: bytes) -> Picture:
                    step()
                    return pictures.read(content)

                shown = shown_file(jobs.fleet, path, today, read)
            if progress.cancelled:
                shown.close()
            progress.check()
            return shown

        return jobs.long(work, self, self._take, self._failed, topic="take in", says="Checking the file")

    def _follow(self) -> None:
        """Close once the checking was stopped from elsewhere."""
        if self._checking.cancelled and self._checking not in self.desk.jobs.awaited and self.isVisible():
            super().reject()

    def _take(self, shown: ShownFile) -> None:
        self.shown = shown
        self.bar.hide()
        self.text.setHtml("".join(_told(shown)))
        if shown.preview.again:
            registration = shown.file.records.aircraft["registration"]
            self.record.setText(f"Add to {registration}")
            self.says.setText(ADD_SAYS)
        self._offer([each for each in shown.preview.offers if not each.why_not])
        self.record.setEnabled(self.desk.who.person.may_edit)
        self.leave.setFocus()

    def _offer(self, offers: Sequence[Offer]) -> None:
        """A box for each thing that may be one known here; people are never ticked beforehand."""
        inside = QVBoxLayout(self.same)
        inside.addWidget(label(ONE_SAYS))
        for each in offers:
            box = QCheckBox(f"{each.said[:1].upper()}{each.said[1:]}")
            box.setChecked(each.table == "assembly")
            inside.addWidget(box)
            self.boxes[each.name] = box
        self.same.setVisible(bool(offers))

    def _said_same(self) -> list[str]:
        ticked = [name for name, box in self.boxes.items() if box.isChecked()]
        again = self.shown is not None and self.shown.preview.again
        return [AIRPLANE, *ticked] if again else ticked

    # -- recording it ------------------------------------------------------------------------------------

    def _record(self) -> None:
        if self.shown is not None:
            self._set_recording(True)
            edit = self.shown.edit(moment_of(self.desk), self.shown.same(self._said_same()))
            self.desk.jobs.write(edit, self, self._recorded, self._failed)

    def _set_recording(self, on: bool) -> None:
        self._recording = on
        self.same.setEnabled(not on)
        self.bar.setVisible(on)
        self.record.setEnabled(not on)
        self.leave.setEnabled(not on)

    def _recorded(self, changed: Changed) -> None:
        self._recording = False
        registration = "" if self.shown is None else self.shown.file.records.aircraft["registration"]
        self.accept()
        again = self.shown is not None and self.shown.preview.again
        said = "has what the file added" if again else "is in this fleet now"
        self.taken.emit(changed.aircraft_id, f"{registration} {said}.")

    def _failed(self, error: Exception) -> None:
        self._set_recording(False)
        self.record.setEnabled(False)
        self.record.hide()
        self.same.hide()
        self.says.hide()
        self.leave.setText("Close")
        if isinstance(error, Refused):
            self.strip.refuse(error)
        else:
            self.strip.say("The file could not be taken in. Nothing was recorded.", "Try again.")
        if self.shown is None:
            self._shrink()

    def _shrink(self) -> None:
        """There is nothing to show but what was refused."""
        self.text.hide()
        layout = self.layout()
        if layout is not None:
            layout.activate()
            self.resize(self.width(), layout.totalHeightForWidth(self.width()))

    def reject(self) -> None:
        """Leave, and stop the checking; what is being recorded is waited for."""
        if not self._recording:
            self._checking.cancel()
            super().reject()

    def _let_go(self) -> None:
        if self.shown is not None:
            self.shown.close()


def _told(shown: ShownFile) -> Iterator[str]:
    """What a person reads before they take it in."""
    records, preview = shown.file.records, shown.preview
    last = records.chains[-1]
    yield heading(which_airplane(records))
    yield f"<p>Handed over by {escape(last.keeper)} on {day_text(last.handed_on)}.</p>"
    if preview.again:
        yield heading("Known here already")
        yield listed(preview.again)
    yield heading("To know before")
    yield listed(f"▲ {each}" if each in preview.changed else each for each in preview.remarks)
    yield heading("What was signed")
    for chain in records.chains:
        yield _signed(chain)
    yield heading("SHA-256 of the file, to compare with the keeper before")
    yield f"<p>{shown.file.sha256}</p>"
    yield heading("What it holds")
    yield counts_table(counts(records))
    yield heading("What was checked")
    yield listed(
        (
            "Every part has the length and the SHA-256 that its manifest names; nothing else is in it.",
            "Every record follows the schema, and what it refers to is in the file.",
            "Registration, maker and serial are those of the airplane known here."
            if preview.again
            else "The airplane is not in this fleet yet.",
            "Recorded on trial, its due list could be worked out.",
        )
    )
    if preview.dues:
        yield heading("What would be due first")
        yield listed(
            f"{line.title}: {line.state}{f', {day_text(line.due_on)}' if line.due_on else ''}"
            for line in preview.dues
        )


def _signed(chain: SentChain) -> str:
    said = f"With {escape(chain.keeper)}: {records_said(len(chain.links))}"
    if not chain.links:
        return f"<p>{said} came along.</p>"
    return (
        f"<p>{said}, each unchanged since it was signed and good with its key.</p>{signers_table(chain)}"
        f"<p>Last seal of that keeper: {seal_text(chain.last_seal)}</p>"
    )


def ask_and_take_in(desk: Desk, parent: QWidget, taken: Taken) -> None:
    """Ask for a file and show what it would record."""
    path, _ = QFileDialog.getOpenFileName(parent, TITLE, documents(), FILES)
    if path:
        open_take_in(desk, Path(path), parent, taken)


def open_take_in(desk: Desk, path: Path, parent: QWidget, taken: Taken) -> TakeInDialog:
    """Show what a file would record; `taken` is called with the airplane once it is."""
    dialog = TakeInDialog(desk, path, parent)
    dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    dialog.taken.connect(taken)
    dialog.open()
    return dialog
