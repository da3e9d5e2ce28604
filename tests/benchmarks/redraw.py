"""How long the engine drawing, the tray and the trend chart take to be drawn anew.

    python -m tests.benchmarks.redraw

For engines of 4, 6 and 9 cylinders, at 900 by 700 pixels. Wanted: under 16 ms each, the beat of a screen.
"""

from __future__ import annotations

import os
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import QSettings
from PySide6.QtGui import QPixmap
from PySide6.QtWidgets import QWidget

from annual_planner.desktop.app import application
from annual_planner.desktop.plugs.engine_drawing import EngineDrawing
from annual_planner.desktop.plugs.marks import Arrow, CylinderMark, PlaceMark, TrayPlug
from annual_planner.desktop.plugs.tray_drawing import TrayDrawing
from annual_planner.desktop.plugs.trend_chart import TrendChart
from annual_planner.desktop.plugs.trend_picture import Band, Picture, Point, Run
from annual_planner.desktop.theme import Theme
from annual_planner.library.engines import load_engines
from annual_planner.trade.engines import EngineType
from annual_planner.trade.rotation import usual

WANTED_MS = 16.0
KINDS = ("wrenlake_o4", "wrenlake_o6", "ostermoor_r9")
TURNS = 40
TESTS = 12


def main() -> int:
    """Draw each of them often, print one line."""
    app = application()
    with tempfile.TemporaryDirectory() as folder:
        theme = Theme(app, QSettings(str(Path(folder) / "kept.ini"), QSettings.Format.IniFormat))
        theme.apply()
        shelf = load_engines()
        found = {key: _of(theme, shelf.engine(key)) for key in KINDS}
    said = "; ".join(
        f"{shelf.engine(key).cylinder_count} cylinders: "
        + ", ".join(f"{name} {ms:.1f}" for name, ms in times.items())
        for key, times in found.items()
    )
    worst = max(ms for times in found.values() for ms in times.values())
    print(f"redraw, ms in the middle of {TURNS}: {said}; worst {worst:.1f} (wanted: {WANTED_MS:.0f})")
    return 0 if worst <= WANTED_MS else 1


def _of(theme: Theme, kind: EngineType) -> dict[str, float]:
    return {name: _timed(make(theme, kind)) for name, make in MADE.items()}


def _timed(widget: QWidget) -> float:
    """Milliseconds in the middle; the first ones load fonts and don't count."""
    widget.resize(900, 700)
    onto = QPixmap(900, 700)
    times = []
    for _turn in range(TURNS):
        begun = time.perf_counter()
        widget.render(onto)
        times.append(1000 * (time.perf_counter() - begun))
    return statistics.median(times[3:])


def _engine(theme: Theme, kind: EngineType) -> QWidget:
    made = EngineDrawing(theme, "Engine")
    marks = {at: PlaceMark("0.018", "clean", tag=f"K-{at}") for at in kind.places}
    cylinders = {number: CylinderMark("74/80", "within limits") for number in kind.firing_order}
    made.take(kind, marks, cylinders, [Arrow(old, new) for old, new in usual(kind).moves.items()])
    made.choose(kind.places[0])
    return made


def _tray(theme: Theme, kind: EngineType) -> QWidget:
    made = TrayDrawing(theme, "Tray")
    made.take(kind, {at: TrayPlug(f"K-{at}", at, "0.018", "clean", gasket=True) for at in kind.places})
    return made


def _chart(theme: Theme, kind: EngineType) -> QWidget:
    made = TrendChart(theme, "Trend")
    runs = tuple(
        Run(
            f"Cylinder {number}",
            tuple(Point(100.0 * test, 78.0 - number - test, test, "") for test in range(TESTS)),
            loud=number == 1,
        )
        for number in sorted(kind.firing_order)
    )
    made.take(Picture(runs, "psi", 0, ((60.0, "limit 60"),), Band(1250.0, 1400.0, 1800.0), 1200.0))
    return made


MADE: dict[str, Callable[[Theme, EngineType], QWidget]] = {
    "engine": _engine,
    "tray": _tray,
    "trend": _chart,
}


if __name__ == "__main__":
    sys.exit(main())
