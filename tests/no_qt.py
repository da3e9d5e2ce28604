"""A pytest plugin that makes Qt impossible to import: `-p no:pytest-qt -p tests.no_qt`.

With it the tests show that all but the window works on a machine without PySide6, without a second
virtual environment.
"""

import sys
from collections.abc import Sequence
from importlib.abc import MetaPathFinder
from importlib.machinery import ModuleSpec
from types import ModuleType

REFUSED = ("PySide6", "shiboken6")


class RefuseQt(MetaPathFinder):
    """Stands before all finders and answers for Qt's packages as if they were not installed."""

    def find_spec(
        self, fullname: str, path: Sequence[str] | None, target: ModuleType | None = None
    ) -> ModuleSpec | None:
        if fullname.partition(".")[0] in REFUSED:
            raise ModuleNotFoundError(f"{fullname} is kept out of this run", name=fullname)
        return None


if any(name in sys.modules for name in REFUSED):
    raise RuntimeError("Qt is loaded already; give tests.no_qt together with -p no:pytest-qt")
sys.meta_path.insert(0, RefuseQt())
