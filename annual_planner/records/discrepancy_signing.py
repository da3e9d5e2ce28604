"""Signing a discrepancy: it was corrected; the signature is its inspection, the last step of its life."""

from __future__ import annotations

from typing import TYPE_CHECKING

from annual_planner.records.discrepancy_life import Inspect
from annual_planner.records.signable import Signable
from annual_planner.store.discrepancy_to_sign import DiscrepancyToSign, discrepancy_to_sign
from annual_planner.store.signed_reads import link_of
from annual_planner.trade.cards import WorkKind
from annual_planner.trade.discrepancy_life import CORRECTED
from annual_planner.trade.people import WorkPiece
from annual_planner.trade.refused import Refused
from annual_planner.trade.signing import ToSign, meanings_of

if TYPE_CHECKING:
    from annual_planner.store.session import Work

SIDES = ("engine", "propeller")


def read_discrepancy(work: Work, discrepancy_id: int) -> ToSign:
    """The discrepancy as it stands, its repair as the work that the rules are asked about."""
    found = discrepancy_to_sign(work, discrepancy_id)
    return ToSign(
        kind="discrepancy",
        said=f"discrepancy {discrepancy_id}, '{found.text}'",
        values=found.values,
        work_on=found.corrected_on,
        meanings=meanings_of((_repair(found),)),
        works=(_repair(found),),
        aircraft_id=found.aircraft_id,
        package_id=found.package_id,
        performer_id=found.corrected_by_id,
    )


def _repair(found: DiscrepancyToSign) -> WorkPiece:
    side = found.zone if found.zone in SIDES else "airframe"
    return WorkPiece(found.text, WorkKind.REPAIR, side, major=found.major)


def check_discrepancy(work: Work, discrepancy_id: int) -> None:
    """Raise Refused for one that isn't corrected, or is signed already."""
    found = discrepancy_to_sign(work, discrepancy_id)
    if found.state != CORRECTED:
        raise Refused(
            f"The discrepancy is {found.state}, not corrected.", "Write down what was done, then sign it."
        )


def settle_discrepancy(work: Work, discrepancy_id: int, record_id: int) -> None:
    """Take the last step of its life: inspected, by who signed, at the moment of signing."""
    signed = link_of(work, record_id).sealed
    on = signed.signed_at.date()
    Inspect(discrepancy_id, on, signed.signed_at, signed.person_id, f"signed, record {record_id}").apply(
        work, on
    )


SIGNABLE = Signable(read_discrepancy, check_discrepancy, settle_discrepancy, touches="discrepancy")
