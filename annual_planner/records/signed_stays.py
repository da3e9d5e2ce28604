"""What was signed on a card stays: the way back of an earlier edit must not change it either."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from annual_planner.records.card_rules import check_unsigned
from annual_planner.records.row_edits import AddRow, ChangeRow, RemoveRow, RowEdit, Several
from annual_planner.store.card_reads import place_of_card
from annual_planner.store.writing import values_of
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.store.session import Work

OF_CARDS = frozenset({"card_result", "card_note", "part_used", "photograph"})
"""Tables whose rows are part of what is signed with their card."""


def check_signed_stays(work: Work, edit: RowEdit) -> None:
    """Refused for rows that belong to a done and signed card. What is of no card, or of none here, passes."""
    for card_id in sorted(set(_cards(work, edit))):
        try:
            place = place_of_card(work, card_id)
        except Refused:
            continue  # the card itself comes back with these rows
        check_unsigned(work, place)


def _cards(work: Work, edit: RowEdit) -> Iterator[int]:
    if isinstance(edit, Several):
        for each in edit.edits:
            yield from _cards(work, each)
    elif isinstance(edit, AddRow) and edit.table in OF_CARDS:
        yield from _number(edit.values.get("card_id"))
    elif isinstance(edit, ChangeRow | RemoveRow) and edit.table in OF_CARDS:
        try:
            yield from _number(values_of(work, edit.table, edit.row_id)["card_id"])
        except Refused:
            return  # it is gone; the edit says so itself


def _number(card_id: object) -> tuple[int, ...]:
    return (card_id,) if isinstance(card_id, int) else ()
