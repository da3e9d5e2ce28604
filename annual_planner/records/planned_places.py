"""What is to go into each place while the plugs are out, where that isn't the scheme's plug."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING, Any

from annual_planner.store.plug_facts import known_tags
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


def check_planned(
    work: Work, kind: EngineType, stored: object, kept: Mapping[str, Mapping[str, Any]]
) -> None:
    """Raise Refused for a place the engine hasn't, or a plug or tag planned for two places.

    Also for a new tag that a plug of the fleet has; `kept`: what was planned so far is not asked again.
    """
    assert isinstance(stored, Mapping)
    planned = planned_of(stored)
    for at in planned:
        kind.checked(at)
    plugs = [each.plug_id for each in planned.values() if each.plug_id is not None]
    twice = next((plug_id for plug_id in plugs if plugs.count(plug_id) > 1), None)
    if twice is not None:
        tag = values_of(work, "spark_plug", twice, said="plug")["tag"]
        raise Refused(f"Plug {tag} can't go into two places.", "Choose another plug for one of them.")
    _check_new_tags(work, _tags(planned), _tags(planned_of(kept)))


def _tags(planned: Mapping[Place, Planned]) -> list[str]:
    return [each.new_tag.strip() for each in planned.values() if each.new_tag.strip()]


def _check_new_tags(work: Work, tags: Sequence[str], kept: Sequence[str]) -> None:
    twice = next((tag for tag in tags if tags.count(tag) > 1), None)
    if twice is not None:
        raise Refused(f"Two new plugs would be called {twice}.", "Give each its own serial or tag.")
    known = sorted(known_tags(work, set(tags) - set(kept)))
    if known:
        raise Refused(
            f"There is a plug {known[0]} already.",
            "Give the new one its own tag, or choose that plug instead.",
        )
