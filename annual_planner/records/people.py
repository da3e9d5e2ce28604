"""People: written down with what they hold, and changed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from datetime import date
from typing import TYPE_CHECKING

from annual_planner.records.edits import Changed
from annual_planner.records.row_edits import AddRow, ChangeRow, Subject, Together
from annual_planner.trade.people import Certificate
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.store.session import Work

ROLES = ("mechanic", "owner", "manager", "helper")


@dataclass(frozen=True, slots=True)
class AddPerson:
    """Write a person down with their certificates. `roles`: any of ROLES."""

    name: str
    roles: tuple[str, ...]
    contact: str = ""
    certificates: tuple[Certificate, ...] = ()

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return f"person {self.name}"

    def apply(self, work: Work, today: date) -> Changed:
        """Write them down. Raises Refused for a missing or taken name and for an unknown role."""
        _check_person(self.name, self.roles)
        together = Together(work, Subject("person", self.says))
        values = {"name": self.name.strip(), "roles": self.roles, "contact": self.contact}
        person_id = together.write(AddRow(together.of, "person", values))
        for certificate in self.certificates:
            held = {**asdict(certificate), "kind": certificate.kind.value, "person_id": person_id}
            together.write(AddRow(together.of, "certificate", held))
        return together.settled(today, made_id=person_id)


@dataclass(frozen=True, slots=True)
class ChangePerson:
    """Write other particulars of a person; `saw` and `wants` by field: name, roles, contact."""

    person_id: int
    saw: Mapping[str, object]
    wants: Mapping[str, object]

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "change of a person"

    def apply(self, work: Work, today: date) -> Changed:
        """Write them. Raises ChangedMeanwhile as every change does."""
        if "name" in self.wants and not str(self.wants["name"]).strip():
            raise Refused("A person needs a name.", "Write the name down.")
        return ChangeRow(Subject("person", self.says), "person", self.person_id, self.saw, self.wants).apply(
            work, today
        )


def _check_person(name: str, roles: tuple[str, ...]) -> None:
    if not name.strip():
        raise Refused("A person needs a name.", "Write the name down.")
    unknown = [role for role in roles if role not in ROLES]
    if unknown:
        raise Refused(f"There is no role '{unknown[0]}'.", f"Choose among {', '.join(ROLES)}.")
