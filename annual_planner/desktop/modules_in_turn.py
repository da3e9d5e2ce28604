"""Works out in what order a page's modules can be imported one at a time, each after those it needs."""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator
from importlib.machinery import ModuleSpec
from importlib.util import find_spec

OWN = "annual_planner"
NAMED = re.compile(r"^(?:from|import) ([\w.]+)(?: import (\([^)]*\)|[^\n]*))?", re.MULTILINE)
"""An import at the left margin: those inside functions, or for the type checker, wait anyway."""
AHEAD = {"annual_planner.library.rows": ("pydantic_core", "pydantic", "pydantic.fields", "pydantic.main")}
"""Parts of another's module that it imports itself only when they are first used, which takes long."""


def not_yet_imported(module: str, seen: set[str] | None = None) -> Iterator[str]:
    """The modules that importing this one would import, each after those that it names itself.

    Only this program's own are looked into; another's stands as one. A module without source (a frozen
    program) stands alone: its import is then one step.
    """
    seen = set() if seen is None else seen
    if module in sys.modules or module in seen or module == "__future__":
        return
    seen.add(module)
    if module.partition(".")[0] == OWN:
        for named in (*AHEAD.get(module, ()), *_named(module)):
            yield from not_yet_imported(named, seen)
    yield module


def _named(module: str) -> Iterator[str]:
    """The modules that this one's source names, also where they are named as parts of their package."""
    for named, parts in NAMED.findall(_source(module)):
        yield named
        if named.startswith(OWN) and getattr(_spec(named), "submodule_search_locations", None) is not None:
            inside = (f"{named}.{part}" for part in re.findall(r"(\w+)(?: as \w+)?", parts))
            yield from (part for part in inside if _spec(part) is not None)


def _source(module: str) -> str:
    spec = _spec(module)
    read = getattr(spec.loader, "get_source", None) if spec is not None else None
    return (read(module) or "") if read is not None else ""


def _spec(module: str) -> ModuleSpec | None:
    try:
        return find_spec(module)
    except (ImportError, ValueError):
        return None
