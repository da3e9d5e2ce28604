from dataclasses import dataclass
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annual_planner.desktop.trail import LONGEST, Trail
from annual_planner.records.edits import Changed
from annual_planner.store.session import Work

pytestmark = pytest.mark.desktop


@dataclass(frozen=True)
class Nothing:
    number: int

    @property
    def says(self) -> str:
        return f"change {self.number}"

    def apply(self, work: Work, today: date) -> Changed:
        return Changed(frozenset(), self)


def test_it_starts_with_nothing_to_take_back() -> None:
    trail = Trail()
    assert trail.undo is None
    assert trail.redo is None


def test_undo_makes_the_edit_available_again_and_a_new_edit_forgets_it() -> None:
    trail = Trail()
    trail.applied("new", "reading", Nothing(1))
    trail.applied("undo", "reading", Nothing(2))
    assert trail.undo is None
    assert trail.redo is not None
    assert trail.redo.says == "reading"
    trail.applied("new", "owner", Nothing(3))
    assert trail.redo is None


def test_an_edit_that_cannot_be_taken_back_leaves_what_was_there() -> None:
    trail = Trail()
    trail.applied("new", "reading", Nothing(1))
    trail.applied("new", "signature", None)
    assert trail.undo is not None
    assert trail.undo.says == "reading"


@given(edits=st.integers(0, 2 * LONGEST))
def test_as_many_undos_as_edits_end_at_the_start(edits: int) -> None:
    trail = Trail()
    for number in range(edits):
        trail.applied("new", f"change {number}", Nothing(number))
    undone = 0
    while trail.undo is not None:
        trail.applied("undo", trail.undo.says, Nothing(undone))
        undone += 1
    assert undone == min(edits, LONGEST)
    assert trail.redo is None or trail.redo.says == f"change {max(0, edits - LONGEST)}"
