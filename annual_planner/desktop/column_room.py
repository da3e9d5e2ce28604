"""Sharing the width of a list out among its columns, so that it needs no bar to push it sideways."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from collections.abc import Set as AbstractSet

LAST_RESORT = 90
"""From this order on a column goes only where the others don't fit even at their least widths."""


def stepping_aside(
    usual: Mapping[int, int], least: Mapping[int, int], orders: Mapping[int, int], room: int
) -> AbstractSet[int]:
    """Columns that are left out so that the others fit the room, the last of them at its least width.

    `usual` and `least` are widths by place, from the left. `orders` says which columns may go, and when: 1
    first; a column that isn't in it stays. From LAST_RESORT on a column gives way only once the words of all
    others were shortened.

    >>> widths = {0: 100, 1: 100, 2: 100}
    >>> sorted(stepping_aside(widths, widths, {1: 1, 2: 2}, 300))
    []
    >>> sorted(stepping_aside(widths, widths, {1: 1, 2: 2}, 210))
    [1]
    >>> sorted(stepping_aside(widths, {0: 100, 1: 100, 2: 60}, {1: 1, 2: 2}, 160))
    [1]
    >>> sorted(stepping_aside(widths, widths, {1: 1, 2: 2}, 50))
    [1, 2]
    >>> sorted(stepping_aside(widths, {0: 100, 1: 60, 2: 60}, {1: 1, 2: LAST_RESORT}, 160))
    [1]
    >>> sorted(stepping_aside(widths, {0: 60, 1: 60, 2: 60}, {2: LAST_RESORT}, 180))
    []
    """
    stay, gone = list(usual), set[int]()
    for place in sorted(orders, key=lambda each: orders[each]):
        shortened = least if orders[place] >= LAST_RESORT else usual
        if sum(shortened[at] for at in stay[:-1]) + least[stay[-1]] <= room:
            break
        gone.add(place)
        stay.remove(place)
    return gone


def shared_room(
    wished: Sequence[int], needed: Sequence[int], room: int, *, least: Sequence[int] = ()
) -> list[int]:
    """Widths in pixels for the columns from the left, given what each wishes and what its words need.

    Nothing is given beyond its wish while another's words are cut. Where not even the lesser of both fits,
    the columns give way down to `least`, from the right; where that won't do, the list is wider than its
    room. What is left over is the last one's.

    >>> shared_room([100, 100, 100], [60, 80, 40], 400)
    [100, 100, 100]
    >>> shared_room([100, 100, 100], [60, 80, 40], 200)
    [66, 83, 51]
    >>> shared_room([100, 100, 100], [60, 180, 40], 300)
    [68, 180, 52]
    >>> shared_room([100, 100, 100], [60, 180, 180], 200)
    [60, 100, 100]
    >>> shared_room([100, 100, 100], [60, 180, 180], 220, least=[60, 70, 50])
    [60, 100, 60]
    >>> shared_room([100, 100, 100], [60, 180, 180], 190, least=[60, 70, 50])
    [60, 80, 50]
    """
    widths = [min(pair) for pair in zip(wished, needed, strict=True)]
    for goal in (needed, [max(pair) for pair in zip(wished, needed, strict=True)]):
        wants = [max(0, to - now) for to, now in zip(goal, widths, strict=True)]
        left, asked = room - sum(widths), sum(wants)
        if left > 0 and asked > 0:
            share = min(1.0, left / asked)
            widths = [now + int(want * share) for now, want in zip(widths, wants, strict=True)]
    _give_way(widths, least, room)
    if sum(widths) < min(room, sum(wished)) and widths:
        widths[-1] += min(room, sum(wished)) - sum(widths)
    return widths


def _give_way(widths: list[int], least: Sequence[int], room: int) -> None:
    over = sum(widths) - room
    for at in range(len(least) - 1, -1, -1):
        given = min(max(0, over), max(0, widths[at] - least[at]))
        widths[at] -= given
        over -= given
