"""A discrepancy corrected and signed: the signature is the last step of its life."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest

from annual_planner.records.apply import apply
from annual_planner.records.discrepancy_found import Found
from annual_planner.records.discrepancy_life import Correct, Decide, Judge
from annual_planner.records.keys import Cost, MakeKey
from annual_planner.records.people import AddPerson
from annual_planner.records.signing import NotEntitled, SignRecord, sign
from annual_planner.records.signing_sheet import content_to_sign
from annual_planner.records.standing import signatures_on
from annual_planner.store.session import Fleet
from annual_planner.store.writing import add, change, values_of
from annual_planner.trade.people import Certificate, CertificateKind
from annual_planner.trade.refused import Refused
from annual_planner.trade.signing import AIRWORTHY, PERFORMED
from tests.fleets import ANN, TODAY, airplane, made

AT = datetime(2026, 5, 4, 15, 0, tzinfo=UTC)
PASSPHRASE = "nine quiet herons on a jetty"


def mechanic(fleet: Fleet, name: str = "Ida Fox", *, rated: bool = True) -> int:
    held = Certificate(
        CertificateKind.MECHANIC, f"X-{name}", frozenset({"airframe", "powerplant"}),
        valid_from=date(2010, 1, 1), months_worked_in_24=24,
    )  # fmt: skip
    person_id = made(fleet, AddPerson(name, ("mechanic",), certificates=(held,) if rated else ()))
    apply(fleet, MakeKey(person_id, PASSPHRASE, AT, Cost(1, 8, 1)), ANN, TODAY)
    return person_id


def inspector(fleet: Fleet, name: str = "Ina Marsh") -> int:
    held = (
        Certificate(
            CertificateKind.MECHANIC, f"X-{name}", frozenset({"airframe", "powerplant"}),
            months_worked_in_24=24,
        ),
        Certificate(CertificateKind.INSPECTION_AUTHORIZATION, f"I-{name}", valid_from=date(2025, 4, 1)),
    )  # fmt: skip
    person_id = made(fleet, AddPerson(name, ("mechanic",), certificates=held))
    apply(fleet, MakeKey(person_id, PASSPHRASE, AT, Cost(1, 8, 1)), ANN, TODAY)
    return person_id


def corrected(fleet: Fleet, who: int, *, major: bool = False) -> int:
    plane = made(fleet, airplane())
    found = made(fleet, Found(plane, TODAY, "wing_left", "Aileron hinge worn", AT, who))
    for edit in (
        Judge(found, TODAY, AT, who, airworthy=False, risk="gets worse"),
        Decide(found, TODAY, AT, who, disposition="correct now"),
        Correct(found, TODAY, AT, who, "Hinge pin renewed.", major=major),
    ):
        apply(fleet, edit, ANN, TODAY)
    return found


def signed(fleet: Fleet, found: int, who: int, meaning: str = PERFORMED) -> int:
    with fleet.reading() as work:
        sheet = content_to_sign(work, "discrepancy", found, person_id=who, meaning=meaning, at=AT)
    assert "Hinge pin renewed." in sheet.text
    made_id = sign(fleet, SignRecord(sheet, who, PASSPHRASE, AT)).made_id
    assert made_id is not None
    return made_id


def test_signing_takes_the_last_step_and_closes_it(fleet: Fleet) -> None:
    who = mechanic(fleet)
    found = corrected(fleet, who)
    signed(fleet, found, who)
    with fleet.reading() as work:
        held = values_of(work, "discrepancy", found)
        (standing,) = signatures_on(work, "discrepancy", [found])[found]
    assert (held["state"], held["closed_on"]) == ("signed", TODAY)
    assert standing.holds, standing.says


def test_a_text_changed_after_the_signature_shows_at_once(fleet: Fleet) -> None:
    who = mechanic(fleet)
    found = corrected(fleet, who)
    signed(fleet, found, who)
    with fleet.work(ANN) as work:
        change(work, "discrepancy", found, {}, {"text": "Nothing found"})
    with fleet.reading() as work:
        (standing,) = signatures_on(work, "discrepancy", [found])[found]
    assert standing.changed == ("text",)


def test_one_that_is_not_corrected_can_not_be_signed(fleet: Fleet) -> None:
    who = mechanic(fleet)
    plane = made(fleet, airplane())
    found = made(fleet, Found(plane, TODAY, "tail", "Scratch", AT, who))
    with fleet.reading() as work, pytest.raises(Refused, match="not corrected"):
        content_to_sign(work, "discrepancy", found, person_id=who, meaning=PERFORMED, at=AT)


def test_who_holds_no_certificate_does_not_sign_a_repair(fleet: Fleet) -> None:
    who = mechanic(fleet)
    other = mechanic(fleet, "Hal Moss", rated=False)
    found = corrected(fleet, who)
    with pytest.raises(NotEntitled):
        signed(fleet, found, other)


def test_a_major_repair_is_signed_by_the_holder_of_an_inspection_authorization_alone(fleet: Fleet) -> None:
    plain, authorized = mechanic(fleet), inspector(fleet)
    found = corrected(fleet, plain, major=True)
    for meaning in (PERFORMED, AIRWORTHY):
        with pytest.raises(NotEntitled, match="inspection authorization"):
            signed(fleet, found, plain, meaning)
    signed(fleet, found, authorized, AIRWORTHY)
    with fleet.reading() as work:
        assert values_of(work, "discrepancy", found)["state"] == "signed"


def test_the_entry_of_a_major_repair_is_signed_by_who_inspected_it(fleet: Fleet) -> None:
    plain, authorized = mechanic(fleet), inspector(fleet)
    plane = made(fleet, airplane())
    entry = {
        "aircraft_id": plane, "kind": "maintenance", "work_on": TODAY, "approved": None,
        "text": "4 May 2026. N012AP.\nRear spar spliced.",
        "facts": {"performer_id": plain, "work": [{"kind": "repair", "subject": "airframe", "major": True}]},
    }  # fmt: skip
    with fleet.work(ANN) as work:
        row_id = add(work, "log_entry", entry, aircraft_id=plane)
    with fleet.reading() as work:
        sheets = {
            who: content_to_sign(work, "log_entry", row_id, person_id=who, meaning=AIRWORTHY, at=AT)
            for who in (plain, authorized)
        }
    with pytest.raises(NotEntitled, match="inspection authorization"):
        sign(fleet, SignRecord(sheets[plain], plain, PASSPHRASE, AT))
    assert sign(fleet, SignRecord(sheets[authorized], authorized, PASSPHRASE, AT)).made_id is not None
