"""JSON from outside, looked over before anything is made of it: how much, how deep, how plainly written.

The look costs no memory beyond the bytes themselves, so that a file made to fill it is refused first.
"""

from __future__ import annotations

import json
import math
import re
from typing import Any

from annual_planner.exchange.hand_over.archive import cant_take
from annual_planner.exchange.hand_over.layout import (
    DEEPEST,
    LONGEST_NAME_BYTES,
    LONGEST_NUMBER,
    LONGEST_TEXT_BYTES,
    MOST_NAMES,
    MOST_TABLES,
    MOST_VALUES,
)

_TOKEN = re.compile(rb'("(?:[^"\\]++|\\.)*+(?:"(?:\s*+:)?+)?+)|([{\[])|([}\]])|([^\s{}\[\],:"]++)', re.DOTALL)
"""A text, with the colon that makes it a name; a bracket; or all else up to the next of these or a comma."""
_TEXT, _OPENS, _CLOSES = 1, 2, 3
"""Groups of it; what is left is a number or a word."""
_COLON = ord(":")
_WORDS = frozenset({b"true", b"false", b"null"})
_AFTER = b": \t\r\n"


def check_json(name: str, content: bytes) -> None:
    """Raises Refused, naming the part, for JSON that is too much, too deep, or says one thing twice.

    Also for numbers that are none, and for NUL in a text. What else is no JSON its reader finds.
    """
    try:
        _check(content)
    except ValueError as fault:
        raise cant_take(f"{name} can't be read: {fault!s:.120}") from fault


def read_json(name: str, content: bytes) -> Any:
    """The value. Raises Refused, naming the part, for anything that isn't plain JSON in UTF-8."""
    check_json(name, content)
    try:
        return json.loads(content.decode())
    except (ValueError, RecursionError) as fault:
        raise cant_take(f"{name} can't be read: {fault!s:.120}") from fault


def _check(content: bytes) -> None:
    names: list[set[bytes]] = [set()]
    """Those so far of each table that is open; of a list there are none."""
    tables = values = 0
    for found in _TOKEN.finditer(content):
        kind, token = found.lastindex, found[0]
        if kind == _TEXT and token[-1] == _COLON:
            _take_name(token, names[-1])
        elif kind == _OPENS:
            tables += 1
            names.append(set())
            if len(names) > DEEPEST:
                raise ValueError(f"it is nested deeper than {DEEPEST} levels")
        elif kind == _CLOSES:
            del names[max(1, len(names) - 1) :]
        else:
            values += 1
            if kind == _TEXT:
                _check_text(token)
            elif token not in _WORDS:
                _check_number(token)
        if values > MOST_VALUES or tables > MOST_TABLES:
            raise ValueError("it holds more values than may be")


def _take_name(token: bytes, names: set[bytes]) -> None:
    if len(token) > LONGEST_NAME_BYTES:
        raise ValueError("a name is longer than any may be")
    name = token.rstrip(_AFTER)
    if b"\\" in name:
        _check_text(name)
        name = json.dumps(json.loads(name.decode()), ensure_ascii=False).encode()
    if name in names:
        raise ValueError("a name stands twice in one table")
    names.add(name)
    if len(names) > MOST_NAMES:
        raise ValueError(f"a table has more than {MOST_NAMES} names")


def _check_text(token: bytes) -> None:
    """Of a length that is kept, and without NUL, which no database keeps."""
    if len(token) > LONGEST_TEXT_BYTES:
        raise ValueError(f"a text is longer than {LONGEST_TEXT_BYTES // 1_000_000} MB")
    if b"\\u0000" in token and "\0" in json.loads(token.decode()):
        raise ValueError("a text holds a NUL")


def _check_number(token: bytes) -> None:
    said = token[:LONGEST_NUMBER].decode("ascii", "replace")
    if len(token) > LONGEST_NUMBER:
        raise ValueError(f"a number has {len(token)} digits")
    try:
        number = float(said)
    except ValueError as fault:
        raise ValueError(f"{said} stands where a value must") from fault
    if not math.isfinite(number):
        raise ValueError(f"{said} is no number that can be kept")
