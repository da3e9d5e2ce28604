"""Lets parts of Python that SQLAlchemy names but doesn't use here wait until somebody uses them.

SQLAlchemy imports asyncio (with sockets and TLS), OpenSSL's hashes, the reader of package metadata and how
Python was built, for uses that this program hasn't. They would take a tenth of the program's memory. A
stand-in takes the place of each in `sys.modules`; the first use of anything in it imports the part.
"""

from __future__ import annotations

import inspect
import sys
from importlib import import_module
from types import ModuleType
from typing import Any

PARTS = ("asyncio", "hashlib", "importlib.metadata", "sysconfig")
GIL = "Py_GIL_DISABLED"


class StandIn(ModuleType):
    """Looks like the module of its name and becomes it at the first use."""

    def __getattr__(self, name: str) -> Any:
        if sys.modules.get(self.__name__) is self:
            del sys.modules[self.__name__]
        return getattr(import_module(self.__name__), name)


def import_when_used(name: str) -> None:
    """Put a stand-in for a part that isn't imported yet."""
    if name in sys.modules:
        return
    made = sys.modules[name] = StandIn(name)
    parent, _, child = name.rpartition(".")
    if parent:
        setattr(import_module(parent), child, made)
    if name == "asyncio":
        made.__dict__["iscoroutine"] = inspect.iscoroutine  # SQLAlchemy looks it up while it is imported
    if name == "sysconfig":
        made.__dict__["get_config_var"] = lambda asked: _built_with(asked, made)


def _built_with(asked: str, stand_in: StandIn) -> object:
    """How Python was built: what SQLAlchemy asks for while it is imported, Python knows by itself."""
    if asked == GIL:
        return int(not getattr(sys, "_is_gil_enabled", lambda: True)())
    return stand_in.__getattr__("get_config_var")(asked)


for part in PARTS:
    import_when_used(part)
