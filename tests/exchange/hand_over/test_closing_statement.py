"""Whole links left out of a hand-over file: found where its statement is signed, said where it is not."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator
from contextlib import closing
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

from annual_planner.exchange.hand_over.giving import hand_over
from annual_planner.exchange.hand_over.reading import opened_hand_over
from annual_planner.exchange.hand_over.taking import shown_file
from annual_planner.records.apply import apply
from annual_planner.records.closing_statement import Closing, HandedTo, unlocked_signer
from annual_planner.records.keys import WrongPassphrase
from annual_planner.records.pictures import read_picture
from annual_planner.records.taking_in_preview import Preview, preview
from annual_planner.store.opening import open_fleet
from annual_planner.store.session import Fleet
from annual_planner.store.signed_reads import key_lines
from annual_planner.trade.canonical import canonical_bytes
from tests.exchange.hand_over.handed import KEEPER, REGISTRATION, SIGNED, keeper_in, refused, rows_in
from tests.exchange.hand_over.repacked import RECORDS, STATEMENT, listed, parts_of
from tests.fleets import TODAY
from tests.signing import AT, PHRASE, Shop, later
from tests.trail import newest_lines

TO = HandedTo("Fell Edge Aviation", date(2026, 5, 6))
Parts = dict[str, bytes]


@pytest.fixture(scope="module")
def keeper(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shop]:
    with closing(open_fleet(tmp_path_factory.mktemp("keeper") / "keeper.fleet", create=True)) as opened:
        yield keeper_in(opened)


@pytest.fixture(scope="module")
def signed(keeper: Shop, tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """A file whose closing statement the inspector signed."""
    return given(keeper, tmp_path_factory.mktemp("signed"), keeper.inspector)


def given(keeper: Shop, folder: Path, signer: int | None, to: HandedTo | None = TO) -> bytes:
    by = (
        None
        if signer is None
        else unlocked_signer(keeper.fleet, signer, PHRASE.format(signer), later(days=1))
    )
    hand_over(keeper.fleet, REGISTRATION, folder / "out.zip", TODAY, read_picture, closing=Closing(to, by))
    return (folder / "out.zip").read_bytes()


def seen(fleet: Fleet, content: bytes) -> Preview:
    with fleet.reading() as work, opened_hand_over(content, read_picture) as found:
        return preview(work, found.records, TODAY)


def stated(content: bytes) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(json.loads(parts_of(content)[STATEMENT])["content"])
    return found


def one_link_less(parts: Parts) -> None:
    """A whole link left out, as one would who knows the format: the rest fits together."""
    told = json.loads(parts[RECORDS])
    told["chains"][0]["records"].pop(2)
    parts[RECORDS] = json.dumps(told).encode()


def statement_changed(parts: Parts, **wants: Any) -> None:
    told = json.loads(parts[STATEMENT])
    told["content"] = canonical_bytes({**json.loads(told["content"]), **wants}).decode()
    parts[STATEMENT] = json.dumps(told).encode()


def test_the_statement_says_how_much_there_is_and_to_whom_it_went(signed: bytes, empty: Fleet) -> None:
    told = stated(signed)
    [chain] = told["chains"]
    records = json.loads(parts_of(signed)[RECORDS])["chains"][0]["records"]
    assert (told["links"], chain["links"]) == (SIGNED, SIGNED)
    assert (chain["first_seal"], chain["last_seal"]) == (records[0]["seal"], records[-1]["seal"])
    assert told["handed to"] == {"name": TO.name, "on": "2026-05-06"}
    assert told["signer"]["name"] == "Ina Vell"
    remarks = seen(empty, signed).remarks
    assert "handed to Fell Edge Aviation on 6 May 2026" in remarks
    assert any("signed by Ina Vell" in each and "nothing was left out since" in each for each in remarks)
    assert any(
        each == f"that key signed none of the records of {KEEPER}: compare it with the person"
        for each in remarks
    )


def test_whole_links_left_out_of_a_signed_file_are_found(signed: bytes, empty: Fleet) -> None:
    parts = parts_of(signed)
    one_link_less(parts)
    assert "is not about this file: chains, links, parts_sha256" in refused(
        empty, listed(parts, stated=False)
    )
    fitting = listed(parts)  # as somebody would who makes the statement anew, but can't sign it
    made_anew = json.loads(parts_of(fitting)[STATEMENT])
    made_anew["signature"] = json.loads(parts_of(signed)[STATEMENT])["signature"]
    parts[STATEMENT] = json.dumps(made_anew).encode()
    assert "names a signer and has no signature" in refused(empty, listed(parts, stated=False))
    statement_changed(parts, signer=stated(signed)["signer"])
    assert "is not what its signature stands over" in refused(empty, listed(parts, stated=False))


def test_without_a_signature_the_file_is_lawful_and_the_preview_says_what_it_does_not_prove(
    keeper: Shop, signed: bytes, empty: Fleet, tmp_path: Path
) -> None:
    plain = given(keeper, tmp_path, None, to=None)
    assert stated(plain)["handed to"] is None
    said = "the closing statement is not signed: whole records may have been left out unseen"
    assert any(each.startswith(said) for each in seen(empty, plain).remarks)
    parts = parts_of(signed)  # whoever leaves a link out has to take the signature off: that is said
    one_link_less(parts)
    assert any(each.startswith(said) for each in seen(empty, listed(parts)).remarks)


@pytest.mark.parametrize(
    "name", ["a paper", "a row", "to whom", "the signature", "another key", "the act", "no day"]
)
def test_what_is_changed_under_a_signed_statement_is_found(name: str, signed: bytes, empty: Fleet) -> None:
    parts = parts_of(signed)
    statement = json.loads(parts[STATEMENT])
    signature = statement["signature"]
    said = "is not what its signature stands over"
    if name == "a paper":
        old = next(each for each in parts if each.startswith("papers/"))
        del parts[old]
        told = json.loads(parts[RECORDS])
        told["tables"]["filed_paper"] = []
        parts[RECORDS], said = json.dumps(told).encode(), "is not about this file: parts, parts_sha256"
    elif name == "a row":
        told = json.loads(parts[RECORDS])
        told["tables"]["meter_reading"].pop()
        parts[RECORDS], said = json.dumps(told).encode(), "is not about this file: parts_sha256"
    elif name == "to whom":
        statement_changed(parts, **{"handed to": {"name": "Somebody", "on": "2026-05-06"}})
    elif name == "no day":
        statement_changed(parts, **{"handed to": {"name": "Somebody", "on": "soon"}})
        said = "can't be read"
    else:
        if name == "the act":
            act = {**json.loads(signature["act"]), "signed_at": "2026-01-01T00:00:00.000000Z"}
            signature["act"] = canonical_bytes(act).decode()
        elif name == "the signature":
            signature["signature"] = "00" * 64
        else:
            signature["public_key"] = "00" * 32
        said = "has a signature that is not good with its key" if name != "another key" else said
        parts[STATEMENT] = json.dumps(statement).encode()
    assert said in refused(empty, listed(parts, stated=False))


def test_a_file_of_the_first_version_can_still_be_read(signed: bytes, empty: Fleet) -> None:
    parts = {name: part for name, part in parts_of(signed).items() if name != STATEMENT}
    told = {**json.loads(parts[RECORDS]), "version": 1}
    parts[RECORDS] = json.dumps(told).encode()
    remarks = seen(empty, listed(parts, version=1)).remarks
    assert any(each.startswith("the file has no closing statement: whole records may") for each in remarks)
    assert "closing statement are missing" in refused(empty, listed(parts))


def test_a_statement_of_another_form_is_refused(signed: bytes, empty: Fleet) -> None:
    parts = parts_of(signed)
    for content in (b"[]", b"{}", parts[STATEMENT].replace(b'"version": 1', b'"version": 7')):
        found = listed({**parts, STATEMENT: content}, stated=False)
        assert "closing statement is of another form or version" in refused(empty, found)


def test_a_wrong_passphrase_writes_no_file_and_counts(keeper: Shop, tmp_path: Path) -> None:
    with pytest.raises(WrongPassphrase, match="does not unlock the key"):
        unlocked_signer(keeper.fleet, keeper.manager, "a guess that is long enough", AT)
    assert list(tmp_path.iterdir()) == []
    unlocked_signer(keeper.fleet, keeper.manager, PHRASE.format(keeper.manager), AT)


def test_who_signed_and_to_whom_it_went_stand_in_the_next_keepers_trail(
    signed: bytes, tmp_path: Path
) -> None:
    (tmp_path / "in.zip").write_bytes(signed)
    with closing(open_fleet(tmp_path / "next.fleet", create=True)) as fleet:
        with shown_file(fleet, tmp_path / "in.zip", TODAY, read_picture) as shown:
            apply(fleet, shown.edit(AT), "Next Keeper", TODAY)
        with fleet.reading() as work:
            line = newest_lines(work)[0]
        assert rows_in(fleet) > 0
    assert line.after["closing statement signed by"] == "Ina Vell"
    assert (line.after["handed to"], line.after["handed on"]) == (TO.name, "2026-05-06")


def test_a_statement_signed_with_a_key_of_the_records_says_how_many(
    keeper: Shop, empty: Fleet, tmp_path: Path
) -> None:
    """The witness who closed the mechanic's key signed that one record, and the statement."""
    with keeper.fleet.reading() as work:
        witness = next(key.person_id for key in key_lines(work) if key.person == "Una Brook")
    remarks = seen(empty, given(keeper, tmp_path, witness)).remarks
    assert f"that key signed 1 of the records of {KEEPER}" in remarks


def test_statement_and_signature_are_those_of_the_docs(signed: bytes) -> None:
    """Checked with SHA-256 and Ed25519, and none of this program's arithmetic."""
    told = json.loads(parts_of(signed)[STATEMENT])
    act = json.loads(told["signature"]["act"])
    assert act["statement_sha256"] == hashlib.sha256(told["content"].encode()).hexdigest()
    key = Ed25519PublicKey.from_public_bytes(bytes.fromhex(act["key"]))
    key.verify(bytes.fromhex(told["signature"]["signature"]), told["signature"]["act"].encode())
    parts = parts_of(signed)
    digests = {
        name: hashlib.sha256(part).hexdigest()
        for name, part in parts.items()
        if name not in (STATEMENT, "manifest.json")
    }
    plain = json.dumps(digests, sort_keys=True, separators=(",", ":")).encode()
    assert stated(signed)["parts_sha256"] == hashlib.sha256(plain).hexdigest()
