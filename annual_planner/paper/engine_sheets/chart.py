"""A small chart of readings over hours, with limits and forecast; every meaning is there without colour."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, inf

from annual_planner.paper.faces import BOLD, REGULAR, broken, leading
from annual_planner.paper.flow import Block
from annual_planner.paper.look import HAIR, THIN, rgb
from annual_planner.paper.pen import Pen
from annual_planner.paper.text import size_of
from annual_planner.trade.trends import Outlook

BAND, WEDGE = "#E4E4E4", "#BDBDBD"
LEFT, BELOW = 26.0, 12.0
"""Room for the numbers at the axes, points."""
MARK = 2.1


@dataclass(frozen=True, slots=True)
class Mark:
    """One reading: hours, value, and whether it is hollow (set, or of an earlier series) or crossed out."""

    hours: float
    value: float
    hollow: bool = False
    crossed: bool = False


@dataclass(frozen=True, slots=True)
class Chart:
    """What a chart shows: runs of marks joined by lines, limits, a forecast, and words below it.

    `low`, `high`: limits, None where there is none; the room between both is shaded. `heads_for`: the limit
    that the forecast runs to. `least`, `most`: the values the chart reaches at least.
    """

    title: str
    runs: tuple[tuple[Mark, ...], ...]
    low: float | None
    high: float | None
    heads_for: float | None
    outlook: Outlook | None
    said: str
    least: float
    most: float
    spell: Callable[[float], str]


@dataclass(frozen=True, slots=True)
class _Scale:
    """From hours and values to points."""

    x: float
    foot: float
    width: float
    height: float
    first: float
    last: float
    least: float
    most: float

    def at(self, hours: float, value: float) -> tuple[float, float]:
        return (
            self.x + (hours - self.first) / (self.last - self.first) * self.width,
            self.foot + (value - self.least) / (self.most - self.least) * self.height,
        )


def chart_block(chart: Chart, width: float, high: float, lines: int) -> Block:
    """Draw a chart with its title above and `lines` lines of words below."""
    small, body = size_of("small"), size_of("body")
    words = broken(chart.said, REGULAR, small, width - 4)
    if len(words) > lines:
        words = (*words[: lines - 1], f"{words[lines - 1]} …")
    head = leading(body) + 1
    whole = head + high + BELOW + lines * leading(small) + 6

    def draw(pen: Pen, x: float, top: float) -> None:
        pen.write(x, top, chart.title, body, face=BOLD)
        _plot(pen, chart, x + LEFT, top - head, width - LEFT - 6, high)
        pen.write_lines(x, top - head - high - BELOW, words, small)

    return Block(whole, draw)


def lines_needed(charts: Sequence[Chart], width: float) -> int:
    """How many lines the longest words below these charts take, 4 at the most."""
    small = size_of("small")
    return min(4, max(len(broken(chart.said, REGULAR, small, width - 4)) for chart in charts))


def _plot(pen: Pen, chart: Chart, x: float, top: float, width: float, high: float) -> None:
    marks = [mark for run in chart.runs for mark in run]
    scale = _scale(chart, marks, x, top - high, width, high)
    _ground(pen, chart, scale)
    if marks:
        _forecast(pen, chart, scale)
    _limits(pen, chart, scale)
    for run in chart.runs:
        _run(pen, run, scale)
    pen.box(x, top, width, high, edge=pen.shades.edge, weight=HAIR)
    _numbers(pen, chart, scale, bool(marks))


def _scale(chart: Chart, marks: Sequence[Mark], x: float, foot: float, width: float, high: float) -> _Scale:
    hours = [mark.hours for mark in marks] or [0.0]
    values = [mark.value for mark in marks]
    limits = [each for each in (chart.low, chart.high) if each is not None]
    least, most = min([chart.least, *values, *limits]), max([chart.most, *values, *limits])
    first, last = min(hours), max(hours)
    if chart.outlook is not None:
        last += chart.outlook.span_hours
    spare = max((last - first) * 0.06, 5.0)
    room = (most - least) * 0.06
    return _Scale(x, foot, width, high, first - spare, last + spare, least - room, most + room)


def _ground(pen: Pen, chart: Chart, scale: _Scale) -> None:
    if chart.low is None or chart.high is None:
        return
    left, top = scale.at(scale.first, chart.high)
    _, foot = scale.at(scale.first, chart.low)
    pen.box(left, top, scale.width, top - foot, fill=BAND)


def _limits(pen: Pen, chart: Chart, scale: _Scale) -> None:
    for value in (chart.low, chart.high):
        if value is not None:
            left, y = scale.at(scale.first, value)
            pen.canvas.setDash(3, 2)
            pen.rule(left, y, scale.width, weight=0.9, colour=pen.shades.ink)
            pen.canvas.setDash()


def _forecast(pen: Pen, chart: Chart, scale: _Scale) -> None:
    """Shade between the early and the late way to the limit, no further than the readings carry."""
    outlook, limit = chart.outlook, chart.heads_for
    if outlook is None or limit is None or not chart.runs or not chart.runs[-1]:
        return
    last = chart.runs[-1][-1]
    span = outlook.span_hours
    early, likely, late = (
        _reached(last, limit, hours, span)
        for hours in (outlook.early_hours, outlook.likely_hours, outlook.late_hours)
    )
    corners = [scale.at(last.hours, last.value), scale.at(*early)]
    if early[0] < last.hours + span:
        corners.append(scale.at(min(last.hours + min(outlook.late_hours, span), scale.last), limit))
    corners.append(scale.at(*late))
    pen.shape(corners, fill=WEDGE, edge=WEDGE, weight=HAIR)
    pen.canvas.setDash(1, 1.6)
    _join(pen, scale.at(last.hours, last.value), scale.at(*likely), THIN)
    pen.canvas.setDash()


def _reached(last: Mark, limit: float, hours: float, span: float) -> tuple[float, float]:
    """Where a straight way to the limit stands when it gets there, or when the span ends before."""
    if hours <= span:
        return last.hours + hours, limit
    share = 0.0 if hours == inf else span / hours
    return last.hours + span, last.value + (limit - last.value) * share


def _run(pen: Pen, run: Sequence[Mark], scale: _Scale) -> None:
    points = [scale.at(mark.hours, mark.value) for mark in run]
    for start, end in pairwise(points):
        _join(pen, start, end, THIN)
    for mark, (x, y) in zip(run, points, strict=True):
        _mark(pen, mark, x, y)


def _mark(pen: Pen, mark: Mark, x: float, y: float) -> None:
    if mark.crossed:
        _join(pen, (x - MARK, y - MARK), (x + MARK, y + MARK), 0.9)
        _join(pen, (x - MARK, y + MARK), (x + MARK, y - MARK), 0.9)
        return
    canvas = pen.canvas
    canvas.setStrokeColorRGB(*rgb(pen.shades.ink))
    canvas.setFillColorRGB(*rgb("#FFFFFF" if mark.hollow else pen.shades.ink))
    canvas.setLineWidth(0.9)
    canvas.circle(x, y, MARK, stroke=1, fill=1)


def _join(pen: Pen, start: tuple[float, float], end: tuple[float, float], weight: float) -> None:
    canvas = pen.canvas
    canvas.setStrokeColorRGB(*rgb(pen.shades.ink))
    canvas.setLineWidth(weight)
    canvas.line(*start, *end)


def _numbers(pen: Pen, chart: Chart, scale: _Scale, any_marks: bool) -> None:
    size = size_of("small") - 0.5
    limits = [each for each in (chart.low, chart.high) if each is not None]
    shown = [*limits]
    gap = (scale.most - scale.least) * 0.14
    for value in (chart.least, chart.most):
        if all(abs(value - each) > gap for each in shown):
            shown.append(value)
    for value in shown:
        _, y = scale.at(scale.first, value)
        face = BOLD if value in limits else REGULAR
        pen.write(scale.x - 3, y + size * 0.65, chart.spell(value), size, face=face, align="right")
    if any_marks:
        _hours(pen, scale, size)


def _hours(pen: Pen, scale: _Scale, size: float) -> None:
    """Two to four round hours along the foot."""
    step = _round_step((scale.last - scale.first) / 4)
    hours = max(ceil(scale.first / step) * step, 0.0)
    while hours <= scale.last:
        x, y = scale.at(hours, scale.least)
        pen.upright(x, y, 2, colour=pen.shades.edge)
        if x < scale.x + scale.width - 4:
            pen.write(x, y - 2, f"{hours:,.0f} h", size, align="center", colour=pen.shades.faint)
        hours += step


def _round_step(raw: float) -> float:
    """The next round step at or above a raw one: 1, 2 or 5 times a power of ten."""
    power = 1.0
    while power * 10 <= raw:
        power *= 10
    return next((each * power for each in (1, 2, 5, 10) if each * power >= raw), 10 * power)
