"""Which of a person's certificates a signature names: those that entitle to the work that is signed."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from annual_planner.library.rules import load_rules
from annual_planner.trade.cards import WorkKind
from annual_planner.trade.people import Airplane, Certificate, CertificateKind, Person, Standing, WorkPiece
from annual_planner.trade.signing import AIRWORTHY, PERFORMED, MaySign, Signer, ToSign, may_sign

RULES = load_rules()
ON = date(2026, 5, 4)
LIGHT_SPORT = Airplane(category="light-sport special")
FIX = WorkPiece("fix", WorkKind.REPAIR)
ENGINE = WorkPiece("fix the engine", WorkKind.REPAIR, "engine")
ANNUAL = WorkPiece("look", WorkKind.INSPECT, inspection="annual")


def paper(kind: CertificateKind, number: str, *ratings: str, months: int = 24) -> Certificate:
    return Certificate(kind, number, frozenset(ratings), months_worked_in_24=Decimal(months))


MECHANIC = paper(CertificateKind.MECHANIC, "M", "airframe", "powerplant")
AUTHORIZATION = Certificate(CertificateKind.INSPECTION_AUTHORIZATION, "I", valid_from=date(2025, 4, 1))
REPAIRMAN = paper(CertificateKind.REPAIRMAN, "R", "light-sport maintenance")
STATION = paper(CertificateKind.REPAIR_STATION, "S", "powerplant")


def asked(
    certificates: tuple[Certificate, ...],
    *works: WorkPiece,
    airplane: Airplane | None = None,
    standing: Standing = Standing.NONE,
) -> MaySign:
    meaning = AIRWORTHY if ANNUAL in works else PERFORMED
    thing = ToSign("card", "card 1", {}, ON, (meaning,), works)
    signer = Signer(1, Person("Odo Varrick", certificates), ("mechanic",), standing)
    worked = may_sign(thing, meaning, signer, airplane or Airplane(), 1, ON, RULES)
    assert worked.working.inputs
    assert worked.working.steps
    assert worked.working.rules
    return worked.value


def numbers(answer: MaySign) -> str:
    assert answer.may
    return "".join(each.number for each in answer.certificates)


def test_a_mechanic_out_of_practice_signs_by_the_repairman_certificate_that_entitles() -> None:
    stale = paper(CertificateKind.MECHANIC, "M", "airframe", "powerplant", months=1)
    answer = asked((stale, REPAIRMAN), FIX, airplane=LIGHT_SPORT)
    assert (answer.role, numbers(answer)) == ("repairman", "R")


def test_work_outside_the_mechanics_rating_names_the_station_that_is_rated_for_it() -> None:
    airframe = paper(CertificateKind.MECHANIC, "M", "airframe")
    assert numbers(asked((airframe, STATION), ENGINE)) == "S"
    assert numbers(asked((airframe, STATION), FIX)) == "M"
    assert numbers(asked((airframe, STATION), FIX, ENGINE)) == "MS", "neither alone entitles to both"


def test_an_annual_names_the_authorization_and_the_certificate_it_stands_on() -> None:
    inspector = (MECHANIC, AUTHORIZATION)
    assert (asked(inspector, ANNUAL).role, numbers(asked(inspector, ANNUAL))) == (
        "inspection authorization",
        "IM",
    )
    assert numbers(asked(inspector, FIX)) == "M", "plain work needs no authorization"


def test_an_owner_who_is_a_mechanic_signs_as_mechanic_and_one_who_is_not_as_pilot() -> None:
    oil = WorkPiece("change the oil", WorkKind.SERVICE, "engine", preventive=("A(c)(23)",))
    pilot = paper(CertificateKind.PILOT, "P", "private")
    assert numbers(asked((pilot, MECHANIC), oil, standing=Standing.OWNER)) == "M"
    assert numbers(asked((pilot,), oil, standing=Standing.OWNER)) == "P"
    assert not asked((pilot,), oil).may


def test_what_is_no_work_is_signed_by_role() -> None:
    answer = asked(())
    assert (answer.may, answer.role) == (True, "mechanic")
