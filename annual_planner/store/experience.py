"""What the shop's last visits took: hours on the cards of each template, and defects found on the way."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlalchemy import Select, func, select

from annual_planner.store.doing_mappings import WorkedTimeRow
from annual_planner.store.session import Work
from annual_planner.store.work_mappings import CardRow, DiscrepancyRow, PackageRow
from annual_planner.trade.card_states import DONE
from annual_planner.trade.package_states import CLOSED

LAST_VISITS = 40
"""Closed packages that are looked back on, the newest."""


@dataclass(frozen=True, slots=True)
class CardTaken:
    """One card that was done: its key in its package and the minutes it was worked on.

    Minutes of several people at the same time count once.
    """

    card_id: int
    key: str
    minutes: int


@dataclass(frozen=True, slots=True)
class FoundBefore:
    """Defects found on cards of so many closed packages."""

    found: int
    visits: int


def cards_taken(work: Work) -> list[CardTaken]:
    """Cards done in the last closed packages with time written down for them, by id: one query."""
    query = (
        select(CardRow.id, CardRow.key, WorkedTimeRow.started_at, WorkedTimeRow.stopped_at)
        .join(WorkedTimeRow, WorkedTimeRow.card_id == CardRow.id)
        .where(CardRow.package_id.in_(_last_closed()), CardRow.state == DONE)
        .where(WorkedTimeRow.stopped_at.is_not(None))
        .order_by(CardRow.id, WorkedTimeRow.started_at)
    )
    keys: dict[int, str] = {}
    stretches: dict[int, list[tuple[datetime, datetime]]] = {}
    for card_id, key, started_at, stopped_at in work.session.execute(query):
        keys[card_id] = key
        if stopped_at is not None:
            stretches.setdefault(card_id, []).append((started_at, stopped_at))
    return [CardTaken(each, key, _minutes(stretches[each])) for each, key in keys.items()]


def _minutes(stretches: list[tuple[datetime, datetime]]) -> int:
    """Minutes that are in at least one of some stretches, which come by start."""
    worked, until = timedelta(), stretches[0][0]
    for start, stop in stretches:
        if stop > until:
            worked += stop - max(start, until)
            until = stop
    return round(worked / timedelta(minutes=1))


def found_before(work: Work) -> FoundBefore:
    """Count the last closed packages, and the defects found on their cards: two queries."""
    last = _last_closed()
    visits = work.session.scalar(select(func.count()).select_from(last.subquery())) or 0
    found = (
        select(func.count())
        .select_from(DiscrepancyRow)
        .join(CardRow, CardRow.id == DiscrepancyRow.card_id)
        .where(CardRow.package_id.in_(last))
    )
    return FoundBefore(work.session.scalar(found) or 0, visits)


def _last_closed() -> Select[int]:
    return (
        select(PackageRow.id)
        .where(PackageRow.state == CLOSED)
        .order_by(PackageRow.start_on.desc(), PackageRow.id.desc())
        .limit(LAST_VISITS)
    )
