"""Sharing the width of a list out among its columns, so that it needs no bar to push it sideways."""

from __future__ import annotations

from collections.abc import Sequence


def shared_room(
    wished: Sequence[int], needed: Sequence[int], room: int, *, last_least: int | None = None
) -> list[int]:
    """Widths in pixels for the columns from the left, given what each wishes and what its words need.

    Nothing is given beyond its wish while another's words are cut. Where not even the least of both fits,
    every column has that least, and the list is wider than its room; with a `last_least`, the last column
    first gives way down to that, if it will do. What is left over is the last one's.

    >>> shared_room([100, 100, 100], [60, 80, 40], 400)
    [100, 100, 100]
    >>> shared_room([100, 100, 100], [60, 80, 40], 200)
    [66, 83, 51]
    >>> shared_room([100, 100, 100], [60, 180, 40], 300)
    [68, 180, 52]
    >>> shared_room([100, 100, 100], [60, 180, 180], 200)
    [60, 100, 100]
    >>> shared_room([100, 100, 100], [60, 180, 180], 220, last_least=50)
    [60, 100, 60]
    """
    widths = [min(pair) for pair in zip(wished, needed, strict=True)]
    for goal in (needed, [max(pair) for pair in zip(wished, needed, strict=True)]):
        wants = [max(0, to - now) for to, now in zip(goal, widths, strict=True)]
        left, asked = room - sum(widths), sum(wants)
        if left > 0 and asked > 0:
            share = min(1.0, left / asked)
            widths = [now + int(want * share) for now, want in zip(widths, wants, strict=True)]
    over = sum(widths) - room
    if last_least is not None and widths and 0 < over <= widths[-1] - last_least:
        widths[-1] -= over
    if sum(widths) < min(room, sum(wished)) and widths:
        widths[-1] += min(room, sum(wished)) - sum(widths)
    return widths
