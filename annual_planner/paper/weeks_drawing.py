"""The shop's weeks drawn: a bar for each visit in its bay, and below it what each week holds of how much."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from annual_planner.paper.faces import BOLD, REGULAR, broken, fitted, leading, width_of
from annual_planner.paper.flow import Block, Group
from annual_planner.paper.look import FIRM, HAIR, THIN, rgb
from annual_planner.paper.pen import Pen
from annual_planner.paper.said import said_day
from annual_planner.paper.text import gap, size_of, subheading
from annual_planner.planning.shop_weeks.lanes import NO_BAY
from annual_planner.planning.shop_weeks.loads import WeekLoad
from annual_planner.planning.shop_weeks.visits import Placed, ShopWeek, WeeksAsked, WeeksPlan

WEEKS_ACROSS = 13
"""Weeks beside each other: a quarter of a year; more go below."""

NAMES, LANE, BAR, SMALL = 66.0, 10.2, 8.4, 6.6
CHART = 24.0
PIN = 1.7


@dataclass(frozen=True, slots=True)
class Piece:
    """As much of a visit's bar as lies in one strip; `left` and `right` in points from the strip's first day.

    `words` stand from `words_at` on: in the bar where it holds them, else beside it.
    """

    placed: Placed
    left: float
    right: float
    words: str
    words_at: float

    @property
    def late(self) -> bool:
        """Say whether the visit begins after its latest day."""
        first_on = self.placed.first_on
        return first_on is not None and first_on > self.placed.visit.latest_on

    @property
    def inside(self) -> bool:
        """Say whether the words stand in the bar."""
        return self.left <= self.words_at < self.right

    @property
    def ends(self) -> tuple[float, float]:
        """From where to where bar and words reach."""
        wide = width_of(self.words, BOLD, SMALL)
        return min(self.left, self.words_at), max(self.right, self.words_at + wide)


def drawn_groups(asked: WeeksAsked, plan: WeeksPlan, loads: Sequence[WeekLoad], width: float) -> list[Group]:
    """One group for each quarter of a year: its weeks, a row for each bay, and the load below."""
    most = max((max(float(load.week.hours), load.hours) for load in loads), default=0.0)
    placed = [_with_days(asked, each) for each in plan.placed if each.week is not None]
    groups = []
    for first in range(0, len(asked.weeks), WEEKS_ACROSS):
        some = tuple(loads[first : first + WEEKS_ACROSS])
        weeks = tuple(load.week for load in some)
        head = _weeks_head(weeks, width)
        rows = [_bay_row(bay, weeks, lanes_of(placed, bay, weeks, width), width) for bay in asked.bays]
        if lost := lanes_of(placed, "", weeks, width):
            rows.append(_bay_row(NO_BAY, weeks, lost, width))
        title = subheading(f"{said_day(weeks[0].monday)} to {said_day(weeks[-1].last_on)}", width)
        blocks = (title, head, *rows, _load_row(asked, some, most, width), gap(8))
        groups.append(Group(blocks, continued=head))
    return groups


def legend(width: float) -> Block:
    """Say what a plain bar, a filled one and a pin mean."""
    said = (
        (False, False, "stands in its bay"),
        (True, False, "begins after its latest day"),
        (False, True, "pinned to its week by a person"),
    )
    size = size_of("small")

    def draw(pen: Pen, x: float, top: float) -> None:
        for late, pinned, words in said:
            _box(pen, x, top - 1, 20, late=late)
            if pinned:
                _pin(pen, x + 4, top - 1 - BAR / 2, late=late)
            pen.write(x + 24, top, words, size)
            x += 24 + width_of(words, REGULAR, size) + 18

    return Block(leading(size) + 5, draw)


def lanes_of(
    placed: Sequence[Placed], bay: str, weeks: Sequence[ShopWeek], width: float
) -> tuple[tuple[Piece, ...], ...]:
    """The bars of a bay in some weeks, each in the first lane where it and its words touch no other."""
    pieces = [
        piece for each in placed if each.bay == bay and (piece := _piece(each, weeks, width)) is not None
    ]
    lanes: list[list[Piece]] = []
    for piece in sorted(pieces, key=lambda each: (each.ends, each.placed.visit.key)):
        for lane in lanes:
            if lane[-1].ends[1] + 3 <= piece.ends[0]:
                lane.append(piece)
                break
        else:
            lanes.append([piece])
    return tuple(tuple(lane) for lane in lanes)


def _with_days(asked: WeeksAsked, placed: Placed) -> Placed:
    """A visit whose week has no bay for it is drawn from that week's first open day on."""
    if placed.week is None or placed.first_on is not None:
        return placed
    days = asked.weeks[placed.week].open_days or (asked.weeks[placed.week].monday,)
    return replace(placed, first_on=days[0], last_on=days[min(placed.visit.bay_days, len(days)) - 1])


def _piece(placed: Placed, weeks: Sequence[ShopWeek], width: float) -> Piece | None:
    wide = (width - NAMES) / WEEKS_ACROSS
    places = _places(weeks, wide)
    if placed.first_on is None or placed.last_on is None:
        return None
    days = [day for day in places if placed.first_on <= day <= placed.last_on]
    if not days:
        return None
    left, right = places[days[0]][0], places[days[-1]][1] - 1
    before, after = placed.first_on != days[0], placed.last_on != days[-1]
    words = "‹ " * before + placed.visit.title + " ›" * after
    words = fitted(words, BOLD, SMALL, 2 * wide)
    pinned = placed.visit.pinned_on is not None
    return Piece(placed, left, right, words, _words_at(left, right, words, width - NAMES, pinned))


def _places(weeks: Sequence[ShopWeek], wide: float) -> Mapping[date, tuple[float, float]]:
    """From where to where each open day reaches."""
    return {
        day: ((number + n / len(week.open_days)) * wide, (number + (n + 1) / len(week.open_days)) * wide)
        for number, week in enumerate(weeks)
        for n, day in enumerate(week.open_days)
    }


def _words_at(left: float, right: float, words: str, most: float, pinned: bool) -> float:
    long, inset = width_of(words, BOLD, SMALL), 2 + (2 * PIN + 2 if pinned else 0)
    if inset + long + 1 <= right - left:
        return left + inset
    return right + 2 if right + 2 + long <= most else left - 2 - long


def _weeks_head(weeks: Sequence[ShopWeek], width: float) -> Block:
    wide = (width - NAMES) / WEEKS_ACROSS
    high = leading(SMALL) + 4

    def draw(pen: Pen, x: float, top: float) -> None:
        pen.box(x, top, NAMES + wide * len(weeks), high, fill=pen.shades.band)
        pen.write(x + 2, top - 2, "Week of", SMALL, face=BOLD)
        for number, week in enumerate(weeks):
            said = f"{week.monday.day} {week.monday:%b}"
            pen.write(x + NAMES + number * wide + 2, top - 2, said, SMALL, face=BOLD)
        pen.rule(x, top, NAMES + wide * len(weeks), weight=THIN, colour=pen.shades.ink)

    return Block(high, draw)


def _bay_row(
    bay: str, weeks: Sequence[ShopWeek], lanes: tuple[tuple[Piece, ...], ...], width: float
) -> Block:
    wide = (width - NAMES) / WEEKS_ACROSS
    names = broken(bay, BOLD, SMALL + 0.6, NAMES - 6)
    high = max(LANE * max(len(lanes), 1), leading(SMALL + 0.6) * len(names)) + 4

    def draw(pen: Pen, x: float, top: float) -> None:
        _grid(pen, x, top, high, weeks, wide)
        pen.write_lines(x + 2, top - 2, names, SMALL + 0.6, face=BOLD)
        for number, lane in enumerate(lanes):
            for piece in lane:
                _bar(pen, piece, x + NAMES, top - 3 - number * LANE)

    return Block(high, draw)


def _grid(pen: Pen, x: float, top: float, high: float, weeks: Sequence[ShopWeek], wide: float) -> None:
    for number, week in enumerate(weeks):
        left = x + NAMES + number * wide
        if not week.open_days:
            pen.box(left, top, wide, high, fill=pen.shades.band)
            pen.write(left + wide / 2, top - 3, "closed", SMALL, colour=pen.shades.faint, align="center")
        pen.upright(left, top, high, weight=HAIR)
    pen.rule(x, top, NAMES + wide * len(weeks), weight=HAIR, colour=pen.shades.edge)


def _bar(pen: Pen, piece: Piece, x: float, top: float) -> None:
    _box(pen, x + piece.left, top, piece.right - piece.left, late=piece.late)
    if piece.placed.visit.pinned_on is not None:
        _pin(
            pen, x + min(piece.left + 2 + PIN, (piece.left + piece.right) / 2), top - BAR / 2, late=piece.late
        )
    face = BOLD if piece.late else REGULAR
    colour = pen.shades.sheet if piece.late and piece.inside else ""
    if not piece.inside:  # no line of the grid runs through the words
        wide = width_of(piece.words, face, SMALL)
        pen.box(x + piece.words_at - 0.5, top - 0.5, wide + 1, BAR - 1, fill=pen.shades.sheet)
    pen.write(x + piece.words_at, top - 0.1, piece.words, SMALL, face=face, colour=colour)


def _box(pen: Pen, x: float, top: float, wide: float, *, late: bool) -> None:
    fill = pen.shades.ink if late else pen.shades.sheet
    pen.box(x, top, wide, BAR, fill=fill, edge=pen.shades.ink, weight=THIN)


def _pin(pen: Pen, x: float, y: float, *, late: bool) -> None:
    """A dot at the head of a bar: ink on a plain one, white on a filled one."""
    pen.canvas.setFillColorRGB(*rgb(pen.shades.sheet if late else pen.shades.ink))
    pen.canvas.circle(x, y, PIN, stroke=0, fill=1)


def _load_row(asked: WeeksAsked, loads: Sequence[WeekLoad], most: float, width: float) -> Block:
    """Hours of each week: planned (grey) against those of the people (outline), less what is kept free."""
    wide = (width - NAMES) / WEEKS_ACROSS
    line = leading(SMALL)
    high = CHART + 2 * line + 8
    names = broken("Hours and bay days planned, of those there are", REGULAR, SMALL, NAMES - 6)

    def draw(pen: Pen, x: float, top: float) -> None:
        _grid(pen, x, top, high, [load.week for load in loads], wide)
        pen.write_lines(x + 2, top - 3, names, SMALL)
        foot = top - 4 - CHART
        for number, load in enumerate(loads):
            left = x + NAMES + number * wide
            _column(pen, asked, load, left + 4, foot, wide - 8, CHART / most if most else 0.0)
            _figures(pen, asked, load, left + 2, foot - 1)
        pen.rule(x, top - high, NAMES + wide * len(loads), weight=THIN, colour=pen.shades.ink)

    return Block(high, draw)


def _column(
    pen: Pen, asked: WeeksAsked, load: WeekLoad, x: float, foot: float, wide: float, scale: float
) -> None:
    whole, planned = float(load.week.hours) * scale, load.hours * scale
    room = float(asked.room_hours(load.week)) * scale
    if planned > 0:
        pen.box(x, foot + planned, wide, planned, fill=pen.shades.rule)
    if whole > 0:
        pen.box(x, foot + whole, wide, whole, edge=pen.shades.ink, weight=HAIR)
        pen.rule(x, foot + room, wide, weight=THIN, colour=pen.shades.ink)
    pen.rule(x, foot, wide, weight=FIRM / 2, colour=pen.shades.ink)


def _figures(pen: Pen, asked: WeeksAsked, load: WeekLoad, x: float, top: float) -> None:
    days = len(load.week.open_days) * len(asked.bays)
    over = load.hours > float(load.week.hours)
    hours = f"{load.hours:.0f} / {load.week.hours:.0f} h{' !' if over else ''}"
    pen.write(x, top, hours, SMALL, face=BOLD if over else REGULAR)
    pen.write(x, top - leading(SMALL), f"{load.bay_days} / {days} days", SMALL)
