"""Zones of an airplane as people say them, for lists that don't need the whole library."""

from __future__ import annotations

import tomllib
from functools import lru_cache
from pathlib import Path

import resources


@lru_cache(maxsize=1)
def _titles() -> dict[str, str]:
    table = tomllib.loads((Path(resources.__path__[0]) / "zones.toml").read_text("utf-8"))
    return {row["key"]: row["title"] for row in table["zone"]}


def zone_words(key: str) -> str:
    """The zone in words as they stand inside a line; a zone of the shop's own by its key.

    >>> zone_words("gear_nose_tail"), zone_words("wing_left"), zone_words("float_compartment")
    ('nosewheel or tailwheel', 'left wing', 'float compartment')
    """
    title = _titles().get(key, key.replace("_", " "))
    return title[:1].lower() + title[1:]
