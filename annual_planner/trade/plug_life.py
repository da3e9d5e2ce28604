"""The life of one plug: its stays in places, end to end, and the hours it has run by any look.

A plug's hours are those of the engines it sat in, so its life is one line of stays with hours at both ends.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from itertools import groupby, pairwise

from annual_planner.trade.wear import PlugLook


@dataclass(frozen=True, slots=True)
class Stay:
    """A stay in one place, engine hours at both ends; `until` and `to_hours` None while it goes on."""

    place: str
    since: date
    from_hours: Decimal
    until: date | None = None
    to_hours: Decimal | None = None


@dataclass(frozen=True, slots=True)
class Look:
    """What one look measured, in inches. `together`: looks that share it are of one time on the bench.

    `engine_hours`: of the engine it came out of or sits in; None where not known.
    """

    on: date
    engine_hours: Decimal | None
    place: str
    together: object
    gap_in: float | None = None
    set_gap_in: float | None = None
    electrode_in: float | None = None


def hours_run(before: Decimal | None, stays: Sequence[Stay], now: Decimal | None) -> Decimal | None:
    """Hours a plug has run by now: before its first stay and in all of them.

    `now`: hours of the engine it sits in. None where one of these is not known.

    >>> day = date(2025, 5, 1)
    >>> hours_run(Decimal(10), [Stay("1T", day, Decimal(500), day, Decimal(620))], None)
    Decimal('130')
    """
    total = before
    for stay in stays:
        end = stay.to_hours if stay.until is not None else now
        total = None if total is None or end is None else total + end - stay.from_hours
    return total


def hours_at(
    before: Decimal | None, stays: Sequence[Stay], on: date, engine_hours: Decimal | None
) -> Decimal | None:
    """Hours a plug had run at a look on some day: whole stays that had ended, and its share of one going on.

    A plug fitted on the day of the look was looked at before it went in. None where hours are missing.
    """
    total = before
    for stay in stays:
        if stay.until is not None and stay.until <= on:
            end = stay.to_hours
        elif stay.since < on:
            end = engine_hours
        else:
            continue
        total = None if total is None or end is None else total + end - stay.from_hours
    return total


def place_after(stays: Sequence[Stay], on: date) -> str:
    """The place a plug went to after a look on some day; empty while it lies about.

    A stay that began earlier and goes on past the look is the place it stays in.
    """
    for stay in stays:
        if stay.until is None or stay.until > on:
            return stay.place
    return ""


def looks_for_wear(
    before: Decimal | None, stays: Sequence[Stay], looks: Sequence[Look]
) -> tuple[PlugLook, ...]:
    """The looks as the wear forecast takes them, oldest first: one for each time on the bench.

    The gap as found is that of the first look of its time; what was set, or found after cleaning, is what it
    was left at.
    """
    ordered = sorted(looks, key=lambda each: each.on)
    times = [list(group) for _, group in groupby(ordered, key=lambda each: each.together)]
    return tuple(_as_one(before, stays, time) for time in times)


def _as_one(before: Decimal | None, stays: Sequence[Stay], time: Sequence[Look]) -> PlugLook:
    first = time[0]
    gaps = [each.gap_in for each in time if each.gap_in is not None]
    settings = [each.set_gap_in for each in time if each.set_gap_in is not None]
    sizes = [each.electrode_in for each in time if each.electrode_in is not None]
    left = settings[-1] if settings else gaps[-1] if gaps else None
    went = place_after(stays, time[-1].on)
    return PlugLook(
        hours=hours_at(before, stays, first.on, first.engine_hours),
        place=first.place or went,
        gap_in=gaps[0] if gaps else None,
        set_gap_in=None if gaps and left == gaps[0] else left,
        electrode_in=sizes[-1] if sizes else None,
        next_place=went,
    )


def overlap(stays: Sequence[Stay]) -> tuple[Stay, Stay] | None:
    """The first two stays of one plug, by their days, that can't both be; None where its life is one line.

    A stay may begin on the day the one before it ended.
    """
    ordered = sorted(stays, key=lambda each: (each.since, each.until or date.max))
    for earlier, later in pairwise(ordered):
        if earlier.until is None or earlier.until > later.since:
            return earlier, later
    return None
