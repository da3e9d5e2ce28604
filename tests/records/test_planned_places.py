"""What is planned for a place stays with the open tray, and can be taken back."""

from __future__ import annotations

import pytest

from annual_planner.records.planned_places import Planned, planned_of
from annual_planner.records.plug_stock import AddPlugs
from annual_planner.records.plug_tray import ChangeRotation
from annual_planner.store.refusals import ChangedMeanwhile
from annual_planner.store.session import Fleet
from annual_planner.trade.engines import place
from annual_planner.trade.refused import Refused
from tests.records.engine_fleet import FITTED_ON, Shop, library, plug_key, shop


@pytest.fixture
def its(fleet: Fleet) -> Shop:
    return shop(fleet)


def plan(rotation_id: int, saw: dict[str, Planned], wants: dict[str, Planned]) -> ChangeRotation:
    stored = [{at: each.as_stored() for at, each in planned.items()} for planned in (saw, wants)]
    return ChangeRotation(rotation_id, {"planned": stored[0]}, {"planned": stored[1]}, library())


def test_it_is_there_when_the_engine_is_opened_again_and_can_be_taken_back(its: Shop) -> None:
    plugs, rotation_id = its.plugs(), its.take_out()
    wants = {"1T": Planned(plugs["2B"], why="to watch cylinder 1"), "2B": Planned()}
    changed = its.apply(plan(rotation_id, {}, wants))
    tray = its.view().tray
    assert tray is not None
    assert planned_of(tray.line.planned) == {place(at): each for at, each in wants.items()}
    its.undo(changed)
    tray = its.view().tray
    assert tray is not None
    assert tray.line.planned == {}


def test_who_planned_from_an_old_look_is_told(its: Shop) -> None:
    rotation_id = its.take_out()
    its.apply(plan(rotation_id, {}, {"1T": Planned()}))
    with pytest.raises(ChangedMeanwhile):
        its.apply(plan(rotation_id, {}, {"2B": Planned()}))


def test_one_plug_is_not_planned_for_two_places_nor_for_a_place_that_is_not_there(its: Shop) -> None:
    plugs, rotation_id = its.plugs(), its.take_out()
    one = Planned(plugs["1T"], why="x")
    with pytest.raises(Refused, match="can't go into two places"):
        its.apply(plan(rotation_id, {}, {"1T": one, "2T": one}))
    with pytest.raises(Refused, match="9T"):
        its.apply(plan(rotation_id, {}, {"9T": Planned()}))


def test_a_new_plug_is_not_planned_under_a_tag_that_is_taken(its: Shop) -> None:
    rotation_id = its.take_out()
    new = Planned(None, plug_key(), "N1", "the old one is worn")
    with pytest.raises(Refused, match="Two new plugs would be called N1"):
        its.apply(plan(rotation_id, {}, {"1T": new, "2T": new}))
    with pytest.raises(Refused, match="There is a plug P1 already"):
        its.apply(plan(rotation_id, {}, {"1T": Planned(None, plug_key(), "P1", "x")}))
    its.apply(plan(rotation_id, {}, {"1T": new}))
    its.apply(AddPlugs(plug_key(), ("N1",), FITTED_ON, library=library()))
    its.apply(plan(rotation_id, {"1T": new}, {"1T": new, "2T": Planned(None, plug_key(), "N2", "x")}))


def test_a_tag_is_as_long_as_a_compartment_can_show(its: Shop) -> None:
    with pytest.raises(Refused, match="41 letters is too long"):
        its.apply(AddPlugs(plug_key(), ("x" * 41,), FITTED_ON, library=library()))
