"""What the store says when a fleet can't be opened, read or written as wanted."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date, datetime
from decimal import Decimal

from annual_planner.trade.refused import Refused
from annual_planner.trade.said import said_date

LONGEST_SHOWN = 80
"""Signs of a value that a message repeats."""
_ACT = re.compile(r"^(change|correction|removal|end|choice) of (an? )?|(?<=^card) [a-z ]+$")
"""What an edit does to a thing ('change of base', 'card done'): somebody else did something else to it."""


class NotAFleet(Refused):
    """The place named holds no fleet that this program can open."""


class FleetInUse(Refused):
    """Another program has the fleet open for writing, or keeps it busy."""

    passing = True


class CannotWrite(Refused):
    """The disk or the server did not take what was written; nothing of it was kept."""


class NoRight(Refused):
    """The server lets this login not in, or not do what was asked."""


class ServerAway(Refused):
    """The database server can't be reached, or went away in the middle."""

    passing = True


class NoFleetYet(NotAFleet):
    """The server's database is there and empty: a fleet can be started in it."""


class NeverChanged(Refused):
    """Something signed, or a line of the audit trail, was to be changed or removed."""


class ChangedMeanwhile(Refused):
    """Somebody else changed what the person saw before their own change arrived.

    `saw`, `wants` and `now` hold the values by field, for showing them side by side.
    """

    stale = True

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
        thing = _ACT.sub("", what)
        super().__init__(
            said=f"The {thing} was changed{_by(by)}{_at(at)} while you were at it.{self._values()}",
            remedy="Look at the new value, then make your change again if it is still wanted.",
        )

    def _values(self) -> str:
        fields = [key for key in self.now if self.now.get(key) != self.saw.get(key)]
        return "".join(self._value(field) for field in fields)

    def _value(self, field: str) -> str:
        name = field.replace("_", " ").capitalize()
        saw, now = self.saw.get(field), self.now[field]
        if isinstance(now, list | Mapping):
            return f" {name}: {_difference(saw, now)}."
        if field not in self.wants:
            wanted = ""
        elif self.wants[field] == now:
            wanted = ", as you want it"
        else:
            wanted = f", you want {in_words(self.wants[field])}"
        return f" {name}: it is now {in_words(now)}, you saw {in_words(saw)}{wanted}."


class Gone(Refused):
    """Somebody removed it meanwhile."""

    stale = True


def gone(word: str) -> Gone:
    """What is said of a thing, such as 'airplane' or 'card', that somebody removed meanwhile."""
    return Gone(f"The {word} is no longer in the fleet.", "Somebody removed it; look at the list again.")


def in_words(value: object) -> str:
    """A stored value as people write it."""
    if value is None or value == "":
        return "nothing"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, datetime):
        here = value.astimezone()
        return f"{here:%H:%M} on {said_date(here.date())}"
    if isinstance(value, date):
        return said_date(value)
    if isinstance(value, Decimal):
        whole = f"{value:f}"
        return whole.rstrip("0").rstrip(".") if "." in whole else whole
    text = str(value)
    return text if len(text) <= LONGEST_SHOWN else f"{text[:LONGEST_SHOWN]}…"


def _difference(saw: object, now: list[object] | Mapping[str, object]) -> str:
    """What became of a list or of a table since it was seen."""
    before, after = _lines(saw), _lines(now)
    new = [line for line in after if line not in before]
    gone_ones = [line for line in before if line not in after]
    told = [f"{verb} {', '.join(lines)}" for verb, lines in (("new", new), ("gone", gone_ones)) if lines]
    return "; ".join(told) or "in another order"


def _lines(value: object) -> list[str]:
    if isinstance(value, Mapping):
        return [f"{key} {in_words(each)}" for key, each in value.items()]
    return [in_words(each).replace("_", " ") for each in value] if isinstance(value, list | tuple) else []


def _by(name: str) -> str:
    return f" by {name}" if name else ""


def _at(moment: datetime | None) -> str:
    return f" at {in_words(moment)}" if moment else ""
