"""Who sits in front of the window, and what is theirs to see and do."""

from __future__ import annotations

from typing import Literal, NamedTuple

from PySide6.QtCore import QObject, QSettings, Signal

Role = Literal["mechanic", "owner", "manager"]
ROLES: tuple[Role, ...] = ("mechanic", "owner", "manager")
FIRST_PLACE: dict[Role, tuple[str, object]] = {
    "mechanic": ("fleet", "airplanes"),
    "owner": ("fleet", "airplanes"),
    "manager": ("fleet", "due"),
}


class Person(NamedTuple):
    """The person at the window: their part in the shop and, once picked, their row in the fleet."""

    role: Role = "mechanic"
    person_id: int | None = None
    name: str = ""

    @property
    def by(self) -> str:
        """Name written beside every edit."""
        return self.name or self.role

    @property
    def may_edit(self) -> bool:
        """An owner looks, and edits nothing."""
        return self.role != "owner"

    @property
    def sees_owner_id(self) -> int | None:
        """An owner sees their own airplanes only; -1 where no person was picked, who owns none."""
        if self.role != "owner":
            return None
        return -1 if self.person_id is None else self.person_id


class Who(QObject):
    """The person picked, kept from one start to the next."""

    changed = Signal()
    """Another person sits down."""
    named = Signal()
    """The same person's name became known."""

    def __init__(self, settings: QSettings, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._settings = settings
        role = str(settings.value("who/role", "mechanic"))
        number = str(settings.value("who/person", ""))
        self.person = Person(
            role if role in ROLES else "mechanic",
            int(number) if number.isdigit() else None,
            str(settings.value("who/name", "")),
        )

    def pick(self, person: Person) -> None:
        """Let another person sit down."""
        self._keep(person)
        self.changed.emit()

    def learn(self, person: Person) -> None:
        """Fill in who it is that sits here already."""
        self._keep(person)
        self.named.emit()

    def _keep(self, person: Person) -> None:
        self.person = person
        self._settings.setValue("who/role", person.role)
        self._settings.setValue("who/person", "" if person.person_id is None else person.person_id)
        self._settings.setValue("who/name", person.name)
