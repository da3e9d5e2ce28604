"""People, airplanes and work of which the rules of authority are asked."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from annual_planner.library.rules import load_rules
from annual_planner.trade.authority import Authority, authority
from annual_planner.trade.cards import WorkKind
from annual_planner.trade.people import Airplane, Certificate, CertificateKind, Person, Standing, WorkPiece

RULES = load_rules()
ON = date(2026, 11, 25)
PLAIN = Airplane()
LIGHT_SPORT = Airplane(category="light-sport special")
EXPERIMENTAL = Airplane(category="experimental")
HELPER = Person("Wenna Drofe")
HANDS = [
    WorkKind.OPEN,
    WorkKind.CLEAN,
    WorkKind.SERVICE,
    WorkKind.REPLACE,
    WorkKind.REPAIR,
    WorkKind.ADJUST,
    WorkKind.CLOSE,
]
LOOKS = [WorkKind.INSPECT, WorkKind.TEST, WorkKind.RUN_UP]


def pilot(grade: str) -> Person:
    return Person(f"{grade} pilot", (Certificate(CertificateKind.PILOT, "P1", frozenset({grade})),))


def mechanic(*ratings: str, months: int | None = 24) -> Person:
    worked = None if months is None else Decimal(months)
    held = Certificate(CertificateKind.MECHANIC, "M1", frozenset(ratings), months_worked_in_24=worked)
    return Person("Odo Varrick", (held,))


def inspector(**facts: object) -> Person:
    card = {"valid_from": date(2025, 4, 1), **facts}
    held = Certificate(CertificateKind.INSPECTION_AUTHORIZATION, "I1", **card)  # type: ignore[arg-type]
    return Person("Tamsin Orrel", (*mechanic("airframe", "powerplant").certificates, held))


def station(*ratings: str) -> Person:
    return Person("a station", (Certificate(CertificateKind.REPAIR_STATION, "S1", frozenset(ratings)),))


def ask(
    work: WorkPiece,
    person: Person,
    airplane: Airplane = PLAIN,
    standing: Standing = Standing.NONE,
    on: date = ON,
) -> Authority:
    return authority(work, person, airplane, standing, on, RULES)


def piece(kind: WorkKind, subject: str = "airframe", **more: object) -> WorkPiece:
    return WorkPiece("a task", kind, subject, **more)  # type: ignore[arg-type]


OIL = piece(WorkKind.SERVICE, "engine", preventive=("A(c)(23)",))
ANNUAL_LOOK = piece(WorkKind.INSPECT, "airframe", inspection="annual")
