"""What a hand-over and this fleet have in common: the airplane with its chain, assemblies, people.

Nothing is taken for the same silently: what may be is offered, and a person says so.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from typing import TYPE_CHECKING, Any

from annual_planner.records.joining import plain_name
from annual_planner.records.trial import cant_take
from annual_planner.store.hand_over_reads import handed_over
from annual_planner.store.hand_over_rows import HandedOver, Rows, SentChain
from annual_planner.store.known_here import (
    AirplaneHere,
    airplanes_like,
    received_seals,
)
from annual_planner.store.signed_reads import last_link, links_about
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.store.session import Work

AIRPLANE = "airplane"
_DAYS = {
    "meter_reading": "read_on", "compliance": "done_on", "discrepancy_step": "on", "plug_check": "looked_on",
    "plug_rotation": "rotated_on", "compression_test": "tested_on", "work_package": "closed_on",
}  # fmt: skip
"""The day that a row was written down about."""


@dataclass(frozen=True, slots=True)
class Same:
    """What a person said is the same here as in the file; ids are those of the file."""

    airplane: bool = False
    assemblies: frozenset[int] = frozenset()
    people: frozenset[int] = frozenset()


@dataclass(frozen=True, slots=True)
class Again:
    """The airplane of the file is in this fleet already, and the file holds more of it."""

    here: AirplaneHere
    chains: tuple[SentChain, ...]
    """What earlier keepers signed that isn't here yet."""
    own: int
    """Signed records of this fleet in the file, each as it was signed here."""
    lost: int
    """Signed records of this fleet in the file that this fleet no longer has."""
    missing: tuple[int, ...]
    """Links that were signed here about the airplane before it went, and are not in the file."""
    seals: frozenset[str] = field(repr=False)
    """Of everything that this fleet signed about it."""
    tables: Mapping[str, Rows] = field(repr=False)
    """Its rows here."""


def known_airplane(work: Work, records: HandedOver) -> Again | None:
    """The airplane where this fleet has it already; None where it hasn't.

    Raises Refused where another airplane stands in its way, or its chain goes another way than the one here.
    """
    airplane = records.aircraft
    found = airplanes_like(work, airplane["registration"], airplane["maker"], airplane["serial"])
    if not found:
        return None
    if len(found) > 1 or not _is_same(found[0], airplane):
        raise _in_the_way(found, airplane)
    here = found[0]
    links = {link.sealed.link: link.seal for link in links_about(work, here.aircraft_id)}
    newest, received = last_link(work).link, received_seals(work, here.aircraft_id)
    chains: list[SentChain] = []
    seen: set[int] = set()
    own = lost = reach = 0
    for chain in records.chains:
        ours = [each for each in chain.links if links.get(each.link.sealed.link) == each.link.seal]
        if ours:
            own, reach = own + len(ours), max(reach, chain.last_link)
            seen |= {each.link.sealed.link for each in ours}
            _check_way(chain, {each.link.seal for each in ours}, newest)
            lost += len(chain.links) - len(ours)
        known = received | {each.link.seal for each in ours}
        new = tuple(each for each in chain.links if each.link.seal not in known)
        if new or (chain is records.chains[-1] and not ours):
            chains.append(replace(chain, links=new))
    missing = tuple(link for link in sorted(links) if link <= reach and link not in seen)
    tables = handed_over(work, here.aircraft_id, keeper="", handed_on=date.max).tables
    return Again(here, tuple(chains), own, lost, missing, frozenset(links.values()), tables)


def _is_same(here: AirplaneHere, airplane: Mapping[str, Any]) -> bool:
    told = (airplane["registration"].upper(), airplane["maker"].lower(), airplane["serial"].lower())
    return (here.registration.upper(), here.maker.lower(), here.serial.lower()) == told


def _in_the_way(found: list[AirplaneHere], airplane: Mapping[str, Any]) -> Refused:
    named = [each for each in found if each.registration.upper() == airplane["registration"].upper()]
    told = f"{airplane['registration']}, {airplane['maker']} {airplane['model']}, serial {airplane['serial']}"
    if named:
        here = named[0]
        return Refused(
            f"{here.registration} is in this fleet already, as {here.maker} {here.model}, serial "
            f"{here.serial}; the file holds {told}.",
            "If they are one airplane, correct maker or serial on its page; if two, give the one here "
            "another registration. Then take the file in. Nothing was recorded.",
        )
    return Refused(
        f"The airplane is in this fleet already, as {found[0].registration}; the file holds {told}.",
        "If its registration was changed, change it on its page too, then take the file in. Nothing was "
        "recorded.",
    )


def _check_way(chain: SentChain, ours: set[str], newest: int) -> None:
    """A chain that begins as the one here goes on as it does here, as far as that goes."""
    for each in chain.links:
        if each.link.seal not in ours and each.link.sealed.link <= newest:
            raise cant_take(
                f"link {each.link.sealed.link} of {chain.keeper} is not the one that was signed here: its "
                "chain goes another way than this fleet's own"
            )


def of_airplane(records: HandedOver, again: Again) -> dict[int, int]:
    """People whom the airplane's own records here name already, under the name that they have here.

    Where the keeper before gave somebody another name, because theirs was taken there, that one is meant.
    """
    registration = str(records.aircraft["registration"])
    here = {row["name"]: row["id"] for row in again.tables["person"]}
    found: dict[str, int] = {}
    for row in records.tables["person"]:
        plain = plain_name("person", row, registration)
        if plain in here and (plain not in found or row["name"] != plain):
            found[plain] = row["id"]
    return {file_id: here[plain] for plain, file_id in found.items()}


def last_day(tables: Mapping[str, Rows], moments: Iterable[datetime]) -> date | None:
    """The newest day that anything is written down about."""
    days = [
        row[column]
        for name, column in _DAYS.items()
        for row in tables.get(name, ())
        if row[column] is not None
    ]
    return max([*days, *(each.date() for each in moments)], default=None)
