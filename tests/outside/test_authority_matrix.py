"""Who may do and sign which work: a table read off the rules, held against the program's own judgement.

Source: 14 CFR 43.3, 43.7, 65.81 to 65.95, 91.409, 91.413, as published in the electronic Code of Federal
Regulations between 24 August and 3 September 2026. Two answers are reasoned from those words: the
authorization allows to perform an annual and not to supervise one; a student pilot falls inside 43.3(g) and
outside 43.7(f).
"""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annual_planner.library.rules import load_rules
from annual_planner.trade.authority import MayDo, authority
from annual_planner.trade.cards import WorkKind
from annual_planner.trade.people import Airplane, Certificate, CertificateKind, Person, Standing, WorkPiece

RULES = load_rules()
ON = date(2026, 11, 25)
YES, NO, SUPERVISED = MayDo.YES, MayDo.NO, MayDo.SUPERVISED
BOTH = frozenset({"airframe", "powerplant"})


def held(kind: CertificateKind, *ratings: str) -> Certificate:
    return Certificate(kind, "1", frozenset(ratings), months_worked_in_24=Decimal(24))


AUTHORIZATION = Certificate(CertificateKind.INSPECTION_AUTHORIZATION, "2", valid_from=date(2025, 4, 1))
RATINGS = ("airframe", "powerplant", "propeller", "instrument", "radio", "pitot-static", "transponder")
PEOPLE = {
    "helper": (Person("Wenna Drofe"), Standing.NONE),
    "private owner": (Person("Odo Varrick", (held(CertificateKind.PILOT, "private"),)), Standing.OWNER),
    "student owner": (Person("Odo Varrick", (held(CertificateKind.PILOT, "student"),)), Standing.OWNER),
    "sport owner": (Person("Odo Varrick", (held(CertificateKind.PILOT, "sport"),)), Standing.OWNER),
    "private guest": (Person("Odo Varrick", (held(CertificateKind.PILOT, "private"),)), Standing.NONE),
    "airframe": (Person("Tamsin Orrel", (held(CertificateKind.MECHANIC, "airframe"),)), Standing.NONE),
    "powerplant": (Person("Tamsin Orrel", (held(CertificateKind.MECHANIC, "powerplant"),)), Standing.NONE),
    "mechanic": (Person("Tamsin Orrel", (held(CertificateKind.MECHANIC, *BOTH),)), Standing.NONE),
    "inspector": (
        Person("Tamsin Orrel", (held(CertificateKind.MECHANIC, *BOTH), AUTHORIZATION)),
        Standing.NONE,
    ),
    "station": (Person("a station", (held(CertificateKind.REPAIR_STATION, *RATINGS),)), Standing.NONE),
    "maker": (Person("the maker", (held(CertificateKind.MANUFACTURER),)), Standing.NONE),
}
OIL = ("A(c)(23)",)
WORKS = {
    "annual, airframe": WorkPiece("look", WorkKind.INSPECT, "airframe", inspection="annual"),
    "annual, engine": WorkPiece("look", WorkKind.INSPECT, "engine", inspection="annual"),
    "annual, engine run": WorkPiece("run", WorkKind.RUN_UP, "engine", inspection="annual"),
    "100-hour, airframe": WorkPiece("look", WorkKind.INSPECT, "airframe", inspection="100-hour"),
    "100-hour, engine": WorkPiece("look", WorkKind.INSPECT, "engine", inspection="100-hour"),
    "100-hour, propeller": WorkPiece("look", WorkKind.INSPECT, "propeller", inspection="100-hour"),
    "progressive, airframe": WorkPiece("look", WorkKind.INSPECT, "airframe", inspection="progressive"),
    "oil": WorkPiece("change oil", WorkKind.SERVICE, "engine", preventive=OIL, inspection="annual"),
    "opening": WorkPiece("open", WorkKind.OPEN, "airframe", inspection="annual"),
    "airframe repair": WorkPiece("patch", WorkKind.REPAIR, "airframe"),
    "engine repair": WorkPiece("reseat a valve", WorkKind.REPAIR, "engine"),
    "major repair": WorkPiece("splice", WorkKind.REPAIR, "airframe", major=True),
    "look after major repair": WorkPiece("look", WorkKind.INSPECT, "airframe", major=True),
    "instrument repair": WorkPiece("mend", WorkKind.REPAIR, "instrument"),
    "transponder test": WorkPiece("test", WorkKind.TEST, "transponder"),
    "database": WorkPiece("update", WorkKind.SERVICE, "radio", preventive=("43.3(k)",)),
}

TABLE: list[tuple[str, str, MayDo, bool, str]] = [
    # The annual: holder of an inspection authorization, rated station, maker; nobody under supervision.
    ("annual, airframe", "helper", NO, False, "43.3(d)"),
    ("annual, airframe", "private owner", NO, False, "43.3(g)"),
    ("annual, airframe", "airframe", NO, False, ""),
    ("annual, airframe", "mechanic", NO, False, ""),
    ("annual, airframe", "inspector", YES, True, "65.95(a)(2)"),
    ("annual, airframe", "station", YES, True, "43.3(e)"),
    ("annual, airframe", "maker", YES, True, "43.3(j)(3)"),
    ("annual, engine", "helper", NO, False, "43.3(d)"),
    ("annual, engine", "powerplant", NO, False, ""),
    ("annual, engine", "mechanic", NO, False, ""),
    ("annual, engine", "inspector", YES, True, "65.95(a)(2)"),
    ("annual, engine run", "helper", NO, False, "43.3(d)"),
    ("annual, engine run", "private owner", NO, False, "43.3(g)"),
    ("annual, engine run", "mechanic", NO, False, ""),
    ("annual, engine run", "inspector", YES, True, "65.95(a)(2)"),
    # The 100-hour: a mechanic, each rating its own part.
    ("100-hour, airframe", "helper", NO, False, "43.3(d)"),
    ("100-hour, airframe", "private owner", NO, False, "43.3(g)"),
    ("100-hour, airframe", "airframe", YES, True, "65.85(a)"),
    ("100-hour, airframe", "powerplant", NO, False, ""),
    ("100-hour, airframe", "mechanic", YES, True, "65.85(a)"),
    ("100-hour, engine", "airframe", NO, False, ""),
    ("100-hour, engine", "powerplant", YES, True, "65.87(a)"),
    ("100-hour, propeller", "airframe", NO, False, ""),
    ("100-hour, propeller", "powerplant", YES, True, "65.87(a)"),
    ("100-hour, propeller", "station", YES, True, "43.3(e)"),
    # The progressive: the authorization's holder performs or supervises.
    ("progressive, airframe", "helper", NO, False, "43.3(d)"),
    ("progressive, airframe", "mechanic", SUPERVISED, False, "65.95(a)(2)"),
    ("progressive, airframe", "inspector", YES, True, "65.95(a)(2)"),
    ("progressive, airframe", "maker", YES, True, "43.3(j)(3)"),
    # Other work beside the inspection: anyone supervised, owners what is listed, mechanics by rating.
    ("oil", "helper", SUPERVISED, False, "43.3(d)"),
    ("oil", "private owner", YES, True, "43.3(g)"),
    ("oil", "student owner", YES, False, "43.3(g)"),
    ("oil", "sport owner", SUPERVISED, False, "43.3(d)"),
    ("oil", "private guest", SUPERVISED, False, "43.3(d)"),
    ("oil", "powerplant", YES, True, "65.81(a)"),
    ("oil", "airframe", SUPERVISED, False, "43.3(d)"),
    ("opening", "helper", SUPERVISED, False, "43.3(d)"),
    ("opening", "airframe", YES, True, "65.81(a)"),
    ("airframe repair", "helper", SUPERVISED, False, "43.3(d)"),
    ("airframe repair", "private owner", SUPERVISED, False, "43.3(d)"),
    ("airframe repair", "airframe", YES, True, "65.85"),
    ("airframe repair", "powerplant", SUPERVISED, False, "43.3(d)"),
    ("engine repair", "powerplant", YES, True, "65.87"),
    ("engine repair", "airframe", SUPERVISED, False, "43.3(d)"),
    ("engine repair", "station", YES, True, "43.7(c)"),
    # Major work: a mechanic does it, the authorization's holder approves it.
    ("major repair", "helper", SUPERVISED, False, "43.3(d)"),
    ("major repair", "mechanic", YES, False, "65.81(a)"),
    ("major repair", "inspector", YES, True, "65.95(a)(1)"),
    ("look after major repair", "helper", NO, False, "43.3(d)"),
    ("look after major repair", "mechanic", NO, False, "65.95(a)(1)"),
    ("look after major repair", "inspector", YES, True, "65.95(a)(1)"),
    # What no mechanic may.
    ("instrument repair", "mechanic", NO, False, "65.81(a)"),
    ("instrument repair", "inspector", NO, False, "65.81(a)"),
    ("instrument repair", "helper", NO, False, "65.81(a)"),
    ("instrument repair", "station", YES, True, "43.3(e)"),
    ("transponder test", "mechanic", NO, False, "91.413(c)"),
    ("transponder test", "inspector", NO, False, "91.413(c)"),
    ("transponder test", "private owner", NO, False, ""),
    ("transponder test", "station", YES, True, "43.3(e)"),
    # What is no maintenance.
    ("database", "helper", YES, False, "43.3(k)"),
    ("database", "student owner", YES, False, "43.3(k)"),
]


@pytest.mark.parametrize(("work", "who", "may_do", "may_sign", "citation"), TABLE)
def test_the_rules_table_of_who_may_do_and_sign(
    work: str, who: str, may_do: MayDo, may_sign: bool, citation: str
) -> None:
    person, standing = PEOPLE[who]
    answer = authority(WORKS[work], person, Airplane(), standing, ON, RULES)
    assert (answer.may_do, answer.may_sign) == (may_do, may_sign)
    assert citation in " ".join(rule.citation for rule in answer.working.rules)


@pytest.mark.parametrize("who", ["sport owner", "private owner"])
def test_a_light_sport_airplanes_owner_may_do_and_approve_listed_work_with_any_of_these_grades(
    who: str,
) -> None:
    person, standing = PEOPLE[who]
    answer = authority(WORKS["oil"], person, Airplane("light-sport special"), standing, ON, RULES)
    assert (answer.may_do, answer.may_sign) == (YES, True)
    assert "43.7(h)" in " ".join(rule.citation for rule in answer.working.rules)


@pytest.mark.parametrize("use", ["part 121", "part 129", "part 135"])
def test_preventive_work_is_no_pilots_on_an_airplane_in_carrier_use(use: str) -> None:
    person, standing = PEOPLE["private owner"]
    answer = authority(WORKS["oil"], person, Airplane(uses=frozenset({use})), standing, ON, RULES)
    assert (answer.may_do, answer.may_sign) == (SUPERVISED, False)


days = st.dates(date(2020, 1, 1), date(2035, 12, 31))
cards = st.builds(
    Certificate,
    kind=st.just(CertificateKind.INSPECTION_AUTHORIZATION),
    number=st.just("2"),
    valid_from=days,
    expires_on=st.none() | days,
    activity_met=st.booleans(),
    base_moved_on=st.none() | days,
    base_notice_on=st.none() | days,
)
mechanics = st.builds(
    Certificate,
    kind=st.just(CertificateKind.MECHANIC),
    number=st.just("1"),
    ratings=st.frozensets(st.sampled_from(sorted(BOTH))),
    months_worked_in_24=st.none() | st.decimals(0, 24, places=1),
)


def last_day(card: Certificate) -> date:
    """As the card says, else 31 March of the first odd year that is not before its issue (65.92(a))."""
    assert card.valid_from is not None
    if card.expires_on is not None:
        return card.expires_on
    year = card.valid_from.year
    while year % 2 == 0 or date(year, 3, 31) < card.valid_from:
        year += 1
    return date(year, 3, 31)


def plainly_entitled(card: Certificate, mechanic: Certificate, on: date) -> bool:
    """65.83, 65.92(a), 65.93(c), 65.95(a)(2) and (c), read one after the other."""
    months, moved, told = mechanic.months_worked_in_24, card.base_moved_on, card.base_notice_on
    recent = months is None or months >= 6
    active = card.activity_met or on <= date(last_day(card).year - 1, 3, 31)
    noticed = moved is None or on < moved or (told is not None and moved <= told <= on)
    return on <= last_day(card) and mechanic.ratings >= BOTH and recent and active and noticed


@given(cards, mechanics, st.integers(0, 1500))
def test_who_may_sign_an_annual_is_as_a_plain_reading_has_it(
    card: Certificate, mechanic: Certificate, days_held: int
) -> None:
    assert card.valid_from is not None
    on = card.valid_from + timedelta(days=days_held)
    person = Person("Tamsin Orrel", (mechanic, card))
    asked = WORKS["annual, airframe"]
    answer = authority(asked, person, Airplane(), Standing.NONE, on, RULES)
    assert plainly_entitled(card, mechanic, on) is answer.may_sign
    assert (answer.may_do is YES) is answer.may_sign
