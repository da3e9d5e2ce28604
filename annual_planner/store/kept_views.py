"""Readers of the views of lists that people keep under a name."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from sqlalchemy import select

from annual_planner.store.doing_mappings import KeptViewRow
from annual_planner.store.session import Work


@dataclass(frozen=True, slots=True)
class KeptView:
    """A view kept under a name: filter, grouping and order as the place wrote them."""

    view_id: int
    person: str
    place: str
    name: str
    settings: dict[str, Any]
    version: int


def kept_views(work: Work, person: str, place: str) -> tuple[KeptView, ...]:
    """The views that a person kept for a place, by name."""
    query = select(KeptViewRow).where(KeptViewRow.person == person, KeptViewRow.place == place)
    return tuple(
        KeptView(row.id, row.person, row.place, row.name, row.settings, row.version)
        for row in work.session.scalars(query.order_by(KeptViewRow.name))
    )
