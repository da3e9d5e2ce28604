"""Variables of the solver, each with the value that it has in a plan at hand."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from annual_planner.planning.crew.laying import Plan
from annual_planner.planning.crew.prepared import stretches

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import IntVar

Hint = Callable[[Plan], int]
"""Value of a variable in a plan."""


class Variables:
    """The solver's model, and how a plan to begin with is told to it."""

    def __init__(self) -> None:
        from ortools.sat.python import cp_model

        self.cp = cp_model.CpModel()
        self._domain = cp_model.Domain
        self._hints: list[tuple[IntVar, Hint]] = []

    def new_bool(self, name: str, hint: Hint) -> IntVar:
        """A new literal."""
        return self.hinted(self.cp.new_bool_var(name), hint)

    def new_int(self, least: int, most: int, name: str, hint: Hint) -> IntVar:
        """A new whole number between two bounds, both counted in."""
        return self.hinted(self.cp.new_int_var(least, most, name), hint)

    def new_step(self, mask: int, name: str, hint: Hint) -> IntVar:
        """A new step, one of those whose bit is set in the mask."""
        domain = self._domain.from_intervals([list(each) for each in stretches(mask)])
        return self.hinted(self.cp.new_int_var_from_domain(domain, name), hint)

    def hinted(self, variable: IntVar, hint: Hint) -> IntVar:
        """Keep what value the variable has in a plan."""
        self._hints.append((variable, hint))
        return variable

    def hint(self, plan: Plan) -> None:
        """Tell the solver a plan to begin with."""
        self.cp.clear_hints()  # type: ignore[no-untyped-call]
        for variable, value in self._hints:
            self.cp.add_hint(variable, value(plan))
