"""The tables of compression tests and of their readings."""

from __future__ import annotations

from annual_planner.desktop.column_room import LAST_RESORT
from annual_planner.desktop.columns import Column, day_text, hours_text
from annual_planner.desktop.plugs.as_marks import judged_word
from annual_planner.planning.engine_view import ReadingView, TestView
from annual_planner.trade.recheck import Advice


def worst_word(test: TestView) -> str:
    """The worst word of a test."""
    words = [judged_word(each) for each in test.readings]
    return next((word for word in ("check again", "watch", "within limits") if word in words), "not judged")


def _all_readings(test: TestView) -> str:
    return "  ".join(f"{each.line.reading_psi:g}" for each in test.readings)


TESTS: tuple[Column[TestView], ...] = (
    Column(
        "on",
        "Tested",
        lambda row: day_text(row.line.tested_on),
        "on",
        11,
        right=True,
        by=lambda r: r.line.tested_on,
    ),
    Column(
        "hours", "Engine (h)", lambda row: hours_text(row.line.engine_hours), "hours", 12, right=True, aside=2
    ),
    Column("word", "Standing", worst_word, "word", 15, sign=worst_word, aside=LAST_RESORT),
    Column("psi", "Cylinders 1, 2, 3 … (psi)", _all_readings, "psi", 36),
    Column("tester", "Tester", lambda row: row.line.tester, "tester", 16, aside=1),
)


def _first(row: ReadingView) -> str:
    return "" if row.line.first_psi is None else f"{row.line.first_psi:g}"


def _share(row: ReadingView) -> str:
    return "" if row.judged is None else f"{row.judged.loss_fraction:.0%}"


def _air_at(row: ReadingView) -> str:
    return ", ".join(path.path for path in row.paths.value)


ADVISED = {Advice.GO_ON: "steps left", Advice.CAME_BACK: "came back", Advice.TAKE_OFF: "take it off"}


def _advice(row: ReadingView) -> str:
    return "" if row.recheck is None else ADVISED[row.recheck.value.advice]


READINGS: tuple[Column[ReadingView], ...] = (
    Column(
        "cylinder", "Cylinder", lambda r: str(r.line.cylinder), "cylinder", 9, by=lambda r: r.line.cylinder
    ),
    Column(
        "psi",
        "psi",
        lambda r: f"{r.line.reading_psi:g}",
        "psi",
        6,
        right=True,
        by=lambda r: r.line.reading_psi,
    ),
    Column("first", "First", _first, "first", 7, right=True, aside=1),
    Column("lost", "Lost", _share, "lost", 7, right=True, aside=2),
    Column("word", "Standing", judged_word, "word", 15, sign=judged_word),
    Column("air", "Air at", _air_at, "air", 18, aside=4),
    Column("advice", "Recheck", _advice, "advice", 12, aside=3),
)
