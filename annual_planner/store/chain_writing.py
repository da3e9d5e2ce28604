"""Adding a link to the chain, and the few changes a key goes through. Nothing here changes what is signed."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import insert, text

from annual_planner.store.audit import note_change
from annual_planner.store.record_mappings import PersonKeyRow, SignedRecordRow
from annual_planner.store.record_rows import LastLink
from annual_planner.store.session import Work
from annual_planner.store.signed_reads import last_link
from annual_planner.trade.refused import Refused
from annual_planner.trade.seals import Sealed

CHAIN_LOCK = 0x5345414C
"""Key of the server's advisory lock under which links are added."""


def lock_chain(work: Work) -> LastLink:
    """Keep the chain for this transaction and give its newest link; others wait until it ends.

    A file's writing transactions exclude each other anyway.
    """
    if work.session.get_bind().dialect.name == "postgresql":
        work.session.execute(text("SELECT pg_advisory_xact_lock(:key)"), {"key": CHAIN_LOCK})
    return last_link(work)


def append_link(work: Work, content: bytes, sealed: Sealed, said: str) -> str:
    """Write a signed record as the newest link, with its audit line; its seal."""
    seal = sealed.seal()
    values = {
        "id": sealed.link,
        "link": sealed.link,
        "kind": sealed.kind,
        "subject_table": sealed.subject_table,
        "subject_id": sealed.subject_id,
        "aircraft_id": sealed.aircraft_id,
        "package_id": sealed.package_id,
        "content": content,
        "digest": sealed.digest,
        "act": sealed.act,
        "signature": sealed.signature,
        "key_id": sealed.key_id,
        "person_id": sealed.person_id,
        "meaning": sealed.meaning,
        "work_on": sealed.work_on,
        "signed_at": sealed.signed_at,
        "previous_seal": sealed.previous_seal,
        "seal": seal,
        "corrects_id": sealed.corrects_id,
    }
    work.session.execute(insert(SignedRecordRow), [values])
    told = {"link": sealed.link, "digest": sealed.digest, "seal": seal, "meaning": sealed.meaning}
    note_change(work, "signed_record", sealed.link, sealed.aircraft_id, f"signed {said}", {}, told)
    return seal


def count_try(work: Work, key_id: int, saw_tries: int, waits_until: datetime | None) -> None:
    """Count one try of a key before it is made, so that tries made at the same time all count.

    Raises Refused when another try was made meanwhile.
    """
    row = _key(work, key_id)
    if row.failed_tries != saw_tries or row.closed_at is not None:
        raise Refused("This key is being tried elsewhere at the same time.", "Try again in a moment.")
    row.failed_tries, row.waits_until = saw_tries + 1, waits_until
    work.session.flush()


def note_failed_try(work: Work, key_id: int, tries: int) -> None:
    """Write down in the audit trail that a passphrase was wrong."""
    note_change(work, "person_key", key_id, None, "a passphrase was wrong", {}, {"failed_tries": tries})


def clear_tries(work: Work, key_id: int) -> None:
    """Write down that the passphrase was right, so that tries count anew. Raises Refused for a closed key."""
    row = _key(work, key_id)
    row.failed_tries, row.waits_until = 0, None
    work.session.flush()


def check_open(work: Work, key_id: int) -> None:
    """Keep an open key open until this transaction ends. Raises Refused for a closed one."""
    row = _key(work, key_id)
    if row.closed_at is not None:
        raise Refused(f"This key was closed: {row.closed_why}.", "Make a new key first, or sign on paper.")


def close_key(work: Work, key_id: int, at: datetime, why: str) -> None:
    """Close a key for good, if it isn't closed yet; what it signed stays valid."""
    row = _key(work, key_id)
    if row.closed_at is None:
        row.closed_at, row.closed_why = at, why
        work.session.flush()
        note_change(work, "person_key", key_id, None, "closed a key", {}, {"closed_why": why})


def _key(work: Work, key_id: int) -> PersonKeyRow:
    row = work.session.get(PersonKeyRow, key_id, with_for_update=True, populate_existing=True)
    if row is None:
        raise Refused("There is no such key.", "Look at the list again.")
    return row
