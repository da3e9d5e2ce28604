"""Making frozen rows by the hundred.

A frozen dataclass writes each field through a guarded setter, which for a page of two hundred lines of two
dozen fields takes nearly as long as the database does. Here the fields are written into an open twin with the
same slots, which then becomes the frozen class: the same lines in a sixth of the time.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import fields, make_dataclass
from functools import cache
from typing import Any, TypeVar

L = TypeVar("L")


def lines_of(kind: type[L], rows: Iterable[Sequence[Any]]) -> list[L]:
    """Lines of a frozen slotted dataclass, each from a row that holds its fields in their order."""
    made_as: Any = kind
    twin = _open_twin(made_as)
    lines = [twin(*row) for row in rows]
    for line in lines:
        line.__class__ = kind
    return lines


@cache
def _open_twin(kind: Any) -> Any:
    names = [(each.name, Any) for each in fields(kind)]
    return make_dataclass(f"Open{kind.__name__}", names, slots=True)
