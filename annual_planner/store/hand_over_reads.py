"""Reading all records of one airplane, to be handed over: a fixed number of queries, however many rows."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from typing import Any

from sqlalchemy import ColumnElement, Table, select, true, union

from annual_planner.store.hand_over_rows import (
    CARRIED,
    FILES,
    LEFT,
    HandedOver,
    SentChain,
    SentLink,
)
from annual_planner.store.received_mappings import ReceivedChainRow, ReceivedRecordRow
from annual_planner.store.received_reads import received_link
from annual_planner.store.session import Work
from annual_planner.store.signed_reads import last_link, links_about
from annual_planner.store.writing import mapped
from annual_planner.trade.refused import Refused

Row = dict[str, Any]
_DATED = {
    "plug_rotation": "rotated_on",
    "plug_stay": "fitted_on",
    "plug_check": "looked_on",
    "compression_test": "tested_on",
    "cylinder_change": "changed_on",
}
"""What an engine's rows are dated by: of one that was removed only the rows until then go along."""


def handed_over(work: Work, aircraft_id: int, *, keeper: str, handed_on: date) -> HandedOver:
    """Everything about an airplane as it stands. Raises Refused when it is gone."""
    tables = {name: _rows(work, name, aircraft_id) for name in CARRIED if name != "person"}
    if not tables["aircraft"]:
        raise Refused("The airplane is no longer in the fleet.", "Go back to the fleet list.")
    _drop_after_removal(tables)
    _count_hours_elsewhere(work, tables)
    tables["person"] = _people(work, tables)
    _cut_references(tables)
    own = _own_chain(work, aircraft_id, tables, keeper, handed_on)
    return HandedOver(tables, (*_received_chains(work, aircraft_id), own))


def references(name: str) -> dict[str, str]:
    """The columns of a table that hold ids of another table, with that table's name."""
    return {
        column.name: key.column.table.name for column in table_of(name).columns for key in column.foreign_keys
    }


def table_of(name: str) -> Table:
    """A table by its name."""
    found: Table = mapped(name).__table__
    return found


def file_bytes(work: Work, table: str, row_id: int) -> bytes:
    """The picture or the pages of one row. Raises Refused when it is gone."""
    of = table_of(table)
    found = work.session.scalar(select(of.c[FILES[table]]).where(of.c.id == row_id))
    if found is None:
        raise Refused("A picture or a paper was removed meanwhile.", "Hand the airplane over again.")
    return bytes(found)


def _rows(work: Work, name: str, aircraft_id: int) -> list[Row]:
    table = table_of(name)
    left = {"version", *LEFT.get(name, ())}
    columns = [column for column in table.columns if column.name not in left]
    query = select(*columns).where(_of_airplane(name, aircraft_id)).order_by(table.c.id)
    return [dict(row) for row in work.session.execute(query).mappings()]


def _of_airplane(name: str, aircraft_id: int) -> ColumnElement[bool]:
    """Which rows of a table are about the airplane."""
    table = table_of(name)
    if name == "aircraft":
        return table.c.id == aircraft_id
    if "aircraft_id" in table.c:
        return table.c.aircraft_id == aircraft_id
    if name == "assembly":
        return table.c.id.in_(_assemblies(aircraft_id))
    if name == "plug_check":
        drawer = table.c.assembly_id.is_(None) & table.c.plug_id.in_(
            _ids("plug_stay", aircraft_id, "plug_id")
        )
        return table.c.assembly_id.in_(_assemblies(aircraft_id)) | drawer
    if "assembly_id" in table.c:
        return table.c.assembly_id.in_(_assemblies(aircraft_id))
    if name == "spark_plug":
        stays = [_ids("plug_stay", aircraft_id, "plug_id"), _ids("plug_check", aircraft_id, "plug_id")]
        return table.c.id.in_(union(*stays))
    if name == "part_used":
        cards = table.c.card_id.in_(_ids("work_card", aircraft_id))
        return cards | table.c.discrepancy_id.in_(_ids("discrepancy", aircraft_id))
    parents = (("requirement_id", "requirement"), ("package_id", "work_package"), ("card_id", "work_card"))
    more = (("discrepancy_id", "discrepancy"), ("test_id", "compression_test"))
    column, parent = next(
        each for each in sorted((*parents, *more), key=_belongs(name)) if each[0] in table.c
    )
    return table.c[column].in_(_ids(parent, aircraft_id))


def _belongs(name: str) -> Any:
    """Cards and items belong to their package, though they name a requirement too."""
    first = "package_id" if name in ("work_card", "package_item") else ""
    return lambda each: each[0] != first


def _ids(name: str, aircraft_id: int, column: str = "id") -> Any:
    return select(table_of(name).c[column]).where(_of_airplane(name, aircraft_id))


def _assemblies(aircraft_id: int) -> Any:
    """Ids of what is or was fitted, or is named by a requirement or a discrepancy of the airplane."""
    named = []
    for name in ("installation", "requirement", "discrepancy"):
        table = table_of(name)
        kept = true() if name == "installation" else table.c.assembly_id.is_not(None)
        named.append(select(table.c.assembly_id).where(table.c.aircraft_id == aircraft_id, kept))
    return union(*named)


def _drop_after_removal(tables: dict[str, list[Row]]) -> None:
    """Of an assembly that left the airplane, drop what was written about it afterwards."""
    until: dict[int, date] = {}
    stays = sorted(tables["installation"], key=lambda each: each["removed_on"] or date.max)
    for stay in stays:
        until[stay["assembly_id"]] = stay["removed_on"] or date.max
    for name, dated in _DATED.items():
        tables[name] = [row for row in tables[name] if row[dated] <= until.get(row["assembly_id"], date.max)]
    tests = {row["id"] for row in tables["compression_test"]}
    tables["cylinder_reading"] = [row for row in tables["cylinder_reading"] if row["test_id"] in tests]
    plugs = {row["plug_id"] for name in ("plug_stay", "plug_check") for row in tables[name]}
    tables["spark_plug"] = [row for row in tables["spark_plug"] if row["id"] in plugs]


def _count_hours_elsewhere(work: Work, tables: dict[str, list[Row]]) -> None:
    """Add what a plug ran in engines that don't go along to the hours it had run before."""
    carried = {row["id"] for row in tables["plug_stay"]}
    engines = {row["assembly_id"] for row in tables["plug_stay"]}
    stay, engine_ids = table_of("plug_stay"), [row["id"] for row in tables["spark_plug"]]
    query = select(
        stay.c.id, stay.c.plug_id, stay.c.engine_hours_at_fitting, stay.c.engine_hours_at_removal
    ).where(stay.c.assembly_id.not_in(engines), stay.c.engine_hours_at_removal.is_not(None))
    elsewhere: dict[int, Decimal] = {}
    for start in range(0, len(engine_ids), 500):
        some = query.where(stay.c.plug_id.in_(engine_ids[start : start + 500]))
        for stay_id, plug_id, fitted, removed in work.session.execute(some):
            if stay_id not in carried:
                elsewhere[plug_id] = elsewhere.get(plug_id, Decimal(0)) + removed - fitted
    for plug in tables["spark_plug"]:
        if plug["hours_before"] is not None:
            plug["hours_before"] += elsewhere.get(plug["id"], Decimal(0))


def _people(work: Work, tables: dict[str, list[Row]]) -> list[Row]:
    """The names of everyone the rows refer to; nothing else about them goes along."""
    named = {
        row[column]
        for name, rows in tables.items()
        for column, target in references(name).items()
        if target == "person"
        for row in rows
        if row.get(column) is not None
    }
    person = table_of("person")
    query = select(person.c.id, person.c.name).where(person.c.id.in_(named)).order_by(person.c.id)
    return [dict(row) for row in work.session.execute(query).mappings()]


def _cut_references(tables: dict[str, list[Row]]) -> None:
    """Empty references to rows that stay behind, such as another airplane's package."""
    here = {name: {row["id"] for row in rows} for name, rows in tables.items()}
    for name, rows in tables.items():
        for column, target in references(name).items():
            if column in LEFT.get(name, ()):
                continue
            for row in rows:
                if row[column] is not None and row[column] not in here.get(target, ()):
                    row[column] = None


def _own_chain(
    work: Work, aircraft_id: int, tables: dict[str, list[Row]], keeper: str, handed_on: date
) -> SentChain:
    here = {name: {row["id"] for row in rows} for name, rows in tables.items()}

    def carried(table: str, row_id: int | None) -> int | None:
        return row_id if row_id in here.get(table, ()) else None

    sent = tuple(
        SentLink(
            link,
            carried(link.sealed.subject_table, link.sealed.subject_id),
            carried("work_package", link.sealed.package_id),
        )
        for link in links_about(work, aircraft_id)
    )
    last = last_link(work)
    return SentChain(keeper, handed_on, last.link, last.seal, sent)


def _received_chains(work: Work, aircraft_id: int) -> Iterable[SentChain]:
    chains = select(ReceivedChainRow).where(ReceivedChainRow.aircraft_id == aircraft_id)
    records = select(ReceivedRecordRow).where(ReceivedRecordRow.aircraft_id == aircraft_id)
    by_chain: dict[int, list[SentLink]] = {}
    for row in work.session.scalars(records.order_by(ReceivedRecordRow.link)):
        sent = SentLink(received_link(row), row.row_id, row.package_id)
        by_chain.setdefault(row.chain_id, []).append(sent)
    for chain in work.session.scalars(chains.order_by(ReceivedChainRow.id)):
        links = tuple(by_chain.get(chain.id, ()))
        yield SentChain(chain.keeper, chain.handed_on, chain.last_link, chain.last_seal, links)
