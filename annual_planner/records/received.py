"""Checking what an earlier keeper signed, with the keys that came along; it is no part of the own chain."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import islice
from typing import TYPE_CHECKING

from annual_planner.records.chain import own_faults, signed_content, signed_name
from annual_planner.store.received_reads import ReceivedChain, received_chains
from annual_planner.trade.seals import FIRST

if TYPE_CHECKING:
    from annual_planner.store.record_rows import Link
    from annual_planner.store.session import Work

RECEIVED_PROVES_NOT = (
    "that a key is that of the person named: compare its fingerprint with them or with a signed paper",
    "that nothing was left out: other airplanes' links stayed with the keeper before",
    "anything about what is not signed: it is as the keeper before wrote it down",
)
"""What a received chain that matches does not prove."""


def chain_faults(
    links: Sequence[Link], last_link: int, last_seal: str, *, most: int | None = None
) -> list[str]:
    """What no longer matches in the signed records of one earlier keeper; empty when all of it does.

    Each record against itself, against its key, and against the others that came along. With `most` the
    looking ends at so many faults: one is enough to refuse a file, and forged records take time to look at.
    """
    found = islice(_faults(links, last_link, last_seal), most)
    return [f"link {link.sealed.link}: {what}" for link, what in found]


def _faults(links: Sequence[Link], last_link: int, last_seal: str) -> Iterator[tuple[Link, str]]:
    known: dict[int, Link] = {}
    before: Link | None = None
    closed: dict[int, int] = {}
    keys: dict[int, tuple[bytes, int]] = {}
    for link in links:
        sealed = link.sealed
        yield from ((link, what) for what in _own(link))
        if before is not None and sealed.link <= before.sealed.link:
            yield link, "it does not stand in its order"
        if _previous(known, sealed.link) not in (None, sealed.previous_seal):
            yield link, "the seal before it is not the one it was signed after"
        if sealed.key_id in closed:
            yield link, f"its key was closed by link {closed[sealed.key_id]}"
        if keys.setdefault(sealed.key_id, (sealed.public_key, sealed.person_id)) != (
            sealed.public_key,
            sealed.person_id,
        ):
            yield link, "its key is another, or another person's, than before under the same number"
        yield from ((link, what) for what in _correcting(link, known))
        if sealed.kind == "key closed":
            closed[sealed.subject_id] = sealed.link
        known[sealed.link], before = link, link
    if before is not None and before.sealed.link > last_link:
        yield before, "it stands behind the end of its chain"
    if before is not None and before.sealed.link == last_link and before.seal != last_seal:
        yield before, "its seal is not the last one of its chain"


def _own(link: Link) -> list[str]:
    try:
        faults = own_faults(link)
    except (ValueError, TypeError, AttributeError) as fault:
        return [f"it can't be read: {fault}"]
    return (
        faults if signed_name(link) == link.person else [*faults, "its signer's name is not the signed one"]
    )


def _previous(known: Mapping[int, Link], link: int) -> str | None:
    """The seal that must stand before this link; None where that link stayed with its keeper."""
    if link == 1:
        return FIRST
    found = known.get(link - 1)
    return found.seal if found else None


def _correcting(link: Link, known: Mapping[int, Link]) -> Iterator[str]:
    corrects, told = link.sealed.corrects_id, signed_content(link).get("corrects")
    if corrects is None:
        if told is not None:
            yield "what it corrects was taken off the record"
        return
    if not isinstance(told, Mapping) or told.get("record") != corrects:
        yield "it says to correct another record than was signed"
    elif corrects in known and known[corrects].seal != told.get("seal"):
        yield f"record {corrects}, which it corrects, is another by now"


def received_faults(chain: ReceivedChain) -> list[str]:
    """What no longer matches in what was taken in; empty while all of it does."""
    found = chain_faults(chain.links, chain.last_link, chain.last_seal)
    return [f"Received with {chain.registration} from {chain.keeper}, {fault}" for fault in found]


def check_received(work: Work) -> tuple[int, list[str]]:
    """How many signed records of earlier keepers the fleet holds, and what no longer matches in them."""
    try:
        chains = received_chains(work)
    except (ValueError, TypeError) as fault:  # somebody wrote into the file what no column of ours holds
        return 1, [f"What was received from earlier keepers can't be read: {fault}"]
    faults = [fault for chain in chains for fault in received_faults(chain)]
    return sum(len(chain.links) for chain in chains), faults
