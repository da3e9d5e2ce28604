"""How the window looks: one table of colours by meaning, light and dark; sizes in units of the text."""

from __future__ import annotations

from typing import Literal, NamedTuple, cast

import shiboken6
from PySide6.QtCore import QObject, QSettings, Qt, Signal
from PySide6.QtGui import QColor, QFont, QFontDatabase, QFontMetricsF, QPalette
from PySide6.QtWidgets import QApplication, QWidget

from annual_planner.desktop import sheet
from annual_planner.desktop.colours import Colours, colours
from annual_planner.desktop.resource import resource_path

Scheme = Literal["system", "light", "dark"]
BASE_POINTS = 10.0
SMALLEST, LARGEST, STEP = 80, 200, 10
BENCH_TARGET_MM = 12.0
BENCH_TEXT = 150
FAMILY = "DejaVu Sans"


class Sizes(NamedTuple):
    """Lengths in pixels, all made from the height of a line of text."""

    line: float
    target: float
    """Least height of anything to be pressed."""

    def of(self, lines: float) -> int:
        """So many lines of text, in whole pixels."""
        return max(1, round(self.line * lines))


class Theme(QObject):
    """Colours, text size and bench size in force; `changed` tells those who draw by hand."""

    changed = Signal()

    def __init__(self, app: QApplication, settings: QSettings) -> None:
        super().__init__(app)
        self._app = app
        self._settings = settings
        self.scheme = cast(Scheme, settings.value("look/scheme", "system"))
        self.percent = int(str(settings.value("look/text", 100)))
        self.bench = str(settings.value("look/bench", "false")) == "true"
        self.colours: Colours = colours(dark=False)
        self._sheet = ""
        self._dressed: list[QWidget] = []
        self.sizes = Sizes(16, 28)
        for name in ("DejaVuSans.ttf", "DejaVuSans-Bold.ttf"):
            QFontDatabase.addApplicationFont(resource_path("fonts", name))
        app.styleHints().colorSchemeChanged.connect(self._system_changed)

    @property
    def dark(self) -> bool:
        """True when the dark colours are in force."""
        if self.scheme == "system":
            return self._app.styleHints().colorScheme() is Qt.ColorScheme.Dark
        return self.scheme == "dark"

    def apply(self) -> None:
        """Put the look in force over the whole program."""
        self.colours = colours(self.dark)
        font = QFont(FAMILY)
        font.setPointSizeF(BASE_POINTS * max(self.percent, BENCH_TEXT if self.bench else 0) / 100)
        line = QFontMetricsF(font).height()
        screen = self._app.primaryScreen()
        dots_per_mm = screen.logicalDotsPerInch() / 25.4 if screen else 96 / 25.4
        self.sizes = Sizes(line, BENCH_TARGET_MM * dots_per_mm if self.bench else max(24.0, line * 1.6))
        self._app.setFont(font)
        self._app.setPalette(palette(self.colours))
        arrow = resource_path("icons", "arrow_grey.svg")
        tick = resource_path("icons", "tick_dark.svg" if self.dark else "tick_light.svg")
        self._sheet = sheet.style_sheet(self.colours, self.sizes.line, self.sizes.target, arrow, tick)
        self._dressed = [window for window in self._dressed if shiboken6.isValid(window)]
        for window in self._dressed:
            window.setStyleSheet(self._sheet)
        self.changed.emit()

    def dress(self, window: QWidget) -> None:
        """Put the style sheet on a window, once it is put together; it follows every change of look.

        A sheet on the whole program would be applied again at each step of putting a page together, which
        takes six times as long.
        """
        self._dressed.append(window)
        window.setStyleSheet(self._sheet)

    def set_scheme(self, scheme: Scheme) -> None:
        """Light, dark or as the system has it; kept."""
        self.scheme = scheme
        self._keep("look/scheme", scheme)

    def set_percent(self, percent: int) -> None:
        """Text size, 80 to 200 % of the ordinary; kept."""
        self.percent = min(LARGEST, max(SMALLEST, percent))
        self._keep("look/text", self.percent)

    def larger(self) -> None:
        """One step larger text."""
        self.set_percent(self.percent + STEP)

    def smaller(self) -> None:
        """One step smaller text."""
        self.set_percent(self.percent - STEP)

    def ordinary(self) -> None:
        """Ordinary text size again."""
        self.set_percent(100)

    def set_bench(self, on: bool) -> None:
        """Bench size: targets for gloved fingers (12 mm) and larger text; kept."""
        self.bench = on
        self._keep("look/bench", "true" if on else "false")

    def _keep(self, key: str, value: object) -> None:
        self._settings.setValue(key, value)
        self.apply()

    def _system_changed(self) -> None:
        if self.scheme == "system":
            self.apply()


def palette(of: Colours) -> QPalette:
    """Every role by hand: what Fusion would derive goes wrong on a dark ground."""
    made = QPalette()
    role = QPalette.ColorRole
    for which, colour in (
        (role.Window, of.board), (role.WindowText, of.ink), (role.Base, of.paper),
        (role.AlternateBase, of.wash), (role.Text, of.ink), (role.Button, of.paper),
        (role.ButtonText, of.ink), (role.ToolTipBase, of.paper), (role.ToolTipText, of.ink),
        (role.PlaceholderText, of.faint), (role.Highlight, of.chosen), (role.HighlightedText, of.chosen_ink),
        (role.Link, of.accent), (role.LinkVisited, of.accent), (role.Light, of.paper),
        (role.Midlight, of.wash), (role.Mid, of.rule), (role.Dark, of.edge), (role.BrightText, of.ink),
        (role.Shadow, of.edge), (role.Accent, of.accent),
    ):  # fmt: skip
        made.setColor(which, QColor(colour))
    for which in (role.WindowText, role.Text, role.ButtonText):
        made.setColor(QPalette.ColorGroup.Disabled, which, QColor(of.faint))
    return made
