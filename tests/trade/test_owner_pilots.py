"""What owners and operators who are pilots may do on their own, asked of the shipped rules."""

from __future__ import annotations

import pytest

from annual_planner.trade.authority import MayDo
from annual_planner.trade.cards import WorkKind
from annual_planner.trade.people import Airplane, Person, Standing
from tests.trade.asking import (
    HELPER,
    LIGHT_SPORT,
    OIL,
    PLAIN,
    RULES,
    ask,
    inspector,
    mechanic,
    piece,
    pilot,
    station,
)


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
