"""People, airplanes and work for tests of signing; keys with a cost that makes argon2id instant."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta, timezone
from decimal import Decimal
from typing import Any

from annual_planner.records.chain import check_chain
from annual_planner.records.edits import Changed
from annual_planner.records.keys import Cost, MakeKey
from annual_planner.records.people import AddPerson
from annual_planner.records.signing import SignRecord, sign
from annual_planner.records.signing_sheet import content_to_sign
from annual_planner.store.session import Fleet
from annual_planner.store.signed_reads import open_key
from annual_planner.store.writing import add, values_of
from annual_planner.trade.people import Certificate, CertificateKind
from annual_planner.trade.signing import AIRWORTHY, KEY_CLOSED, PERFORMED
from tests.fleets import airplane, made

INSTANT = Cost(time=1, memory_kib=8, lanes=1)
ZONE = timezone(timedelta(hours=-5))
ON = date(2026, 5, 4)
AT = datetime(2026, 5, 4, 16, 30, tzinfo=ZONE)
PHRASE = "otter lamp violin quay {}"
MECHANIC = Certificate(
    CertificateKind.MECHANIC, "0-1701", frozenset({"airframe", "powerplant"}), months_worked_in_24=Decimal(24)
)
AUTHORIZATION = Certificate(CertificateKind.INSPECTION_AUTHORIZATION, "0-1701", valid_from=date(2025, 4, 1))
PILOT = Certificate(CertificateKind.PILOT, "0-3302", frozenset({"private"}))
OIL = {"kind": "service", "subject": "engine", "preventive": ["A(c)(23)"]}


@dataclass(frozen=True)
class Shop:
    """A fleet with an inspector, a mechanic, an owner, a manager; each with a key, and an airplane."""

    fleet: Fleet
    inspector: int
    mechanic: int
    owner: int
    manager: int
    aircraft_id: int


def shop_in(fleet: Fleet) -> Shop:
    people = {
        "Ina Vell": (("mechanic",), (MECHANIC, AUTHORIZATION)),
        "Mo Tarn": (("mechanic",), (replace(MECHANIC, number="0-1702"),)),
        "Ola Finch": (("owner",), (PILOT,)),
        "Max Reed": (("manager",), ()),
    }
    ids = [person_with_key(fleet, name, roles, held) for name, (roles, held) in people.items()]
    aircraft_id = made(fleet, airplane(owner_id=ids[2]))
    return Shop(fleet, *ids, aircraft_id)


def person_with_key(
    fleet: Fleet, name: str, roles: tuple[str, ...], held: tuple[Certificate, ...] = ()
) -> int:
    person_id = made(fleet, AddPerson(name, roles, certificates=held))
    new_key(fleet, person_id)
    return person_id


def new_key(fleet: Fleet, person_id: int, at: datetime = AT) -> int:
    return made(fleet, MakeKey(person_id, PHRASE.format(person_id), at, INSTANT))


def draft(shop: Shop, kind: str = "maintenance", **given: Any) -> int:
    values: dict[str, Any] = {
        "aircraft_id": shop.aircraft_id,
        "kind": kind,
        "work_on": ON,
        "approved": True if kind == "inspection" else None,
        "text": f"4 May 2026. {kind.capitalize()} done.",
        "facts": {"inspection": "annual"} if kind == "inspection" else {},
        "state": "draft",
        "correction_why": "",
        **given,
    }
    with shop.fleet.work("a test") as work:
        return add(work, "log_entry", values, aircraft_id=shop.aircraft_id)


def card(shop: Shop, number: int = 1, kind: str = "service", **given: Any) -> int:
    """A card that is done, in a package of its own."""
    content = given.pop("content", {"subject": "engine"})
    package = {
        "aircraft_id": shop.aircraft_id,
        "number": f"N012AP-2026-{number}",
        "title": "Annual inspection",
        "start_on": ON,
        "horizon_on": date(2027, 5, 31),
        "state": "open",
    }
    values = {
        "number": number,
        "key": f"card_{number}",
        "title": "Change the oil",
        "zone": "engine",
        "phase": "service",
        "kind": kind,
        "hours_low": Decimal(1),
        "hours_likely": Decimal(1),
        "hours_high": Decimal(2),
        "content": content,
        "origin": "annual",
        "included": True,
        "doer": "mechanic",
        "signer": "mechanic",
        "state": "done",
        "done_on": ON,
        **given,
    }
    with shop.fleet.work("a test") as work:
        package_id = add(work, "work_package", package, aircraft_id=shop.aircraft_id)
        return add(work, "work_card", {**values, "package_id": package_id}, aircraft_id=shop.aircraft_id)


def signed(
    shop: Shop,
    table: str,
    row_id: int,
    person_id: int,
    meaning: str = PERFORMED,
    at: datetime = AT,
    **more: Any,
) -> Changed:
    with shop.fleet.reading() as work:
        sheet = content_to_sign(work, table, row_id, person_id=person_id, meaning=meaning, at=at, **more)
    return sign(shop.fleet, SignRecord(sheet, person_id, PHRASE.format(person_id), at))


def signed_entry(shop: Shop, person_id: int | None = None, at: datetime = AT, **given: Any) -> Changed:
    return signed(shop, "log_entry", draft(shop, **given), person_id or shop.mechanic, at=at)


def signed_annual(shop: Shop, at: datetime = AT) -> Changed:
    return signed(shop, "log_entry", draft(shop, "inspection"), shop.inspector, AIRWORTHY, at)


def closed_key(shop: Shop, key_id: int, witness: int, at: datetime = AT) -> Changed:
    return signed(shop, "person_key", key_id, witness, KEY_CLOSED, at)


def later(**span: float) -> datetime:
    return AT + timedelta(**span)


def sheet_of(shop: Shop, table: str, row_id: int, person_id: int, meaning: str = PERFORMED, **more: object):  # type: ignore[no-untyped-def]
    with shop.fleet.reading() as work:
        return content_to_sign(
            work, table, row_id, person_id=person_id, meaning=meaning, **{"at": AT, **more}
        )  # type: ignore[arg-type]


def whole(shop: Shop) -> bool:
    with shop.fleet.reading() as work:
        return check_chain(work).value.whole


def state_of(shop: Shop, entry_id: int) -> object:
    with shop.fleet.reading() as work:
        return values_of(work, "log_entry", entry_id)["state"]


def key_id(shop: Shop, person_id: int) -> int:
    with shop.fleet.reading() as work:
        key = open_key(work, person_id)
    assert key is not None
    return key.key_id
