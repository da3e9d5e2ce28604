"""What is to go into each place while the plugs are out, where that isn't the scheme's plug."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING, Any

from annual_planner.store.writing import values_of
from annual_planner.trade.engines import EngineType, Place, place
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.store.session import Work


@dataclass(frozen=True, slots=True)
class Planned:
    """What goes into a place instead of the scheme's plug: a plug by id, a new one by type and tag, or none.

    None means that the place is still open. `why`: why it departs from the scheme.
    """

    plug_id: int | None = None
    new_type_key: str = ""
    new_tag: str = ""
    why: str = ""

    def as_stored(self) -> dict[str, object]:
        """The values by name, as a rotation keeps them."""
        return asdict(self)


def planned_of(stored: Mapping[str, Mapping[str, Any]]) -> dict[Place, Planned]:
    """What a rotation keeps, by place. Raises Refused for a place that can't be."""
    return {place(at): Planned(**values) for at, values in stored.items()}


def check_planned(work: Work, kind: EngineType, stored: object) -> None:
    """Raise Refused for a place the engine hasn't, or a plug that is planned for two places."""
    assert isinstance(stored, Mapping)
    planned = planned_of(stored)
    for at in planned:
        kind.checked(at)
    plugs = [each.plug_id for each in planned.values() if each.plug_id is not None]
    twice = next((plug_id for plug_id in plugs if plugs.count(plug_id) > 1), None)
    if twice is not None:
        tag = values_of(work, "spark_plug", twice, said="plug")["tag"]
        raise Refused(f"Plug {tag} can't go into two places.", "Choose another plug for one of them.")
