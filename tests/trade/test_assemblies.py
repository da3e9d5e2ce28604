"""An assembly's limits in the hours of the airframe it is fitted to."""

from __future__ import annotations

from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from annual_planner.trade.assemblies import due_on_airframe

tenths = st.integers(0, 200_000).map(lambda n: Decimal(n) / 10)


@given(tenths, tenths, tenths)
def test_when_the_airframe_gets_there_so_does_the_assembly(
    limit: Decimal, assembly: Decimal, airframe: Decimal
) -> None:
    worked = due_on_airframe(limit, assembly, airframe)
    assert assembly + (worked.value - airframe) == limit
    assert "stays on this airplane" in worked.working.assumptions[0]
