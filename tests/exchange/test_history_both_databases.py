"""A history with a rotation and a recheck goes in, out, is taken back, goes in again: on both databases."""

from __future__ import annotations

from annual_planner.exchange.history_edit import ApplyHistory
from annual_planner.exchange.history_out import history_csv
from annual_planner.exchange.plug_history import read_plug_history
from annual_planner.store.plug_reads import engine_history
from annual_planner.store.session import Fleet
from tests.fleets import TODAY, fleet, server_template
from tests.records.engine_fleet import FOUR, Shop, library, plug_key, shop

__all__ = ["fleet", "server_template"]

HISTORY = f"""record,date,engine_hours,tag,type,place,until,until_hours,gasket_out,fitted_by,removed_by,\
rotation,stage,gap_in,cylinder,reading_psi,first_psi,step,note
plug,,,X1,{plug_key()},,,,,,,,,,,,,,
rotation,2025-05-01,480,,,,,,,,,A,,,,,,,
stay,2024-05-01,400,X1,,1T,2025-05-01,480,no,,A,,,,,,,,
look,2025-05-01,480,X1,,1T,,,,,,A,before cleaning,0.0175|0.019,,,,,"first line
second line"
stay,2025-05-01,480,X1,,4B,,,,A,,,,,,,,,lead is short
reading,2025-05-01,480,,,,,,,,,,,,2,66,48,,
recheck,2025-05-01,,,,,,,,,,,,,2,66,,run_again,
"""


def file_of(its: Shop) -> str:
    with its.fleet.reading() as work:
        return history_csv(engine_history(work, its.assembly_id), its.assembly_id)


def edit_of(its: Shop, content: str) -> ApplyHistory:
    preview = read_plug_history(content, engine=library().engine(FOUR), shelf=library(), today=TODAY)
    assert preview.faults == ()
    return ApplyHistory(its.assembly_id, preview, library())


def test_in_and_out_and_in_again(fleet: Fleet) -> None:
    its = shop(fleet, fitted=False)
    before = its.stored()
    changed = its.apply(edit_of(its, HISTORY))
    out = file_of(its)
    assert "first line\nsecond line" in out
    its.undo(changed)
    assert its.stored() == before
    its.apply(edit_of(its, out))
    assert file_of(its) == out
