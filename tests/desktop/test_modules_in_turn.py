"""The pages' modules are imported one at a time, none dragging others in behind it."""

import os
import subprocess
import sys

WALK = """
import sys
from importlib import import_module
from annual_planner.desktop.places import PLACES
for place in PLACES:
    for step in place.steps():
        before = {name for name in sys.modules if name.startswith("annual_planner.")}
        import_module(step)
        own = {name for name in sys.modules if name.startswith("annual_planner.")} - before - {step}
        print(step, len([name for name in own if not hasattr(sys.modules[name], "__path__")]))
    place.bring_in()
"""


def test_each_step_brings_in_one_module_or_little_more_and_all_are_there_at_the_end() -> None:
    around = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path), "QT_QPA_PLATFORM": "offscreen"}
    words = [sys.executable, "-c", WALK]
    done = subprocess.run(words, env=around, capture_output=True, text=True, timeout=60, check=True)
    steps = [line.split() for line in done.stdout.splitlines()]
    names = [name for name, _count in steps]
    assert len(names) == len(set(names))
    assert names.index("annual_planner.library.rows") < names.index("annual_planner.library.conditions")
    assert max(int(count) for _name, count in steps) <= 3
