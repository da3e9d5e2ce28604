"""Signing: one deliberate act that writes record, signature, audit line and link together, or nothing.

Everything is asked again inside the transaction: the content is still what was shown, the person is entitled
by the certificates as stored now, the key is open. No edit takes a signature back; a correction is a new one.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from annual_planner.records.edits import Changed
from annual_planner.records.keys import Signs, unlock
from annual_planner.records.signable import signable
from annual_planner.records.signing_sheet import SigningSheet, make_sheet
from annual_planner.store.chain_writing import append_link, check_open, lock_chain
from annual_planner.store.named_steps import reached
from annual_planner.store.record_rows import KeyLine, LastLink
from annual_planner.store.refusals import ChangedMeanwhile
from annual_planner.store.writing import lock_aircraft
from annual_planner.trade.canonical import moment_text
from annual_planner.trade.refused import Refused
from annual_planner.trade.seals import Act, Sealed, act_of

if TYPE_CHECKING:
    from annual_planner.store.session import Fleet, Work

SHEET_LIVES = timedelta(minutes=30)
"""A sheet left open longer is read again before it is signed."""


class NotEntitled(Refused):
    """The rules don't let this person sign this."""


@dataclass(frozen=True, slots=True)
class SignRecord:
    """Sign what the sheet shows, with the passphrase typed for this one signature. It can't be taken back."""

    sheet: SigningSheet
    person_id: int
    passphrase: str = field(repr=False)
    at: datetime

    @property
    def says(self) -> str:
        """What it is called."""
        return f"signature of {self.sheet.said}"


def sign(fleet: Fleet, wanted: SignRecord) -> Changed:
    """Unlock the person's own key and write the signed record; its id is `made_id`.

    Takes a third of a second of work for the passphrase: call it off the window's thread. Raises NotEntitled,
    WrongPassphrase, ChangedMeanwhile when the content is no longer what was shown, Refused for what can't be
    signed as it stands. Nothing of it is written then, but for the count of wrong tries.
    """
    _check_sheet(wanted)
    key, private = unlock(fleet, wanted.person_id, wanted.passphrase, wanted.at)
    reached("key unlocked")
    with fleet.work(key.person) as work:
        record_id = _write(work, wanted, key, private)
    reached("signed")
    kinds = frozenset({"signature", signable(wanted.sheet.asked.subject_table).touches})
    return Changed(kinds, None, wanted.sheet.aircraft_id, record_id)


def _check_sheet(wanted: SignRecord) -> None:
    asked = wanted.sheet.asked
    if asked.person_id != wanted.person_id:
        raise Refused("This sheet was made for another person.", "Let each person open their own.")
    if wanted.at.tzinfo is None:
        raise ValueError("the moment of signing needs its zone")
    _check_entitled(wanted.sheet)  # before the passphrase is tried: a no costs nobody a try
    open_for = wanted.at - asked.shown_at
    if open_for > SHEET_LIVES or wanted.at.date() != asked.shown_at.date():
        raise Refused("This sheet has been open too long.", "Read it again as it is now, then sign.")


def _check_entitled(sheet: SigningSheet) -> None:
    if not sheet.entitled.value.may:
        raise NotEntitled(sheet.entitled.value.why, "Let a person sign who may, or look at the certificates.")


def _write(work: Work, wanted: SignRecord, key: KeyLine, private: Signs) -> int:
    """Everything the signature consists of, within one transaction."""
    asked = wanted.sheet.asked
    if wanted.sheet.aircraft_id is not None:
        lock_aircraft(work, wanted.sheet.aircraft_id)
    last = lock_chain(work)
    reached("chain locked")
    check_open(work, key.key_id)
    now = make_sheet(work, asked)
    _check_entitled(now)
    if now.content != wanted.sheet.content:
        raise ChangedMeanwhile(f"content of {now.said}")
    act = act_of(
        now.digest,
        last.link + 1,
        last.seal,
        wanted.at,
        key.public_key,
        _clock(wanted.at, asked.shown_at, last),
    )
    sealed = _sealed(now, act, key, private.sign(act.signed_bytes()))
    append_link(work, now.content, sealed, f"{now.said} as {now.meaning}{_noted(act)}")
    reached("link written")
    signable(asked.subject_table).after(work, asked.subject_id, sealed.link)
    reached("state written")
    return sealed.link


def _clock(at: datetime, shown_at: datetime, last: LastLink) -> str:
    """A note where the computer's clock stands behind what is written down already."""
    if last.signed_at is not None and at < last.signed_at:
        return f"the clock stands behind link {last.link}, signed at {moment_text(last.signed_at)}"
    return "the clock was set back since this was shown" if at < shown_at else ""


def _noted(act: Act) -> str:
    return f" ({act.clock})" if act.clock else ""


def _sealed(sheet: SigningSheet, act: Act, key: KeyLine, signature: bytes) -> Sealed:
    return Sealed(
        link=act.link,
        previous_seal=act.previous_seal,
        kind=sheet.kind,
        subject_table=sheet.asked.subject_table,
        subject_id=sheet.asked.subject_id,
        aircraft_id=sheet.aircraft_id,
        package_id=sheet.package_id,
        digest=act.digest,
        act=act.signed_bytes(),
        signature=signature,
        public_key=key.public_key,
        key_id=key.key_id,
        person_id=key.person_id,
        meaning=sheet.meaning,
        work_on=sheet.work_on,
        signed_at=act.signed_at,
        corrects_id=sheet.corrects_id,
    )
