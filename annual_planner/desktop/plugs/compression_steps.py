"""The steps of a compression test in the order they are done: safety, warmth, set-up."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from PySide6.QtCore import QSize, Qt, QTimer, Signal
from PySide6.QtGui import QMouseEvent, QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QCheckBox, QFrame, QHBoxLayout, QVBoxLayout, QWidget

from annual_planner.desktop.aircraft.record_forms import day_field
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.fields import Field, TextField, TickField
from annual_planner.desktop.form import Form, Values
from annual_planner.desktop.typed import read_celsius, read_decimal, read_signed
from annual_planner.desktop.widgets import button, label
from annual_planner.planning.engine_view import EngineView
from annual_planner.trade.compression_safety import SafetyStep
from annual_planner.trade.pressure import ambient_pressure

HOT_MINUTES = 30
"""Longer after shut-down a test tells little. Common practice, no source."""


class Tick(QWidget):
    """A box to tick with words that wrap beside it; a press on the words ticks it too."""

    def __init__(self, words: str, why: str) -> None:
        super().__init__()
        self.setAccessibleName(words)
        self.box = QCheckBox()
        self.box.setAccessibleName(words)
        self.box.setAccessibleDescription(why)
        self.setToolTip(why)
        said = label(words)
        said.setWordWrap(True)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 2, 0, 2)
        row.addWidget(self.box, 0, Qt.AlignmentFlag.AlignTop)
        row.addWidget(said, 1)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Tick it, or take the tick away."""
        self.box.setFocus(Qt.FocusReason.MouseFocusReason)
        self.box.toggle()
        event.accept()


class Safety(QFrame):
    """What must be so before air goes on: every line is ticked by hand, each time anew."""

    ticked = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.setProperty("sheet", True)
        self.setAccessibleName("Safety steps")
        self.boxes: dict[str, QCheckBox] = {}
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(14, 8, 14, 10)
        self._column.setSpacing(2)
        self._column.addWidget(label("1  Before air goes on", section=True))
        self.still = label("", faint=True)
        self.still.setWordWrap(True)

    def take(self, steps: Sequence[SafetyStep]) -> None:
        """Show these steps, once."""
        if self.boxes:
            return
        for step in steps:
            tick = Tick(step.text, step.why)
            tick.box.toggled.connect(self._follow)
            self.boxes[step.key] = tick.box
            self._column.addWidget(tick)
        self._column.addWidget(self.still)
        self._follow()

    def _follow(self) -> None:
        left = sum(not box.isChecked() for box in self.boxes.values())
        self.still.setText(
            f"▲ {left} still to be ticked; no reading is taken before."
            if left
            else "All ticked. Ctrl+M goes on to the readings."
        )
        self.ticked.emit()

    @property
    def done(self) -> bool:
        """Everything is ticked."""
        return bool(self.boxes) and all(box.isChecked() for box in self.boxes.values())

    @property
    def keys(self) -> tuple[str, ...]:
        """What is ticked."""
        return tuple(key for key, box in self.boxes.items() if box.isChecked())

    def clear(self) -> None:
        """Take every tick away, for the next test."""
        for box in self.boxes.values():
            box.setChecked(False)


class Warmth(QFrame):
    """The time since shut-down, running; readings are taken while the engine is hot."""

    def __init__(self) -> None:
        super().__init__()
        self.setProperty("sheet", True)
        self.setAccessibleName("Time since shut-down")
        self._stopped: datetime | None = None
        self.said = label("", number=True)
        self.says = label("Hot: taken as soon after shut-down as may be.", faint=True)
        self.says.setWordWrap(True)
        self.start = button("Engine is shut down now", self.shut_down)
        self._beat = QTimer(self, interval=1000)
        self._beat.timeout.connect(self._tell)
        row = QHBoxLayout()
        row.addWidget(self.start)
        row.addWidget(self.said, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(14, 8, 14, 10)
        column.addWidget(label("2  Engine hot", section=True))
        column.addLayout(row)
        column.addWidget(self.says)
        self._tell()

    def shut_down(self) -> None:
        """Begin to count."""
        self._stopped = datetime.now().astimezone()
        self._beat.start()
        self._tell()

    def clear(self) -> None:
        """Forget the time."""
        self._stopped = None
        self._beat.stop()
        self._tell()

    @property
    def minutes(self) -> int | None:
        """Whole minutes since shut-down; None when nobody said."""
        since = self._since
        return None if since is None else int(since.total_seconds() // 60)

    @property
    def _since(self) -> timedelta | None:
        return None if self._stopped is None else datetime.now().astimezone() - self._stopped

    def _tell(self) -> None:
        since = self._since
        if since is None:
            self.said.setText("–:––")
            return
        minutes, seconds = divmod(int(since.total_seconds()), 60)
        self.said.setText(f"{minutes}:{seconds:02d}")
        cooling = minutes >= HOT_MINUTES
        self.says.setText(
            "▲ Cooling: run it again, or say below that the test is cold."
            if cooling
            else "Minutes since shut-down. Read while it is hot (common practice, no source for a limit)."
        )


class SetUp(QWidget):
    """When, at which hours and pressure; beside it the tester and the air. Wraps where there is no room."""

    edited = Signal()

    def __init__(self, desk: Desk, view: EngineView) -> None:
        super().__init__()
        self.setAccessibleName("Set up")
        self.forms = (_pressures(desk, view), _air_and_tester(view))
        self._row = QBoxLayout(QBoxLayout.Direction.LeftToRight, self)
        self._row.setContentsMargins(0, 0, 0, 0)
        self._row.setSpacing(8)
        for form in self.forms:
            self._row.addWidget(form, 1)
            for field in form.fields.values():
                field.edited.connect(self.edited)

    def minimumSizeHint(self) -> QSize:
        """As wide as the wider of the two."""
        wide = max(form.minimumSizeHint().width() for form in self.forms)
        return QSize(wide, self._row.minimumSize().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Put them under each other where they don't fit side by side."""
        super().resizeEvent(event)
        both = sum(form.minimumSizeHint().width() for form in self.forms) + self._row.spacing()
        ways = QBoxLayout.Direction
        way = ways.LeftToRight if event.size().width() >= both else ways.TopToBottom
        if way is not self._row.direction():
            self._row.setDirection(way)
            self.updateGeometry()

    @property
    def fields(self) -> dict[str, Field]:
        """Every field by its key."""
        return {key: field for form in self.forms for key, field in form.fields.items()}

    def values(self) -> Values | None:
        """Every value, or None after saying beside each field what is wrong with it."""
        both = [form.values() for form in self.forms]
        found: Values = {}
        for each in both:
            if each is None:
                return None
            found.update(each)
        return found


def _pressures(desk: Desk, view: EngineView) -> Form:
    form = Form("3  Set up", below=True)
    form.add(day_field("tested_on", "Tested on", desk.today))
    hours = TextField("engine_hours", "Engine hours", read_decimal, letters=9)
    hours.put("" if view.engine_hours is None else f"{view.engine_hours:.1f}")
    form.add(hours)
    form.add(number_field("regulated_psi", "Regulated (psi)", "80", needed="At which pressure?"))
    form.add(number_field("restrictor_in", "Restrictor (in)", f"{view.restrictor.value:.3f}"))
    last = view.tests[0].line if view.tests else None
    form.add(TextField("tester", "Tester", letters=12)).put(last.tester if last else "")
    return form


def _air_and_tester(view: EngineView) -> Form:
    last = view.tests[0].line if view.tests else None
    form = Form("Tester and air", below=True)
    form.add(number_field("master_psi", "Master (psi)", "", hint=_of_master(view)))
    form.add(oil_field())
    field_ft = "" if last is None or last.elevation_ft is None else f"{last.elevation_ft:g}"
    form.add(elevation_field(field_ft))
    form.add(number_field("altimeter_inhg", "Altimeter (inHg)", "", hint="Empty: standard air."))
    form.add(TickField("cold", "Cold test", hint="Not for the trend."))
    return form


def _of_master(view: EngineView) -> str:
    needed = view.rule.master_floor
    return "This engine is judged by it." if needed else "Where it was read, the same day."


def number_field(key: str, words: str, start: str = "", *, needed: str = "", hint: str = "") -> TextField:
    """A number that may have a fraction, `start` filled in; None where it is empty and may be."""
    made = TextField(
        key,
        words,
        lambda text: float(read_decimal(text, words.lower())),
        letters=9,
        needed=needed,
        hint=hint,
    )
    made.put(start)
    return made


def oil_field() -> TextField:
    """The temperature of the oil, °C; what is typed in Fahrenheit is said back."""
    return TextField(
        "oil_temperature_c",
        "Oil (°C)",
        read_celsius,
        letters=9,
        hint="Or such as 160 F.",
        echo=lambda oil_c: f"{oil_c:g} °C",
    )


def elevation_field(start: str = "") -> TextField:
    """The field's elevation, ft; below the sea it is below 0."""
    made = TextField("elevation_ft", "Elevation (ft)", lambda text: read_signed(text, "elevation"), letters=9)
    made.put(start)
    return made


def air_of(elevation_ft: float | None, altimeter_inhg: float | None) -> float | None:
    """Pressure of the day, psi absolute; None where nobody gave the field. Refused for impossible ones."""
    return None if elevation_ft is None else ambient_pressure(elevation_ft, altimeter_inhg).value
