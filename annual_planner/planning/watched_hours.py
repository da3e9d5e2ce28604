"""Whose hours lie where no mechanic is in the shop: supervised work isn't planned there."""

from __future__ import annotations

from collections.abc import Iterable

from annual_planner.store.shop_reads import OpenStretch, Shop

Minutes = tuple[int, int]


def week_of(place: Shop, person_id: int | None) -> tuple[OpenStretch, ...]:
    """The week written down for the shop (None) or for one person; empty where none is."""
    return tuple(each for each in place.open_hours if each.person_id == person_id)


def unwatched_days(place: Shop, person_id: int, mechanics: Iterable[int]) -> tuple[int, ...]:
    """Weekdays (0 = Monday) on which a person's own hours don't lie within those of any mechanic.

    A mechanic without a week of their own works whenever the shop is open. What needs supervision is laid on
    hours with a mechanic only.
    """
    weeks = [week_of(place, each) or week_of(place, None) for each in mechanics]
    own = week_of(place, person_id)
    return tuple(
        day
        for day in sorted({each.weekday for each in own})
        if not _within(_on(own, day), _merged(minutes for week in weeks for minutes in _on(week, day)))
    )


def _on(week: Iterable[OpenStretch], day: int) -> list[Minutes]:
    return [(each.from_minute, each.to_minute) for each in week if each.weekday == day]


def _merged(stretches: Iterable[Minutes]) -> list[Minutes]:
    merged: list[Minutes] = []
    for begins, ends in sorted(stretches):
        if merged and begins <= merged[-1][1]:
            merged[-1] = (merged[-1][0], max(merged[-1][1], ends))
        else:
            merged.append((begins, ends))
    return merged


def _within(own: Iterable[Minutes], watched: Iterable[Minutes]) -> bool:
    there = list(watched)
    return all(any(begins <= start and end <= ends for begins, ends in there) for start, end in own)
