"""A discrepancy as its signature covers it: what was found, what was done, and every step that led there."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from sqlalchemy import select

from annual_planner.store.doing_mappings import DiscrepancyStepRow, PartUsedRow
from annual_planner.store.refusals import gone
from annual_planner.store.session import Work
from annual_planner.store.signed_subjects import aircraft_to_sign, person_references
from annual_planner.store.work_mappings import DiscrepancyRow
from annual_planner.trade.canonical import day_text, measured, plain_values

SIGNED_STEP = "inspected"
"""The step that the signature itself makes; it is no part of what is signed."""


@dataclass(frozen=True, slots=True)
class DiscrepancyToSign:
    """A discrepancy with what its signing asks."""

    aircraft_id: int
    package_id: int | None
    text: str
    zone: str
    state: str
    corrected_on: date | None
    corrected_by_id: int | None
    major: bool
    """Put right by a major repair or alteration."""
    values: Mapping[str, object]


def discrepancy_to_sign(work: Work, discrepancy_id: int) -> DiscrepancyToSign:
    """A discrepancy with its steps and parts. Refused when it is gone."""
    row = work.session.get(DiscrepancyRow, discrepancy_id, populate_existing=True)
    if row is None:
        raise gone("discrepancy")
    steps = _steps(work, discrepancy_id)
    corrected = next((step for step in reversed(steps) if step.step == "corrected"), None)
    return DiscrepancyToSign(
        aircraft_id=row.aircraft_id,
        package_id=row.package_id,
        text=row.text,
        zone=row.zone,
        state=row.state,
        corrected_on=corrected.on if corrected is not None else None,
        corrected_by_id=corrected.person_id if corrected is not None else None,
        major=corrected is not None and bool(corrected.facts.get("major")),
        values={
            "airplane": dict(aircraft_to_sign(work, row.aircraft_id).values),
            "found on": day_text(row.found_on),
            "zone": row.zone,
            "cylinder": row.cylinder,
            "text": row.text,
            "airworthy when found": row.airworthy,
            "disposition": row.disposition,
            "steps": _told(work, steps),
            "parts used": _parts(work, discrepancy_id),
        },
    )


def _steps(work: Work, discrepancy_id: int) -> list[DiscrepancyStepRow]:
    """The steps of its life, oldest first, without that of its signing."""
    query = select(DiscrepancyStepRow).where(DiscrepancyStepRow.discrepancy_id == discrepancy_id)
    found = work.session.scalars(query.order_by(DiscrepancyStepRow.id))
    return [step for step in found if step.step != SIGNED_STEP]


def _told(work: Work, steps: Sequence[DiscrepancyStepRow]) -> list[object]:
    people = person_references(work, [step.person_id for step in steps])
    return [
        {
            "step": step.step,
            "on": day_text(step.on),
            "by": people.get(step.person_id),
            "said": step.said,
            "facts": plain_values(step.facts),
        }
        for step in steps
    ]


def _parts(work: Work, discrepancy_id: int) -> list[object]:
    query = select(PartUsedRow).where(PartUsedRow.discrepancy_id == discrepancy_id).order_by(PartUsedRow.id)
    return [
        {"name": row.name, "quantity": measured(row.quantity, row.unit), "serial": row.serial}
        for row in work.session.scalars(query)
    ]
