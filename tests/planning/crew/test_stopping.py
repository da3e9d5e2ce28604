from __future__ import annotations

import signal
import threading
from collections.abc import Iterator
from itertools import combinations, pairwise

import pytest
from ortools.sat.python import cp_model

from annual_planner.planning.crew.stopping import solve_interruptibly

MARKS = 14
FAR_TOO_LONG_S = 300


@pytest.fixture(autouse=True)
def interrupts_count() -> Iterator[None]:
    """Interrupts are told as Python tells them: a run in the background has them ignored."""
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    yield
    signal.signal(signal.SIGINT, before)


class CtrlC(cp_model.CpSolverSolutionCallback):
    """Somebody who presses Ctrl-C once, when the first plan is there."""

    pressed = False

    def on_solution_callback(self) -> None:
        main = threading.main_thread().ident
        if main is not None and not self.pressed:  # more plans may come before the search has ended
            self.pressed = True
            signal.pthread_kill(main, signal.SIGINT)


def never_done() -> cp_model.CpModel:
    """A ruler of marks no two of which are equally far apart: found at once, the shortest not in years."""
    model = cp_model.CpModel()
    marks = [model.new_int_var(0, 500, f"mark {number}") for number in range(MARKS)]
    for low, high in pairwise(marks):
        model.add(low < high)
    model.add_all_different([high - low for low, high in combinations(marks, 2)])
    model.minimize(marks[-1])
    return model


@pytest.mark.skipif(not hasattr(signal, "pthread_kill"), reason="interrupts go to no thread there")
def test_an_interrupt_ends_the_search_and_is_no_good_enough() -> None:
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 2
    solver.parameters.max_time_in_seconds = FAR_TOO_LONG_S
    with pytest.raises(KeyboardInterrupt):
        solve_interruptibly(solver, never_done(), CtrlC())
    with pytest.raises(KeyboardInterrupt):
        signal.raise_signal(signal.SIGINT)


def test_a_search_left_alone_says_how_it_ended_and_leaves_interrupts_as_they_were() -> None:
    model, solver = cp_model.CpModel(), cp_model.CpSolver()
    some = model.new_int_var(0, 5, "some")
    model.maximize(some)
    assert (solve_interruptibly(solver, model), solver.value(some)) == (cp_model.OPTIMAL, 5)
    with pytest.raises(KeyboardInterrupt):
        signal.raise_signal(signal.SIGINT)
