"""Who may be offered as signer at this window: the shop's people, or an owner alone for their own work."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from annual_planner.desktop.who import Person
    from annual_planner.store.rows import PersonLine

OWNERS_KIND = "preventive maintenance"
"""The kind of entry an owner may sign for their own airplane; the rules decide whether this one may."""


def may_be_signed_here(person: Person, kind: str) -> bool:
    """Whether whoever sits at the window may open the signing of an entry of this kind."""
    return person.may_edit or (person.person_id is not None and kind == OWNERS_KIND)


def signers(person: Person, people: Sequence[PersonLine]) -> tuple[PersonLine, ...]:
    """Everyone in the shop; for an owner at the window nobody but themselves."""
    if person.may_edit:
        return tuple(people)
    return tuple(each for each in people if each.person_id == person.person_id)
