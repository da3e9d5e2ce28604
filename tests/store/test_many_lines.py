from __future__ import annotations

from dataclasses import FrozenInstanceError, astuple, fields, replace

import pytest

from annual_planner.store.many_lines import lines_of
from annual_planner.store.rows import DueLine


def test_lines_made_by_the_hundred_are_the_same_as_lines_made_one_by_one() -> None:
    rows = [tuple(f"{name} {n}" for name in range(len(fields(DueLine)))) for n in range(3)]
    lines = lines_of(DueLine, rows)
    assert lines == [DueLine(*row) for row in rows]  # type: ignore[arg-type]
    assert [type(line) for line in lines] == [DueLine] * 3
    assert astuple(replace(lines[0], title="another"))[3] == "another"
    with pytest.raises(FrozenInstanceError):
        lines[0].title = "another"  # type: ignore[misc]
