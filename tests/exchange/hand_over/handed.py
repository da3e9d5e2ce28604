"""A signed-for airplane to hand over, and the file made of it."""

from __future__ import annotations

from contextlib import closing
from datetime import timedelta
from decimal import Decimal
from io import BytesIO
from pathlib import Path

import pytest
from sqlalchemy import func, select

from annual_planner.exchange.hand_over.giving import Given, hand_over
from annual_planner.exchange.hand_over.reading import opened_hand_over
from annual_planner.records.apply import apply
from annual_planner.records.filing import FilePaper
from annual_planner.records.known import Same
from annual_planner.records.pictures import read_picture
from annual_planner.records.taking_in import TakeIn
from annual_planner.store.fleet_reads import set_fleet_fact
from annual_planner.store.opening import open_fleet
from annual_planner.store.session import Fleet
from annual_planner.store.tables import METADATA
from annual_planner.store.writing import add
from annual_planner.trade.refused import Refused
from tests.fleets import TODAY, annual, hundred_hour, made
from tests.signing import (
    AT,
    MECHANIC,
    Shop,
    card,
    closed_key,
    draft,
    later,
    person_with_key,
    shop_in,
    signed,
    signed_entry,
)

REGISTRATION = "N012AP"
PDF = b"%PDF-1.7\n% an invented paper\n%%EOF\n"
KEEPER = "Marram Field"
SIGNED = 5
"""A card, an entry, another with its correction, and the closing of the mechanic's key."""


def picture(colour: str = "teal") -> bytes:
    from PIL import Image

    target = BytesIO()
    Image.new("RGB", (60, 40), colour).save(target, "PNG")
    return target.getvalue()


def keeper_in(fleet: Fleet) -> Shop:
    """A fleet with an airplane that was worked on: a card, a discrepancy, entries, a photograph, a paper."""
    shop = shop_in(fleet)
    with fleet.work("a test") as work:
        set_fleet_fact(work, "name", KEEPER)
    made(fleet, annual(shop.aircraft_id))
    need = made(fleet, hundred_hour(shop.aircraft_id))
    card_id = card(shop, done_by_id=shop.mechanic, requirement_id=need, content={"requirements": [need]})
    _work_on(fleet, shop, card_id)
    _photograph(fleet, shop, card_id)
    signed(shop, "work_card", card_id, shop.mechanic)
    signed_entry(shop, text="Oil changed. § 43.9, 4 May 2026: 1523.4 h")
    first = draft(shop, text="Left tyre changed")
    signed(shop, "log_entry", first, shop.mechanic)
    second = draft(shop, text="Right tyre changed", corrects_id=first, correction_why="wrong side named")
    signed(shop, "log_entry", second, shop.mechanic)
    made(fleet, FilePaper("Package", PDF, 1, AT, shop.aircraft_id))
    witness = person_with_key(fleet, "Una Brook", ("mechanic",), (MECHANIC,))
    closed_key(shop, 2, witness, at=later(hours=2))
    return shop


def _photograph(fleet: Fleet, shop: Shop, card_id: int) -> None:
    found = read_picture(picture())
    size = {"width_px": found.width_px, "height_px": found.height_px, "sha256": found.digest}
    kept = {"jpeg": found.jpeg, "thumbnail": found.thumbnail, "caption": "left brake", "taken_at": AT}
    with fleet.work("a test") as work:
        add(work, "photograph", {"aircraft_id": shop.aircraft_id, "card_id": card_id, **size, **kept})


def _work_on(fleet: Fleet, shop: Shop, card_id: int) -> None:
    found = {
        "aircraft_id": shop.aircraft_id, "found_on": TODAY, "zone": "wheels", "text": "Brake drags",
        "card_id": card_id, "cost_estimate": Decimal("12.50"),
    }  # fmt: skip
    with fleet.work("a test") as work:
        discrepancy_id = add(work, "discrepancy", found)
        step = {"discrepancy_id": discrepancy_id, "step": "found", "on": TODAY, "written_at": AT}
        add(work, "discrepancy_step", {**step, "person_id": shop.mechanic, "facts": {"card": card_id}})
        times = {"card_id": card_id, "person_id": shop.mechanic, "started_at": AT - timedelta(hours=2)}
        add(work, "worked_time", {**times, "stopped_at": AT})
        add(work, "card_note", {"card_id": card_id, "written_at": AT, "person_id": None, "text": "naïve"})
        result = {"card_id": card_id, "measurement": "Play", "value": 0.1, "read_at": AT, "within": True}
        add(work, "card_result", result)
        add(work, "part_used", {"card_id": card_id, "name": "Filter", "quantity": Decimal(1)})


def file_of(fleet: Fleet, folder: Path, registration: str = REGISTRATION) -> tuple[Path, Given]:
    target = folder / f"{registration}.zip"
    return target, hand_over(fleet, registration, target, TODAY, read_picture)


def take_in(fleet: Fleet, source: Path | bytes, same: Same = Same()) -> int:  # noqa: B008 - frozen
    with opened_hand_over(source, read_picture) as found:
        edit = TakeIn(found.records, found.sha256, found, AT, same=same)
        changed = apply(fleet, edit, "Next Keeper", TODAY)
    assert changed.aircraft_id is not None
    return changed.aircraft_id


def good_file(folder: Path) -> bytes:
    """The bytes of a good hand-over file."""
    with closing(open_fleet(folder / "keeper.fleet", create=True)) as fleet:
        keeper_in(fleet)
        return file_of(fleet, folder)[0].read_bytes()


def rows_in(fleet: Fleet) -> int:
    """Of all tables together."""
    with fleet.engine.connect() as connection:
        tables = METADATA.sorted_tables
        return sum(connection.scalar(select(func.count()).select_from(each)) or 0 for each in tables)


def refused(fleet: Fleet, content: Path | bytes) -> str:
    """What is said, in one line; nothing may be there afterwards."""
    with pytest.raises(Refused) as caught:
        take_in(fleet, content)
    said = str(caught.value)
    assert rows_in(fleet) == 0
    assert "\n" not in said
    assert len(said) < 500
    return said
