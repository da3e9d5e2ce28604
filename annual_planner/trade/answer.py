"""A value together with its working, put together in one call."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeVar

from annual_planner.trade.working import Input, Rule, Step, Worked, Working

T = TypeVar("T")


def answer(
    value: T,
    title: str,
    result: str,
    *,
    citation: str = "",
    says: str = "",
    inputs: Sequence[tuple[str, str] | tuple[str, str, str]] = (),
    steps: Sequence[Step] = (),
    assumptions: Sequence[str] = (),
    parts: Sequence[Working] = (),
) -> Worked[T]:
    """The value with a working made of plain parts; an input is its name, its value and perhaps a unit."""
    working = Working(
        title=title,
        result=result,
        inputs=tuple(Input(*item) for item in inputs),
        steps=tuple(steps),
        rules=(Rule(citation, says),) if citation else (),
        assumptions=tuple(assumptions),
        parts=tuple(parts),
    )
    return Worked(value, working)
