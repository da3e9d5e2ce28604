"""What the edits of plugs ask of the library: engine types, plug types, what a condition says."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from typing import TYPE_CHECKING, Protocol

from annual_planner.trade.engines import EngineType
from annual_planner.trade.plugs import Condition, ConditionSays, PlugType
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.store.plug_facts import FittedEngine


class PlugShelf(Protocol):
    """The part of the library that the edits of plugs need; the whole library is one."""

    def engine(self, key: str) -> EngineType:
        """The engine type of that key. Raises Refused where there is none."""
        ...

    def plug_type(self, key: str) -> PlugType:
        """The plug type of that key. Raises Refused where there is none."""
        ...

    def conditions_say(self) -> Mapping[Condition, ConditionSays]:
        """What each condition of a plug says."""
        ...


def shelf_or_shipped(shelf: PlugShelf | None) -> PlugShelf:
    """The library given, else the one that ships with the program."""
    return shelf if shelf is not None else _shipped()


@lru_cache(maxsize=1)
def _shipped() -> PlugShelf:
    from annual_planner.library.shelf import load_library

    return load_library()


def type_of(engine: FittedEngine, shelf: PlugShelf | None) -> EngineType:
    """The type of an engine. Raises Refused where nobody said which it is."""
    if not engine.type_key:
        raise Refused(
            f"Nobody has said of which type {engine.said} is.",
            "Choose its engine type first; its places and firing order follow from it.",
        )
    return shelf_or_shipped(shelf).engine(engine.type_key)
