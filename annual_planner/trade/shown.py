"""Signed content as people read it, made of its bytes and of nothing else: what is seen is what is signed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TypeGuard

from annual_planner.trade.canonical import read_canonical

WORDS_FIRST = "text"
_WIDTH = 2
_WORDS = {None: "not written down", True: "yes", False: "no"}


def shown(content: bytes) -> str:
    """Every value of the content with its name; the words that are signed stand before what goes with them.

    Raises NotCanonical for bytes that are none.

    >>> print(shown(b'{"person":{"name":"Ann"},"results":[{"gap":"0.016 in"}],"work on":"2026-05-04"}'))
    Person:
      Name: Ann
    Results:
      1.
        Gap: 0.016 in
    Work on: 2026-05-04
    """
    value = read_canonical(content)
    return "\n".join(_lines(value, 0))


def _lines(value: object, depth: int) -> Iterator[str]:
    space = " " * (_WIDTH * depth)
    if isinstance(value, Mapping):
        for name, each in sorted(value.items(), key=lambda item: item[0] != WORDS_FIRST):
            yield from _named(f"{space}{_label(str(name))}:", each, depth)
    elif isinstance(value, list):
        for number, each in enumerate(value, start=1):
            yield from _named(f"{space}{number}.", each, depth)
    else:
        yield f"{space}{_word(value)}"


def _named(head: str, value: object, depth: int) -> Iterator[str]:
    if _is_numbers(value):
        yield f"{head} {', '.join(map(str, value))}"
        return
    if isinstance(value, Mapping | list) and value:
        yield head
        yield from _lines(value, depth + 1)
        return
    first, *more = _word(value).split("\n")
    yield f"{head} {first}"
    # A line break inside a text stays visible as one, and can't look like a line of the content's own.
    yield from (f"{' ' * (_WIDTH * (depth + 1))}| {line}" for line in more)


def _is_numbers(value: object) -> TypeGuard[list[int]]:
    """Whole numbers alone can stand on one line: none of them can look like two."""
    return isinstance(value, list) and bool(value) and all(type(each) is int for each in value)


def _label(name: str) -> str:
    words = name.replace("_", " ")
    return words[:1].upper() + words[1:]


def _word(value: object) -> str:
    if isinstance(value, bool) or value is None:
        return _WORDS[value]
    if isinstance(value, Mapping | list):
        return "none"
    return str(value) if value != "" else "empty"
