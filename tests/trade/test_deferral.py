"""The deferral questions: what forbids, what has to be asked, and what a deferral has to carry."""

from __future__ import annotations

from datetime import date

from hypothesis import given
from hypothesis import strategies as st

from annual_planner.library.deferral import load_equipment
from annual_planner.trade.deferral import Flight, Verdict, deferral, questions

EQUIPMENT = load_equipment()
GOOD = {
    "item": "cabin_heat", "flight": "VFR day", "mel": "no", "small": "yes", "type_data": "no",
    "equipment_list": "no", "other_rule": "no", "directive": "no", "how": "deactivated", "hazard": "yes",
}  # fmt: skip


def verdict(**other: str) -> Verdict:
    return deferral({**GOOD, **other}, EQUIPMENT).value.verdict


def test_a_deferral_carries_its_placard_its_limits_its_day_and_what_follows() -> None:
    found = deferral(GOOD, EQUIPMENT, date(2027, 5, 31)).value
    assert found.may
    assert (found.placard, found.limits) == ("Cabin heat: INOPERATIVE", "VFR by day only")
    assert found.until == date(2027, 5, 31)
    assert "91.405(c)" in found.follow_up
    assert found.missing == ()


def test_each_condition_alone_forbids_it() -> None:
    ends = {"small": "no", "how": "no", "hazard": "no"}
    ends |= dict.fromkeys(("type_data", "equipment_list", "other_rule", "directive"), "yes")
    for key, answer in ends.items():
        assert verdict(**{key: answer}) is Verdict.MAY_NOT, key
    assert verdict(mel="yes") is Verdict.ASK


def test_what_nobody_knows_is_to_be_asked_and_named() -> None:
    for key in GOOD:
        found = deferral({**GOOD, key: "not known"}, EQUIPMENT).value
        assert (found.verdict, found.missing) == (Verdict.ASK, (key,))


def test_night_asks_for_lights_and_instrument_flight_by_day_does_not() -> None:
    assert verdict(item="position_lights", flight="IFR") is Verdict.MAY
    for flight in (Flight.VFR_NIGHT, Flight.IFR_NIGHT):
        assert verdict(item="position_lights", flight=flight.value) is Verdict.MAY_NOT


def test_a_fact_is_asked_only_where_a_rule_turns_on_it() -> None:
    def keys(flight: str) -> list[str]:
        return [each.key for each in questions({"item": "landing_light", "flight": flight}, EQUIPMENT)]

    assert "hire" in keys("VFR night")
    assert "hire" not in keys("VFR day")


@given(
    st.dictionaries(
        st.sampled_from(sorted(GOOD)), st.sampled_from(["yes", "no", "not known", "removed", "IFR"])
    )
)
def test_it_may_only_be_deferred_when_every_question_asked_is_answered(answers: dict[str, str]) -> None:
    told = {**GOOD, **answers}
    found = deferral(told, EQUIPMENT)
    if found.value.may:
        assert all(q.answer in {value for value, _ in q.choices} for q in questions(told, EQUIPMENT))
        assert "not known" not in told.values()
    assert found.working.result == found.value.says
