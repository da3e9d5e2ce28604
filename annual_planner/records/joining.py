"""Which rows of a hand-over are in the fleet already, which are new, and which have gone on since.

Plain arithmetic on values: nothing is read or written here. A row is one that is known here when it says the
same in the columns that people know it by, and hangs on rows that are known here too.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from annual_planner.store.hand_over_reads import references
from annual_planner.store.hand_over_rows import CARRIED, Rows
from annual_planner.store.taking_writes import Ids

Tables = Mapping[str, Rows]
Row = Mapping[str, Any]
RECEIVED = "Received: "
"""Stands before the title of a paper that another keeper filed."""

KNOWN_BY: Mapping[str, tuple[str, ...]] = {
    "installation": ("assembly_id", "aircraft_id", "position", "fitted_on"),
    "meter": ("aircraft_id", "kind", "fitted_on"),
    "meter_reading": ("meter_id", "read_on", "meter_hours"),
    "requirement": ("aircraft_id", "assembly_id", "key", "title", "directive_number"),
    "compliance": ("requirement_id", "done_on", "done_hours"),
    "work_package": ("aircraft_id", "number", "start_on"),
    "package_item": ("package_id", "requirement_id"),
    "work_card": ("package_id", "number", "key", "title"),
    "discrepancy": ("aircraft_id", "found_on", "zone", "text"),
    "worked_time": ("card_id", "started_at"),
    "card_result": ("card_id", "measurement"),
    "card_note": ("card_id", "written_at", "text"),
    "part_used": ("card_id", "discrepancy_id", "name", "serial", "quantity"),
    "discrepancy_step": ("discrepancy_id", "step", "written_at"),
    "spark_plug": ("type_key", "tag"),
    "plug_rotation": ("assembly_id", "rotated_on", "engine_hours"),
    "plug_stay": ("plug_id", "assembly_id", "place", "fitted_on"),
    "plug_check": ("plug_id", "looked_on", "stage", "place"),
    "compression_test": ("assembly_id", "tested_on", "engine_hours", "cold"),
    "cylinder_reading": ("test_id", "cylinder"),
    "cylinder_change": ("assembly_id", "cylinder", "changed_on", "what"),
    "photograph": ("card_id", "discrepancy_id", "sha256"),
    "filed_paper": ("package_id", "sha256"),
}
"""The columns by which people know a row; airplane, assemblies and people are told by who takes them in."""
GOES_ON: Mapping[str, tuple[str, ...]] = {
    "installation": ("removed_on", "airframe_hours_at_removal", "assembly_hours_at_removal"),
    "meter": ("of_record", "replaced_on"),
    "requirement": (
        "source", "citation", "force", "every_hours", "every_cycles", "every_calendar_months", "every_months",
        "every_days", "logic", "recurring", "enroute_excess_hours", "effective_on", "effective_hours",
        "fixed_on", "directive_revised_on", "terminated",
    ),
    "work_package": ("horizon_on", "state", "hours_at_start", "promised_on", "closed_on", "result"),
    "work_card": ("included", "assigned_person_id", "state", "state_why", "done_by_id", "done_on"),
    "discrepancy": (
        "airworthy", "disposition", "closed_on", "hours_estimate", "state", "package_id", "card_id", "risk",
        "waits_for", "waits_since", "parts", "cost_estimate", "owner_answer", "owner_answered_on",
        "owner_answered_how", "deferred_until", "placard",
    ),
    "worked_time": ("stopped_at",),
    "spark_plug": ("scrapped_on", "scrapped_why"),
    "plug_stay": ("removed_on", "engine_hours_at_removal", "gasket_out", "removed_by_rotation_id", "why"),
}  # fmt: skip
"""What comes to an end, or is revised, in the life of a row. All else stays as it was written down here."""
ENDED_BY: Mapping[str, str] = {
    "installation": "removed_on",
    "meter": "replaced_on",
    "work_package": "closed_on",
    "work_card": "done_on",
    "worked_time": "stopped_at",
    "spark_plug": "scrapped_on",
    "plug_stay": "removed_on",
}
"""Where this is written down here, the row has come to its end here, and stays as it is."""
_NAMES = {"spark_plug": "tag", "work_package": "number", "person": "name", "filed_paper": "title"}
_NOT_COMPARED = {"work_card": ("content",), "discrepancy_step": ("facts",), "spark_plug": ("hours_before",)}
"""They hold ids of the fleet that they are in, or count what ran elsewhere."""
_OF_CARDS = ("card_result", "card_note", "part_used", "photograph", "worked_time")
_NEW = object()


@dataclass(frozen=True, slots=True)
class GoneOn:
    """A row of this fleet that has another end in the file."""

    table: str
    file_id: int
    here_id: int
    columns: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Joined:
    """A hand-over held against the rows that are here already."""

    known: Ids
    """By table: the id here for the id in the file."""
    withheld: Mapping[str, frozenset[int]]
    """Rows of the file that are not recorded: they belong to cards that were signed here."""
    gone_on: tuple[GoneOn, ...]
    otherwise: tuple[GoneOn, ...]
    """Rows that read otherwise in the file, and stay as they are here."""
    new: Mapping[str, int]
    """How many rows of each table are new."""
    missing: Mapping[str, int]
    """How many rows of each table are here and not in the file; they stay."""


def plain_name(table: str, row: Row, registration: str) -> str:
    """What the thing was called before a fleet gave it another name, because that one was taken there.

    >>> plain_name("spark_plug", {"tag": "P1 (N012AP)"}, "N012AP")
    'P1'
    """
    found = str(row[_NAMES[table]]).removeprefix(RECEIVED)
    for suffix in (f" (records of {registration})", f" ({registration})", " (received)"):
        while found.endswith(suffix):
            found = found.removesuffix(suffix)
    return found


def joined(
    file: Tables,
    here: Tables,
    told: Mapping[str, Mapping[int, int]],
    registration: str,
    signed: Collection[int],
) -> Joined:
    """Hold the file against what is here; `told` are rows that are the same, `signed` cards signed here."""
    known: Ids = {name: dict(told.get(name, {})) for name in CARRIED}
    for name in CARRIED:
        if name in KNOWN_BY:
            _match(name, file[name], here.get(name, ()), known, registration)
    withheld = _withheld(file, known, signed)
    differing = tuple(_differing(file, here, known))
    open_ = _open(file, here, known, signed)
    return Joined(
        known,
        withheld,
        tuple(_parted(differing, open_, going=True)),
        tuple(_parted(differing, open_, going=False)),
        {
            name: sum(row["id"] not in known[name] and row["id"] not in withheld[name] for row in rows)
            for name, rows in file.items()
        },
        {name: len({row["id"] for row in rows} - set(known[name].values())) for name, rows in here.items()},
    )


def _match(name: str, rows: Rows, own: Rows, known: Ids, registration: str) -> None:
    refers, taken = references(name), set(known[name].values())
    waiting: dict[tuple[Any, ...], list[int]] = {}
    for row in own:
        if row["id"] not in taken:
            waiting.setdefault(_key(name, row, registration), []).append(row["id"])
    for row in rows:
        if row["id"] in known[name]:
            continue
        found = waiting.get(_key(name, _here(row, refers, known), registration))
        if found:
            known[name][row["id"]] = found.pop(0)


def _key(name: str, row: Row, registration: str) -> tuple[Any, ...]:
    called = _NAMES.get(name)
    return tuple(
        plain_name(name, row, registration) if column == called else row[column] for column in KNOWN_BY[name]
    )


def _here(row: Row, refers: Mapping[str, str], known: Ids) -> dict[str, Any]:
    """The row with ids of this fleet; what is new to it is like nothing here."""
    return {
        column: known[refers[column]].get(value, _NEW) if column in refers and value is not None else value
        for column, value in row.items()
    }


def _withheld(file: Tables, known: Ids, signed: Collection[int]) -> dict[str, frozenset[int]]:
    """New rows of cards that were signed here: what is signed stays as it was signed."""
    cards = {file_id for file_id, here_id in known["work_card"].items() if here_id in signed}
    return {
        name: frozenset(
            row["id"]
            for row in rows
            if name in _OF_CARDS and row["card_id"] in cards and row["id"] not in known[name]
        )
        for name, rows in file.items()
    }


def _differing(file: Tables, here: Tables, known: Ids) -> Iterator[GoneOn]:
    for name in CARRIED:
        own = {row["id"]: row for row in here.get(name, ())}
        refers = references(name)
        left = {"id", *KNOWN_BY.get(name, ()), _NAMES.get(name, ""), *_NOT_COMPARED.get(name, ())}
        for row in file[name]:
            was = own.get(known[name].get(row["id"], -1))
            if was is None:
                continue
            now = _here(row, refers, known)
            columns = tuple(each for each in now if each not in left and now[each] != was[each])
            if columns:
                yield GoneOn(name, row["id"], was["id"], columns)


def _open(file: Tables, here: Tables, known: Ids, signed: Collection[int]) -> dict[str, set[int]]:
    """Rows that may go on, by table: not ended and not signed here; discrepancies that have a step more."""
    found = {
        name: {row["id"] for row in rows if row.get(ENDED_BY.get(name, "")) is None}
        for name, rows in here.items()
    }
    found["work_card"] = found.get("work_card", set()) - set(signed)
    steps = [row for row in file["discrepancy_step"] if row["id"] not in known["discrepancy_step"]]
    found["discrepancy"] = {known["discrepancy"].get(row["discrepancy_id"], -1) for row in steps}
    return found


def _parted(
    differing: Collection[GoneOn], open_: Mapping[str, Collection[int]], *, going: bool
) -> Iterator[GoneOn]:
    for each in differing:
        free = GOES_ON.get(each.table, ()) if each.here_id in open_.get(each.table, ()) else ()
        columns = tuple(column for column in each.columns if (column in free) is going)
        if columns:
            yield GoneOn(each.table, each.file_id, each.here_id, columns)
