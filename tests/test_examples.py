"""The examples in docstrings run, and give what they say."""

import doctest
import importlib
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent


def modules_with_examples() -> list[str]:
    """The names of all modules that hold an example."""
    files = [path for part in ("annual_planner", "demo_fleet") for path in (ROOT / part).rglob("*.py")]
    return sorted(
        ".".join(path.relative_to(ROOT).with_suffix("").parts) for path in files if ">>> " in path.read_text()
    )


@pytest.mark.parametrize("name", modules_with_examples())
def test_the_examples_of_a_module_give_what_they_say(name: str) -> None:
    result = doctest.testmod(importlib.import_module(name))
    assert result.attempted > 0
    assert result.failed == 0
