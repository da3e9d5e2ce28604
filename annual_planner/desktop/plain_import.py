"""Takes PySide6's look into every imported module out of Python's import."""

from __future__ import annotations

import builtins

from annual_planner.desktop.compiled_once import compiled_once

with compiled_once():
    import PySide6.QtCore  # noqa: F401 - it puts its own import in place, which is taken out again here


def import_plainly() -> None:
    """Let an import be Python's own again, once PySide6 is there.

    PySide6 reads the source of each module that is imported after it, to find out whether Qt's functions are
    called by other names there (`from __feature__ import …`, which this program doesn't do), and Python keeps
    all that source: with SQLAlchemy 20 MB, and a third of the time of its import.
    """
    own = getattr(builtins, "__orig_import__", None)
    if own is not None and builtins.__import__ is getattr(builtins, "__feature_import__", None):
        builtins.__import__ = own
