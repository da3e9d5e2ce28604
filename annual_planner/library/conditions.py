"""Table of what the firing end of a used plug says."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from functools import lru_cache
from importlib.resources.abc import Traversable
from types import MappingProxyType
from typing import Annotated

from pydantic import Field, field_validator

from annual_planner.library.faults import Fault, refuse
from annual_planner.library.files import Kind, Shelf, read_shelf, shipped
from annual_planner.library.rows import Row, Text, Texts, Word
from annual_planner.trade.plugs import Condition, ConditionSays, Verdict

FILE = "plug_conditions"
_BY_KEY = {each.name.lower(): each for each in Condition}


class ConditionRow(Row):
    """One [[condition]]."""

    key: Word
    looks_like: Text
    causes: Annotated[Texts, Field(min_length=1)]
    look_next: Annotated[Texts, Field(min_length=1)]
    verdict: Verdict
    source: Text
    discrepancy: Text | None = None

    @field_validator("key")
    @classmethod
    def _known(cls, key: str) -> str:
        if key not in _BY_KEY:
            raise ValueError(f"one of the conditions {', '.join(_BY_KEY)}")
        return key

    def value(self) -> ConditionSays:
        """Give the trade's value."""
        return ConditionSays(
            _BY_KEY[self.key],
            self.looks_like,
            self.causes,
            self.look_next,
            self.verdict,
            self.source,
            self.discrepancy or "",
        )


CONDITIONS = Kind(FILE, "condition", ConditionRow)


def missing_conditions(shelf: Shelf[ConditionRow]) -> Iterator[Fault]:
    """Find every condition that a plug can have and no row speaks of."""
    for key in _BY_KEY:
        if key not in shelf.named:
            yield Fault(f"{FILE}.toml", f'condition "{key}"', "", "a row for every condition", "none")


def load_conditions(*folders: Traversable) -> Mapping[Condition, ConditionSays]:
    """Read what ships with the program, then a shop's folders, whose rows stand in place of one by key.

    For callers without the whole library, which holds the same. Raises Refused with every fault.
    """
    return _read((shipped(), *folders)) if folders else _shipped()


@lru_cache(maxsize=1)
def _shipped() -> Mapping[Condition, ConditionSays]:
    return _read((shipped(),))


def _read(folders: Iterable[Traversable]) -> Mapping[Condition, ConditionSays]:
    shelf = read_shelf(CONDITIONS, folders)
    refuse([*shelf.faults, *missing_conditions(shelf)])
    return by_condition(each.row.value() for each in shelf.entries.values())


def by_condition(rows: Iterable[ConditionSays]) -> Mapping[Condition, ConditionSays]:
    """What each condition says, by the condition, in the order of the rows."""
    return MappingProxyType({each.condition: each for each in rows})
