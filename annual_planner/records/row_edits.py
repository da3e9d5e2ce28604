"""Edits of single rows, of which the trade's edits are made and by which they are taken back."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import TYPE_CHECKING

from annual_planner.records.due_state import refresh
from annual_planner.records.edits import Changed
from annual_planner.store.writing import add, change, lock_aircraft, remove, values_of

if TYPE_CHECKING:
    from annual_planner.store.session import Work

CHANGES_DUE = frozenset({"aircraft", "reading", "requirement", "compliance"})
"""Kinds of records from which the due state is worked out."""


@dataclass(frozen=True, slots=True)
class Subject:
    """What an edit is about: its kind (see Changed), how people call it, and the airplane it belongs to."""

    kind: str
    said: str
    aircraft_id: int | None = None


@dataclass(frozen=True, slots=True)
class RowEdit(ABC):
    """An edit of rows, which can be written alone or as a part of a greater one."""

    of: Subject

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return self.of.said

    def apply(self, work: Work, today: date) -> Changed:
        """Write all of it down, refresh once what follows. Refused for what is signed with a card."""
        # Late: it knows the edits of this module.
        from annual_planner.records.signed_stays import check_signed_stays

        check_signed_stays(work, self)
        together = Together(work, self.of, exists=not _touches(self, AddRow))
        row_id = together.write(self)
        return together.settled(today, made_id=row_id or None, gone=_touches(self, RemoveRow))

    @abstractmethod
    def write(self, work: Work) -> tuple[RowEdit, int]:
        """Write the rows alone; the edit that takes it back, and the first row's id."""


@dataclass(frozen=True, slots=True)
class AddRow(RowEdit):
    """Write a row down; values with an id put a removed one back."""

    table: str
    values: Mapping[str, object]

    def write(self, work: Work) -> tuple[RowEdit, int]:
        """Write the row alone; the edit that takes it back, and its id."""
        aircraft_id = self.of.aircraft_id
        row_id = add(work, self.table, self.values, aircraft_id=aircraft_id, said=self.of.said)
        return RemoveRow(self.of, self.table, row_id, values_of(work, self.table, row_id)), row_id


@dataclass(frozen=True, slots=True)
class RemoveRow(RowEdit):
    """Remove a row if it still holds what was seen."""

    table: str
    row_id: int
    saw: Mapping[str, object] = field(default_factory=dict)

    def write(self, work: Work) -> tuple[RowEdit, int]:
        """Remove the row alone; the edit that puts it back, and its id."""
        aircraft_id = self.of.aircraft_id
        values = remove(
            work, self.table, self.row_id, saw=self.saw, aircraft_id=aircraft_id, said=self.of.said
        )
        return AddRow(self.of, self.table, values), self.row_id


@dataclass(frozen=True, slots=True)
class ChangeRow(RowEdit):
    """Write other values into a row if it still holds what was seen."""

    table: str
    row_id: int
    saw: Mapping[str, object]
    wants: Mapping[str, object]

    def write(self, work: Work) -> tuple[RowEdit, int]:
        """Write the values alone; the edit that takes them back, and the row's id."""
        held = values_of(work, self.table, self.row_id, said=self.of.said)
        before = {key: held[key] for key in self.wants}
        change(
            work,
            self.table,
            self.row_id,
            self.saw,
            self.wants,
            aircraft_id=self.of.aircraft_id,
            said=self.of.said,
        )
        return ChangeRow(self.of, self.table, self.row_id, self.wants, before), self.row_id


@dataclass(frozen=True, slots=True)
class Several(RowEdit):
    """Edits of rows that belong together, in order; `made_id` is that of the first."""

    edits: tuple[RowEdit, ...]

    def write(self, work: Work) -> tuple[RowEdit, int]:
        """Write the rows alone; the edit that takes all back in the opposite order."""
        done = [edit.write(work) for edit in self.edits]
        back = Several(self.of, tuple(each for each, _ in reversed(done)))
        return back, done[0][1] if done else 0


def _touches(edit: RowEdit, sort: type[AddRow | RemoveRow]) -> bool:
    """Say whether the edit makes, or removes, an airplane as a whole."""
    if isinstance(edit, Several):
        return any(_touches(each, sort) for each in edit.edits)
    return isinstance(edit, sort) and edit.table == "aircraft"


def _kinds(edit: RowEdit) -> set[str]:
    """The kinds of records an edit touches, those of its parts too."""
    parts = edit.edits if isinstance(edit, Several) else ()
    return {edit.of.kind}.union(*(_kinds(each) for each in parts))


class Together:
    """Rows written one after the other within one edit, with what takes them back and what follows from them.

    `exists`: the airplane is there already, and is kept from other writers from now on.
    """

    def __init__(self, work: Work, of: Subject, *, exists: bool = True) -> None:
        self._work = work
        self.of = of
        self._backs: list[RowEdit] = []
        self._kinds = {of.kind}
        if exists and of.aircraft_id is not None:
            lock_aircraft(work, of.aircraft_id)

    def write(self, edit: RowEdit) -> int:
        """Write a row; its id."""
        back, row_id = edit.write(self._work)
        self._backs.insert(0, back)
        self._kinds |= _kinds(edit)
        return row_id

    def settled(self, today: date, *, made_id: int | None = None, gone: bool = False) -> Changed:
        """Refresh the due state where it follows from these rows, and say what was touched."""
        of, kinds = self.of, set(self._kinds)
        if of.aircraft_id is not None and of.kind in CHANGES_DUE:
            kinds.add("due")
            if not gone:
                refresh(self._work, of.aircraft_id, today)
        back = self._backs[0] if len(self._backs) == 1 else Several(of, tuple(self._backs))
        return Changed(frozenset(kinds), back if self._backs else None, of.aircraft_id, made_id)
