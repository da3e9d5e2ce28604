"""What can be signed: for each table, how its content is read and what follows from its signing."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from importlib import import_module
from typing import TYPE_CHECKING

from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.store.session import Work
    from annual_planner.trade.signing import ToSign


def _nothing(work: Work, row_id: int, record_id: int) -> None:
    """Leave the row as it is."""


@dataclass(frozen=True, slots=True)
class Signable:
    """How one kind of thing is signed."""

    read: Callable[[Work, int], ToSign]
    """The thing as it stands now. Reading it again later gives the same values while nothing was changed."""
    check: Callable[[Work, int], None] = lambda work, row_id: None
    """Raises Refused where the thing can't be signed as it stands: not done, signed already."""
    after: Callable[[Work, int, int], None] = _nothing
    """What follows in the same transaction: the row's id, then that of the signed record."""
    touches: str = "signature"
    """The kind in Changed that follows from its signing."""


MODULES: Mapping[str, str] = {
    "work_card": "annual_planner.records.card_signing",
    "log_entry": "annual_planner.records.entry_signing",
    "discrepancy": "annual_planner.records.discrepancy_signing",
    "person_key": "annual_planner.records.key_signing",
}
"""For each table that can be signed, the module whose SIGNABLE says how; imported when it is asked for."""


def signable(table: str) -> Signable:
    """How rows of this table are signed. Raises Refused for a table that isn't."""
    if table not in MODULES:
        raise Refused(f"What stands in {table} can't be signed.", "Sign a card, a discrepancy or an entry.")
    found: Signable = import_module(MODULES[table]).SIGNABLE
    return found
