"""Who may do and sign: the worked cases of due_cases.toml that ask it.

Each case names the section it rests on; its mark says whether the answer stands there or was derived from it.
"""

from __future__ import annotations

import tomllib
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from annual_planner.library.rules import load_rules
from annual_planner.trade.authority import Authority, MayDo, authority, may_fly_check
from annual_planner.trade.cards import WorkKind
from annual_planner.trade.people import Airplane, Certificate, CertificateKind, Person, Standing, WorkPiece

CASES = {
    case["id"]: case
    for case in tomllib.loads(Path(__file__).with_name("due_cases.toml").read_text(encoding="utf-8"))["case"]
}
RULES = load_rules()
ON = date(2026, 4, 28)
BOTH = ("airframe", "powerplant")


def mechanic(*ratings: str, months: int = 24) -> Certificate:
    return Certificate(
        CertificateKind.MECHANIC, "M1", frozenset(ratings), months_worked_in_24=Decimal(months)
    )


def inspector(**facts: Any) -> Person:
    card = Certificate(CertificateKind.INSPECTION_AUTHORIZATION, "I1", **facts)
    return Person("Tamsin Orrel", (mechanic(*BOTH), card))


def pilot(grade: str) -> Person:
    return Person("Odo Varrick", (Certificate(CertificateKind.PILOT, "P1", frozenset({grade})),))


def ask(work: WorkPiece, person: Person, on: date = ON, **more: Any) -> Authority:
    airplane = Airplane(more.get("category", "standard"))
    return authority(work, person, airplane, more.get("standing", Standing.NONE), on, RULES)


def look(inspection: str, subject: str = "airframe") -> WorkPiece:
    return WorkPiece("inspect", WorkKind.INSPECT, subject, inspection=inspection)


def case(key: str) -> tuple[dict[str, Any], dict[str, Any]]:
    return CASES[key]["given"], CASES[key]["expect"]


def cited(answer: Authority) -> str:
    return " ".join(rule.citation for rule in answer.working.rules)


@pytest.mark.parametrize("key", ["B05", "B06"])
def test_hundred_hour_by_ratings(key: str) -> None:
    given, expect = case(key)
    person = Person("Odo Varrick", (mechanic(*given["ratings"]),))
    part = {"airframe": "airframe", "engine": "powerplant", "propeller": "powerplant"}
    signs = {subject: ask(look("100-hour", subject), person).may_sign for subject in part}
    assert all(signs.values()) == expect["valid"]
    missing = {part[subject] for subject, may in signs.items() if not may}
    assert missing == set(expect.get("missing", []))


def test_b06_is_no_annual() -> None:
    given, _ = case("B06")
    answer = ask(look("annual"), Person("Odo Varrick", (mechanic(*given["ratings"]),)))
    assert (answer.may_do, answer.may_sign) == (MayDo.NO, False)


def test_h05_privileges_rest_after_a_first_year_without_the_activity() -> None:
    """Whether it was enough is for the holder to say; what follows is the program's."""
    given, expect = case("H05")
    person = inspector(valid_from=given["held_from"], activity_met=expect["met"])
    last = expect["privileges_stop_after"]
    assert ask(look("annual"), person, last).may_sign
    assert not ask(look("annual"), person, last + timedelta(days=1)).may_sign


def test_h06_missed_first_year_activity() -> None:
    given, expect = case("H06")
    person = inspector(valid_from=date(2025, 4, 1), activity_met=given["first_year_activity"])
    answer = ask(look("annual"), person, given["date"])
    assert answer.may_sign == expect["valid"]
    assert CASES["H06"]["cite"] in cited(answer)


def test_h11_authorization_not_renewed() -> None:
    given, expect = case("H11")
    person = inspector(valid_from=date(2025, 4, 1), expires_on=given["ia_expires"])
    answer = ask(look("annual"), person, given["date"])
    assert answer.may_sign == expect["valid"]
    assert CASES["H11"]["cite"] in cited(answer)
    assert ask(look("annual"), person, given["ia_expires"]).may_sign


def test_h12_base_moved_without_notice() -> None:
    given, expect = case("H12")
    person = inspector(
        valid_from=date(2025, 4, 1), base_moved_on=given["moved"], base_notice_on=given["notice"]
    )
    answer = ask(look("annual"), person, given["date"])
    assert answer.may_sign == expect["valid"]
    assert CASES["H12"]["cite"] in cited(answer)


def test_h13_too_little_recent_work() -> None:
    given, expect = case("H13")
    person = Person("Odo Varrick", (mechanic(*BOTH, months=given["months_in_last_24"]),))
    answer = ask(WorkPiece("patch", WorkKind.REPAIR), person)
    assert answer.may_sign == expect["current"]
    assert CASES["H13"]["cite"] in cited(answer)


def test_h15_what_a_supervised_person_may_do() -> None:
    given, expect = case("H15")
    tasks = [WorkPiece("task", WorkKind(kind), inspection="annual") for kind in given["tasks"]]
    answers = [ask(task, Person("Wenna Drofe")) for task in tasks]
    assert [a.may_do is MayDo.SUPERVISED for a in answers] == expect["allowed"]
    assert all(CASES["H15"]["cite"] in cited(answer) for answer in answers)


def test_h16_instruments_and_propellers() -> None:
    given, expect = case("H16")
    works = {
        "instrument repair": WorkPiece("repair an altimeter", WorkKind.REPAIR, "instrument"),
        "propeller major repair": WorkPiece("straighten a blade", WorkKind.REPAIR, "propeller", major=True),
    }
    for person in (Person("Odo Varrick", (mechanic(*BOTH),)), inspector(valid_from=date(2025, 4, 1))):
        answers = [ask(works[task], person) for task in given["tasks"]]
        assert [a.may_do is MayDo.YES or a.may_sign for a in answers] == expect["allowed"]
        assert all(CASES["H16"]["cite"] in cited(answer) for answer in answers)


@pytest.mark.parametrize("key", ["K12", "K13"])
def test_preventive_maintenance_by_a_pilot(key: str) -> None:
    given, expect = case(key)
    standing = Standing.OWNER if given["owner_or_operator"] else Standing.NONE
    oil = WorkPiece("change oil and filter", WorkKind.SERVICE, "engine", preventive=("A(c)(23)",))
    answer = ask(oil, pilot(given["pilot"]), category=given["category"], standing=standing)
    assert (answer.may_do is MayDo.YES) == expect["may_perform"]
    assert answer.may_sign == expect["may_approve"]
    assert answer.entry == "43.9"


def test_k16_database_update() -> None:
    given, expect = case("K16")
    assert not given["tools"]
    assert not given["disassembly"]
    update = WorkPiece("update the database", WorkKind.SERVICE, "radio", preventive=("43.3(k)",))
    answer = ask(update, pilot("private"))
    assert answer.may_do is MayDo.YES
    assert bool(answer.entry) == expect["maintenance"]
    assert CASES["K16"]["cite"] in cited(answer)


def test_l09_flight_check_by_a_student() -> None:
    given, expect = case("L09")
    answer = may_fly_check(pilot(given["pilot"]), Airplane(), Standing.NONE, ON, RULES)
    assert answer.value == expect["qualified"]
    assert may_fly_check(pilot("private"), Airplane(), Standing.NONE, ON, RULES).value


def test_l11_major_repair_during_the_annual() -> None:
    _, expect = case("L11")
    repair = WorkPiece("splice a spar", WorkKind.REPAIR, major=True)
    by_mechanic = ask(repair, Person("Odo Varrick", (mechanic(*BOTH),)))
    by_inspector = ask(repair, inspector(valid_from=date(2025, 4, 1)))
    assert (by_mechanic.may_do, by_mechanic.may_sign) == (MayDo.YES, False)
    assert by_inspector.may_sign == (expect["approver"] == "IA")
    assert ("Form 337" in by_inspector.forms) == expect["form337"]
    assert (by_inspector.entry == "43.9") == expect["entry_43_9"]
    assert "65.95(a)(1)" in cited(by_inspector)


def test_b02_entitlement_counts_on_the_day_of_signing() -> None:
    """B02's 100-hour entered as annual counts only because its signer held an authorization that day."""
    given, _ = case("B02")
    person = inspector(valid_from=date(2025, 4, 1))
    assert ask(look("annual"), person, given["other_date"]).may_sign
    assert not ask(look("annual"), person, date(2025, 3, 31)).may_sign
