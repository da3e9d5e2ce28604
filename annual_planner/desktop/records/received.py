"""Signed records that came with an airplane from an earlier keeper: readable, and shown as received."""

from __future__ import annotations

from dataclasses import dataclass
from html import escape
from typing import TYPE_CHECKING

from annual_planner.desktop.column_room import LAST_RESORT
from annual_planner.desktop.columns import Column, day_text
from annual_planner.desktop.moment import moment_with_zone
from annual_planner.records.received import received_faults
from annual_planner.store.received_reads import ReceivedChain, received_chains
from annual_planner.store.record_rows import Link
from annual_planner.trade.seals import fingerprint, seal_text
from annual_planner.trade.shown import shown

if TYPE_CHECKING:
    from collections.abc import Collection

    from annual_planner.store.session import Work

NOTHING = "Signed records of an airplane that another keeper handed over are listed here."
GOOD, BROKEN = "received", "no longer matches"


@dataclass(frozen=True, slots=True)
class ReceivedLine:
    """One signed record of an earlier keeper, and whether that keeper's records still match."""

    chain: ReceivedChain
    link: Link
    faults: tuple[str, ...]

    @property
    def state(self) -> str:
        """'received', or 'no longer matches'."""
        return BROKEN if self.faults else GOOD


RECEIVED_COLUMNS: tuple[Column[ReceivedLine], ...] = (
    Column("registration", "Airplane", lambda r: r.chain.registration, "registration", 10),
    Column("keeper", "Received from", lambda r: r.chain.keeper, "keeper", 24, aside=4),
    Column(
        "signed_at", "Signed", lambda r: moment_with_zone(r.link.sealed.signed_at), "signed_at", 21,
        by=lambda r: r.link.sealed.signed_at, aside=LAST_RESORT,
    ),
    Column("person", "By", lambda r: r.link.person, "person", 18, aside=LAST_RESORT + 1),
    Column("meaning", "As", lambda r: r.link.sealed.meaning, "meaning", 23, aside=3),
    Column("kind", "What", lambda r: r.link.sealed.kind, "kind", 12, aside=1),
    Column("state", "State", lambda r: r.state, "state", 18, sign=lambda r: r.state, aside=LAST_RESORT + 2),
    Column(
        "work_on", "Work of", lambda r: day_text(r.link.sealed.work_on), "work_on", 12, right=True,
        by=lambda r: str(r.link.sealed.work_on), aside=2,
    ),
)  # fmt: skip


def read_received(
    work: Work, aircraft_id: int | None, own: Collection[int] | None
) -> tuple[ReceivedLine, ...]:
    """What was received, the newest signature first; `own` the airplanes that may be seen, None = all."""
    found: list[ReceivedLine] = []
    for chain in received_chains(work, aircraft_id):
        if own is None or chain.aircraft_id in own:
            faults = tuple(received_faults(chain))
            found += [ReceivedLine(chain, link, faults) for link in chain.links]
    return tuple(sorted(found, key=lambda line: line.link.sealed.signed_at, reverse=True))


def received_text(line: ReceivedLine) -> str:
    """Everything about one received record for the pane beside the list."""
    chain, link = line.chain, line.link
    broken = "".join(f"<p><b>{escape(fault)}</b></p>" for fault in line.faults)
    head = (
        f"<p><b>Received from {escape(chain.keeper)}</b>, handed over {day_text(chain.handed_on)}, taken in "
        f"by {escape(chain.taken_by)} {escape(moment_with_zone(chain.taken_at))}. It is a signature in that "
        "keeper's records and none of this fleet; it is checked with the key that came along.</p>"
    )
    key = f"<p>Key of {escape(link.person)}: {fingerprint(link.sealed.public_key)}, to compare with them.</p>"
    content = escape(shown(link.content)).replace("\n", "<br>")
    return f"{broken}{head}<p>{content}</p>{key}<p>Seal: {escape(seal_text(link.seal))}</p>"
