from __future__ import annotations

from datetime import date

import pytest

from annual_planner.trade.avionics_checks import (
    VorCheck,
    altimeter_allows,
    database_update_is_maintenance,
    transponder_may_be_used,
    vor_check_needed,
    vor_within_limit,
)


@pytest.mark.parametrize("check", list(VorCheck))
@pytest.mark.parametrize("side", [1, -1])
def test_an_error_at_the_limit_passes_on_either_side_and_beyond_fails(check: VorCheck, side: int) -> None:
    limit_deg = 6 if check in {VorCheck.AIRBORNE_POINT, VorCheck.AIRWAY} else 4
    assert vor_within_limit(check, side * limit_deg).value
    assert not vor_within_limit(check, side * (limit_deg + 0.5)).value


def test_a_vor_check_is_needed_for_ifr_with_vor_only() -> None:
    assert vor_check_needed(ifr=True, uses_vor=True).value
    assert not vor_check_needed(ifr=False, uses_vor=True).value


def test_the_transponder_is_used_through_its_last_day() -> None:
    assert transponder_may_be_used(date(2026, 5, 31), date(2026, 5, 31)).value


def test_the_tested_altitude_itself_may_be_planned() -> None:
    assert altimeter_allows(10_000, 10_000).value


@pytest.mark.parametrize(
    "how",
    [
        {"from_flight_deck": False, "opened": False, "tools": False},
        {"from_flight_deck": True, "opened": True, "tools": False},
        {"from_flight_deck": True, "opened": False, "tools": True},
    ],
)
def test_an_update_with_tools_or_an_opened_unit_is_maintenance(how: dict[str, bool]) -> None:
    assert database_update_is_maintenance(**how).value
