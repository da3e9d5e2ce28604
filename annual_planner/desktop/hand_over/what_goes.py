"""What would be handed over of one airplane, as the dialog says it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from annual_planner.desktop.desk import Desk
from annual_planner.desktop.hand_over.words import counts, which_airplane
from annual_planner.desktop.signing.who_signs import signers
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.store.session import Work


@dataclass(frozen=True, slots=True)
class WhatGoes:
    """What would be handed over of one airplane."""

    registration: str
    airplane: str
    keeper: str
    counts: tuple[tuple[str, int], ...]
    files: int
    """Steps of the writing: each paper is read once, each photograph is read and looked at again."""
    signers: tuple[tuple[int, str], ...] = ()
    """Who has a key to sign the closing statement with, and may be offered here."""


def read_what_goes(work: Work, aircraft_id: int, owner_id: int | None, desk: Desk) -> WhatGoes:
    """Count what would be handed over. Raises Refused when it is gone, or another owner's."""
    from annual_planner.store.fleet_reads import aircraft_sheet, fleet_fact
    from annual_planner.store.hand_over_reads import handed_over
    from annual_planner.store.people_reads import people
    from annual_planner.store.signed_reads import key_lines

    sheet = aircraft_sheet(work, aircraft_id)
    if owner_id is not None and sheet.owner_id != owner_id:
        raise Refused("This airplane belongs to somebody else.", "Pick one of your own in the fleet list.")
    keeper = fleet_fact(work, "name")
    records = handed_over(work, aircraft_id, keeper=keeper, handed_on=desk.today)
    papers, photographs = (len(records.tables[name]) for name in ("filed_paper", "photograph"))
    steps = papers + 2 * photographs + 1
    keyed = {key.person_id for key in key_lines(work) if key.closed_at is None}
    may = [(each.person_id, each.name) for each in signers(desk.who.person, people(work))]
    return WhatGoes(
        sheet.registration, which_airplane(records), keeper, tuple(counts(records)), steps,
        tuple(each for each in may if each[0] in keyed),
    )  # fmt: skip
