"""How far the cards of a package have come: state, minutes worked, and who is on each now."""

from __future__ import annotations

from dataclasses import dataclass

from sqlalchemy import select

from annual_planner.store.doing_mappings import WorkedTimeRow
from annual_planner.store.session import Work
from annual_planner.store.work_mappings import CardRow
from annual_planner.trade.card_states import OPEN


@dataclass(frozen=True, slots=True)
class Begun:
    """One card: its state, minutes of ended stretches, and ids of the people who are on it now."""

    state: str
    minutes: int
    people_on: tuple[int, ...]


def begun_cards(work: Work, package_id: int) -> dict[int, Begun]:
    """Every card of a package that is not just open: two queries."""
    begun = select(CardRow.id, CardRow.state).where(CardRow.package_id == package_id, CardRow.state != OPEN)
    states = {row[0]: row[1] for row in work.session.execute(begun)}
    query = (
        select(WorkedTimeRow)
        .join(CardRow, CardRow.id == WorkedTimeRow.card_id)
        .where(CardRow.package_id == package_id)
    )
    minutes: dict[int, int] = {}
    on: dict[int, list[int]] = {}
    for row in work.session.scalars(query):
        if row.stopped_at is None:
            on.setdefault(row.card_id, []).append(row.person_id)
        else:
            worked = int((row.stopped_at - row.started_at).total_seconds() // 60)
            minutes[row.card_id] = minutes.get(row.card_id, 0) + worked
    return {
        each: Begun(state, minutes.get(each, 0), tuple(on.get(each, ()))) for each, state in states.items()
    }
