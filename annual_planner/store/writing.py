"""Adding, changing and removing one row by table name, with its line in the audit trail.

A change names what the person saw; when the row holds something else by now it is refused, never overwritten.
"""

from __future__ import annotations

from collections.abc import Mapping
from importlib import import_module
from typing import Any, TypeVar

from sqlalchemy import delete, inspect, select
from sqlalchemy.exc import IntegrityError

from annual_planner.store.audit import last_change, note_change
from annual_planner.store.mappings import AircraftRow, Base, DueRow, StandingRow
from annual_planner.store.refusals import ChangedMeanwhile, gone
from annual_planner.store.session import Work, refusal_of
from annual_planner.trade.refused import Refused

T = TypeVar("T")

_CLASSES: dict[str, type[Any]] = {}
NOTHING: Mapping[str, object] = {}


def mapped(table: str) -> type[Any]:
    """The mapped class of a table, for the store's own modules. Raises KeyError for an unknown table."""
    if table not in _CLASSES:
        # Late, so that a program that has just started maps only what its first page reads.
        import_module("annual_planner.store.tables")
        _CLASSES.update({mapper.class_.__tablename__: mapper.class_ for mapper in Base.registry.mappers})
    return _CLASSES[table]


def lock_aircraft(work: Work, aircraft_id: int) -> None:
    """Let one writer at a time change an airplane, its records and its due state. Raises Refused if gone."""
    query = select(AircraftRow.id).where(AircraftRow.id == aircraft_id).with_for_update()
    if work.session.execute(query).first() is None:
        raise gone("airplane")


def values_of(work: Work, table: str, row_id: int, *, said: str = "record") -> dict[str, object]:
    """The row's values by field, without its version. Raises Refused when it is gone."""
    row = work.session.get(mapped(table), row_id, populate_existing=True)
    if row is None:
        raise gone(said)
    return _values(row)


def field_of(values: Mapping[str, object], name: str, kind: type[T]) -> T:
    """One value of a row, of the kind its column has; TypeError for another, which is the program's fault."""
    value = values[name]
    if not isinstance(value, kind):
        raise TypeError(f"{name} holds {value!r}, not {kind.__name__}")
    return value


def rows_where(work: Work, table: str, **equal: object) -> dict[int, dict[str, object]]:
    """The values of every row whose columns equal these, by id, in the order of their ids."""
    kind = mapped(table)
    query = select(kind).where(
        *(getattr(kind, name).is_not_distinct_from(value) for name, value in equal.items())
    )
    return {row.id: _values(row) for row in work.session.scalars(query.order_by(kind.id))}


def add(
    work: Work, table: str, values: Mapping[str, object], *, aircraft_id: int | None = None, said: str = ""
) -> int:
    """Add a row and give its id; values with an 'id' put a removed row back where it was."""
    row = mapped(table)(**_as_stored(values))
    work.session.add(row)
    try:
        work.session.flush()
    except IntegrityError as fault:
        raise Refused(
            f"The {said or table} is already there, or refers to something that is gone.",
            "Look at the list again.",
        ) from fault
    row_id = int(row.id)
    note_change(work, table, row_id, aircraft_id, f"added {said or table}", {}, _values(row))
    return row_id


def change(
    work: Work,
    table: str,
    row_id: int,
    saw: Mapping[str, object],
    wants: Mapping[str, object],
    *,
    aircraft_id: int | None = None,
    said: str = "",
) -> None:
    """Write what is wanted if the row still holds what was seen. Raises ChangedMeanwhile, Refused if gone."""
    row = _row(work, table, row_id, said or table)
    _check_seen(work, table, row, saw, wants, said or table)
    stored = _as_stored(wants)
    before = {key: getattr(row, key) for key in stored}
    for key, value in stored.items():
        setattr(row, key, value)
    work.session.flush()
    note_change(work, table, row_id, aircraft_id, f"changed {said or table}", before, stored)


def remove(
    work: Work,
    table: str,
    row_id: int,
    *,
    saw: Mapping[str, object] | None = None,
    aircraft_id: int | None = None,
    said: str = "",
) -> dict[str, object]:
    """Remove a row and give its values with its id, from which `add` puts it back."""
    row = _row(work, table, row_id, said or table)
    _check_seen(work, table, row, saw or {}, {}, said or table)
    values = _values(row)
    _drop_kept(work, table, row_id)
    work.session.delete(row)
    try:
        work.session.flush()
    except IntegrityError as fault:
        raise refusal_of(fault) or Refused(
            f"The {said or table} is used elsewhere in the records, so it stays.",
            "Remove what refers to it first.",
        ) from fault
    note_change(work, table, row_id, aircraft_id, f"removed {said or table}", values, {})
    return values


def _drop_kept(work: Work, table: str, row_id: int) -> None:
    """Drop what was only worked out from the row; it is worked out again when the row comes back."""
    if table == "requirement":
        work.session.execute(delete(DueRow).where(DueRow.requirement_id == row_id))
    elif table == "aircraft":
        work.session.execute(delete(StandingRow).where(StandingRow.aircraft_id == row_id))


def _row(work: Work, table: str, row_id: int, said: str) -> Any:
    # Locked where the database can, so that what is compared is what is written over.
    row = work.session.get(mapped(table), row_id, with_for_update=True, populate_existing=True)
    if row is None:
        raise gone(said)
    return row


def _values(row: Any) -> dict[str, object]:
    return {
        attribute.key: getattr(row, attribute.key)
        for attribute in inspect(type(row)).column_attrs
        if attribute.key != "version"
    }


def _as_stored(values: Mapping[str, object]) -> dict[str, object]:
    return {key: _plain(value) for key, value in values.items()}


def _plain(value: object) -> object:
    if isinstance(value, tuple | list):
        return list(value)
    return sorted(value) if isinstance(value, frozenset | set) else value


def _check_seen(
    work: Work, table: str, row: Any, saw: Mapping[str, object], wants: Mapping[str, object], said: str
) -> None:
    seen = _as_stored(saw)
    now = {key: getattr(row, key) for key in seen}
    if now != seen:
        raise changed_meanwhile(work, table, row.id, said, saw=seen, wants=_as_stored(wants), now=now)


def changed_meanwhile(
    work: Work,
    table: str,
    row_id: int | None,
    said: str,
    *,
    saw: Mapping[str, object] = NOTHING,
    wants: Mapping[str, object] = NOTHING,
    now: Mapping[str, object] = NOTHING,
) -> ChangedMeanwhile:
    """What is said when a row no longer holds what was seen: who changed it last, when, and the values."""
    last = last_change(work, table, row_id) if row_id is not None else None
    return ChangedMeanwhile(
        said,
        by=last.changed_by if last else "",
        at=last.changed_at if last else None,
        saw=_named(work, table, saw),
        wants=_named(work, table, wants),
        now=_named(work, table, now),
    )


def _named(work: Work, table: str, values: Mapping[str, object]) -> dict[str, object]:
    """The values with people by name instead of by number."""
    return dict(
        _named_value(work, mapped(table).__table__.columns.get(key), key, values[key]) for key in values
    )


def _named_value(work: Work, column: Any, key: str, value: object) -> tuple[str, object]:
    if column is None or not any(each.target_fullname == "person.id" for each in column.foreign_keys):
        return key, value
    person = work.session.get(mapped("person"), value) if value is not None else None
    return key.removesuffix("_id"), person.name if person is not None else None
