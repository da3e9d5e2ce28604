"""Who may do, supervise and sign, asked of the shipped rules."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annual_planner.trade.authority import MayDo, least_needed, may_fly_check
from annual_planner.trade.cards import Subject, WorkKind
from annual_planner.trade.people import Certificate, CertificateKind, Person, Standing, WorkPiece
from annual_planner.trade.working import as_lines
from tests.trade.asking import (
    ANNUAL_LOOK,
    EXPERIMENTAL,
    HANDS,
    HELPER,
    LIGHT_SPORT,
    LOOKS,
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
