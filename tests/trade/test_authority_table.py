"""Who may do and sign, one line of the shipped rules after another."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from annual_planner.library.rules import load_rules
from annual_planner.trade.authority import MayDo, authority
from annual_planner.trade.cards import WorkKind
from annual_planner.trade.people import Airplane, Certificate, CertificateKind, Person, Standing, WorkPiece

RULES = load_rules()
ON = date(2026, 11, 25)
YES, NO, SUPERVISED, ASK = MayDo.YES, MayDo.NO, MayDo.SUPERVISED, MayDo.ASK
PLAIN, EXPERIMENTAL = Airplane(), Airplane("experimental")
LIGHT_SPORT = Airplane("light-sport special")


def holder(kind: CertificateKind, *ratings: str, months: int | None = 24) -> Person:
    worked = None if months is None else Decimal(months)
    return Person("someone", (Certificate(kind, "1", frozenset(ratings), months_worked_in_24=worked),))


def inspector(months: int | None = 24) -> Person:
    card = Certificate(CertificateKind.INSPECTION_AUTHORIZATION, "1", valid_from=date(2025, 4, 1))
    both = holder(CertificateKind.MECHANIC, "airframe", "powerplant", months=months)
    return Person("someone", (*both.certificates, card))


HELPER = Person("someone")
OWNER = holder(CertificateKind.PILOT, "private")
AIRFRAME = holder(CertificateKind.MECHANIC, "airframe")
POWERPLANT = holder(CertificateKind.MECHANIC, "powerplant")
BOTH = holder(CertificateKind.MECHANIC, "airframe", "powerplant")
IA = inspector()
MAKER = holder(CertificateKind.MANUFACTURER)
REPAIRMAN = holder(CertificateKind.REPAIRMAN, "light-sport maintenance")


def station(*ratings: str) -> Person:
    return holder(CertificateKind.REPAIR_STATION, *ratings)


def work(
    kind: str,
    subject: str = "airframe",
    inspection: str = "",
    preventive: tuple[str, ...] = (),
    major: bool = False,
) -> WorkPiece:
    return WorkPiece("a task", WorkKind(kind), subject, preventive, inspection, major=major)


LINES = [
    # kept apart: what is outside Part 43
    (work("service", preventive=("A(c)(4)",)), OWNER, EXPERIMENTAL, YES, False),
    (work("repair", major=True), IA, EXPERIMENTAL, YES, False),
    # supervision
    (work("test", "engine"), HELPER, PLAIN, SUPERVISED, False),
    (work("run_up", "engine"), HELPER, PLAIN, ASK, False),
    (work("run_up", "engine"), AIRFRAME, PLAIN, ASK, False),
    (work("run_up", "engine"), POWERPLANT, PLAIN, YES, True),
    (work("test", "engine", major=True), HELPER, PLAIN, NO, False),
    (work("repair", "instrument", major=True), HELPER, PLAIN, NO, False),
    # pilots
    (work("service", preventive=("A(c)(4)",), major=True), OWNER, PLAIN, SUPERVISED, False),
    (work("test", preventive=("A(c)(29)",), inspection="annual"), OWNER, PLAIN, NO, False),
    (work("service", preventive=("A(c)(25)",)), OWNER, PLAIN, SUPERVISED, False),
    (work("service", preventive=("A(c)(27)",)), OWNER, PLAIN, SUPERVISED, False),
    # mechanics
    (work("inspect"), AIRFRAME, PLAIN, YES, True),
    (work("inspect"), POWERPLANT, PLAIN, ASK, False),
    (work("inspect", "engine"), POWERPLANT, PLAIN, YES, True),
    (work("inspect", "engine"), AIRFRAME, PLAIN, ASK, False),
    (work("service", "engine", "annual"), POWERPLANT, PLAIN, YES, True),
    (work("inspect", "engine", "100-hour"), POWERPLANT, PLAIN, YES, True),
    (work("inspect", "engine", "progressive"), POWERPLANT, PLAIN, SUPERVISED, False),
    (work("inspect", "airframe", "progressive"), POWERPLANT, PLAIN, NO, False),
    (work("inspect", "airframe", "progressive"), IA, PLAIN, YES, True),
    (work("replace", "instrument", major=True), IA, PLAIN, NO, False),
    (work("test", "instrument"), AIRFRAME, PLAIN, ASK, False),
    (work("test", "instrument"), POWERPLANT, PLAIN, NO, False),
    # light sport
    (work("repair"), REPAIRMAN, LIGHT_SPORT, YES, True),
    (work("repair", major=True), REPAIRMAN, LIGHT_SPORT, YES, False),
    # stations
    (work("repair", "engine"), station("powerplant"), PLAIN, YES, True),
    (work("repair", "engine"), station("airframe"), PLAIN, SUPERVISED, False),
    (work("repair", "radio"), station("radio"), PLAIN, YES, True),
    (work("test", "pitot-static"), station("pitot-static"), PLAIN, YES, True),
    (work("inspect", "engine", "annual"), station("airframe"), PLAIN, YES, True),
    (work("inspect", "engine", "annual"), station("propeller"), PLAIN, NO, False),
    (work("test", "pitot-static", "annual"), station("airframe"), PLAIN, NO, False),
    # the maker
    (work("inspect", "engine", "annual"), MAKER, PLAIN, YES, True),
    (work("repair", major=True), MAKER, PLAIN, YES, True),
    (work("repair"), MAKER, PLAIN, SUPERVISED, False),
    (work("test", "transponder"), MAKER, PLAIN, YES, True),
]


@pytest.mark.parametrize(("piece", "person", "airplane", "may_do", "may_sign"), LINES)
def test_who_may_do_and_sign(
    piece: WorkPiece, person: Person, airplane: Airplane, may_do: MayDo, may_sign: bool
) -> None:
    standing = Standing.OWNER if person is OWNER else Standing.NONE
    answer = authority(piece, person, airplane, standing, ON, RULES)
    assert (answer.may_do, answer.may_sign) == (may_do, may_sign)
    assert answer.working.rules or (may_do is NO and not may_sign)


@pytest.mark.parametrize(
    ("piece", "person", "airplane", "told"),
    [
        (work("repair"), HELPER, EXPERIMENTAL, "never held another airworthiness certificate"),
        (work("adjust", "instrument"), AIRFRAME, PLAIN, "Adjusting inside an instrument"),
        (work("inspect", inspection="annual"), inspector(None), PLAIN, "Recent experience is not recorded"),
        (work("repair"), AIRFRAME, PLAIN, "has done this task well before"),
        (work("inspect", inspection="annual"), IA, PLAIN, "not surrendered, suspended or revoked"),
        (work("run_up", "engine", "annual"), IA, PLAIN, "The person approving runs the engine"),
        (work("inspect", inspection="annual"), IA, LIGHT_SPORT, "condition inspection"),
        (work("repair", major=True), IA, LIGHT_SPORT, "Form 337 falls away"),
        (work("repair", major=True), station("airframe"), PLAIN, "maintenance release instead"),
        (work("repair", major=True), IA, PLAIN, "only if it was done to approved data"),
    ],
)
def test_what_is_told_beside_the_answer(
    piece: WorkPiece, person: Person, airplane: Airplane, told: str
) -> None:
    answer = authority(piece, person, airplane, Standing.NONE, ON, RULES)
    assert sum(told in text for text in (*answer.warnings, *answer.working.assumptions)) == 1
    other = authority(work("research", "records"), HELPER, PLAIN, Standing.NONE, ON, RULES)
    assert not any(told in text for text in (*other.warnings, *other.working.assumptions))


@pytest.mark.parametrize("subject", ["transponder", "pitot-static"])
def test_inspecting_these_systems_for_the_annual_stays_in_its_entry(subject: str) -> None:
    piece = work("inspect", subject, "annual")
    assert authority(piece, IA, PLAIN, Standing.NONE, ON, RULES).entry == "43.11"


@pytest.mark.parametrize("category", ["light-sport special", "experimental"])
def test_no_form_for_major_work_where_part_43_does_not_ask_for_it(category: str) -> None:
    answer = authority(work("repair", major=True), IA, Airplane(category), Standing.NONE, ON, RULES)
    assert answer.forms == ()
