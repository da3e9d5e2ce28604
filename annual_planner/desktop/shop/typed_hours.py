"""The hours of a weekday as people type them, and as they are said back."""

from __future__ import annotations

import re
from collections.abc import Iterable
from itertools import pairwise

from annual_planner.records.shop import MINUTES_IN_A_DAY, clock
from annual_planner.trade.refused import Refused

WAYS = "Type them like 8:00-12:00, 13:00-17:00; leave the day empty when nobody works."
CLOSED = frozenset({"", "-", "–", "closed", "off", "none"})
Minutes = tuple[int, int]

_TIME = r"(\d{1,2})(?:[:.]?(\d{2}))?\s*(am|pm|h)?"
_STRETCH = re.compile(rf"{_TIME}\s*(?:-|–|to)\s*{_TIME}")


def read_hours(text: str) -> tuple[Minutes, ...]:
    """Stretches of one day in minutes after midnight, in order. Raises Refused.

    >>> read_hours("8-12, 1pm-5:30pm")
    ((480, 720), (780, 1050))
    >>> read_hours("closed")
    ()
    """
    typed = " ".join(text.casefold().split())
    if typed in CLOSED:
        return ()
    pieces = [piece.strip() for piece in re.split(r"[,;]| and ", typed) if piece.strip()]
    found = sorted(_stretch(piece) for piece in pieces)
    for earlier, later in pairwise(found):
        if later[0] < earlier[1]:
            raise Refused(f"{_said(later)} begins before {_said(earlier)} is over.", WAYS)
    return tuple(found)


def _stretch(piece: str) -> Minutes:
    match = _STRETCH.fullmatch(piece)
    if match is None:
        raise Refused(f"‘{piece}’ is no stretch of a day.", WAYS)
    begins, ends = _minute(*match.groups()[:3], piece=piece), _minute(*match.groups()[3:], piece=piece)
    if begins >= ends:
        raise Refused(f"{clock(ends)} isn't after {clock(begins)}.", WAYS)
    return begins, ends


def _minute(hour: str, minute: str | None, half: str | None, *, piece: str) -> int:
    hours, minutes = int(hour), int(minute or 0)
    if half in ("am", "pm"):
        if not 1 <= hours <= 12:
            raise Refused(f"‘{piece}’ has no such hour.", WAYS)
        hours = hours % 12 + 12 * (half == "pm")
    whole = hours * 60 + minutes
    if minutes > 59 or whole > MINUTES_IN_A_DAY:
        raise Refused(f"‘{piece}’ has no such time of the day.", WAYS)
    return whole


def said_hours(stretches: Iterable[Minutes]) -> str:
    """Stretches of a day as they are shown in a field.

    >>> said_hours(((480, 720), (780, 1020)))
    '08:00–12:00, 13:00–17:00'
    """
    return ", ".join(map(_said, stretches))


def said_total(stretches: Iterable[Minutes]) -> str:
    """How long they are together.

    >>> said_total(((480, 720), (780, 1050)))
    '8.5 h'
    """
    minutes = sum(ends - begins for begins, ends in stretches)
    return f"{minutes / 60:.2f}".rstrip("0").rstrip(".") + " h" if minutes else "closed"


def _said(stretch: Minutes) -> str:
    return f"{clock(stretch[0])}–{clock(stretch[1])}"
