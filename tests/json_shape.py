"""The shape of JSON: which keys stand where; and the same as docs/json.md says it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

PAGE = Path(__file__).parents[1] / "docs" / "json.md"
_WORKING = {"title", "result", "inputs", "steps", "rules", "assumptions", "parts"}
FREE, IN_WORKING = "…", "a working"
"""Stand on the page for keys that are the airplane's own, and for what `explain` prints."""

Shape = dict[str, set[str]]


def shape_of(values: Any, path: str = "") -> Shape:
    """Keys by place: `cards[].hours` is the object under `hours` in each of the list `cards`.

    A working below the top stands as one word, since its parts are workings again.
    """
    found: Shape = {}
    for place, keys in _objects(values, path):
        if path != place and keys == _WORKING:
            keys = {IN_WORKING}
        found.setdefault(place, set()).update(keys)
    return found


def _objects(values: Any, path: str) -> Iterator[tuple[str, set[str]]]:
    if isinstance(values, dict):
        yield path, set(values)
        if path and set(values) == _WORKING:
            return
        for key, value in values.items():
            yield from _objects(value, f"{path}.{key}" if path else key)
    if isinstance(values, list):
        for value in values:
            yield from _objects(value, f"{path}[]")


def said_of(command: str) -> Shape:
    """What the page says of a command: the tables under its heading."""
    _, _, rest = PAGE.read_text("utf-8").partition(f"\n## {command}\n")
    section = rest.partition("\n## ")[0]
    said: Shape = {}
    for places, keys in re.findall(r"^\| (.+?) \| (.+?) \|$", section, flags=re.MULTILINE):
        for place in re.findall(r"`(.+?)`", places):
            said["" if place == "." else place] = set(re.findall(r"`(.+?)`", keys)) or {keys}
    return said


def differences(values: Any, command: str) -> list[str]:
    """Where output and page part; places that this output leaves empty are let pass."""
    said = said_of(command)
    return [
        f"{place or '.'}: the page says {sorted(said.get(place, set()))}, the output has {sorted(keys)}"
        for place, keys in shape_of(values).items()
        if said.get(place) not in (keys, {FREE})
    ]
