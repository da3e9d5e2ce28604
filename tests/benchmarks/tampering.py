"""Random changes to signed records, made behind the program's back, and which of them the check finds.

`python -m tests.benchmarks.tampering --tries 10000` builds a fleet file, and for each try takes the guards
away, changes something, checks the chain, and takes everything back. Each try is judged twice: by the file
alone, and with the newest seal as it stands on a printed paper. A change of bytes that reads as exactly the
same values as before is counted apart.
"""

from __future__ import annotations

import argparse
import random
import tempfile
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import timedelta
from pathlib import Path
from typing import Any

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from sqlalchemy import Connection, create_engine, event, text
from sqlalchemy.orm import Session

from annual_planner.records.chain import check_chain, seal_on_paper
from annual_planner.records.keys import unwrapped
from annual_planner.store.guards import GUARDS
from annual_planner.store.opening import open_fleet
from annual_planner.store.record_rows import Link, UnreadableLink
from annual_planner.store.session import Work
from annual_planner.store.signed_reads import key_lines, links, wrapped_key
from annual_planner.trade.seals import FIRST, Act, digest_of
from tests.signing import (
    AT,
    PHRASE,
    Shop,
    card,
    closed_key,
    draft,
    new_key,
    shop_in,
    signed,
    signed_annual,
)

FIELDS = (
    "link", "kind", "subject_table", "subject_id", "aircraft_id", "package_id", "content", "digest", "act",
    "signature", "key_id", "person_id", "meaning", "work_on", "signed_at", "previous_seal", "seal",
    "corrects_id",
)  # fmt: skip


@dataclass
class Tally:
    """What came of the tries of one sort."""

    tried: int = 0
    found: int = 0
    found_with_paper: int = 0
    reads_the_same: int = 0


class Tampered:
    """An open fleet file in the hands of somebody who may do anything with it."""

    def __init__(self, connection: Connection, chance: random.Random) -> None:
        self.connection = connection
        self.chance = chance

    def run(self, sql: str, **values: Any) -> Any:
        return self.connection.execute(text(sql), values)

    def ids(self) -> list[int]:
        return list(self.run("SELECT id FROM signed_record ORDER BY link").scalars())

    def some_id(self) -> int:
        return self.chance.choice(self.ids())

    def value(self, name: str, record: int) -> Any:
        return self.run(f"SELECT {name} FROM signed_record WHERE id = :id", id=record).scalar()

    def put(self, name: str, record: int, value: Any) -> None:
        self.run(f"UPDATE signed_record SET {name} = :value WHERE id = :id", value=value, id=record)

    def chain(self) -> list[Link]:
        with Session(self.connection) as session:
            return [link for link in links(Work(session, "")) if isinstance(link, Link)]


def flip_a_byte(at: Tampered) -> None:
    """Any byte, letter or number of any column of a record."""
    record, name = at.some_id(), at.chance.choice(FIELDS)
    value = at.value(name, record)
    at.put(name, record, _other(at, value))


def _other(at: Tampered, value: Any) -> Any:
    if value is None:
        return 1
    if isinstance(value, int):
        return value + at.chance.choice((-1000, 1000)) + at.chance.randrange(9)
    raw = bytearray(value if isinstance(value, bytes) else value.encode())
    place = at.chance.randrange(len(raw))
    if isinstance(value, bytes):
        raw[place] ^= 1 << at.chance.randrange(8)
        return bytes(raw)
    raw[place] = at.chance.choice([letter for letter in b"0123456789abcdefxyz" if letter != raw[place]])
    return raw.decode()


def empty_a_column(at: Tampered) -> None:
    """The whole value replaced by one of another record, or by nothing."""
    record, name = (
        at.some_id(),
        at.chance.choice(("content", "act", "signature", "digest", "meaning", "seal")),
    )
    at.put(name, record, b"" if name in ("content", "act", "signature") else f"x{record}")


def remove_a_record(at: Tampered) -> None:
    """Any but the last."""
    at.run("DELETE FROM signed_record WHERE id = :id", id=at.chance.choice(at.ids()[:-1]))


def remove_and_close_up(at: Tampered) -> None:
    """A record removed, the later ones numbered anew and all seals reckoned anew, without any key."""
    gone = at.chance.choice(at.ids()[:-1])
    chain = [link for link in at.chain() if link.record_id != gone]
    _write_chain(at, chain, keep_signatures=True)


def swap_two(at: Tampered) -> None:
    """Two records in each other's place."""
    one, two = at.chance.sample(at.ids(), 2)
    at.run("UPDATE signed_record SET id = -1, link = -1 WHERE id = :id", id=one)
    at.run("UPDATE signed_record SET id = :one, link = :one WHERE id = :two", one=one, two=two)
    at.run("UPDATE signed_record SET id = :two, link = :two WHERE id = -1", two=two)


def move_a_signature(at: Tampered) -> None:
    """The signature, with its act or without, on another record."""
    one, two = at.chance.sample(at.ids(), 2)
    for name in ("signature", "act") if at.chance.random() < 0.5 else ("signature",):
        at.put(name, two, at.value(name, one))


def copy_content(at: Tampered) -> None:
    """The content of one record with digest in place of another's, seals reckoned anew."""
    one, two = at.chance.sample(at.ids(), 2)
    chain = at.chain()
    content = next(link.content for link in chain if link.record_id == one)
    changed = [replace(link, content=content) if link.record_id == two else link for link in chain]
    _write_chain(at, changed, keep_signatures=True)


def change_what_was_signed(at: Tampered) -> None:
    """The entry or the card itself, the signed record left alone."""
    found = at.run("SELECT subject_table, subject_id FROM signed_record WHERE subject_table != 'person_key'")
    table, row = at.chance.choice(found.all())
    name = at.chance.choice(("text", "correction_why", "kind") if table == "log_entry" else ("title", "note"))
    at.run(f"UPDATE {table} SET {name} = {name} || 'x' WHERE id = :id", id=row)


def swap_a_key(at: Tampered) -> None:
    """Another public key under the number of a key that signed."""
    key_id = at.value("key_id", at.some_id())
    public = Ed25519PrivateKey.generate().public_key().public_bytes_raw()
    at.run("UPDATE person_key SET public_key = :key WHERE id = :id", key=public, id=key_id)


def give_a_key_to_another(at: Tampered) -> None:
    """The key that signed, with another holder."""
    record = at.some_id()
    person, key_id = at.value("person_id", record), at.value("key_id", record)
    at.run("UPDATE person_key SET person_id = :who WHERE id = :id", who=person % 4 + 1, id=key_id)


def set_the_clock(at: Tampered) -> None:
    """Another moment of signing, or day of the work."""
    record = at.some_id()
    days = f"{at.chance.choice((-1, 1)) * at.chance.randrange(1, 400)} days"
    if at.chance.random() < 0.5:
        at.run(
            "UPDATE signed_record SET signed_at = strftime('%Y-%m-%d %H:%M:%f', signed_at, :d) || '000' "
            "WHERE id = :id", d=days, id=record,
        )  # fmt: skip
    else:
        at.run(
            "UPDATE signed_record SET work_on = COALESCE(date(work_on, :d), '2026-01-01') WHERE id = :id",
            d=days, id=record,
        )  # fmt: skip


def add_without_a_key(at: Tampered) -> None:
    """A record at the end, with a signature of some other key and a good seal."""
    last = at.chance.choice(at.chain())
    chain = at.chain()
    _write_chain(at, [*chain, replace(last, record_id=len(chain) + 1)], keep_signatures=True)


def cut_the_tail(at: Tampered) -> None:
    """The newest records removed, and nothing else."""
    keep = at.chance.randrange(1, len(at.ids()))
    at.run("DELETE FROM signed_record WHERE link > :keep", keep=keep)


def cut_the_tail_and_the_trail(at: Tampered) -> None:
    """The newest records removed, their audit lines with them, and what they signed made drafts again."""
    keep = at.chance.randrange(1, len(at.ids()))
    at.run("DELETE FROM audit WHERE table_name = 'signed_record' AND row_id > :keep", keep=keep)
    at.run(
        "UPDATE log_entry SET state = 'draft' WHERE id IN (SELECT subject_id FROM signed_record "
        "WHERE link > :keep AND subject_table = 'log_entry')", keep=keep,
    )  # fmt: skip
    at.run("DELETE FROM signed_record WHERE link > :keep", keep=keep)


def rebuild_with_own_keys(at: Tampered) -> None:
    """Text of an entry changed, every key exchanged for one's own, everything signed and sealed anew."""
    keys = {key_id: Ed25519PrivateKey.generate() for key_id in at.run("SELECT id FROM person_key").scalars()}
    for key_id, private in keys.items():
        public = private.public_key().public_bytes_raw()
        at.run("UPDATE person_key SET public_key = :key WHERE id = :id", key=public, id=key_id)
    _rebuild(at, keys)


def rebuild_with_the_files_keys(at: Tampered) -> None:
    """The same by people who know the passphrases of all keys in the file."""
    with Session(at.connection) as session:
        work = Work(session, "")
        keys = {
            key.key_id: unwrapped(wrapped_key(work, key.key_id), PHRASE.format(key.person_id))
            for key in key_lines(work)
        }
    _rebuild(at, {key_id: key for key_id, key in keys.items() if key is not None})


def _rebuild(at: Tampered, keys: dict[int, Ed25519PrivateKey]) -> None:
    chain = at.chain()
    lied = next(link for link in chain if link.sealed.subject_table == "log_entry")
    before, after = b"Maintenance done", b"Maintenance dune"
    at.run(
        "UPDATE log_entry SET text = replace(text, :a, :b) WHERE id = :id",
        a=before.decode(), b=after.decode(), id=lied.sealed.subject_id,
    )  # fmt: skip
    changed = [
        replace(link, content=link.content.replace(before, after)) if link is lied else link for link in chain
    ]
    _write_chain(at, changed, keys)


def _write_chain(
    at: Tampered,
    chain: list[Link],
    keys: dict[int, Ed25519PrivateKey] | None = None,
    *,
    keep_signatures: bool = False,
) -> None:
    """Write these links as a chain of their own, sealed anew, and signed anew where there are keys."""
    at.run("DELETE FROM signed_record")
    seal, seals = FIRST, {}
    for number, link in enumerate(chain, start=1):
        content = _pointing_anew(link, seals, chain)
        sealed = replace(link.sealed, link=number, previous_seal=seal, digest=digest_of(content))
        if keys:
            private = keys[sealed.key_id]
            public = private.public_key().public_bytes_raw()
            act = Act(sealed.digest, number, seal, sealed.signed_at, "-05:00", public.hex()).signed_bytes()
            sealed = replace(sealed, public_key=public, act=act, signature=private.sign(act))
        assert keys or keep_signatures
        seal = sealed.seal()
        seals[link.record_id] = seal
        _insert(at, number, content, sealed, seal)


def _pointing_anew(link: Link, seals: dict[int, str], chain: list[Link]) -> bytes:
    """The content with digest and seal of what it corrects as they are by now."""
    old = next((each for each in chain if each.record_id == link.sealed.corrects_id), None)
    if old is None or old.record_id not in seals:
        return link.content
    return link.content.replace(old.seal.encode(), seals[old.record_id].encode())


def _insert(at: Tampered, number: int, content: bytes, sealed: Any, seal: str) -> None:
    names = ("id", *FIELDS)
    values = {
        **{name: getattr(sealed, name) for name in FIELDS if hasattr(sealed, name)},
        "id": number,
        "content": content,
        "seal": seal,
        "signed_at": sealed.signed_at.strftime("%Y-%m-%d %H:%M:%S.%f"),
        "work_on": None if sealed.work_on is None else sealed.work_on.isoformat(),
    }
    marks = ", ".join(f":{name}" for name in names)
    at.run(f"INSERT INTO signed_record ({', '.join(names)}) VALUES ({marks})", **values)


FLIPPED = "a byte, letter or number of any column"
SORTS: dict[str, Callable[[Tampered], None]] = {
    FLIPPED: flip_a_byte,
    "a whole value": empty_a_column,
    "a record removed": remove_a_record,
    "a record removed, seals reckoned anew": remove_and_close_up,
    "two records swapped": swap_two,
    "a signature moved": move_a_signature,
    "content of another record, seals reckoned anew": copy_content,
    "the card or entry itself": change_what_was_signed,
    "a key exchanged": swap_a_key,
    "a key given to another": give_a_key_to_another,
    "day or moment": set_the_clock,
    "a record added without its key": add_without_a_key,
    "tail cut": cut_the_tail,
    "tail cut, and the audit trail with it": cut_the_tail_and_the_trail,
    "all rebuilt with keys of one's own": rebuild_with_own_keys,
    "all rebuilt by the holders of all keys": rebuild_with_the_files_keys,
}
NEED_A_PAPER = (
    "tail cut, and the audit trail with it",
    "all rebuilt with keys of one's own",
    "all rebuilt by the holders of all keys",
)
"""Sorts that a file alone can't show: what is left is whole in itself. A seal on a paper shows them."""
RARE = NEED_A_PAPER[1:]


def build(path: Path, rounds: int = 3) -> str:
    """A fleet file with every sort of signed record; the newest seal."""
    with open_fleet(path, create=True) as fleet:
        shop = shop_in(fleet)
        for number in range(rounds):
            _one_round(shop, number)
        key = shop.manager
        with fleet.reading() as work:
            old = key_lines(work, key)[0].key_id
        closed_key(shop, old, shop.mechanic, AT + timedelta(hours=1))
        new_key(fleet, key)
        signed(shop, "log_entry", draft(shop), shop.mechanic, at=AT + timedelta(hours=1))
        with fleet.reading() as work:
            return check_chain(work).value.last_seal


def _one_round(shop: Shop, number: int) -> None:
    at = AT + timedelta(minutes=10 * number)
    entry = draft(shop)
    signed(shop, "log_entry", entry, shop.mechanic, at=at)
    signed_annual(shop, at)
    signed(shop, "work_card", card(shop, number + 1), shop.inspector, at=at)
    again = draft(shop, corrects_id=entry, correction_why="a word was wrong")
    signed(shop, "log_entry", again, shop.mechanic, at=at)


def tamper(path: Path, seal: str, tries: int, seed: int) -> dict[str, Tally]:
    """Make that many random changes and judge each; the sorts take turns, rebuilding a hundredth as often."""
    engine = create_engine(f"sqlite:///{path}")
    event.listen(engine, "connect", lambda raw, _: setattr(raw, "isolation_level", None))
    event.listen(engine, "connect", lambda raw, _: raw.execute("PRAGMA foreign_keys=OFF"))
    event.listen(engine, "begin", lambda connection: connection.exec_driver_sql("BEGIN"))
    chance, tallies = random.Random(seed), {name: Tally() for name in SORTS}
    names = [name for name in SORTS if name not in RARE]
    with engine.connect() as connection:
        for number in range(tries):
            name = RARE[number // 100 % 2] if number % 100 == 0 else names[number % len(names)]
            _one_try(connection, chance, name, seal, tallies[name])
    engine.dispose()
    return tallies


def _one_try(connection: Connection, chance: random.Random, name: str, seal: str, tally: Tally) -> None:
    at = Tampered(connection, chance)
    with connection.begin() as transaction:
        for guard in GUARDS:
            at.run(f"DROP TRIGGER {guard.name}")
        before = _read(connection)
        SORTS[name](at)
        if name == FLIPPED and _read(connection) == before:
            tally.reads_the_same += 1
            transaction.rollback()
            return
        with Session(connection) as session:
            state = check_chain(Work(session, "")).value
        transaction.rollback()
    tally.tried += 1
    tally.found += not state.whole
    tally.found_with_paper += not state.whole or bool(seal_on_paper(state, seal))


def _read(connection: Connection) -> list[Link | UnreadableLink]:
    """Every signed record as the program reads it."""
    with Session(connection) as session:
        return list(links(Work(session, "")))


def main() -> int:
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--tries", type=int, default=10_000)
    asked.add_argument("--seed", type=int, default=1)
    given = asked.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "tampered.fleet"
        seal = build(path)
        tallies = tamper(path, seal, given.tries, given.seed)
    print(f"{'change':<52}{'tried':>7}{'found':>7}{'with a paper':>14}")
    for name, tally in tallies.items():
        print(f"{name:<52}{tally.tried:>7}{tally.found:>7}{tally.found_with_paper:>14}")
    total = [sum(getattr(tally, each) for tally in tallies.values()) for each in ("tried", "found")]
    paper = sum(tally.found_with_paper for tally in tallies.values())
    print(f"{'all':<52}{total[0]:>7}{total[1]:>7}{paper:>14}")
    missed = [
        name for name, tally in tallies.items() if tally.found < tally.tried and name not in NEED_A_PAPER
    ]
    return 1 if missed or paper < total[0] else 0


if __name__ == "__main__":
    raise SystemExit(main())
