"""The arithmetic of signed records: what a signature stands over, and the seal that takes in the one before.

Pure arithmetic on values (SHA-256 of the standard library). Keys and passphrases are not known here.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import date, datetime

from annual_planner.trade.canonical import canonical_bytes, day_text, moment_text, zone_text

SEAL = "annual-planner seal 1: SHA-256 over canonical JSON"
"""Named inside every seal, so that a later way of sealing can't be taken for this one."""
ACT = "annual-planner signature 1: Ed25519 over canonical JSON"
"""Named inside what every signature stands over: it can't be taken for a signature of anything else."""
CONTENT = "annual-planner content 1"
"""The form of the content that a person is shown and signs."""
FIRST = "0" * 64
"""Stands in for the seal before the first."""


def digest_of(content: bytes) -> str:
    """SHA-256, hexadecimal.

    >>> digest_of(b"abc")
    'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad'
    """
    return hashlib.sha256(content).hexdigest()


def fingerprint(public_key: bytes) -> str:
    """The first 16 hexadecimal digits of a public key's SHA-256, for people to compare."""
    return digest_of(public_key)[:16]


@dataclass(frozen=True, slots=True)
class Act:
    """What is settled in the moment of signing; the signature stands over this, and so over the content."""

    digest: str
    link: int
    previous_seal: str
    signed_at: datetime
    zone: str
    """Distance from UTC of the clock that gave signed_at, such as '+02:00'."""
    public_key: str
    clock: str = ""
    """A note where the clock stood behind the link before; else empty."""

    def signed_bytes(self) -> bytes:
        """The exact bytes the signature stands over."""
        return canonical_bytes(
            {
                "algorithm": ACT,
                "clock": self.clock,
                "content_sha256": self.digest,
                "key": self.public_key,
                "link": self.link,
                "previous_seal": self.previous_seal,
                "signed_at": moment_text(self.signed_at),
                "zone": self.zone,
            }
        )


def act_of(
    digest: str, link: int, previous_seal: str, signed_at: datetime, public_key: bytes, clock: str = ""
) -> Act:
    """The act of signing content at a moment, whose own zone is kept."""
    return Act(digest, link, previous_seal, signed_at, zone_text(signed_at), public_key.hex(), clock)


@dataclass(frozen=True, slots=True)
class Sealed:
    """Every column of a signed record that its seal takes in."""

    link: int
    previous_seal: str
    kind: str
    subject_table: str
    subject_id: int
    aircraft_id: int | None
    package_id: int | None
    digest: str
    act: bytes
    signature: bytes
    public_key: bytes
    key_id: int
    person_id: int
    meaning: str
    work_on: date | None
    signed_at: datetime
    corrects_id: int | None

    def seal(self) -> str:
        """SHA-256 over all of it with the algorithm's name, hexadecimal."""
        return digest_of(
            canonical_bytes(
                {
                    "algorithm": SEAL,
                    "link": self.link,
                    "previous_seal": self.previous_seal,
                    "kind": self.kind,
                    "subject_table": self.subject_table,
                    "subject_id": self.subject_id,
                    "aircraft_id": self.aircraft_id,
                    "package_id": self.package_id,
                    "content_sha256": self.digest,
                    "act_sha256": digest_of(self.act),
                    "signature": self.signature.hex(),
                    "key": self.public_key.hex(),
                    "key_id": self.key_id,
                    "person_id": self.person_id,
                    "meaning": self.meaning,
                    "work_on": day_text(self.work_on),
                    "signed_at": moment_text(self.signed_at),
                    "corrects_id": self.corrects_id,
                }
            )
        )


def seal_text(seal: str) -> str:
    """A seal in groups of eight, as it is printed for people to compare.

    >>> seal_text("0123456789abcdef" * 4)[:26]
    '01234567 89abcdef 01234567'
    """
    return " ".join(seal[at : at + 8] for at in range(0, len(seal), 8))
