"""What mechanics may do and sign, and what the inspection authorization adds, by the shipped rules."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annual_planner.trade.authority import MayDo
from annual_planner.trade.cards import WorkKind
from annual_planner.trade.facts import expires_on
from annual_planner.trade.people import Certificate, CertificateKind, Person, Standing
from tests.trade.asking import (
    ANNUAL_LOOK,
    HANDS,
    HELPER,
    OIL,
    ON,
    PLAIN,
    RULES,
    ask,
    inspector,
    mechanic,
    piece,
    pilot,
    station,
)


@pytest.mark.parametrize(
    ("subject", "rating"),
    [
        ("airframe", "airframe"),
        ("radio", "airframe"),
        ("pitot-static", "airframe"),
        ("engine", "powerplant"),
        ("propeller", "powerplant"),
    ],
)
def test_a_mechanic_works_and_signs_within_the_rating(subject: str, rating: str) -> None:
    other = "powerplant" if rating == "airframe" else "airframe"
    within, without = (ask(piece(WorkKind.REPAIR, subject), mechanic(held)) for held in (rating, other))
    assert (within.may_do, within.may_sign) == (MayDo.YES, True)
    assert (without.may_do, without.may_sign) == (MayDo.SUPERVISED, False)


def test_a_mechanic_without_authorization_does_not_inspect_for_the_annual() -> None:
    answer = ask(ANNUAL_LOOK, mechanic("airframe", "powerplant"))
    assert (answer.may_do, answer.may_sign) == (MayDo.NO, False)


def test_a_mechanic_does_everything_else_on_the_annual() -> None:
    both = mechanic("airframe", "powerplant")
    assert all(ask(piece(kind, inspection="annual"), both).may_do is MayDo.YES for kind in HANDS)


def test_progressive_inspection_may_be_supervised_by_the_authorization_holder() -> None:
    look = piece(WorkKind.INSPECT, inspection="progressive")
    assert ask(look, mechanic("airframe")).may_do is MayDo.SUPERVISED
    assert ask(look, inspector()).may_do is MayDo.YES
    assert ask(look, HELPER).may_do is MayDo.NO


def test_removing_and_fitting_an_instrument_is_not_repairing_it() -> None:
    assert ask(piece(WorkKind.REPLACE, "instrument"), mechanic("airframe")).may_do is MayDo.YES
    assert ask(piece(WorkKind.REPAIR, "instrument"), mechanic("airframe")).may_do is MayDo.NO
    assert ask(piece(WorkKind.REPAIR, "instrument"), station("instrument")).may_sign


@pytest.mark.parametrize(("months", "may"), [(0, False), (5, False), (6, True), (24, True), (None, True)])
def test_six_months_of_work_in_24_keep_the_privileges(months: int | None, may: bool) -> None:
    answer = ask(piece(WorkKind.REPAIR), mechanic("airframe", months=months))
    assert answer.may_sign is may
    assert any("not recorded" in text for text in answer.warnings) == (months is None)


def test_lapsed_experience_leaves_an_owners_own_rights_alone() -> None:
    stale = mechanic("airframe", "powerplant", months=1)
    both = Person("Odo Varrick", (*stale.certificates, *pilot("private").certificates))
    assert ask(OIL, both, PLAIN, Standing.OWNER).may_sign
    assert not ask(OIL, stale, PLAIN, Standing.OWNER).may_sign


def test_a_certificate_out_of_force_gives_nothing() -> None:
    gone = Certificate(
        CertificateKind.MECHANIC, "M1", frozenset({"airframe"}), expires_on=ON - timedelta(days=1)
    )
    assert not ask(piece(WorkKind.REPAIR), Person("Odo Varrick", (gone,))).may_sign


def test_the_authorization_holder_makes_and_signs_the_annual() -> None:
    answer = ask(ANNUAL_LOOK, inspector())
    assert (answer.may_do, answer.may_sign, answer.entry) == (MayDo.YES, True, "43.11")


@given(issued=st.dates(date(2015, 1, 1), date(2035, 12, 31)), after=st.integers(-40, 1200))
def test_annual_is_signed_only_between_issue_and_the_expiry_counted_for_it(issued: date, after: int) -> None:
    on = issued + timedelta(days=after)
    answer = ask(ANNUAL_LOOK, inspector(valid_from=issued), on=on)
    ends = expires_on(
        Certificate(CertificateKind.INSPECTION_AUTHORIZATION, "", valid_from=issued), RULES.expiry
    )
    assert ends is not None
    assert answer.may_sign == (issued <= on <= ends)


@pytest.mark.parametrize(
    ("on", "may"),
    [(date(2026, 3, 31), True), (date(2026, 4, 1), False), (date(2027, 3, 31), False)],
)
def test_missed_first_year_activity_stops_the_authorization_after_march_of_the_even_year(
    on: date, may: bool
) -> None:
    assert ask(ANNUAL_LOOK, inspector(activity_met=False), on=on).may_sign is may


@pytest.mark.parametrize(
    ("on", "may"),
    [
        (date(2026, 4, 30), True),
        (date(2026, 5, 1), False),
        (date(2026, 5, 9), False),
        (date(2026, 5, 10), True),
    ],
)
def test_moving_the_base_stops_the_authorization_until_notice(on: date, may: bool) -> None:
    moved = inspector(base_moved_on=date(2026, 5, 1), base_notice_on=date(2026, 5, 10))
    assert ask(ANNUAL_LOOK, moved, on=on).may_sign is may


@pytest.mark.parametrize("missing", ["airframe", "powerplant"])
def test_the_authorization_needs_both_ratings(missing: str) -> None:
    left = mechanic(*({"airframe", "powerplant"} - {missing}))
    held = Certificate(CertificateKind.INSPECTION_AUTHORIZATION, "I1", valid_from=date(2025, 4, 1))
    answer = ask(ANNUAL_LOOK, Person("Tamsin Orrel", (*left.certificates, held)))
    assert not answer.may_sign
    assert any(missing in rule.says for rule in answer.working.rules if rule.citation == "14 CFR 65.92(a)")


def test_the_renewed_card_counts_when_the_old_one_has_run_out() -> None:
    old = Certificate(CertificateKind.INSPECTION_AUTHORIZATION, "I1", valid_from=date(2023, 4, 1))
    new = Certificate(CertificateKind.INSPECTION_AUTHORIZATION, "I1", valid_from=date(2025, 4, 1))
    both = mechanic("airframe", "powerplant").certificates
    assert ask(ANNUAL_LOOK, Person("Tamsin Orrel", (*both, new, old))).may_sign
    assert ask(ANNUAL_LOOK, Person("Tamsin Orrel", (*both, old, new)), on=date(2025, 3, 1)).may_sign


def test_dates_missing_from_the_card_are_told() -> None:
    answer = ask(ANNUAL_LOOK, inspector(valid_from=None))
    assert answer.may_sign
    assert any("not recorded" in text for text in answer.warnings)


def test_major_work_owes_the_form_and_the_authorization_holders_approval() -> None:
    work = piece(WorkKind.REPAIR, major=True)
    by_mechanic, by_inspector = ask(work, mechanic("airframe", "powerplant")), ask(work, inspector())
    assert (by_mechanic.may_do, by_mechanic.may_sign) == (MayDo.YES, False)
    assert (by_inspector.may_sign, by_inspector.entry) == (True, "43.9")
    assert by_inspector.forms == ("Form 337",)
