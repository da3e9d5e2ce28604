"""JSON from outside: bounded in depth, no numbers that are none, no keys that stand twice, no broken text."""

from __future__ import annotations

import json
import math
from typing import Any

from annual_planner.exchange.hand_over.archive import cant_take
from annual_planner.exchange.hand_over.layout import DEEPEST, MOST_NAMES, MOST_TABLES, MOST_VALUES


def read_json(name: str, content: bytes) -> Any:
    """The value. Raises Refused, naming the part, for anything that isn't plain JSON in UTF-8."""
    if content.count(b",") > MOST_VALUES or content.count(b"[") + content.count(b"{") > MOST_TABLES:
        raise cant_take(f"{name} holds more values than may be")
    try:
        value = json.loads(
            content.decode(),
            parse_float=_finite,
            parse_constant=_no_number,
            object_pairs_hook=_once,
        )
        _check(value)
    except (ValueError, RecursionError) as fault:
        raise cant_take(f"{name} can't be read: {fault!s:.120}") from fault
    return value


def _finite(text: str) -> float:
    value = float(text)
    if not math.isfinite(value):
        raise ValueError(f"{text:.40} is no number that can be kept")
    return value


def _no_number(text: str) -> float:
    raise ValueError(f"{text} is no number")


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    if len(pairs) > MOST_NAMES:
        raise ValueError(f"a table has {len(pairs)} names")
    found = dict(pairs)
    if len(found) != len(pairs):
        raise ValueError("a name stands twice in one table")
    return found


def _check(value: Any) -> None:
    """Walk over all of it, level by level; no recursion, so that depth is found and not suffered."""
    level = [value]
    for _ in range(DEEPEST):
        below: list[Any] = []
        for each in level:
            if isinstance(each, dict):
                for key in each:
                    _check_text(key)
                below.extend(each.values())
            elif isinstance(each, list):
                below.extend(each)
            elif isinstance(each, str):
                _check_text(each)
        if not below:
            return
        level = below
    raise ValueError(f"it is nested deeper than {DEEPEST} levels")


def _check_text(text: str) -> None:
    if "\0" in text:
        raise ValueError("a text holds a NUL")
    text.encode()  # half a character raises UnicodeEncodeError, a ValueError
