"""Who may sign: the worked cases of due_cases.toml, asked of the rule that stands before every signature."""

from __future__ import annotations

import tomllib
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from annual_planner.library.rules import load_rules
from annual_planner.trade.cards import WorkKind
from annual_planner.trade.people import (
    Airplane,
    Certificate,
    CertificateKind,
    Person,
    Standing,
    WorkPiece,
)
from annual_planner.trade.signing import AIRWORTHY, PERFORMED, SUPERVISED, MaySign, Signer, ToSign, may_sign

CASES = {
    case["id"]: case
    for case in tomllib.loads(Path(__file__).with_name("due_cases.toml").read_text(encoding="utf-8"))["case"]
}
BOTH = ("airframe", "powerplant")


def case(key: str) -> tuple[dict[str, Any], dict[str, Any]]:
    return CASES[key]["given"], CASES[key]["expect"]


def mechanic(*ratings: str, months: int = 24) -> Certificate:
    return Certificate(
        CertificateKind.MECHANIC, "0-1", frozenset(ratings), months_worked_in_24=Decimal(months)
    )


def ask(piece: WorkPiece, meaning: str, on: date, *held: Certificate, **more: Any) -> MaySign:
    thing = ToSign("entry", "an entry", {}, on, (PERFORMED, SUPERVISED, AIRWORTHY), (piece,))
    signer = Signer(1, Person("Odo Varrick", held), ("mechanic",), more.get("standing", Standing.NONE))
    airplane = Airplane(more.get("category", "standard"))
    return may_sign(thing, meaning, signer, airplane, more.get("performer"), on, load_rules()).value


ANNUAL = WorkPiece("annual inspection", WorkKind.INSPECT, inspection="annual")


@pytest.mark.parametrize(
    ("key", "facts"),
    [
        ("H06", lambda given: {"activity_met": given["first_year_activity"]}),
        ("H11", lambda given: {"expires_on": given["ia_expires"]}),
        ("H12", lambda given: {"base_moved_on": given["moved"], "base_notice_on": given["notice"]}),
    ],
)
def test_an_authorization_that_does_not_hold_signs_no_annual_and_the_section_is_told(
    key: str, facts: Any
) -> None:
    given, expect = case(key)
    card = Certificate(
        CertificateKind.INSPECTION_AUTHORIZATION, "0-1", valid_from=date(2025, 4, 1), **facts(given)
    )
    told = ask(ANNUAL, AIRWORTHY, given["date"], mechanic(*BOTH), card)
    assert told.may == expect["valid"]
    assert CASES[key]["cite"] in told.why


def test_h13_too_little_recent_work_signs_nothing() -> None:
    given, expect = case("H13")
    on = date(2026, 4, 28)
    told = ask(
        WorkPiece("patch", WorkKind.REPAIR), PERFORMED, on, mechanic(*BOTH, months=given["months_in_last_24"])
    )
    assert told.may == expect["current"]


def test_h15_inspections_are_never_signed_as_supervised() -> None:
    given, expect = case("H15")
    card = Certificate(CertificateKind.INSPECTION_AUTHORIZATION, "0-1", valid_from=date(2025, 4, 1))
    pieces = [WorkPiece("task", WorkKind(kind), inspection="annual") for kind in given["tasks"]]
    on = date(2026, 4, 28)
    told = [ask(piece, SUPERVISED, on, mechanic(*BOTH), card, performer=2).may for piece in pieces]
    assert told == expect["allowed"]


@pytest.mark.parametrize("key", ["K12", "K13"])
def test_preventive_maintenance_signed_by_a_pilot(key: str) -> None:
    given, expect = case(key)
    standing = Standing.OWNER if given["owner_or_operator"] else Standing.NONE
    pilot = Certificate(CertificateKind.PILOT, "0-2", frozenset({given["pilot"]}))
    oil = WorkPiece("change oil", WorkKind.SERVICE, "engine", preventive=("A(c)(23)",))
    on, category = date(2026, 4, 28), given["category"]
    told = ask(oil, PERFORMED, on, pilot, standing=standing, category=category)
    assert told.may <= expect["may_perform"]  # who may not perform it does not sign it
    assert not ask(ANNUAL, AIRWORTHY, on, pilot, standing=standing, category=category).may
