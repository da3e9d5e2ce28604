"""What stands written on the cards of a package, as a filled copy is held against it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from sqlalchemy import select

from annual_planner.store.doing_mappings import CardNoteRow, CardResultRow
from annual_planner.store.session import Work
from annual_planner.store.work_mappings import CardRow


@dataclass(frozen=True, slots=True)
class Written:
    """Results as they were typed, by card and measurement; words of notes, by card."""

    results: Mapping[int, Mapping[str, str]]
    notes: Mapping[int, Sequence[str]]


def written_on(work: Work, package_id: int) -> Written:
    """Read results and notes of every card of a package: two queries, whatever their number."""
    results: dict[int, dict[str, str]] = defaultdict(dict)
    notes: dict[int, list[str]] = defaultdict(list)
    asked = select(CardResultRow.card_id, CardResultRow.measurement, CardResultRow.text)
    asked = asked.join(CardRow, CardRow.id == CardResultRow.card_id).where(CardRow.package_id == package_id)
    for card_id, measurement, typed in work.session.execute(asked):
        results[card_id][measurement] = typed
    said = select(CardNoteRow.card_id, CardNoteRow.text)
    said = said.join(CardRow, CardRow.id == CardNoteRow.card_id).where(CardRow.package_id == package_id)
    for card_id, text in work.session.execute(said.order_by(CardNoteRow.id)):
        notes[card_id].append(text)
    return Written(results, notes)
