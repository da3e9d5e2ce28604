"""What must hold of who may do and sign, whoever is asked about and whatever the work."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from annual_planner.library.rules import load_rules
from annual_planner.trade.authority import Authority, MayDo, authority
from annual_planner.trade.cards import Subject, WorkKind
from annual_planner.trade.people import Airplane, Certificate, CertificateKind, Person, Standing, WorkPiece

RULES = load_rules()
ON = date(2026, 11, 25)
RANK = (MayDo.NO, MayDo.SUPERVISED, MayDo.ASK, MayDo.YES)
"""From nothing to all: an open question may yet spare the supervisor."""
RATINGS = {
    CertificateKind.MECHANIC: ("airframe", "powerplant"),
    CertificateKind.PILOT: ("student", "sport", "recreational", "private", "commercial", "airline transport"),
    CertificateKind.REPAIRMAN: ("light-sport maintenance",),
    CertificateKind.REPAIR_STATION: (
        *(each for each in Subject if each not in ("engine", "records")),
        "powerplant",
    ),
    CertificateKind.INSPECTION_AUTHORIZATION: (),
    CertificateKind.MANUFACTURER: (),
}


@st.composite
def certificates(draw: st.DrawFn) -> Certificate:
    kind = draw(st.sampled_from(CertificateKind))
    ratings = draw(st.sets(st.sampled_from(RATINGS[kind]))) if RATINGS[kind] else set()
    begun = date(2025, 4, 1) if kind is CertificateKind.INSPECTION_AUTHORIZATION else None
    return Certificate(kind, "1", frozenset(ratings), valid_from=begun, months_worked_in_24=Decimal(24))


works = st.builds(
    WorkPiece,
    title=st.just("a task"),
    kind=st.sampled_from(WorkKind),
    subject=st.sampled_from(Subject),
    preventive=st.lists(st.sampled_from(["A(c)(20)", "A(c)(23)", "A(c)(30)", "43.3(k)"]), max_size=2).map(
        tuple
    ),
    inspection=st.sampled_from(["", "annual", "100-hour", "progressive"]),
    complex=st.booleans(),
    major=st.booleans(),
)
airplanes = st.builds(
    Airplane,
    category=st.sampled_from(["standard", "light-sport special", "primary"]),
    uses=st.frozensets(st.sampled_from(["hire", "instruction", "ifr", "part 135"])),
)
standings = st.sampled_from(Standing)
held = st.lists(certificates(), max_size=4).map(tuple)


def ask(
    work: WorkPiece, certificates: tuple[Certificate, ...], airplane: Airplane, standing: Standing
) -> Authority:
    return authority(work, Person("Wenna Drofe", certificates), airplane, standing, ON, RULES)


@given(works, held, certificates(), airplanes, standings)
def test_a_certificate_more_takes_no_right_away(
    work: WorkPiece, some: tuple[Certificate, ...], more: Certificate, airplane: Airplane, standing: Standing
) -> None:
    less, all_of_them = (ask(work, each, airplane, standing) for each in (some, (*some, more)))
    assert RANK.index(all_of_them.may_do) >= RANK.index(less.may_do)
    assert all_of_them.may_sign >= less.may_sign


@given(works, held, airplanes)
def test_an_owner_who_is_a_mechanic_has_the_rights_of_both(
    work: WorkPiece, some: tuple[Certificate, ...], airplane: Airplane
) -> None:
    stranger, owner, operator = (ask(work, some, airplane, each) for each in Standing)
    assert RANK.index(owner.may_do) >= RANK.index(stranger.may_do)
    assert owner.may_sign >= stranger.may_sign
    assert (owner.may_do, owner.may_sign) == (operator.may_do, operator.may_sign), "a lessee as an owner"


@given(works, airplanes, standings)
def test_nobody_without_a_certificate_signs_inspects_or_runs_an_engine(
    work: WorkPiece, airplane: Airplane, standing: Standing
) -> None:
    answer = ask(work, (), airplane, standing)
    assert not answer.may_sign
    if work.inspection and work.kind in (WorkKind.INSPECT, WorkKind.TEST, WorkKind.RUN_UP):
        assert answer.may_do is MayDo.NO
    if work.kind in (WorkKind.OPEN, WorkKind.CLEAN, WorkKind.CLOSE) and not work.major:
        assert answer.may_do in (MayDo.SUPERVISED, MayDo.YES)


@given(works, airplanes)
def test_work_beside_a_database_update_stays_the_work_it_is(work: WorkPiece, airplane: Airplane) -> None:
    alone = replace(work, preventive=("A(c)(23)",))
    beside = replace(work, preventive=("A(c)(23)", "43.3(k)"))
    answers = [ask(each, (), airplane, Standing.NONE) for each in (alone, beside)]
    assert answers[0].may_do is answers[1].may_do
    assert answers[0].entry == answers[1].entry


@given(works, held, airplanes, standings)
def test_certificates_out_of_force_are_as_good_as_none(
    work: WorkPiece, some: tuple[Certificate, ...], airplane: Airplane, standing: Standing
) -> None:
    ran_out = tuple(
        replace(each, valid_from=date(2020, 1, 1), expires_on=ON - timedelta(days=1)) for each in some
    )
    to_come = tuple(replace(each, valid_from=ON + timedelta(days=1)) for each in some)
    none = ask(work, (), airplane, standing)
    for gone in (ran_out, to_come):
        answer = ask(work, gone, airplane, standing)
        assert (answer.may_do, answer.may_sign) == (none.may_do, none.may_sign)


@given(works, held, airplanes, standings)
def test_the_entry_owed_hangs_on_the_work_and_not_on_who_does_it(
    work: WorkPiece, some: tuple[Certificate, ...], airplane: Airplane, standing: Standing
) -> None:
    assert ask(work, some, airplane, standing).entry == ask(work, (), airplane, Standing.NONE).entry


@given(works, held, airplanes, standings)
def test_every_answer_cites_what_it_rests_on(
    work: WorkPiece, some: tuple[Certificate, ...], airplane: Airplane, standing: Standing
) -> None:
    answer = ask(work, some, airplane, standing)
    if answer.may_do is not MayDo.NO or answer.may_sign:
        assert answer.working.rules
    assert all(rule.citation and rule.says for rule in answer.working.rules)
    assert any("look them up again" in text for text in answer.working.assumptions)
