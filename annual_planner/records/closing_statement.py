"""The closing statement of a hand-over: how much it holds, to whom it went; so nothing is left out unseen.

Who hands over may sign it with their own key. It stands over every part of the file; it is no link of the
chain, because the file is there first.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import TYPE_CHECKING

from annual_planner.records.chain import signature_good
from annual_planner.records.keys import unlock
from annual_planner.records.trial import cant_take
from annual_planner.store.hand_over_rows import HandedOver, SentChain, SentStatement
from annual_planner.store.signed_reads import signer_of
from annual_planner.trade.canonical import (
    NotCanonical,
    canonical_bytes,
    day_text,
    moment_text,
    read_canonical,
    zone_text,
)
from annual_planner.trade.said import said_date
from annual_planner.trade.seals import FIRST, digest_of, fingerprint

if TYPE_CHECKING:
    from annual_planner.records.keys import Signs
    from annual_planner.store.record_rows import KeyLine
    from annual_planner.store.session import Fleet

CONTENT = "annual-planner hand-over statement 1"
"""The form of what is stated."""
ACT = "annual-planner hand-over statement 1: Ed25519 over canonical JSON"
"""Named inside what the signature stands over: it can't be taken for a signature of anything else."""
_SAYS = (
    "These are all records of this airplane that the keeper holds, and everything that was signed about it."
)


@dataclass(frozen=True, slots=True)
class HandedTo:
    """Who keeps the airplane next, and from which day."""

    name: str
    on: date


@dataclass(frozen=True, slots=True)
class Closing:
    """What a keeper says of the file as a whole; signed where a person unlocked their key for it."""

    to: HandedTo | None = None
    signer: UnlockedSigner | None = None

    def statement(self, records: HandedOver, parts: Mapping[str, str]) -> SentStatement:
        """The statement over the records and the SHA-256 of every part by its name."""
        signer = self.signer
        values = _values(records, len(parts), parts_digest(parts), _to(self.to), signer and signer.told)
        found = SentStatement(canonical_bytes(values), len(parts), parts_digest(parts))
        return found if signer is None else signer.signed(found)


@dataclass(frozen=True, slots=True)
class UnlockedSigner:
    """A person whose key was unlocked by the passphrase typed for this one statement."""

    key: KeyLine
    private: Signs
    at: datetime
    told: Mapping[str, object]
    """The person as the statement names them: name, kind and number of each certificate."""

    def signed(self, statement: SentStatement) -> SentStatement:
        """The statement with the signature over it."""
        key = self.key.public_key
        act = canonical_bytes(
            {
                "algorithm": ACT,
                "key": key.hex(),
                "signed_at": moment_text(self.at),
                "statement_sha256": digest_of(statement.content),
                "zone": zone_text(self.at),
            }
        )
        return replace(statement, act=act, signature=self.private.sign(act), public_key=key)


def unlocked_signer(fleet: Fleet, person_id: int, passphrase: str, at: datetime) -> UnlockedSigner:
    """Unlock the key of the person who hands over; wrong passphrases count as they do for every signature.

    Raises WrongPassphrase, and Refused where there is no open key. Call it off the window's thread.
    """
    key, private = unlock(fleet, person_id, passphrase, at)
    with fleet.reading() as work:
        person, _ = signer_of(work, person_id)
    held = [{"kind": str(each.kind), "number": each.number} for each in person.certificates]
    return UnlockedSigner(key, private, at, {"id": person_id, "name": person.name, "certificates": held})


def parts_digest(parts: Mapping[str, str]) -> str:
    """SHA-256 over the canonical JSON of every part's name with its SHA-256.

    >>> parts_digest({"records.json": "00"}) == digest_of(b'{"records.json":"00"}')
    True
    """
    return digest_of(canonical_bytes(dict(parts)))


def check_statement(records: HandedOver) -> None:
    """Raises Refused where the statement is not about this file, or its signature is not good."""
    fault = next(_faults(records), "") if records.statement is not None else ""
    if fault:
        raise cant_take(f"its closing statement {fault}")


def handed_to(statement: SentStatement | None) -> HandedTo | None:
    """To whom the airplane was handed over, where the keeper said so."""
    told = _told(statement).get("handed to")
    return (
        HandedTo(str(told["name"]), date.fromisoformat(str(told["on"])))
        if isinstance(told, Mapping)
        else None
    )


def signed_by(statement: SentStatement | None) -> str:
    """The name of the person who signed the statement; empty for one that nobody signed."""
    told = _told(statement).get("signer")
    return str(told.get("name", "")) if isinstance(told, Mapping) else ""


def statement_remarks(records: HandedOver) -> Iterator[str]:
    """What a person should know of it: to whom, whether it is signed, and with which key."""
    statement = records.statement
    to = handed_to(statement)
    if to is not None:
        yield f"handed to {to.name} on {said_date(to.on)}"
    if statement is None or not statement.signature:
        what = (
            "the file has no closing statement"
            if statement is None
            else "the closing statement is not signed"
        )
        yield f"{what}: whole records may have been left out unseen; compare the last seal with a paper"
        return
    key = fingerprint(statement.public_key)
    yield f"the closing statement is signed by {signed_by(statement)}, key {key}: nothing was left out since"
    last = records.chains[-1]
    number = sum(each.link.sealed.public_key == statement.public_key for each in last.links)
    if number:
        yield f"that key signed {number} of the records of {last.keeper}"
    else:
        yield f"that key signed none of the records of {last.keeper}: compare it with the person"


def _told(statement: SentStatement | None) -> Mapping[str, object]:
    try:
        value = read_canonical(statement.content) if statement is not None else {}
    except NotCanonical:
        return {}
    return value if isinstance(value, Mapping) else {}


def _faults(records: HandedOver) -> Iterator[str]:
    statement = records.statement
    assert statement is not None, "asked only about a file that has one"
    told = _told(statement)
    if not _plain(told.get("handed to"), {"name", "on"}) or not _plain(told.get("signer"), _SIGNER):
        yield "can't be read"
        return
    stated = _values(
        records, statement.parts, statement.parts_sha256, told.get("handed to"), told.get("signer")
    )
    differing = sorted(name for name in {*told, *stated} if told.get(name) != stated.get(name))
    if differing:
        yield f"is not about this file: {', '.join(differing)}. Something was left out or changed"
    if bool(statement.signature) != (told.get("signer") is not None):
        yield "names a signer and has no signature, or the other way"
    elif statement.signature:
        yield from _signature_faults(statement)


_SIGNER = {"id", "name", "certificates"}


def _plain(value: object, names: set[str]) -> bool:
    """Nothing, or a table with just these names; a day in it is one, so that it can be said to people."""
    if not isinstance(value, Mapping):
        return value is None
    try:
        date.fromisoformat(str(value.get("on", "2000-01-01")))
    except ValueError:
        return False
    return set(value) == names and 0 < len(str(value["name"])) <= 200


def _signature_faults(statement: SentStatement) -> Iterator[str]:
    try:
        act = read_canonical(statement.act)
    except NotCanonical:
        act = None
    told = {
        "algorithm": ACT,
        "key": statement.public_key.hex(),
        "statement_sha256": digest_of(statement.content),
    }
    if not isinstance(act, Mapping) or any(act.get(name) != value for name, value in told.items()):
        yield "is not what its signature stands over"
    if not signature_good(statement.public_key, statement.signature, statement.act):
        yield "has a signature that is not good with its key"


def _values(
    records: HandedOver, parts: int, parts_sha256: str, to: object, signer: object
) -> dict[str, object]:
    airplane, last = records.aircraft, records.chains[-1]
    return {
        "form": CONTENT,
        "says": _SAYS,
        "airplane": {name: airplane[name] for name in ("registration", "maker", "model", "serial")},
        "keeper": last.keeper,
        "handed on": day_text(last.handed_on),
        "handed to": to,
        "links": sum(len(chain.links) for chain in records.chains),
        "chains": [_chain(chain) for chain in records.chains],
        "parts": parts,
        "parts_sha256": parts_sha256,
        "signer": signer,
    }


def _chain(chain: SentChain) -> dict[str, object]:
    seals = [each.link.seal for each in chain.links]
    return {
        "keeper": chain.keeper,
        "links": len(seals),
        "first_seal": seals[0] if seals else FIRST,
        "last_seal": seals[-1] if seals else FIRST,
        "whole_chain_links": chain.last_link,
        "whole_chain_last_seal": chain.last_seal,
    }


def _to(to: HandedTo | None) -> dict[str, object] | None:
    return None if to is None else {"name": to.name, "on": day_text(to.on)}
