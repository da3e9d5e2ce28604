from __future__ import annotations

from annual_planner.trade.directives import directive_allows
from annual_planner.trade.inspections import SPECIAL_FLIGHT_PERMIT


def test_a_directive_that_is_met_lets_the_airplane_fly() -> None:
    assert directive_allows(overdue=False).value.legal


def test_a_directive_that_forbids_a_permit_leaves_no_way_to_fly() -> None:
    allowed = directive_allows(overdue=True, forbids_permit=True).value
    assert (allowed.legal, allowed.remedy) == (False, "")


def test_a_directive_read_to_allow_a_permit_names_it_plainly() -> None:
    assert directive_allows(overdue=True, forbids_permit=False).value.remedy == SPECIAL_FLIGHT_PERMIT
