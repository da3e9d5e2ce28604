from collections.abc import Callable, Sequence
from dataclasses import dataclass

import pytest
from PySide6.QtTest import QAbstractItemModelTester
from pytestqt.qtbot import QtBot

from annual_planner.desktop.columns import Column
from annual_planner.desktop.jobs import Failed
from annual_planner.desktop.paged_table import ROWS_AT_ONCE, PagedTable
from annual_planner.desktop.source import Found, HeldSource, Query

pytestmark = pytest.mark.desktop


@dataclass(frozen=True)
class Plate:
    number: int
    name: str


COLUMNS: tuple[Column[Plate], ...] = (
    Column("number", "Number", lambda p: str(p.number), "number", by=lambda p: p.number, right=True),
    Column("name", "Name", lambda p: p.name, "name", sign=lambda p: "in date"),
)


class Counting:
    """A source that counts the questions it is asked."""

    def __init__(self, rows: int) -> None:
        self.rows = rows
        self.asked: list[list[int]] = []

    def ask_ids(self, query: Query, done: Callable[[Found], None], failed: Failed) -> None:
        done(Found(list(range(self.rows)), self.rows))

    def ask_rows(self, ids: Sequence[int], topic: str, done: Callable[[dict[int, Plate]], None]) -> None:
        self.asked.append(list(ids))
        done({row_id: Plate(row_id, f"plate {row_id}") for row_id in ids})


def test_rows_are_asked_for_once_a_turn_however_many_cells_are_looked_at(qtbot: QtBot) -> None:
    source = Counting(100_000)
    table: PagedTable[Plate] = PagedTable(COLUMNS, source)
    table.ask()
    for row in range(500, 530):
        for column in range(2):
            assert table.index(row, column).data() == "…"
    qtbot.waitUntil(lambda: len(source.asked) == 1)
    assert set(range(500, 530)) <= set(source.asked[0])
    assert len(source.asked[0]) <= ROWS_AT_ONCE + 30
    assert table.index(510, 1).data() == "plate 510"


def test_it_keeps_to_the_rules_of_qt_models(qtbot: QtBot) -> None:
    table: PagedTable[Plate] = PagedTable(COLUMNS, Counting(50))
    tester = QAbstractItemModelTester(table, QAbstractItemModelTester.FailureReportingMode.Fatal)
    table.ask()
    table.index(0, 0).data()
    qtbot.wait(20)
    table.ask(Query(search="x"))
    assert tester.model() is table


def test_a_held_list_finds_every_word_and_sorts_by_value() -> None:
    source = HeldSource(COLUMNS)
    source.rows = [Plate(10, "left wing"), Plate(9, "right wing"), Plate(2, "left tip")]
    found: list[list[int]] = []

    def ask(query: Query) -> list[int]:
        source.ask_ids(query, lambda answer: found.append(answer.ids), lambda error: None)
        return found[-1]

    assert ask(Query(search="WING left")) == [0]
    assert ask(Query(order="number")) == [2, 1, 0]
    assert ask(Query(order="number", descending=True)) == [0, 1, 2]
