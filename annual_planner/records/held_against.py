"""Every row of a hand-over held against this fleet, with what a person said is the same here."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from annual_planner.records.joining import Joined, joined
from annual_planner.records.known import Again, Same
from annual_planner.records.offers import assembly_offers, person_offers, settled_people
from annual_planner.store.hand_over_rows import HandedOver, Rows
from annual_planner.store.known_here import engine_tables
from annual_planner.store.signed_reads import signed_of
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.store.session import Work


def held_against(work: Work, records: HandedOver, same: Same, again: Again | None) -> Joined:
    """Every row of the file held against what is here, with what a person said is the same.

    Raises Refused where something can't be the same.
    """
    told: dict[str, dict[int, int]] = {name: {} for name in records.tables}
    here: dict[str, Rows] = {}
    signed: frozenset[int] = frozenset()
    if again is not None and same.airplane:
        here = dict(again.tables)
        told |= _told_by_chain(records, again)
        told["aircraft"] = {records.aircraft["id"]: again.here.aircraft_id}
        told["assembly"] = dict(_assemblies_of(records.tables["assembly"], here["assembly"]))
        told["person"] |= settled_people(work, records, again)
        signed = _signed_cards(work, [row["id"] for row in here["work_card"]])
    for offer in (*assembly_offers(work, records, again), *person_offers(work, records, again)):
        if offer.file_id in (same.assemblies if offer.table == "assembly" else same.people):
            if offer.why_not:
                raise Refused(
                    f"{offer.name} can't be the one known here: {offer.why_not}.",
                    "Take it in apart, or put that right first. Nothing was recorded.",
                )
            told[offer.table][offer.file_id] = offer.here_id
    engines = engine_tables(work, set(told["assembly"].values()))
    return joined(
        records.tables, _together(here, engines), told, str(records.aircraft["registration"]), signed
    )


def _together(here: Mapping[str, Rows], engines: Mapping[str, Rows]) -> dict[str, Rows]:
    found: dict[str, Rows] = dict(here)
    for name, rows in engines.items():
        own = found.get(name, ())
        ids = {row["id"] for row in own}
        found[name] = [*own, *(row for row in rows if row["id"] not in ids)]
    return found


def _told_by_chain(records: HandedOver, again: Again) -> dict[str, dict[int, int]]:
    """Rows that were signed here: what was signed names them by the ids that they have here."""
    ids = {name: {row["id"] for row in rows} for name, rows in again.tables.items()}
    told: dict[str, dict[int, int]] = {name: {} for name in records.tables}
    for chain in records.chains:
        for sent in chain.links:
            sealed = sent.link.sealed
            pairs = (
                (sealed.subject_table, sent.row_id, sealed.subject_id),
                ("work_package", sent.package_id, sealed.package_id),
            )
            for table, file_id, here_id in pairs if sent.link.seal in again.seals else ():
                if file_id is not None and here_id is not None and here_id in ids.get(table, ()):
                    told[table][file_id] = here_id
    return told


def _assemblies_of(file: Rows, here: Rows) -> Iterator[tuple[int, int]]:
    left = list(here)
    for row in file:
        found = next((each for each in left if _what(each) == _what(row)), None)
        if found is not None:
            left.remove(found)
            yield row["id"], found["id"]


def _signed_cards(work: Work, card_ids: list[int]) -> frozenset[int]:
    lines = signed_of(work, "work_card", card_ids)
    return frozenset(line.subject_id for line in lines if line.corrected_by_id is None)


def _what(row: Mapping[str, Any]) -> tuple[str, ...]:
    return row["kind"], row["maker"], row["model"], row["serial"]
