"""People: written down with what they hold, and changed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from annual_planner.records.edits import Changed
from annual_planner.records.row_edits import AddRow, ChangeRow, Subject, Together
from annual_planner.trade.people import Certificate
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.store.session import Work

ROLES = ("mechanic", "owner", "manager", "helper")
MOST_AN_HOUR = Decimal(100_000)
"""In the shop's own money; more is a slip of the keys."""


@dataclass(frozen=True, slots=True)
class AddPerson:
    """Write a person down with their certificates. `roles`: any of ROLES."""

    name: str
    roles: tuple[str, ...]
    contact: str = ""
    certificates: tuple[Certificate, ...] = ()
    cost_per_hour: Decimal | None = None

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return f"person {self.name}"

    def apply(self, work: Work, today: date) -> Changed:
        """Write them down. Refused for a missing or taken name, an unknown role and a cost that can't be."""
        _check_person(self.name, self.roles)
        check_cost(self.cost_per_hour)
        together = Together(work, Subject("person", self.says))
        values = {
            "name": self.name.strip(),
            "roles": self.roles,
            "contact": self.contact,
            "cost_per_hour": self.cost_per_hour,
        }
        person_id = together.write(AddRow(together.of, "person", values))
        for certificate in self.certificates:
            held = {**asdict(certificate), "kind": certificate.kind.value, "person_id": person_id}
            together.write(AddRow(together.of, "certificate", held))
        return together.settled(today, made_id=person_id)


@dataclass(frozen=True, slots=True)
class ChangePerson:
    """Write other particulars; `saw` and `wants` by field: name, roles, contact, cost_per_hour."""

    person_id: int
    saw: Mapping[str, object]
    wants: Mapping[str, object]

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "change of a person"

    def apply(self, work: Work, today: date) -> Changed:
        """Write them. Refused for no name and a cost that can't be, ChangedMeanwhile as every change."""
        if "name" in self.wants and not str(self.wants["name"]).strip():
            raise Refused("A person needs a name.", "Write the name down.")
        cost = self.wants.get("cost_per_hour")
        check_cost(cost if isinstance(cost, Decimal) else None)
        return ChangeRow(Subject("person", self.says), "person", self.person_id, self.saw, self.wants).apply(
            work, today
        )


def check_cost(cost_per_hour: Decimal | None) -> None:
    """Raise Refused for what no hour can cost: less than 0, more than MOST_AN_HOUR, parts of a hundredth."""
    if cost_per_hour is None:
        return
    if not 0 <= cost_per_hour <= MOST_AN_HOUR:
        raise Refused(
            f"An hour can't cost {cost_per_hour:f}.", f"Give an amount from 0 to {MOST_AN_HOUR:,f}."
        )
    if cost_per_hour * 100 % 1:
        raise Refused(f"{cost_per_hour:f} is finer than a hundredth.", "Give two places behind the point.")


def _check_person(name: str, roles: tuple[str, ...]) -> None:
    if not name.strip():
        raise Refused("A person needs a name.", "Write the name down.")
    unknown = [role for role in roles if role not in ROLES]
    if unknown:
        raise Refused(f"There is no role '{unknown[0]}'.", f"Choose among {', '.join(ROLES)}.")
