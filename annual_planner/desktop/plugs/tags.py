"""Serials and tags of plugs as they are typed: apart by blanks, or a row of them."""

from __future__ import annotations

import re

from annual_planner.trade.refused import Refused

_ROW = re.compile(r"(\S*?)([0-9]+)\.\.(\S*?)([0-9]+)")
MOST = 60


def read_tags(text: str) -> tuple[str, ...]:
    """Every tag, in order. Refused for none, for a row that runs backwards, and for too many.

    >>> read_tags("K-9..K-11 Z7")
    ('K-9', 'K-10', 'K-11', 'Z7')
    """
    tags: list[str] = []
    for word in text.replace(",", " ").split():
        row = _ROW.fullmatch(word)
        tags += _row(row, word) if row is not None else [word]
    if not tags:
        raise Refused("No tag was typed.", "Give each plug a serial or a tag, apart by blanks.")
    if len(tags) > MOST:
        raise Refused(f"{len(tags)} plugs are too many at once.", f"Type {MOST} at most.")
    return tuple(tags)


def _row(row: re.Match[str], word: str) -> list[str]:
    first, last = int(row[2]), int(row[4])
    if row[3] not in ("", row[1]) or not first <= last <= first + MOST:
        raise Refused(f"‘{word}’ is no row of tags.", "Write it like K-101..K-112.")
    return [f"{row[1]}{number:0{len(row[2])}d}" for number in range(first, last + 1)]
