from __future__ import annotations

from pathlib import Path

import pytest

from annual_planner.records.apply import apply
from annual_planner.records.people import AddPerson
from annual_planner.store.opening import open_fleet
from annual_planner.store.people_reads import person_named
from annual_planner.trade.refused import Refused
from tests.fleets import ANN, BEN, TODAY


def test_a_person_is_found_in_either_case_and_a_slip_is_answered_with_who_was_meant(tmp_path: Path) -> None:
    with open_fleet(tmp_path / "a.fleet", create=True) as fleet:
        with fleet.reading() as work, pytest.raises(Refused, match="Set up the shop"):
            person_named(work, ANN)
        for name in (ANN, BEN):
            apply(fleet, AddPerson(name, ("mechanic",)), ANN, TODAY)
        with fleet.reading() as work:
            assert person_named(work, f" {ANN.upper()}").name == ANN
            with pytest.raises(Refused, match=f"Did you mean {ANN}"):
                person_named(work, "Anne Quil")
