"""Discrepancies put right on a package that no card of its own says so: what their entries are made of."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from sqlalchemy import select

from annual_planner.store.doing_mappings import DiscrepancyStepRow, PartUsedRow
from annual_planner.store.done_reads import part_said
from annual_planner.store.mappings import PersonRow
from annual_planner.store.session import Work
from annual_planner.store.work_mappings import CardRow, DiscrepancyRow
from annual_planner.trade.card_states import DONE

PUT_RIGHT = ("corrected", "signed")
"""States of a discrepancy that was put right."""


@dataclass(frozen=True, slots=True)
class RepairMade:
    """One discrepancy that was put right: what was found, what was done, by whom and when."""

    discrepancy_id: int
    text: str
    zone: str
    assembly_id: int | None
    said: str
    """What was done, in the words of who did it."""
    done_by_id: int | None
    done_by: str
    done_on: date
    parts: tuple[str, ...]
    major: bool = False
    """A major repair or alteration."""


def repairs_made(work: Work, package_id: int) -> tuple[RepairMade, ...]:
    """Repairs of a package, in the order in which they were found: three queries.

    One that a done card of the package was made for is left out: that card's entry says it.
    """
    of_cards = select(CardRow.discrepancy_id).where(
        CardRow.package_id == package_id,
        CardRow.included,
        CardRow.state == DONE,
        CardRow.discrepancy_id.is_not(None),
    )
    query = (
        select(DiscrepancyRow)
        .where(
            DiscrepancyRow.package_id == package_id,
            DiscrepancyRow.state.in_(PUT_RIGHT),
            DiscrepancyRow.id.not_in(of_cards),
        )
        .order_by(DiscrepancyRow.found_on, DiscrepancyRow.id)
    )
    rows = list(work.session.scalars(query))
    ids = [row.id for row in rows]
    steps, parts = _corrected(work, ids), _parts(work, ids)
    return tuple(
        RepairMade(
            discrepancy_id=row.id,
            text=row.text,
            zone=row.zone,
            assembly_id=row.assembly_id,
            said=steps[row.id][0].said,
            done_by_id=steps[row.id][0].person_id,
            done_by=steps[row.id][1],
            done_on=steps[row.id][0].on,
            parts=tuple(parts.get(row.id, ())),
            major=bool(steps[row.id][0].facts.get("major")),
        )
        for row in rows
        if row.id in steps
    )


def _corrected(work: Work, ids: list[int]) -> dict[int, tuple[DiscrepancyStepRow, str]]:
    """The last 'corrected' step of each, with the name of who took it."""
    query = (
        select(DiscrepancyStepRow, PersonRow.name)
        .outerjoin(PersonRow, PersonRow.id == DiscrepancyStepRow.person_id)
        .where(DiscrepancyStepRow.discrepancy_id.in_(ids), DiscrepancyStepRow.step == "corrected")
        .order_by(DiscrepancyStepRow.id)
    )
    return {step.discrepancy_id: (step, name or "") for step, name in work.session.execute(query)}


def _parts(work: Work, ids: list[int]) -> dict[int, list[str]]:
    found: dict[int, list[str]] = {}
    query = select(PartUsedRow).where(PartUsedRow.discrepancy_id.in_(ids)).order_by(PartUsedRow.id)
    for row in work.session.scalars(query):
        found.setdefault(row.discrepancy_id or 0, []).append(
            part_said(row.name, row.quantity, row.unit, row.serial)
        )
    return found
