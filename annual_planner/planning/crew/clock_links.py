"""Times by the clock on an axis of open time: a table from step to step, as a few straight pieces."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import CpModel, IntVar, LinearExpr


@dataclass(frozen=True, slots=True)
class Piece:
    """Steps from first to last on which a table either stays at `value` or runs along at `value + step`."""

    first: int
    last: int
    runs: bool
    value: int

    def at(self, step: int) -> int:
        """Value of the table at a step of this piece."""
        return self.value + step if self.runs else self.value


def pieces_of(table: Sequence[int], first: int, last: int) -> list[Piece]:
    """The pieces of a table between two steps, both counted in.

    >>> [(p.first, p.last, p.runs) for p in pieces_of([1, 2, 3, 8, 8, 8, 9], 0, 6)]
    [(0, 2, True), (3, 5, False), (6, 6, False)]
    """
    found: list[Piece] = []
    step = first
    while step <= last:
        end_flat = _while(table, step, last, 0)
        end_run = _while(table, step, last, 1)
        runs = end_run > end_flat
        found.append(Piece(step, max(end_flat, end_run), runs, table[step] - (step if runs else 0)))
        step = max(end_flat, end_run) + 1
    return found


def _while(table: Sequence[int], step: int, last: int, rise: int) -> int:
    while step < last and table[step + 1] - table[step] == rise:
        step += 1
    return step


def chosen_piece(
    model: CpModel,
    step: LinearExpr | IntVar | int,
    pieces: Sequence[Piece],
    name: str,
    only_if: IntVar | None,
) -> list[IntVar]:
    """A literal for each piece, one of which is true (where `only_if` is).

    And the step lies on that piece.
    """
    chosen = [model.new_bool_var(f"{name}:{piece.first}") for piece in pieces]
    if only_if is None:
        model.add_exactly_one(chosen)
    else:
        model.add(sum(chosen) == only_if)
    for literal, piece in zip(chosen, pieces, strict=True):
        model.add(step >= piece.first).only_enforce_if(literal)
        model.add(step <= piece.last).only_enforce_if(literal)
    return chosen
