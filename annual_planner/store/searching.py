"""Search words and sort orders for lists: the database finds and sorts, the program only shows."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from functools import lru_cache
from typing import Any

from sqlalchemy import ColumnElement, Date, Select, and_, case, or_, type_coerce
from sqlalchemy.engine import Dialect
from sqlalchemy.types import TypeDecorator

from annual_planner.store.mappings import FAR_FUTURE
from annual_planner.store.session import Work
from annual_planner.store.sorting import Then
from annual_planner.trade.refused import Refused

_Named = tuple[str, ColumnElement[Any]]
"""A column to sort by under its own name, by which it is sorted only once."""
_WORST_FIRST = {"overdue": 0, "no record": 1, "due soon": 2, "in date": 3, "ended": 4}


class _Day(TypeDecorator[Any]):
    """A day of a list, read through a memory: a page names few different days many times."""

    impl = Date
    cache_ok = True
    never: date | None = None

    def result_processor(self, dialect: Dialect, coltype: object) -> Callable[[Any], Any]:
        as_date = self.impl_instance.dialect_impl(dialect).result_processor(dialect, coltype)
        never = self.never

        @lru_cache(maxsize=16_384)
        def day(value: Any) -> Any:
            found = value if as_date is None else as_date(value)
            return None if found == never else found

        return day


class _MaybeNever(_Day):
    cache_ok = True
    never = FAR_FUTURE


def day(column: Any) -> ColumnElement[Any]:
    """The column as a list reads it."""
    return type_coerce(column, _Day)


def maybe_never(column: Any) -> ColumnElement[Any]:
    """The column with None in place of the far day that stands for 'never'."""
    return type_coerce(column, _MaybeNever)


def worst_first(state: Any) -> ColumnElement[int]:
    """Sorts states by how much they press: overdue, no record, due soon, in date, ended."""
    return case(_WORST_FIRST, value=state, else_=5)


def has_words(search: str, columns: Sequence[Any]) -> ColumnElement[bool]:
    """Every word of the search stands in one of the columns, in either case."""
    words = search.split()
    return and_(*(or_(*(column.icontains(word, autoescape=True) for column in columns)) for word in words))


def in_order(
    orders: Mapping[str, Sequence[Any]],
    order: str,
    descending: bool,
    last: Sequence[Any],
    then: Then | None = None,
) -> list[ColumnElement[Any]]:
    """The columns to sort by; what is not known comes last either way, and equals are kept in one order.

    A second order comes right after the first one's leading column: what usually breaks its ties steps back.
    Raises Refused for an order that the list does not have.
    """
    first = _turned(orders, order, descending)
    second = _turned(orders, then.order, then.descending) if then is not None else []
    wanted = [first[0], *second, *first[1:]] if then is not None and then.order != order else first
    wanted += [(str(column), column) for column in last]
    kept: dict[str, ColumnElement[Any]] = {}
    for name, column in wanted:
        kept.setdefault(name, column)
    return list(kept.values())


def _turned(orders: Mapping[str, Sequence[Any]], order: str, descending: bool) -> list[_Named]:
    if order not in orders:
        raise Refused(f"There is no order by '{order}'.", f"Sort by one of: {', '.join(orders)}.")
    turned = [(str(column), column.desc() if descending else column.asc()) for column in orders[order]]
    if order not in NEVER_EMPTY:
        turned[0] = (turned[0][0], turned[0][1].nulls_last())
    return turned


NEVER_EMPTY = frozenset({"comes_first", "comes_first_on", "registration", "title", "state"})
"""Orders whose columns always hold something; 'nulls last' would keep SQLite from using their index."""


IDS_AT_ONCE = 2_000


def ids_of(work: Work, query: Select[Any]) -> list[int]:
    """The ids that a query of one column gives, read in pieces.

    All rows of a large fleet at once would be seen through by the garbage collector, and freed, in one go,
    while every other thread waits.
    """
    found: list[int] = []
    for piece in work.session.connection().execute(query).partitions(IDS_AT_ONCE):
        found.extend([row[0] for row in piece])
    return found


def rows_of(work: Work, query: Select[Any]) -> Sequence[Sequence[Any]]:
    """The rows of a query of plain columns; past the session's identity map, which such rows don't need."""
    return work.session.connection().execute(query).all()
