"""What an owner may do before the visit begins, and what of theirs waits for it."""

from __future__ import annotations

from dataclasses import replace

from annual_planner.planning.card_content import CardContent
from annual_planner.planning.crew.problem import Job
from annual_planner.planning.job_hands import Hands
from annual_planner.store.rows import CardLine
from annual_planner.trade.cards import ENGINE_ZONES
from annual_planner.trade.gates import RECORDS_READ


def around_the_start(job: Job, card: CardLine, content: CardContent, hands: Hands) -> Job:
    """The job with regard to an owner who has hours before the visit; any other job as it is.

    Preventive maintenance that the owner does alone and that waits for no other card may come before the
    visit, and before its records are read. Not on engine or propeller, which the shop checks hot first, as it
    came. Everything else of the owner's waits for the visit. Common practice, no source.
    """
    owner = hands.comes_ahead
    if owner is None or not any(owner in seat.people for seat in job.seats):
        return job
    if _may_come_ahead(job, card, content, hands, owner):
        return replace(job, after=())
    if job.not_before is not None and job.not_before >= hands.opens:
        return job
    return replace(job, not_before=hands.opens, arrives="the visit begins")


def _may_come_ahead(job: Job, card: CardLine, content: CardContent, hands: Hands, owner: str) -> bool:
    return (
        bool(content.preventive)
        and card.zone not in ENGINE_ZONES
        and len(job.seats) == 1
        and all(after.job == RECORDS_READ for after in job.after)
        and hands.does_alone(card, content, owner)
    )
