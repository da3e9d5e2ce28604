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
from annual_planner.trade.refused import Refused

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
        self.password = QLineEdit()
        self.password.setEchoMode(QLineEdit.EchoMode.Password)
        self.password.setPlaceholderText("password, where it asks for one")
        self.password.setAccessibleName("Password for the shop's server")
        self.password.setToolTip("It is not kept: the next start asks again, unless a password file has it.")
        self.password.returnPressed.connect(self._join)
        self.start_there = button("Start the shop's fleet there", self._start_there)
        self.start_there.hide()
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
        column.addWidget(self.password)
        column.addWidget(button("Join the shop's server", self._join))
        column.addWidget(self.start_there)
        return frame

    def open_sample(self) -> None:
        """Ask for the sample, built first where needed."""
        self._work("Building the sample fleet …", self.wants_sample.emit)

    def call(self, address: str) -> None:
        """Open the fleet of the server at this address, off the window's thread."""
        self._work("Calling the server …", lambda: self.wants_open.emit(address))

    def failed(self, error: Exception) -> None:
        """Say why a fleet could not be opened; an empty database can have one started in it."""
        from annual_planner.store.refusals import NoFleetYet

        self._free()
        self.start_there.setVisible(isinstance(error, NoFleetYet))
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
        address = self._address()
        if address:
            self.call(address)

    def _start_there(self) -> None:
        address = self._address()
        if address:
            self._work("Making the fleet …", lambda: self.wants_new.emit(address))

    def _address(self) -> str:
        """The address with the password typed below it; empty, and said, where it is none."""
        address = self.server.text().strip()
        try:
            if not address.startswith("postgres"):
                raise Refused("This is no server address.")
            return _whole_address(address, self.password.text())
        except Refused as refused:
            remedy = "It starts with postgresql:// and ends with the fleet's name: ask whoever runs it."
            self.strip.say(refused.said, remedy)
            return ""

    def _work(self, says: str, go: Callable[[], object]) -> None:
        self.strip.put_away()
        self.start_there.hide()
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


def _whole_address(address: str, password: str) -> str:
    from annual_planner.store.server import address_of, with_password

    address_of(address)
    return with_password(address, password) if password else address
