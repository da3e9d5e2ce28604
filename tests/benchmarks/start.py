"""How long the program takes to its painted main window, and how much memory, against a bare Qt window.

    python tests/benchmarks/start.py [--runs 7]

Each run is a process of its own, timed from its start, with the words of the command read as the program
reads them. Painted means that the event loop has come round after the first paint event: asking a window that
isn't exposed yet to repaint does nothing. The program paints its window first, then the rows that a glance at
the file gives, and opens the fleet behind them; so three moments are told: the window painted, the list
painted with its rows (memory is taken then), and the fleet open with every question answered (memory is told
for that too: SQLAlchemy has come in). The bare window is PySide6 with one table of as many rows, and Python's
garbage collector as it comes; the program leaves it off until the start is over. Goals: painted in 1.5 times
the bare window's time, and with its rows 1.6 times its memory.
"""

from __future__ import annotations

import argparse
import json
import os
import subprocess
import sys
import tempfile
from pathlib import Path
from statistics import median

ROOT = Path(__file__).resolve().parent.parent.parent
TIME_GOAL, MEMORY_GOAL = 1.5, 1.6

MEASURED = """
import json, resource, time
def since_start():
    with open('/proc/self/stat') as stat:
        started = int(stat.read().rsplit(')', 1)[1].split()[19])
    import os
    ticks = os.sysconf('SC_CLK_TCK')
    return time.clock_gettime(time.CLOCK_BOOTTIME) - started / ticks
def when_painted(window, then):
    from PySide6.QtCore import QEvent, QObject, QTimer
    class Watch(QObject):
        def eventFilter(self, watched, event):
            if event.type() == QEvent.Type.Paint:
                window.removeEventFilter(self)
                QTimer.singleShot(0, lambda: then(since_start()))
            return False
    watch = Watch(window)
    window.installEventFilter(watch)
def measured():
    seconds = since_start()
    with open('/proc/self/status') as status:
        kept = next(int(line.split()[1]) for line in status if line.startswith('VmRSS'))
    return {'s': seconds, 'mb': kept / 1024}
def report(painted, rows=None):
    now = measured()
    rows = rows or now
    print(json.dumps({'painted': painted, **rows, 'open_s': now['s'], 'open_mb': now['mb']}), flush=True)
    import os
    os._exit(0)
"""
BARE = (
    MEASURED
    + """
from PySide6.QtCore import QAbstractTableModel
from PySide6.QtWidgets import QApplication, QMainWindow, QTableView
class Rows(QAbstractTableModel):
    def rowCount(self, parent=None): return 12
    def columnCount(self, parent=None): return 9
    def data(self, index, role=0): return f'{index.row()} {index.column()}' if role == 0 else None
app = QApplication([])
window, view, rows = QMainWindow(), QTableView(), Rows()
view.setModel(rows); window.setCentralWidget(view); window.resize(1200, 760)
window.show(); when_painted(window, report)
app.exec()
"""
)
PROGRAM = (
    MEASURED
    + """
import gc, sys
gc.disable()  # as `annual_planner.commands.screen` does
from pathlib import Path
from annual_planner.__main__ import read_words
read_words(['--fleet', sys.argv[1]])
from annual_planner.desktop.app import Program, application
from PySide6.QtCore import QSettings, QTimer
app = application()
folder = Path(sys.argv[2])
program = Program(app, QSettings(str(folder / 'kept.ini'), QSettings.Format.IniFormat), folder=folder)
program.start(sys.argv[1])
def look(painted):
    listing = program.window.page.airplanes
    if listing.table.rowCount() and listing.table.row_at(0) is not None:
        program.window.repaint(); wait(painted, measured())
    else:
        QTimer.singleShot(1, lambda: look(painted))
def wait(painted, rows):
    jobs = program.window.desk.jobs
    if jobs.is_open and not jobs.awaited:
        report(painted, rows)
    QTimer.singleShot(1, lambda: wait(painted, rows))
when_painted(program.window, look)
app.exec()
"""
)


def main() -> int:
    """Measure in turn, so that a busy minute of the machine touches both alike; print one line."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--runs", type=int, default=7)
    runs: int = parser.parse_args().runs
    sys.path.insert(0, str(ROOT))
    from demo_fleet.loader import build_demo

    with tempfile.TemporaryDirectory() as folder:
        fleet = Path(folder) / "sample.fleet"
        build_demo(fleet)
        _run(PROGRAM, str(fleet), folder)
        pairs = [(_run(BARE), _run(PROGRAM, str(fleet), folder)) for _ in range(runs)]
    bare_s, painted_s = (median(pair[which]["painted"] for pair in pairs) for which in (0, 1))
    rows_s, open_s, open_mb = (
        median(own[what] for _bare, own in pairs) for what in ("s", "open_s", "open_mb")
    )
    bare_mb, own_mb = (median(pair[which]["mb"] for pair in pairs) for which in (0, 1))
    slower, larger = painted_s / bare_s, own_mb / bare_mb
    print(
        f"start: painted in {painted_s:.2f} s against {bare_s:.2f} s bare = {slower:.2f} (goal {TIME_GOAL}), "
        f"with rows in {rows_s:.2f} s = {rows_s / bare_s:.2f}; "
        f"memory with rows: {own_mb:.0f} MB against {bare_mb:.0f} MB = {larger:.2f} (goal {MEMORY_GOAL}); "
        f"fleet open and all answered in {open_s:.2f} s, {open_mb:.0f} MB = {open_mb / bare_mb:.2f}"
    )
    return 0 if slower <= TIME_GOAL and larger <= MEMORY_GOAL else 1


def _run(text: str, *arguments: str) -> dict[str, float]:
    around = {**os.environ, "QT_QPA_PLATFORM": "offscreen", "PYTHONPATH": str(ROOT)}
    around.pop("PYTHONDONTWRITEBYTECODE", None)  # an installed program is compiled
    words = [sys.executable, "-c", text, *arguments]
    done = subprocess.run(words, env=around, capture_output=True, text=True, check=True, timeout=60)
    measured: dict[str, float] = json.loads(done.stdout.splitlines()[-1])
    return measured


if __name__ == "__main__":
    sys.exit(main())
