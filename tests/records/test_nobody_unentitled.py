"""No path stores the signature of somebody not entitled: people, certificates, days and work at random.

The conditions here are written down anew, and more simply, from the rules; they are necessary ones. A
signature that is stored without one of them fails the test, whatever the program's own rules said.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, datetime, timedelta
from decimal import Decimal
from itertools import count
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from annual_planner.records.people import AddPerson
from annual_planner.records.signing import SignRecord, sign
from annual_planner.records.signing_sheet import content_to_sign
from annual_planner.store.opening import open_fleet
from annual_planner.store.signed_reads import last_link
from annual_planner.store.writing import change
from annual_planner.trade.people import Certificate, CertificateKind
from annual_planner.trade.refused import Refused
from annual_planner.trade.signing import AIRWORTHY, PERFORMED, SUPERVISED
from tests.fleets import made
from tests.signing import AT, MECHANIC, OIL, ON, PHRASE, PILOT, ZONE, Shop, draft, new_key, shop_in

_names = count(1)
stored: Counter[bool] = Counter()
RATINGS = st.sampled_from([("airframe", "powerplant")] * 3 + [("airframe",), ("powerplant",), ()])
ENDS = st.sampled_from([None, None, date(2026, 5, 1), ON, date(2026, 12, 31)])
mechanics = st.builds(
    lambda ratings, ends, months: replace(
        MECHANIC, ratings=frozenset(ratings), expires_on=ends, months_worked_in_24=months
    ),
    RATINGS, ENDS, st.sampled_from([Decimal(3), Decimal(24), Decimal(24)]),
)  # fmt: skip
authorizations = st.builds(
    lambda begins, activity, moved: Certificate(
        CertificateKind.INSPECTION_AUTHORIZATION,
        "0-1",
        valid_from=begins,
        activity_met=activity,
        base_moved_on=moved,
    ),
    st.sampled_from([date(2023, 4, 1), date(2025, 4, 1), date(2025, 4, 1), date(2026, 5, 3)]),
    st.sampled_from([True, True, False]),
    st.sampled_from([None, None, date(2026, 4, 1)]),
)  # fmt: skip
pilots = st.sampled_from(["student", "sport", "recreational", "private", "commercial"]).map(
    lambda grade: replace(PILOT, ratings=frozenset({grade}))
)
held = st.tuples(*(st.none() | each for each in (mechanics, authorizations, pilots))).map(
    lambda three: tuple(each for each in three if each is not None)
)
works = st.sampled_from(["annual", "repair", "oil", "propeller"])


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shop]:
    path: Path = tmp_path_factory.mktemp("entitled") / "test.fleet"
    with open_fleet(path, create=True) as fleet:
        yield shop_in(fleet)
    assert stored[True] > 2  # the test is worth something only when some were entitled
    assert stored[False] > 5


def drafted(shop: Shop, what: str, work_on: date) -> int:
    if what == "annual":
        return draft(shop, "inspection", work_on=work_on)
    told = {
        "oil": OIL,
        "repair": {"kind": "repair"},
        "propeller": {"kind": "repair", "subject": "propeller", "major": True},
    }[what]
    return draft(shop, facts={"work": [told]}, work_on=work_on)


def necessary(what: str, certificates: tuple[Certificate, ...], owns: bool, days: tuple[date, date]) -> bool:
    """Whether what the rules ask at the least is there on both days."""
    return all(_on(what, certificates, owns, day) for day in days)


def _on(what: str, certificates: tuple[Certificate, ...], owns: bool, day: date) -> bool:
    mechanic = next((c for c in certificates if c.kind is CertificateKind.MECHANIC), None)
    current = (
        mechanic is not None
        and (mechanic.expires_on is None or day <= mechanic.expires_on)
        and (mechanic.months_worked_in_24 or 0) >= 6
    )
    ratings = mechanic.ratings if mechanic and current else frozenset()
    inspector = next((c for c in certificates if c.kind is CertificateKind.INSPECTION_AUTHORIZATION), None)
    authorized = (
        ratings >= {"airframe", "powerplant"}
        and inspector is not None
        and (inspector.valid_from or date.max) <= day
        and (inspector.valid_from or date.min) > date(2025, 3, 31)  # else it ran out on 31 March 2025
        and inspector.base_moved_on is None
        and (inspector.activity_met or day <= date(2026, 3, 31))
    )
    if what in ("annual", "propeller"):
        return authorized
    grades = {"private", "commercial"}
    own = owns and any(c.kind is CertificateKind.PILOT and c.ratings & grades for c in certificates)
    return ("powerplant" in ratings or own) if what == "oil" else "airframe" in ratings


@settings(max_examples=150, suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow])
@given(
    certificates=held,
    owns=st.booleans(),
    what=works,
    meaning=st.sampled_from([PERFORMED, PERFORMED, AIRWORTHY, SUPERVISED]),
    late=st.sampled_from([0, 0, 1, 4]),
)
def test_what_is_stored_was_signed_by_somebody_entitled(
    shop: Shop, certificates: tuple[Certificate, ...], owns: bool, what: str, meaning: str, late: int
) -> None:
    meaning = AIRWORTHY if what == "annual" and meaning == PERFORMED else meaning
    name = f"Person {next(_names)}"
    person = made(shop.fleet, AddPerson(name, ("mechanic",), certificates=certificates))
    new_key(shop.fleet, person)
    with shop.fleet.work("a test") as work:
        change(work, "aircraft", shop.aircraft_id, {}, {"owner_id": person if owns else shop.owner})
    entry = drafted(shop, what, ON - timedelta(days=late))
    tried = _tries(shop, entry, person, meaning, AT)
    entitled = necessary(what, certificates, owns, (ON - timedelta(days=late), ON))
    stored[tried] += 1
    assert not tried or entitled


def _tries(shop: Shop, entry: int, person: int, meaning: str, at: datetime) -> bool:
    """Sign, and where the sheet says no, with one that claims another's right; whether it was stored."""
    with shop.fleet.reading() as work:
        before = last_link(work).link
        more = {"performer_id": shop.manager} if meaning == SUPERVISED else {}
        sheet = content_to_sign(work, "log_entry", entry, person_id=person, meaning=meaning, at=at, **more)
        other = content_to_sign(
            work, "log_entry", draft_of(shop), person_id=shop.mechanic, meaning=PERFORMED, at=at
        )
    for each in (sheet, replace(sheet, entitled=other.entitled)):
        try:
            sign(shop.fleet, SignRecord(each, person, PHRASE.format(person), at))
        except Refused:
            continue
        break
    with shop.fleet.reading() as work:
        return last_link(work).link > before


_drafts: dict[int, int] = {}


def draft_of(shop: Shop) -> int:
    """One draft that the mechanic may sign, made once."""
    return _drafts[id(shop)]


@pytest.fixture(autouse=True)
def one_draft(shop: Shop) -> None:
    if id(shop) not in _drafts:
        _drafts[id(shop)] = draft(shop)


def test_the_zone_of_these_tests_is_not_utc() -> None:
    assert AT.tzinfo is ZONE
