"""The first page: open the sample, start a fleet, join a shop's server, or open a file."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QCloseEvent
from PySide6.QtWidgets import QFileDialog, QFrame, QHBoxLayout, QLabel, QLineEdit, QVBoxLayout, QWidget

from annual_planner.desktop.icons import icon
from annual_planner.desktop.theme import Theme
from annual_planner.desktop.widgets import Strip, button, label

FILTER = "Fleet file (*.fleet);;All files (*)"


class FirstRun(QWidget):
    """Three sheets side by side, each with one button."""

    wants_sample = Signal()
    wants_open = Signal(str)
    wants_new = Signal(str)
    closed = Signal()

    def __init__(self, theme: Theme, folder: Path) -> None:
        super().__init__()
        self.setWindowTitle("Annual Planner")
        self.setObjectName("first-run")
        self.setAccessibleName("First page")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self._theme = theme
        self._folder = folder
        self._drawings: list[tuple[QLabel, str]] = []
        self.strip = Strip()
        self.server = QLineEdit()
        self.server.setPlaceholderText("address of the server")
        self.server.setAccessibleName("Address of the shop's server")
        self.server.returnPressed.connect(self._join)
        self.busy = label("", faint=True)
        self._lay_out()
        theme.changed.connect(self._draw)
        self._draw()

    def _lay_out(self) -> None:
        whole = QVBoxLayout(self)
        whole.setContentsMargins(40, 30, 40, 30)
        whole.addWidget(label("Annual Planner", heading=True))
        said = (
            "Plan a whole annual inspection: what is due, who may do it, in which order. "
            "It advises and never approves: the maker's current instructions, the rules in force and the "
            "person who signs decide."
        )
        under = label(said, faint=True)
        under.setWordWrap(True)
        whole.addWidget(under)
        whole.addWidget(self.strip)
        row = QHBoxLayout()
        row.setSpacing(16)
        row.addWidget(self._sample(), 1)
        row.addWidget(self._own(), 1)
        row.addWidget(self._shop(), 1)
        whole.addSpacing(12)
        whole.addLayout(row)
        whole.addWidget(self.busy)
        whole.addStretch(1)
        whole.addWidget(
            label(
                "The sample and a fleet of your own need no account and no network; nothing leaves this"
                " computer.",
                faint=True,
            )
        )
        line = self.fontMetrics().height()
        self.resize(line * 60, line * 30)

    def _sheet(self, drawing: str, title: str, text: str) -> tuple[QFrame, QVBoxLayout]:
        frame = QFrame()
        frame.setProperty("sheet", True)
        frame.setAccessibleName(title)
        column = QVBoxLayout(frame)
        column.setContentsMargins(16, 16, 16, 16)
        picture = QLabel()
        picture.setAccessibleName(f"{title}: drawing")
        self._drawings.append((picture, drawing))
        words = label(text)
        words.setWordWrap(True)
        column.addWidget(picture)
        column.addWidget(label(title, section=True))
        column.addWidget(words)
        column.addStretch(1)
        return frame, column

    def _sample(self) -> QFrame:
        text = "An invented shop on a grass airfield, with a dozen airplanes. Good for a first look."
        frame, column = self._sheet("fleet", "Look at the sample", text)
        column.addWidget(button("Open the sample fleet", self.open_sample, leading=True))
        return frame

    def _own(self) -> QFrame:
        text = "A new file on this computer, for the airplanes you look after. Changes save themselves."
        frame, column = self._sheet("new", "Start my fleet", text)
        column.addWidget(button("Start a new fleet", self._new))
        column.addWidget(button("Open a fleet file", self._open, quiet=True))
        return frame

    def _shop(self) -> QFrame:
        text = (
            "Several benches on one fleet: the shop's PostgreSQL server. Ask whoever runs it for the address."
        )
        frame, column = self._sheet("server", "Join a shop", text)
        column.addWidget(self.server)
        column.addWidget(button("Join the shop's server", self._join))
        return frame

    def open_sample(self) -> None:
        """Ask for the sample, built first where needed."""
        self._work("Building the sample fleet …", self.wants_sample.emit)

    def failed(self, error: Exception) -> None:
        """Say why a fleet could not be opened."""
        self._free()
        self.strip.say(
            getattr(error, "said", "") or "The fleet could not be opened.", getattr(error, "remedy", "")
        )

    def _new(self) -> None:
        start = str(self._folder / "my.fleet")
        path, _ = QFileDialog.getSaveFileName(self, "Start a new fleet", start, FILTER)
        if path:
            self.start_new(path)

    def start_new(self, path: str) -> None:
        """Make a new fleet there; the ending is added where it is missing."""
        whole = path if Path(path).suffix else f"{path}.fleet"
        self._work("Making the fleet …", lambda: self.wants_new.emit(whole))

    def _open(self) -> None:
        path, _ = QFileDialog.getOpenFileName(self, "Open a fleet", str(self._folder), FILTER)
        if path:
            self._work("Opening …", lambda: self.wants_open.emit(path))

    def _join(self) -> None:
        address = self.server.text().strip()
        if not address.startswith("postgresql"):
            self.strip.say(
                "This is no server address.",
                "It starts with postgresql+psycopg:// and ends with the fleet's name: ask whoever runs it.",
            )
            return
        self._work("Calling the server …", lambda: self.wants_open.emit(address))

    def _work(self, says: str, go: Callable[[], object]) -> None:
        self.strip.put_away()
        self.busy.setText(says)
        go()

    def _free(self) -> None:
        self.busy.setText("")

    def _draw(self) -> None:
        inks, side = self._theme.colours, self._theme.sizes.of(2.6)
        for picture, drawing in self._drawings:
            picture.setPixmap(icon(drawing, inks.accent, large=True).pixmap(QSize(side, side)))

    def closeEvent(self, event: QCloseEvent) -> None:
        """Tell the program that the page is put away."""
        super().closeEvent(event)
        self.closed.emit()
