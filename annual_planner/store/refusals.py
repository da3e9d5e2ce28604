"""What the store says when a fleet can't be opened, read or written as wanted."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from annual_planner.trade.refused import Refused
from annual_planner.trade.said import said_date


class NotAFleet(Refused):
    """The place named holds no fleet that this program can open."""


class FleetInUse(Refused):
    """Another program has the fleet open for writing, or keeps it busy."""


class CannotWrite(Refused):
    """The disk or the server did not take what was written; nothing of it was kept."""


class NoRight(Refused):
    """The server lets this login not in, or not do what was asked."""


class ServerAway(Refused):
    """The database server can't be reached, or went away in the middle."""


class NoFleetYet(NotAFleet):
    """The server's database is there and empty: a fleet can be started in it."""


class NeverChanged(Refused):
    """Something signed, or a line of the audit trail, was to be changed or removed."""


class ChangedMeanwhile(Refused):
    """Somebody else changed what the person saw before their own change arrived.

    `saw`, `wants` and `now` hold the values by field, for showing them side by side.
    """

    def __init__(
        self,
        what: str,
        *,
        by: str = "",
        at: datetime | None = None,
        saw: Mapping[str, object] | None = None,
        wants: Mapping[str, object] | None = None,
        now: Mapping[str, object] | None = None,
    ) -> None:
        self.by = by
        self.at = at
        self.saw = dict(saw or {})
        self.wants = dict(wants or {})
        self.now = dict(now or {})
        super().__init__(
            said=f"The {what} was changed{_by(by)}{_at(at)} while you were at it.{self._values()}",
            remedy="Look at the new value, then make your change again if it is still wanted.",
        )

    def _values(self) -> str:
        fields = [key for key in self.now if self.now.get(key) != self.saw.get(key)]
        return "".join(self._value(field) for field in fields)

    def _value(self, field: str) -> str:
        name = field.replace("_", " ")
        wanted = f", you want {self.wants[field]}" if field in self.wants else ""
        return f" {name.capitalize()}: it is now {self.now[field]}, you saw {self.saw.get(field)}{wanted}."


def gone(word: str) -> Refused:
    """What is said of a thing, such as 'airplane' or 'card', that somebody removed meanwhile."""
    return Refused(f"The {word} is no longer in the fleet.", "Somebody removed it; look at the list again.")


def _by(name: str) -> str:
    return f" by {name}" if name else ""


def _at(moment: datetime | None) -> str:
    return f" at {moment:%H:%M} on {said_date(moment.date())}" if moment else ""
