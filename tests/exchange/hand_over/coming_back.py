"""A second keeper who works on an airplane that was handed over, and hands it back."""

from __future__ import annotations

from contextlib import closing
from datetime import date
from decimal import Decimal
from pathlib import Path

from annual_planner.records.apply import apply
from annual_planner.records.readings import RecordReading
from annual_planner.store.fleet_reads import set_fleet_fact
from annual_planner.store.opening import open_fleet
from annual_planner.store.session import Fleet
from annual_planner.store.writing import add, change, rows_where
from tests.exchange.hand_over.handed import file_of, take_in
from tests.signing import MECHANIC, Shop, card, later, person_with_key, signed, signed_entry

BACK = date(2026, 5, 20)
SECOND = "Fell Edge Aviation"


def back_from(gone: bytes, folder: Path) -> bytes:
    """What the second keeper hands back after some work."""
    with closing(open_fleet(folder / "second.fleet", create=True)) as second:
        worked_on(second, take_in(second, gone))
        (folder / "back").mkdir()
        return file_of(second, folder / "back")[0].read_bytes()


def worked_on(fleet: Fleet, aircraft_id: int) -> None:
    """A reading, a card and an entry signed there, the engine taken off, the discrepancy put right."""
    with fleet.work("a test") as work:
        set_fleet_fact(work, "name", SECOND)
    other = person_with_key(fleet, "Bea Lund", ("mechanic",), (MECHANIC,))
    shop = Shop(fleet, other, other, other, other, aircraft_id)
    apply(fleet, RecordReading(aircraft_id, BACK, Decimal("1530.0")), "a test", BACK)
    signed(shop, "work_card", card(shop, 7, done_by_id=other), other, at=later(days=3))
    signed_entry(shop, other, at=later(days=4), text="Spark plugs cleaned")
    with fleet.work("a test") as work:
        [(discrepancy_id, was)] = rows_where(work, "discrepancy").items()
        step = {"discrepancy_id": discrepancy_id, "step": "judged", "on": BACK, "written_at": later(days=5)}
        add(work, "discrepancy_step", {**step, "person_id": other, "facts": {}})
        change(work, "discrepancy", discrepancy_id, {"state": was["state"]}, {"state": "judged"})
        engine = next(key for key, row in rows_where(work, "assembly").items() if row["kind"] == "engine")
        [(stay, _)] = rows_where(work, "installation", assembly_id=engine).items()
        left = {"airframe_hours_at_removal": Decimal(1525), "assembly_hours_at_removal": Decimal(525)}
        change(work, "installation", stay, {}, {"removed_on": BACK, **left})
