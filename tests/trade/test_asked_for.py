"""Every module of the trade is asked by the program: what only tests ask is not the program's answer."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import annual_planner

PACKAGE = Path(annual_planner.__file__).parent
TRADE = "annual_planner.trade"


def asked_in(file: Path) -> Iterator[str]:
    """Names of the trade's modules that a file imports."""
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module == TRADE:
            yield from (each.name for each in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module and node.module.startswith(f"{TRADE}."):
            yield node.module.removeprefix(f"{TRADE}.")
        elif isinstance(node, ast.Import):
            yield from (n.name.removeprefix(f"{TRADE}.") for n in node.names if n.name.startswith(TRADE))


def test_no_module_of_the_trade_is_there_for_tests_alone() -> None:
    modules = {file.stem: set(asked_in(file)) for file in (PACKAGE / "trade").glob("*.py")}
    outside = [file for file in PACKAGE.rglob("*.py") if file.parent != PACKAGE / "trade"]
    reached: set[str] = set()
    waiting = {name for file in outside for name in asked_in(file)} & set(modules)
    assert waiting
    while waiting:
        name = waiting.pop()
        reached.add(name)
        waiting |= (modules[name] & set(modules)) - reached
    assert set(modules) - reached == {"__init__"}
