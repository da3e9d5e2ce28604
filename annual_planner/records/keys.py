"""A person's own signing key: made, unlocked for one signature, closed. There is no back door.

The private half (Ed25519) is kept only wrapped: argon2id makes a key of the passphrase, with which
ChaCha20-Poly1305 encrypts the private half. A wrong passphrase doesn't decrypt; nothing is there to compare
it with. Unlocking takes a third of a second and 64 MiB, so it is called off the window's thread.
"""

from __future__ import annotations

import os
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import TYPE_CHECKING, NoReturn, Protocol

from annual_planner.library.passphrases import blocked_phrases
from annual_planner.records.edits import Changed
from annual_planner.store.chain_writing import clear_tries, close_key, count_try, note_failed_try
from annual_planner.store.named_steps import reached
from annual_planner.store.record_rows import KeyLine, WrappedKey
from annual_planner.store.signed_reads import closing_records, key_lines, open_key, signer_of, wrapped_key
from annual_planner.store.writing import add
from annual_planner.trade.canonical import canonical_bytes
from annual_planner.trade.passphrases import MOST_TRIES, normalised, wait_after, wrong_with
from annual_planner.trade.refused import Refused
from annual_planner.trade.seals import fingerprint

if TYPE_CHECKING:
    from collections.abc import Mapping

    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

    from annual_planner.store.session import Fleet, Work

KDF, AEAD = "argon2id", "ChaCha20-Poly1305"
TOO_MANY = f"{MOST_TRIES} wrong passphrases in a row"


class WrongPassphrase(Refused):
    """The passphrase does not unlock the key, or the key can't be tried now."""


@dataclass(frozen=True, slots=True)
class Cost:
    """What argon2id takes to make a key of a passphrase."""

    time: int = 3
    memory_kib: int = 65_536
    lanes: int = 4
    """RFC 9106's second choice: three passes over 64 MiB in four lanes."""

    def check(self) -> None:
        """Raise ValueError for a cost that no key of ours has: somebody changed the file."""
        if not (1 <= self.time <= 64 and 8 <= self.memory_kib <= 4_194_304 and 1 <= self.lanes <= 64):
            raise ValueError(f"a cost of {self} is out of bounds")


class Signs(Protocol):
    """An unlocked key: it signs, and is forgotten."""

    def sign(self, data: bytes, /) -> bytes:
        """The signature over the bytes."""
        ...


@dataclass(frozen=True, slots=True)
class MakeKey:
    """Make a person's own key, wrapped by a passphrase that only they know.

    Refused while they have an open key, or the closing of an earlier one isn't signed by a second person.
    """

    person_id: int
    passphrase: str = field(repr=False)
    at: datetime
    cost: Cost = field(default=Cost())

    @property
    def says(self) -> str:
        """What the menu calls it; it can't be taken back."""
        return "new signing key"

    def apply(self, work: Work, today: date) -> Changed:
        """Make it. Raises Refused with the reason why the passphrase can't be taken."""
        person, _ = signer_of(work, self.person_id)
        _check_earlier(work, self.person_id, person.name)
        wrong = wrong_with(self.passphrase, blocked_phrases(), (person.name,))
        if wrong:
            raise Refused(f"This passphrase can't be taken. {wrong}", "Choose another one.")
        public_key, values = _new_key(self.person_id, self.passphrase, self.cost)
        values.update(made_at=self.at, closed_why="", failed_tries=0)
        said = f"signing key of {person.name}, {fingerprint(public_key)}"
        key_id = add(work, "person_key", values, said=said)
        return Changed(frozenset({"person", "signature"}), None, made_id=key_id)


def _check_earlier(work: Work, person_id: int, name: str) -> None:
    earlier = key_lines(work, person_id)
    if any(key.closed_at is None for key in earlier):
        raise Refused(
            f"{name} has a signing key already.",
            "If its passphrase is lost, have a second person sign that it is closed; then make a new one.",
        )
    closed = closing_records(work, [key.key_id for key in earlier])
    if any(key.key_id not in closed for key in earlier):
        raise Refused(
            f"The closing of {name}'s earlier key isn't signed yet.",
            "Have a second person, mechanic or manager, sign that it is closed; then make a new one.",
        )


def unlock(fleet: Fleet, person_id: int, passphrase: str, at: datetime) -> tuple[KeyLine, Signs]:
    """The person's key, unlocked by the passphrase typed for this one signature.

    The try is counted before it is made, so that guesses made at the same time all count; after the third
    wrong one in a row each takes a wait, and after the tenth the key is closed.
    Raises WrongPassphrase, Refused where there is no open key.
    """
    with fleet.reading() as work:
        key = open_key(work, person_id)
        wrapped = wrapped_key(work, key.key_id) if key else None
        name = signer_of(work, person_id)[0].name
    if key is None or wrapped is None:
        raise Refused(f"{name} has no open signing key.", "Make one first, or sign on paper.")
    _check_may_try(key, at)
    tries = key.failed_tries + 1
    with fleet.work(name) as work:
        count_try(work, key.key_id, key.failed_tries, at + wait_after(tries))
    reached("try counted")
    private = unwrapped(wrapped, passphrase)
    if private is None:
        _failed(fleet, key, tries, at)
    with fleet.work(name) as work:
        clear_tries(work, key.key_id)
    return key, private


def _check_may_try(key: KeyLine, at: datetime) -> None:
    if key.failed_tries >= MOST_TRIES:
        raise _closed(key.person)
    if key.waits_until is not None and at < key.waits_until:
        left = (key.waits_until - at).total_seconds()
        raise WrongPassphrase(
            f"{key.failed_tries} wrong passphrases in a row: the next try is open in {left:.0f} s.",
            f"After {MOST_TRIES} the key is closed for good. Wait, then type it with care.",
        )


def _failed(fleet: Fleet, key: KeyLine, tries: int, at: datetime) -> NoReturn:
    with fleet.work(key.person) as work:
        note_failed_try(work, key.key_id, tries)
        if tries >= MOST_TRIES:
            close_key(work, key.key_id, at, TOO_MANY)
    if tries >= MOST_TRIES:
        raise _closed(key.person)
    wait_s = wait_after(tries).total_seconds()
    then = f" The next try is open in {wait_s:.0f} s." if wait_s else ""
    raise WrongPassphrase(
        "This passphrase does not unlock the key; nothing was signed.",
        f"Type it again; {MOST_TRIES - tries} tries are left.{then}",
    )


def _closed(name: str) -> WrongPassphrase:
    return WrongPassphrase(
        f"The key of {name} is closed: {TOO_MANY}.",
        "Have a second person sign that it is closed, then make a new key. What it signed stays valid.",
    )


def _new_key(person_id: int, passphrase: str, cost: Cost) -> tuple[bytes, dict[str, object]]:
    """A fresh key pair: its public half, and the row with the private half wrapped."""
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
    from cryptography.hazmat.primitives.ciphers.aead import ChaCha20Poly1305

    private = Ed25519PrivateKey.generate()
    public_key = private.public_key().public_bytes_raw()
    salt, nonce = os.urandom(16), os.urandom(12)
    wrapping = _wrapping(cost, nonce)
    secret = _stretched(passphrase, salt, cost)
    bound = _bound(person_id, public_key, wrapping)
    wrapped = ChaCha20Poly1305(secret).encrypt(nonce, private.private_bytes_raw(), bound)
    row: dict[str, object] = {"person_id": person_id, "public_key": public_key}
    return public_key, {**row, "wrapped_key": wrapped, "salt": salt, "wrapping": wrapping}


def unwrapped(key: WrappedKey, passphrase: str) -> Ed25519PrivateKey | None:
    """The private half; None when the passphrase doesn't decrypt it, or it isn't that of the public half."""
    from cryptography.exceptions import InvalidTag
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
    from cryptography.hazmat.primitives.ciphers.aead import ChaCha20Poly1305

    cost, nonce = _read_wrapping(key.wrapping)
    secret = _stretched(passphrase, key.salt, cost)
    bound = _bound(key.person_id, key.public_key, key.wrapping)
    try:
        raw = ChaCha20Poly1305(secret).decrypt(nonce, key.wrapped_key, bound)
    except InvalidTag:
        return None
    private = Ed25519PrivateKey.from_private_bytes(raw)
    return private if private.public_key().public_bytes_raw() == key.public_key else None


def _wrapping(cost: Cost, nonce: bytes) -> dict[str, object]:
    return {
        "kdf": KDF,
        "version": 19,
        "time": cost.time,
        "memory_kib": cost.memory_kib,
        "lanes": cost.lanes,
        "aead": AEAD,
        "nonce": nonce.hex(),
    }


def _read_wrapping(wrapping: Mapping[str, object]) -> tuple[Cost, bytes]:
    """The cost and the nonce. Raises Refused for a wrapping that is none of ours."""
    try:
        if (wrapping["kdf"], wrapping["version"], wrapping["aead"]) != (KDF, 19, AEAD):
            raise ValueError(f"wrapped by {wrapping['kdf']} and {wrapping['aead']}")
        numbers = [int(str(wrapping[name])) for name in ("time", "memory_kib", "lanes")]
        cost = Cost(*numbers)
        cost.check()
        return cost, bytes.fromhex(str(wrapping["nonce"]))
    except (KeyError, ValueError) as fault:
        raise Refused(
            f"How this key is wrapped can't be read: {fault}.",
            "The fleet was changed from outside; compare it with a backup.",
        ) from fault


def _stretched(passphrase: str, salt: bytes, cost: Cost) -> bytes:
    """256 bits of the passphrase by argon2id."""
    from argon2.low_level import Type, hash_secret_raw

    return hash_secret_raw(
        normalised(passphrase).encode(),
        salt,
        time_cost=cost.time,
        memory_cost=cost.memory_kib,
        parallelism=cost.lanes,
        hash_len=32,
        type=Type.ID,
    )


def _bound(person_id: int, public_key: bytes, wrapping: Mapping[str, object]) -> bytes:
    """What the wrapped key is bound to: moved to another person or given another cost it doesn't decrypt."""
    return canonical_bytes(
        {"person_id": person_id, "public_key": public_key.hex(), "wrapping": dict(wrapping)}
    )
