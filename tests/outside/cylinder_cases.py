"""The cases of cylinder_cases.toml, read once; each names its source."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

TABLES: dict[str, Any] = tomllib.loads(
    Path(__file__).with_name("cylinder_cases.toml").read_text(encoding="utf-8")
)


def named(case: dict[str, Any]) -> str:
    """A case by its source and its first plain figure, for the name of a test."""
    figure = next(f"{key} {value}" for key, value in case.items() if key != "source")
    return f"{case['source'].split(':')[0]}, {figure}"
