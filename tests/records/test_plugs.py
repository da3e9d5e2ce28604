from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from annual_planner.records.plug_fitting import GoesBack
from annual_planner.records.plug_looks import ChangePlugCheck, RecordPlugCheck
from annual_planner.records.plug_stock import AddPlugs, ScrapPlug, SetEngineType
from annual_planner.records.plug_tray import SetGasketOut, TakeOutPlugs
from annual_planner.records.plugs_in import FitPlugs, PutBackWhereTheyWere, PutPlugsIn
from annual_planner.store.refusals import ChangedMeanwhile
from annual_planner.store.session import Fleet
from annual_planner.store.writing import rows_where
from annual_planner.trade.engines import Place, place
from annual_planner.trade.plug_check import AFTER, BEFORE, PlugSeen
from annual_planner.trade.plugs import Condition, Verdict
from annual_planner.trade.refused import Refused
from tests.fleets import airplane, made
from tests.records.engine_fleet import FITTED_ON, FOUR, NOW, OUT_ON, Shop, library, plug_key, shop

FINE = PlugSeen((Condition.NORMAL,), gaps_in=(0.018,))


@pytest.fixture
def its(fleet: Fleet) -> Shop:
    return shop(fleet)


def goes_back(its: Shop) -> tuple[GoesBack, ...]:
    """The rotation as the tray says it, a new plug for each rejected one."""
    tray = its.view().tray
    assert tray is not None
    assert tray.goes_in is not None
    out = {slot.place: slot.plug.plug_id for slot in tray.slots}
    return tuple(
        GoesBack(str(each.place), new_type_key=each.new_types[0], new_tag=f"new {each.place}")
        if each.came_from is None
        else GoesBack(str(each.place), out[each.came_from])
        for each in tray.goes_in.value
    )


def test_every_plug_comes_out_and_goes_back_by_the_rotation_and_all_of_it_can_be_taken_back(
    its: Shop,
) -> None:
    before, at_first = its.stored(), its.plugs()
    out = its.apply(TakeOutPlugs(its.assembly_id, OUT_ON, NOW, tuple(at_first), library=library()))
    assert its.plugs() == {}
    assert out.made_id is not None
    its.gaskets_out(out.made_id)
    lying = its.stored()
    back = its.apply(PutPlugsIn(out.made_id, OUT_ON, goes_back(its), 8, library()))
    view = its.view()
    assert view.tray is None
    assert view.rotations[0].state == "in"
    moved = {place.plug.tag: place.place for place in view.places if place.plug}
    moves = view.scheme.value.scheme.moves
    assert moved == {f"P{n}": moves[at] for n, at in enumerate(library().engine(FOUR).places, 1)}
    its.undo(back)
    assert its.stored() == lying
    for stay in its.stored()["plug_stay"]:
        its.apply(SetGasketOut(int(str(stay["id"])), True, None))
    its.undo(out)
    assert its.stored() == before


def test_what_was_taken_back_can_be_done_again(its: Shop) -> None:
    out = its.apply(TakeOutPlugs(its.assembly_id, OUT_ON, NOW, ("1T", "2B"), library=library()))
    after = its.stored()
    its.undo(its.undo(out))
    assert its.stored() == after


def test_plugs_taken_out_one_by_one_lie_in_one_tray(its: Shop) -> None:
    assert its.take_out("1T") == its.take_out("1B", "2T")
    tray = its.view().tray
    assert tray is not None
    assert [str(slot.place) for slot in tray.slots] == ["1T", "1B", "2T"]


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"places": ("9T",)}, "no place 9T"),
        ({"places": ("1F",)}, "no place 1F"),
        ({"places": ()}, "No place"),
        ({"engine_hours": Decimal("499.9")}, "go backwards"),
        ({"engine_hours": Decimal("5000")}, "can't be"),
        ({"on": date(2026, 5, 5)}, "after today"),
        ({"on": date(2025, 12, 1)}, "before plug P1 was fitted"),
        ({"moved": "sideways"}, "sideways"),
    ],
)
def test_plugs_that_can_not_have_come_out_so_are_refused(
    its: Shop, change: dict[str, object], said: str
) -> None:
    edit = TakeOutPlugs(its.assembly_id, OUT_ON, NOW, ("1T",), library=library())
    before = its.stored()
    with pytest.raises(Refused, match=said):
        its.apply(replace(edit, **change))  # type: ignore[arg-type]
    assert its.stored() == before


def test_an_empty_place_gives_no_plug(its: Shop) -> None:
    its.take_out("1T")
    with pytest.raises(Refused, match="no plug in 1T"):
        its.take_out("1T")


def test_a_place_that_holds_a_plug_takes_no_other(its: Shop) -> None:
    spare = its.apply(AddPlugs(plug_key(), ("X1",), library=library())).made_id
    assert spare is not None
    with pytest.raises(Refused, match="1T holds plug P1 already"):
        its.apply(FitPlugs(its.assembly_id, OUT_ON, NOW, {"1T": spare}, library=library()))


def test_a_plug_that_sits_in_another_engine_is_not_fitted_here(its: Shop) -> None:
    other = made(its.fleet, airplane("N034BQ"))
    with its.fleet.reading() as work:
        from annual_planner.store.plug_reads import engine_places

        engine = engine_places(work, other)[0].assembly_id
    its.apply(SetEngineType(engine, "", FOUR, library()))
    held = its.plugs()["2T"]
    with pytest.raises(Refused, match="P3 sits in 2T of engine 1 of N012AP"):
        its.apply(FitPlugs(engine, OUT_ON, NOW, {"1T": held}, library=library()))


def test_a_missing_gasket_is_asked_for_by_its_cylinder(its: Shop) -> None:
    rotation = its.take_out()
    its.gaskets_out(rotation, "3B")
    tray = its.view().tray
    assert tray is not None
    assert tray.gaskets.missing == (place("3B"),)
    with pytest.raises(Refused, match=r"8 plugs came out and 7 gaskets\. Missing: cylinder 3 bottom"):
        its.apply(PutPlugsIn(rotation, OUT_ON, goes_back(its), 8, library()))


@pytest.mark.parametrize("count", [None, 7, 9])
def test_new_gaskets_are_counted_against_plugs_in(its: Shop, count: int | None) -> None:
    rotation = its.take_out()
    its.gaskets_out(rotation)
    with pytest.raises(Refused, match="new gaskets for 8 plugs: which cylinder"):
        its.apply(PutPlugsIn(rotation, OUT_ON, goes_back(its), count, library()))


def test_a_departure_from_the_rotation_needs_its_reason_and_keeps_it(its: Shop) -> None:
    rotation = its.take_out()
    its.gaskets_out(rotation)
    first, second, *rest = goes_back(its)
    swapped = (replace(first, plug_id=second.plug_id), replace(second, plug_id=first.plug_id), *rest)
    with pytest.raises(Refused, match="say why another plug goes there"):
        its.apply(PutPlugsIn(rotation, OUT_ON, swapped, 8, library()))
    said = tuple(replace(each, why="hot cylinder") for each in swapped[:2])
    its.apply(PutPlugsIn(rotation, OUT_ON, (*said, *rest), 8, library()))
    assert its.view().rotations[0].departures == {first.place: "hot cylinder", second.place: "hot cylinder"}


def test_plugs_go_back_where_they_were_with_that_as_the_reason(its: Shop) -> None:
    held, rotation = its.plugs(), its.take_out()
    its.gaskets_out(rotation)
    its.apply(PutBackWhereTheyWere(rotation, OUT_ON, 8, library=library()))
    assert its.plugs() == held


def test_a_rejected_plug_leaves_a_hole_for_a_new_one_and_no_other_shifts(its: Shop) -> None:
    rotation, worn = its.take_out(), its.view().tray
    assert worn is not None
    bad = worn.slots[2].plug
    seen = PlugSeen((Condition.CRACKED_NOSE,))
    its.apply(RecordPlugCheck(bad.plug_id, rotation, BEFORE, OUT_ON, seen, library=library()))
    its.gaskets_out(rotation)
    goes = goes_back(its)
    assert sum(each.plug_id is None for each in goes) == 1
    its.apply(PutPlugsIn(rotation, OUT_ON, goes, 8, library()))
    assert bad.plug_id not in its.plugs().values()
    assert bad.plug_id in {each.plug_id for each in its.view().removed}
    its.apply(ScrapPlug(bad.plug_id, OUT_ON, "cracked nose"))
    assert its.view().spares == ()


def test_a_dropped_plug_never_goes_back_whatever_anybody_says(its: Shop) -> None:
    rotation, plug = its.take_out("1T"), 1
    dropped = PlugSeen((Condition.NORMAL,), dropped=True)
    look = RecordPlugCheck(plug, rotation, BEFORE, OUT_ON, dropped, library=library())
    with pytest.raises(Refused, match="dropped"):
        its.apply(replace(look, overruled_verdict=Verdict.CLEAN, overruled_because="looks fine"))
    its.apply(look)
    its.apply(RecordPlugCheck(plug, rotation, AFTER, OUT_ON, FINE, library=library()))
    its.gaskets_out(rotation)
    with pytest.raises(Refused, match="was dropped"):
        its.apply(PutPlugsIn(rotation, OUT_ON, (GoesBack("1T", plug, why="try"),), 1, library()))


def test_a_rejected_plug_goes_back_only_once_somebody_took_it_on_themselves(its: Shop) -> None:
    rotation = its.take_out("1T")
    its.gaskets_out(rotation)
    look = RecordPlugCheck(1, rotation, BEFORE, OUT_ON, PlugSeen((Condition.OVERHEATED,)), library=library())
    its.apply(look)
    goes = PutPlugsIn(rotation, OUT_ON, (GoesBack("1T", 1, why="only one out"),), 1, library())
    with pytest.raises(Refused, match="was rejected at its last look"):
        its.apply(goes)
    check_id = its.view().tray.slots[0].before.line.check_id  # type: ignore[union-attr]
    saw = {"verdict": "replace", "overruled_because": ""}
    wants = {"verdict": "clean", "overruled_because": "soot, not heat"}
    its.apply(ChangePlugCheck(check_id, saw, wants, library()))
    its.apply(goes)
    assert its.plugs()["1T"] == 1


@pytest.mark.parametrize("condition", [Condition.METAL_SPRAYED, Condition.FUSED])
def test_what_a_plug_tells_of_its_cylinder_is_written_up_there_once(its: Shop, condition: Condition) -> None:
    rotation = its.take_out("3B")
    before = its.stored()
    plug = next(s.plug.plug_id for s in its.view().tray.slots)  # type: ignore[union-attr]
    seen = PlugSeen((condition,))
    first = its.apply(RecordPlugCheck(plug, rotation, BEFORE, OUT_ON, seen, library=library()))
    assert first.kinds == {"plug", "discrepancy"}
    second = its.apply(RecordPlugCheck(plug, rotation, AFTER, OUT_ON, seen, library=library()))
    with its.fleet.reading() as work:
        rows = list(rows_where(work, "discrepancy", assembly_id=its.assembly_id).values())
    assert [(row["cylinder"], row["found_on"], row["closed_on"]) for row in rows] == [(3, OUT_ON, None)]
    its.undo(second)
    assert its.undo(first).kinds == {"plug", "discrepancy"}
    assert its.stored() == before


def test_a_second_look_of_one_stage_is_a_change_of_the_first(its: Shop) -> None:
    rotation = its.take_out("1T")
    look = RecordPlugCheck(1, rotation, BEFORE, OUT_ON, FINE, library=library())
    its.apply(look)
    with pytest.raises(Refused, match="already"):
        its.apply(look)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"set_gap_in": 0.030}, "levering"),
        ({"set_gap_in": 25.0}, "can't be set"),
        ({"seen": PlugSeen((Condition.NORMAL, Condition.FUSED))}, "normal and fused"),
        ({"stage": "whenever"}, "whenever"),
        ({"rotation_id": None}, "still sits"),
        ({"looked_on": date(2026, 1, 5)}, "before the plug came out"),
        ({"plug_id": 2}, "isn't in this tray"),
        ({"overruled_verdict": Verdict.REPLACE}, "needs a reason"),
    ],
)
def test_looks_that_can_not_be_are_refused(its: Shop, change: dict[str, object], said: str) -> None:
    rotation = its.take_out("1T")
    if "rotation_id" in change:
        change = {**change, "plug_id": 2}
    look = RecordPlugCheck(1, rotation, BEFORE, OUT_ON, FINE, library=library())
    before = its.stored()
    with pytest.raises(Refused, match=said):
        its.apply(replace(look, **change))  # type: ignore[arg-type]
    assert its.stored() == before


def test_two_people_do_not_overwrite_each_others_look(its: Shop) -> None:
    rotation = its.take_out("1T")
    check = its.apply(RecordPlugCheck(1, rotation, BEFORE, OUT_ON, FINE, library=library())).made_id
    assert check is not None
    edit = ChangePlugCheck(check, {"gaps_in": [0.018]}, {"gaps_in": [0.019]}, library())
    its.apply(edit)
    with pytest.raises(ChangedMeanwhile):
        its.apply(edit)


def test_a_changed_look_gets_the_verdict_that_follows(its: Shop) -> None:
    rotation = its.take_out("1T")
    check = its.apply(RecordPlugCheck(1, rotation, BEFORE, OUT_ON, FINE, library=library())).made_id
    assert check is not None
    changed = its.apply(ChangePlugCheck(check, {"dropped": False}, {"dropped": True}, library()))
    slot = its.view().tray.slots[0]  # type: ignore[union-attr]
    assert (slot.verdict, slot.next_place, slot.rejected) == (Verdict.REPLACE, None, True)
    its.undo(changed)
    assert its.view().tray.slots[0].verdict is Verdict.CLEAN  # type: ignore[union-attr]


def test_the_drawer_gives_plugs_and_takes_those_left_over(its: Shop) -> None:
    spare = its.apply(AddPlugs(plug_key(), ("X1",), library=library())).made_id
    assert [plug.tag for plug in its.view().spares] == ["X1"]
    rotation = its.take_out("1T")
    its.gaskets_out(rotation)
    its.apply(PutPlugsIn(rotation, OUT_ON, (GoesBack("1T", spare, why="old one set aside"),), 1, library()))
    assert [plug.tag for plug in its.view().spares] == ["P1"]


def test_tags_are_given_once(its: Shop) -> None:
    for tags in (("P1",), ("X1", "X1 "), (" ",), ()):
        with pytest.raises(Refused):
            its.apply(AddPlugs(plug_key(), tags, library=library()))


def test_an_engine_keeps_its_type_while_plugs_sit_where_the_other_has_no_place(its: Shop) -> None:
    with pytest.raises(Refused, match="has no place"):
        its.apply(SetEngineType(its.assembly_id, FOUR, "ostermoor_r7", library()))
    with pytest.raises(Refused, match="no engine type 'nothing'"):
        its.apply(SetEngineType(its.assembly_id, FOUR, "nothing", library()))


def test_a_plug_is_scrapped_with_a_reason_and_only_out_of_the_engine(its: Shop) -> None:
    with pytest.raises(Refused, match="still sits in 1T"):
        its.apply(ScrapPlug(1, OUT_ON, "worn"))
    its.take_out("1T")
    with pytest.raises(Refused, match="needs a reason"):
        its.apply(ScrapPlug(1, OUT_ON, " "))
    with pytest.raises(Refused, match="before it came out"):
        its.apply(ScrapPlug(1, FITTED_ON, "worn"))
    its.apply(ScrapPlug(1, OUT_ON, "worn"))
    with pytest.raises(Refused, match="scrapped already"):
        its.apply(ScrapPlug(1, OUT_ON, "worn"))


def test_a_plug_fitted_today_has_run_what_the_engine_ran_since(its: Shop) -> None:
    view = its.view()
    assert {place.plug.run_hours for place in view.places if place.plug} == {Decimal(0)}
    assert view.at(Place(1, place("1T").row)).stay.fitted_on == FITTED_ON  # type: ignore[union-attr]
