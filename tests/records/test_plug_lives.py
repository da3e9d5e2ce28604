"""Whatever is done with plugs, their lives stay one line each and undoing puts everything back."""

from __future__ import annotations

import tempfile
from collections import defaultdict
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from annual_planner.records.edits import Changed
from annual_planner.records.plug_stock import AddPlugs, ScrapPlug
from annual_planner.records.plug_tray import TakeOutPlugs
from annual_planner.records.plugs_in import FitPlugs, PutBackWhereTheyWere, PutPlugsIn
from annual_planner.store.opening import open_fleet
from annual_planner.trade.plug_life import Stay, hours_run, overlap
from annual_planner.trade.refused import Refused
from tests.records.engine_fleet import FOUR, NOW, OUT_ON, Shop, library, plug_key, shop
from tests.records.test_plugs import goes_back

PLACES = tuple(str(at) for at in library().engine(FOUR).places)
DOINGS = st.lists(
    st.one_of(
        st.tuples(st.just("out"), st.lists(st.sampled_from(PLACES), min_size=1, max_size=8, unique=True)),
        st.tuples(st.sampled_from(["rotate", "back"]), st.just([])),
        st.tuples(
            st.sampled_from(["fit", "scrap"]), st.lists(st.sampled_from(PLACES), min_size=1, max_size=1)
        ),
    ),
    min_size=1,
    max_size=6,
)


def do(its: Shop, doing: str, places: list[str]) -> list[Changed]:
    """Try one thing; what it changed, which is nothing where it is refused."""
    view = its.view()
    try:
        if doing == "out":
            edit = TakeOutPlugs(its.assembly_id, OUT_ON, NOW, tuple(places), library=library())
            return [its.apply(edit)]
        if doing == "fit":
            edit_id = {places[0]: view.spares[0].plug_id} if view.spares else {}
            return [its.apply(FitPlugs(its.assembly_id, OUT_ON, NOW, edit_id, library=library()))]
        if view.tray is None:
            return []
        if doing == "scrap":
            return [its.apply(ScrapPlug(view.tray.slots[0].plug.plug_id, OUT_ON, "worn"))]
        its.gaskets_out(view.tray.rotation_id)
        if doing == "back":
            count = len(view.tray.slots)
            return [its.apply(PutBackWhereTheyWere(view.tray.rotation_id, OUT_ON, count, library=library()))]
        goes = goes_back(its)
        return [its.apply(PutPlugsIn(view.tray.rotation_id, OUT_ON, goes, len(goes), library()))]
    except (Refused, KeyError):
        return []


def check_lives(its: Shop) -> None:
    rows = its.stored()
    lives: dict[object, list[Stay]] = defaultdict(list)
    for row in rows["plug_stay"]:
        lives[row["plug_id"]].append(
            Stay(
                str(row["place"]), row["fitted_on"], row["engine_hours_at_fitting"],  # type: ignore[arg-type]
                row["removed_on"], row["engine_hours_at_removal"],  # type: ignore[arg-type]
            )
        )  # fmt: skip
    assert all(overlap(life) is None for life in lives.values())
    sitting = [row for row in rows["plug_stay"] if row["removed_on"] is None]
    assert len({row["place"] for row in sitting}) == len(sitting)
    assert len({row["plug_id"] for row in sitting}) == len(sitting)
    fitted = {row["plug_id"] for row in sitting}
    for plug in rows["spark_plug"]:
        assert not (plug["spare"] and (plug["id"] in fitted or plug["scrapped_on"]))
    for place in its.view().places:
        if place.plug is not None:
            assert place.plug.run_hours == hours_run(
                place.plug.line.hours_before, lives[place.plug.plug_id], NOW
            )


@given(DOINGS)
@settings(max_examples=15)
def test_no_plug_is_in_two_places_and_every_edit_is_taken_back_exactly(
    doings: list[tuple[str, list[str]]],
) -> None:
    with tempfile.TemporaryDirectory() as folder, open_fleet(Path(folder) / "t.fleet", create=True) as fleet:
        its = shop(fleet)
        its.apply(AddPlugs(plug_key(), ("X1", "X2"), library=library()))
        for doing, places in doings:
            before = its.stored()
            for changed in do(its, doing, places):
                check_lives(its)
                after = its.stored()
                again = its.undo(changed)
                expected = before if doing not in ("rotate", "back") else None
                assert expected is None or its.stored() == expected
                its.undo(again)
                assert its.stored() == after
