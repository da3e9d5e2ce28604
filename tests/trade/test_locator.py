from __future__ import annotations

from datetime import date

import pytest

from annual_planner.trade.locator import (
    LocatorFlight,
    battery_due,
    battery_entry_missing,
    battery_used_up,
    locator_required,
)
from annual_planner.trade.refused import Refused


def test_an_hour_of_use_is_allowed_and_a_minute_more_is_not() -> None:
    assert not battery_used_up([]).value
    assert not battery_used_up([40, 20]).value
    assert battery_used_up([40, 21]).value


def test_an_odd_life_is_halved_the_cautious_way_and_said() -> None:
    worked = battery_due(life_start=date(2024, 3, 15), useful_life_months=61)
    assert worked.value == date(2026, 9, 15)
    assert worked.working.assumptions


@pytest.mark.parametrize("months", [None, 0, -12])
def test_a_battery_without_a_date_or_a_life_is_refused(months: int | None) -> None:
    with pytest.raises(Refused, match="Neither a marked"):
        battery_due(life_start=date(2024, 3, 15), useful_life_months=months)


def test_the_new_date_is_asked_on_the_unit_and_in_the_records() -> None:
    assert battery_entry_missing(on_unit=True, in_records=True).value == ()
    missing = battery_entry_missing(on_unit=False, in_records=False)
    assert missing.value == ("on the unit", "in the records")


def test_only_the_named_flights_go_without_it() -> None:
    assert locator_required(LocatorFlight()).value
    assert locator_required(LocatorFlight(training_within_nm=51)).value
    for flight in (
        LocatorFlight(one_person_aircraft=True),
        LocatorFlight(aerial_application=True),
        LocatorFlight(design_and_test=True),
    ):
        assert not locator_required(flight).value
