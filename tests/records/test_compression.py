from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from annual_planner.records.compression import RecordTest
from annual_planner.records.compression_checks import ReadCylinder
from annual_planner.records.compression_corrections import ChangeReading, ChangeTest, RemoveTest
from annual_planner.records.cylinder_work import RecordCylinderChange, RemoveCylinderChange
from annual_planner.store.refusals import ChangedMeanwhile
from annual_planner.store.session import Fleet
from annual_planner.trade.compression_safety import SAFETY_STEPS
from annual_planner.trade.recheck import RecheckDone
from annual_planner.trade.refused import Refused
from tests.records.engine_fleet import NOW, OUT_ON, Shop, library, shop

TICKED = tuple(step.key for step in SAFETY_STEPS)
FOUR_READ = tuple(ReadCylinder(n, 76.0) for n in range(1, 5))


@pytest.fixture
def its(fleet: Fleet) -> Shop:
    return shop(fleet, fitted=False)


def a_test(its: Shop, **given: object) -> RecordTest:
    test = RecordTest(its.assembly_id, OUT_ON, NOW, FOUR_READ, TICKED, library=library())
    return replace(test, **given)  # type: ignore[arg-type]


def test_a_test_is_written_down_and_taken_back_whole(its: Shop) -> None:
    before = its.stored()
    done = its.apply(a_test(its, elevation_ft=900.0, altimeter_inhg=29.92))
    assert done.kinds == {"compression"}
    view = its.view().tests[0]
    assert [each.line.reading_psi for each in view.readings] == [76.0] * 4
    assert view.air == "from elevation and altimeter setting"
    after = its.stored()
    its.undo(its.undo(done))
    assert its.stored() == after
    assert done.made_id is not None
    removed = its.apply(RemoveTest(done.made_id))
    assert its.stored() == before
    its.undo(removed)
    assert its.stored() == after


@pytest.mark.parametrize("missing", TICKED)
def test_no_test_is_written_down_before_every_safety_step_is_ticked(its: Shop, missing: str) -> None:
    with pytest.raises(Refused, match="Not ticked"):
        its.apply(a_test(its, safety_ticked=tuple(key for key in TICKED if key != missing)))


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"readings": ()}, "no readings"),
        ({"readings": (ReadCylinder(5, 70.0),)}, "no cylinder 5"),
        ({"readings": (ReadCylinder(1, 70.0), ReadCylinder(1, 71.0))}, "read twice"),
        ({"readings": (ReadCylinder(1, 80.5),)}, "above the 80 psi put in"),
        ({"readings": (ReadCylinder(1, 70.0),), "regulated_psi": 60.0}, "above the 60 psi"),
        ({"readings": (ReadCylinder(1, -1.0),)}, "can't read -1"),
        ({"readings": (ReadCylinder(1, float("nan")),)}, "can't read nan"),
        ({"readings": (ReadCylinder(1, 50.0, ("moon",)),)}, "No leak path is called moon"),
        ({"readings": (ReadCylinder(1, 50.0, (), (RecheckDone("sing", 60.0),)),)}, "no step of the ladder"),
        ({"readings": (ReadCylinder(1, 50.0, (), (RecheckDone("run_again", 90.0),)),)}, "above the 80"),
        (
            {
                "readings": (
                    ReadCylinder(1, 50.0, (), (RecheckDone("run_again", 90.0), RecheckDone("stake", 60.0))),
                )
            },
            "above the 80",
        ),
        ({"regulated_psi": 0.0}, "regulated pressure of 0"),
        ({"master_psi": 90.0}, "master reading of 90"),
        ({"restrictor_in": 0.0}, "restrictor of 0"),
        ({"restrictor_in": 4.0}, "restrictor of 4 in"),
        ({"oil_temperature_c": 900.0}, "temperature of the oil of 900"),
        ({"altimeter_inhg": 29.9}, "needs the field's elevation"),
        ({"elevation_ft": 99_000.0}, "not possible"),
        ({"minutes_since_shutdown": -1}, "minutes since"),
        ({"tested_on": date(2026, 5, 5)}, "after today"),
        ({"engine_hours": Decimal(-1)}, "can't be"),
        ({"engine_hours": Decimal(5000)}, "can't be"),
    ],
)
def test_tests_that_can_not_be_are_refused_and_nothing_is_written(
    its: Shop, given: dict[str, object], said: str
) -> None:
    before = its.stored()
    with pytest.raises(Refused, match=said):
        its.apply(a_test(its, **given))
    assert its.stored() == before


def test_engine_hours_of_tests_go_forward_only(its: Shop) -> None:
    its.apply(a_test(its, tested_on=date(2025, 5, 1), engine_hours=Decimal(400)))
    with pytest.raises(Refused, match="go backwards"):
        its.apply(a_test(its, engine_hours=Decimal(399)))
    with pytest.raises(Refused, match="a later test says 400"):
        its.apply(a_test(its, tested_on=date(2024, 5, 1), engine_hours=Decimal(401)))
    its.apply(a_test(its, tested_on=date(2024, 5, 1), engine_hours=Decimal(300)))


def test_a_reading_is_corrected_and_two_people_do_not_overwrite_each_other(its: Shop) -> None:
    its.apply(a_test(its))
    reading = its.view().tests[0].readings[0].line.reading_id
    edit = ChangeReading(reading, {"reading_psi": 76.0}, {"reading_psi": 71.0}, library())
    changed = its.apply(edit)
    with pytest.raises(ChangedMeanwhile):
        its.apply(edit)
    with pytest.raises(Refused, match="above the 80"):
        its.apply(ChangeReading(reading, {"reading_psi": 71.0}, {"reading_psi": 81.0}, library()))
    its.undo(changed)
    assert its.view().tests[0].readings[0].line.reading_psi == 76.0


def test_a_lower_regulated_pressure_must_stay_above_the_readings(its: Shop) -> None:
    test_id = its.apply(a_test(its)).made_id
    assert test_id is not None
    its.apply(ChangeTest(test_id, {"regulated_psi": 80.0}, {"regulated_psi": 78.0}))
    with pytest.raises(Refused, match="above the 75 psi"):
        its.apply(ChangeTest(test_id, {"regulated_psi": 78.0}, {"regulated_psi": 75.0}))


def test_work_on_a_cylinder_is_written_down_and_removed(its: Shop) -> None:
    before = its.stored()
    work = RecordCylinderChange(its.assembly_id, 2, OUT_ON, NOW, "valves lapped", library=library())
    change_id = its.apply(work).made_id
    assert change_id is not None
    removed = its.apply(RemoveCylinderChange(change_id))
    assert its.stored() == before
    its.undo(removed)
    assert its.view().cylinder(2).changes[0].what == "valves lapped"  # type: ignore[union-attr]
    for given, said in (({"cylinder": 5}, "no cylinder 5"), ({"what": " "}, "Nobody said")):
        with pytest.raises(Refused, match=said):
            its.apply(replace(work, **given))  # type: ignore[arg-type]
