"""Signing that a key is closed: a second person does, when its passphrase is lost or its holder leaves."""

from __future__ import annotations

from datetime import UTC
from typing import TYPE_CHECKING

from annual_planner.records.signable import Signable
from annual_planner.store.chain_writing import close_key
from annual_planner.store.signed_reads import closing_records, key_line, link_of
from annual_planner.trade.canonical import moment_text
from annual_planner.trade.refused import Refused
from annual_planner.trade.seals import fingerprint
from annual_planner.trade.signing import KEY_CLOSED, ToSign

if TYPE_CHECKING:
    from annual_planner.store.session import Work

WITNESSES = ("mechanic", "manager")
"""Roles of which the second person has one."""


def read_key(work: Work, key_id: int) -> ToSign:
    """The key as its closing names it: holder, public half, when it was made."""
    key = key_line(work, key_id)
    return ToSign(
        kind="key closed",
        said=f"the closing of the key of {key.person}",
        values={
            "holder": {"id": key.person_id, "name": key.person},
            "public key": key.public_key.hex(),
            "fingerprint": fingerprint(key.public_key),
            "made at": moment_text(key.made_at),
        },
        work_on=None,
        meanings=(KEY_CLOSED,),
        roles=WITNESSES,
        never_by=key.person_id,
    )


def check_key(work: Work, key_id: int) -> None:
    """Raise Refused for a key whose closing is signed already."""
    if closing_records(work, [key_id]):
        raise Refused("The closing of this key is signed already.", "Its holder can make a new one.")


def settle_key(work: Work, key_id: int, record_id: int) -> None:
    """Close the key, from the moment of the signature on."""
    signed = link_of(work, record_id).sealed
    close_key(work, key_id, signed.signed_at.astimezone(UTC), f"closed by signed record {record_id}")


SIGNABLE = Signable(read_key, check_key, settle_key, touches="person")
