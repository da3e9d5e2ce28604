"""Who may do, supervise and sign, asked of the shipped rules."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annual_planner.library.rules import load_rules
from annual_planner.trade.authority import Authority, MayDo, authority, least_needed, may_fly_check, who_may
from annual_planner.trade.cards import Subject, WorkKind
from annual_planner.trade.facts import expires_on
from annual_planner.trade.people import Airplane, Certificate, CertificateKind, Person, Standing, WorkPiece
from annual_planner.trade.working import as_lines

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


# ---- helpers


@pytest.mark.parametrize("kind", HANDS)
def test_anyone_works_under_supervision(kind: WorkKind) -> None:
    answer = ask(piece(kind), HELPER)
    assert answer.may_do is MayDo.SUPERVISED
    assert not answer.may_sign


@pytest.mark.parametrize("kind", LOOKS)
@pytest.mark.parametrize("inspection", ["annual", "100-hour", "progressive"])
@pytest.mark.parametrize("subject", list(Subject))
def test_supervision_never_covers_a_required_inspection(
    kind: WorkKind, inspection: str, subject: Subject
) -> None:
    answer = ask(piece(kind, subject, inspection=inspection), HELPER)
    assert answer.may_do is MayDo.NO
    assert any(rule.citation == "14 CFR 43.3(d)" for rule in answer.working.rules)


def test_an_inspection_no_rule_requires_is_left_to_the_supervisor() -> None:
    assert ask(piece(WorkKind.INSPECT), HELPER).may_do is MayDo.ASK


def test_inspection_after_major_work_is_no_helpers_and_no_plain_mechanics() -> None:
    after = piece(WorkKind.INSPECT, major=True)
    assert ask(after, HELPER).may_do is MayDo.NO
    assert ask(after, mechanic("airframe", "powerplant")).may_do is MayDo.NO
    assert ask(after, inspector()).may_do is MayDo.YES


def test_presence_in_person_is_a_warning_and_not_a_bar() -> None:
    answer = ask(piece(WorkKind.CLEAN), HELPER)
    assert any("bodily presence" in text for text in answer.warnings)
    assert answer.may_do is MayDo.SUPERVISED


@pytest.mark.parametrize("kind", [WorkKind.RESEARCH, WorkKind.RECORD])
def test_reading_and_preparing_records_needs_no_certificate(kind: WorkKind) -> None:
    answer = ask(piece(kind, "records"), HELPER)
    assert (answer.may_do, answer.may_sign, answer.entry) == (MayDo.YES, False, "")


def test_a_helper_does_no_more_than_the_mechanic_could() -> None:
    assert ask(piece(WorkKind.REPAIR, "instrument"), HELPER).may_do is MayDo.NO
    assert ask(piece(WorkKind.REPAIR, "propeller", major=True), HELPER).may_do is MayDo.NO
    assert ask(piece(WorkKind.TEST, "transponder"), HELPER).may_do is MayDo.NO


# ---- pilots


@pytest.mark.parametrize("item", [item for item in RULES.items if item.for_airplane], ids=lambda i: i.ref)
@pytest.mark.parametrize(
    ("grade", "airplane", "may_do", "may_sign"),
    [
        ("student", PLAIN, True, False),
        ("recreational", PLAIN, True, False),
        ("private", PLAIN, True, True),
        ("commercial", PLAIN, True, True),
        ("airline transport", PLAIN, True, True),
        ("sport", PLAIN, False, False),
        ("sport", LIGHT_SPORT, True, True),
        ("private", LIGHT_SPORT, True, True),
        ("student", LIGHT_SPORT, True, False),
    ],
)
def test_every_listed_item_is_an_owner_pilots_as_the_grade_allows(
    item: object, grade: str, airplane: Airplane, may_do: bool, may_sign: bool
) -> None:
    work = piece(WorkKind.SERVICE, preventive=(item.ref,))  # type: ignore[attr-defined]
    answer = ask(work, pilot(grade), airplane, Standing.OWNER)
    assert (answer.may_do is MayDo.YES, answer.may_sign) == (may_do, may_sign)
    assert answer.entry == "43.9"
    citations = " ".join(rule.citation for rule in answer.working.rules)
    assert ("43.3(g)" in citations) == may_do
    assert ("43.7(f)" in citations or "43.7(h)" in citations) >= may_sign


@pytest.mark.parametrize("item", RULES.items, ids=lambda i: i.ref)
def test_limits_of_a_listed_item_are_told_to_the_owner_who_does_it(item: object) -> None:
    work = piece(WorkKind.SERVICE, preventive=(item.ref,))  # type: ignore[attr-defined]
    answer = ask(work, pilot("private"), PLAIN, Standing.OWNER)
    told = " ".join(answer.warnings)
    if answer.may_do is MayDo.YES:
        assert all(limit in told for limit in item.limits)  # type: ignore[attr-defined]
    else:
        assert not item.for_airplane  # type: ignore[attr-defined]


@pytest.mark.parametrize("item", RULES.items, ids=lambda i: i.ref)
@pytest.mark.parametrize(
    ("person", "standing", "may_do", "may_sign"),
    [
        (HELPER, Standing.NONE, MayDo.SUPERVISED, False),
        (HELPER, Standing.OWNER, MayDo.SUPERVISED, False),
        (pilot("private"), Standing.NONE, MayDo.SUPERVISED, False),
        (mechanic("airframe"), Standing.NONE, MayDo.YES, True),
        (mechanic("powerplant"), Standing.NONE, MayDo.SUPERVISED, False),
        (inspector(), Standing.NONE, MayDo.YES, True),
        (station("airframe"), Standing.NONE, MayDo.YES, True),
    ],
    ids=["helper", "owner", "renter", "A", "P", "IA", "station"],
)
def test_listed_airframe_items_for_everyone_else(
    item: object, person: Person, standing: Standing, may_do: MayDo, may_sign: bool
) -> None:
    answer = ask(
        piece(WorkKind.SERVICE, preventive=(item.ref,)),  # type: ignore[attr-defined]
        person,
        standing=standing,
    )
    assert (answer.may_do, answer.may_sign) == (may_do, may_sign)


def test_operator_counts_like_the_owner() -> None:
    assert ask(OIL, pilot("private"), PLAIN, Standing.OPERATOR).may_sign


@pytest.mark.parametrize("grade", ["student", "recreational"])
def test_low_grade_owner_is_warned(grade: str) -> None:
    answer = ask(OIL, pilot(grade), PLAIN, Standing.OWNER)
    assert any("may not approve" in text for text in answer.warnings)


@pytest.mark.parametrize("use", ["part 121", "part 129", "part 135"])
def test_air_carrier_use_takes_preventive_maintenance_from_the_owner(use: str) -> None:
    answer = ask(OIL, pilot("private"), Airplane(uses=frozenset({use})), Standing.OWNER)
    assert (answer.may_do, answer.may_sign) == (MayDo.SUPERVISED, False)


@pytest.mark.parametrize("preventive", [(), ("A(c)(32)",), ("A(c)(23)", "A(c)(99)")])
def test_unlisted_task_is_neither_barred_nor_allowed(preventive: tuple[str, ...]) -> None:
    work = piece(WorkKind.REPLACE, preventive=preventive)
    answer = ask(work, pilot("private"), PLAIN, Standing.OWNER)
    assert (answer.may_do, answer.may_sign) == (MayDo.ASK, False)


def test_complex_work_on_a_listed_item_is_not_the_owners_alone() -> None:
    work = piece(WorkKind.SERVICE, preventive=("A(c)(4)",), complex=True)
    answer = ask(work, pilot("private"), PLAIN, Standing.OWNER)
    assert (answer.may_do, answer.may_sign) == (MayDo.SUPERVISED, False)


def test_primary_category_item_needs_such_an_airplane_and_grade() -> None:
    work = piece(WorkKind.SERVICE, preventive=("A(c)(30)",))
    primary = Airplane(category="primary")
    assert ask(work, pilot("private"), primary, Standing.OWNER).may_do is MayDo.YES
    assert ask(work, pilot("student"), primary, Standing.OWNER).may_do is MayDo.SUPERVISED
    assert ask(work, pilot("private"), PLAIN, Standing.OWNER).may_do is MayDo.SUPERVISED


def test_owner_never_inspects_for_the_annual_even_if_a_listed_item_is_named() -> None:
    work = piece(WorkKind.INSPECT, inspection="annual", preventive=("A(c)(29)",))
    assert ask(work, pilot("private"), PLAIN, Standing.OWNER).may_do is MayDo.NO


# ---- mechanics


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


# ---- inspection authorization


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


# ---- stations, maker, other airplanes


@pytest.mark.parametrize("person", [mechanic("airframe", "powerplant"), inspector()], ids=["A&P", "IA"])
@pytest.mark.parametrize("inspection", ["", "annual"])
def test_transponder_test_is_a_rated_stations_only(person: Person, inspection: str) -> None:
    work = piece(WorkKind.TEST, "transponder", inspection=inspection)
    assert ask(work, person).may_do is MayDo.NO
    assert ask(work, station("airframe")).may_do is MayDo.NO
    assert ask(work, station("transponder")).may_sign


@pytest.mark.parametrize("inspection", ["", "annual"])
def test_a_static_system_test_is_a_stations_unless_a_mechanic_says_it_is_the_static_part_only(
    inspection: str,
) -> None:
    work = piece(WorkKind.TEST, "pitot-static", inspection=inspection)
    for person in (mechanic("airframe"), inspector()):
        answer = ask(work, person)
        assert (answer.may_do, answer.may_sign) == (MayDo.ASK, False)
        assert any("static pressure system test" in rule.says for rule in answer.working.rules)
    assert ask(work, mechanic("powerplant")).may_do is MayDo.NO
    assert least_needed(work, PLAIN, ON, RULES).value.done_by == "repair station"


def test_the_manufacturer_inspects_and_is_taken_to_have_made_it() -> None:
    maker = Person("the maker", (Certificate(CertificateKind.MANUFACTURER, ""),))
    answer = ask(ANNUAL_LOOK, maker)
    assert answer.may_sign
    assert any("made this airplane" in text for text in answer.working.assumptions)


def test_part_43_is_not_asked_of_an_experimental_airplane() -> None:
    work = ask(piece(WorkKind.REPAIR), HELPER, EXPERIMENTAL)
    assert (work.may_do, work.entry) == (MayDo.YES, "")
    look = ask(ANNUAL_LOOK, inspector(), EXPERIMENTAL)
    assert (look.may_do, look.may_sign) == (MayDo.ASK, False)
    assert any("43.1(b)" in rule.citation for rule in work.working.rules)


def test_light_sport_repairman_signs_on_light_sport_only() -> None:
    held = Certificate(CertificateKind.REPAIRMAN, "R1", frozenset({"light-sport maintenance"}))
    person = Person("Bram Ostley", (held,))
    assert ask(piece(WorkKind.REPAIR), person, LIGHT_SPORT).may_sign
    assert not ask(piece(WorkKind.REPAIR), person, PLAIN).may_sign


def test_database_update_is_no_maintenance_and_owes_no_entry() -> None:
    work = piece(WorkKind.SERVICE, "radio", preventive=("43.3(k)",))
    answer = ask(work, pilot("student"), PLAIN)
    assert (answer.may_do, answer.entry) == (MayDo.YES, "")


# ---- entries, workings, lists of people


@pytest.mark.parametrize(
    ("work", "entry"),
    [
        (piece(WorkKind.OPEN), ""),
        (piece(WorkKind.CLOSE, inspection="annual"), ""),
        (piece(WorkKind.SERVICE, inspection="annual"), "43.9"),
        (piece(WorkKind.INSPECT, inspection="annual"), "43.11"),
        (piece(WorkKind.RECORD, "records", inspection="annual"), "43.11"),
        (piece(WorkKind.TEST, "transponder", inspection="annual"), "43.9"),
        (piece(WorkKind.INSPECT), "43.9"),
        (piece(WorkKind.CLEAN, "engine", preventive=("A(c)(20)",)), "43.9"),
    ],
)
def test_entry_follows_the_work(work: WorkPiece, entry: str) -> None:
    assert ask(work, inspector()).entry == entry


def test_every_clause_tried_is_in_the_working_with_its_reason() -> None:
    working = ask(ANNUAL_LOOK, mechanic("airframe", "powerplant")).working
    steps = {step.text: step.result for step in working.steps}
    assert len(steps) >= 90
    assert all(result == "fits" or "fit" in result for result in steps.values())
    annual = next(result for text, result in steps.items() if "makes the annual inspection" in text)
    assert "not held" in annual
    assert any("look them up again" in text for text in as_lines(working))


def test_a_permission_taken_away_names_what_took_it() -> None:
    steps = ask(ANNUAL_LOOK, inspector(), on=date(2027, 4, 1)).working.steps
    assert any(step.result == "fits, but taken away by 14 CFR 65.92(a)" for step in steps)


def test_people_are_answered_in_their_order() -> None:
    asked = [(HELPER, Standing.NONE), (inspector(), Standing.NONE), (pilot("private"), Standing.OWNER)]
    answers = who_may(OIL, asked, PLAIN, ON, RULES)
    assert [person for person, _ in answers] == [person for person, _ in asked]
    assert [a.may_do for _, a in answers] == [MayDo.SUPERVISED, MayDo.YES, MayDo.YES]


@pytest.mark.parametrize(
    ("work", "done_by", "signed_by"),
    [
        (piece(WorkKind.RESEARCH, "records"), "anyone", "nobody"),
        (piece(WorkKind.OPEN), "helper", "mechanic"),
        (OIL, "owner", "owner"),
        (piece(WorkKind.REPAIR), "helper", "mechanic"),
        (piece(WorkKind.INSPECT, inspection="100-hour"), "mechanic", "mechanic"),
        (ANNUAL_LOOK, "inspector", "inspector"),
        (piece(WorkKind.RUN_UP, "engine", inspection="annual"), "inspector", "inspector"),
        (piece(WorkKind.RUN_UP, "engine"), "mechanic", "mechanic"),
        (piece(WorkKind.TEST, "transponder"), "repair station", "repair station"),
        (piece(WorkKind.REPAIR, "instrument"), "repair station", "repair station"),
        (piece(WorkKind.REPAIR, major=True), "helper", "inspector"),
        (piece(WorkKind.REPAIR, "propeller", major=True), "repair station", "repair station"),
        (piece(WorkKind.RECORD, "records", inspection="annual"), "anyone", "inspector"),
    ],
)
def test_least_needed_is_printed_in_short_words(work: WorkPiece, done_by: str, signed_by: str) -> None:
    needed = least_needed(work, PLAIN, ON, RULES)
    assert (needed.value.done_by, needed.value.signed_by) == (done_by, signed_by)
    assert len(needed.working.steps) == 8
    assert needed.working.parts


@given(
    kind=st.sampled_from(WorkKind),
    subject=st.sampled_from(Subject),
    inspection=st.sampled_from(["", "annual", "100-hour", "progressive"]),
    major=st.booleans(),
)
def test_someone_usual_can_always_do_the_work_and_sign_what_is_owed(
    kind: WorkKind, subject: str, inspection: str, major: bool
) -> None:
    needed = least_needed(piece(kind, subject, inspection=inspection, major=major), PLAIN, ON, RULES).value
    assert "not settled" not in (needed.doer, needed.signer)
    assert not needed.entry or needed.signer != "nobody"


@pytest.mark.parametrize(
    ("grade", "may"),
    [("student", False), ("sport", False), ("recreational", False), ("private", True), ("commercial", True)],
)
def test_flight_check_is_a_private_pilots_or_higher(grade: str, may: bool) -> None:
    answer = may_fly_check(pilot(grade), PLAIN, Standing.NONE, ON, RULES)
    assert answer.value is may
    assert any("91.407(b)" in rule.citation for rule in answer.working.rules)


def test_who_may_do_the_work_alone_is_not_told_about_supervision() -> None:
    answer = ask(OIL, pilot("private"), PLAIN, Standing.OWNER)
    assert not any("bodily presence" in text for text in answer.warnings)
    assert not any(rule.citation == "14 CFR 43.3(d)" for rule in answer.working.rules)


def test_clauses_that_fit_come_first_in_the_working() -> None:
    fits = [step.result.startswith("fits") for step in ask(OIL, inspector()).working.steps]
    assert fits == sorted(fits, reverse=True)
