"""What an hour of a person costs, and whose public holidays the shop keeps: written, refused, taken back."""

from __future__ import annotations

from decimal import Decimal

import pytest

from annual_planner.records.apply import apply
from annual_planner.records.people import AddPerson, ChangePerson
from annual_planner.records.public_holidays import SetPublicHolidays
from annual_planner.store.fleet_reads import people
from annual_planner.store.refusals import ChangedMeanwhile
from annual_planner.store.session import Fleet
from annual_planner.store.shop_reads import shop
from annual_planner.trade.refused import Refused
from annual_planner.trade.shop_floor import HolidaysOf
from tests.fleets import ANN, BEN, TODAY, made

GERMANY, BAVARIA = HolidaysOf("DE"), HolidaysOf("DE", "BY")
UNITED_STATES, NONE = HolidaysOf(), HolidaysOf("")


def costs(fleet: Fleet) -> dict[str, Decimal | None]:
    with fleet.reading() as work:
        return {each.name: each.cost_per_hour for each in people(work)}


def kept(fleet: Fleet) -> HolidaysOf:
    with fleet.reading() as work:
        return shop(work).holidays_of


def test_what_an_hour_costs_is_written_changed_and_taken_back(fleet: Fleet) -> None:
    made(fleet, AddPerson(BEN, ("helper",)))
    ann = made(fleet, AddPerson(ANN, ("mechanic",), cost_per_hour=Decimal("82.5")))
    assert costs(fleet) == {ANN: Decimal("82.5"), BEN: None}
    change = ChangePerson(ann, {"cost_per_hour": Decimal("82.5")}, {"cost_per_hour": None})
    changed = apply(fleet, change, ANN, TODAY)
    assert costs(fleet)[ANN] is None
    assert changed.back is not None
    apply(fleet, changed.back, ANN, TODAY)
    assert costs(fleet)[ANN] == Decimal("82.50")
    with pytest.raises(ChangedMeanwhile, match=r"Cost per hour: it is now 82\.5"):
        apply(fleet, ChangePerson(ann, {"cost_per_hour": None}, {"cost_per_hour": Decimal(1)}), BEN, TODAY)


@pytest.mark.parametrize(
    ("cost", "said"),
    [("-0.01", "can't cost -0.01"), ("100000.01", "can't cost"), ("80.125", "finer than a hundredth")],
)
def test_a_cost_no_hour_has_is_refused_and_nothing_is_written(fleet: Fleet, cost: str, said: str) -> None:
    ann = made(fleet, AddPerson(ANN, ("mechanic",)))
    with pytest.raises(Refused, match=said):
        apply(fleet, AddPerson(BEN, ("helper",), cost_per_hour=Decimal(cost)), ANN, TODAY)
    wants = {"cost_per_hour": Decimal(cost)}
    with pytest.raises(Refused, match=said):
        apply(fleet, ChangePerson(ann, {"cost_per_hour": None}, wants), ANN, TODAY)
    assert costs(fleet) == {ANN: None}


def test_a_fleet_keeps_the_holidays_of_the_united_states_until_others_are_chosen(fleet: Fleet) -> None:
    assert kept(fleet) == UNITED_STATES == HolidaysOf("US", "")
    first = apply(fleet, SetPublicHolidays(UNITED_STATES, GERMANY), ANN, TODAY)
    second = apply(fleet, SetPublicHolidays(GERMANY, BAVARIA), ANN, TODAY)
    third = apply(fleet, SetPublicHolidays(BAVARIA, NONE), ANN, TODAY)
    assert kept(fleet) == NONE
    for changed, before in ((third, BAVARIA), (second, GERMANY), (first, UNITED_STATES)):
        assert changed.kinds == {"calendar"}
        assert changed.back is not None
        apply(fleet, changed.back, ANN, TODAY)
        assert kept(fleet) == before


def test_a_choice_made_on_what_is_no_longer_so_is_refused(fleet: Fleet) -> None:
    with pytest.raises(ChangedMeanwhile):
        apply(fleet, SetPublicHolidays(GERMANY, BAVARIA), ANN, TODAY)
    apply(fleet, SetPublicHolidays(UNITED_STATES, GERMANY), ANN, TODAY)
    with pytest.raises(ChangedMeanwhile, match="it is now DE, you saw US"):
        apply(fleet, SetPublicHolidays(UNITED_STATES, NONE), BEN, TODAY)
    assert kept(fleet) == GERMANY


@pytest.mark.parametrize(
    ("of", "said"),
    [
        (HolidaysOf("ZZ"), "known of 'ZZ'"),
        (HolidaysOf("DE", "CA"), "known of 'CA' in DE"),
        (HolidaysOf("SE", "X"), "known of 'X' in SE"),
    ],
)
def test_a_country_or_part_without_known_holidays_is_refused(fleet: Fleet, of: HolidaysOf, said: str) -> None:
    with pytest.raises(Refused, match=said) as refused:
        apply(fleet, SetPublicHolidays(UNITED_STATES, of), ANN, TODAY)
    assert refused.value.remedy
    assert kept(fleet) == UNITED_STATES
