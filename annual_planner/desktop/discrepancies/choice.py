"""Which discrepancies the review shows, and how that is kept under a name."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass, fields
from typing import Any, TypedDict

from annual_planner.desktop.source import Query
from annual_planner.store.review_rows import Filter
from annual_planner.store.sorting import Then
from annual_planner.trade.discrepancy_life import DISPOSITIONS, RISKS, STATES, WAITS

AIRWORTHY_WORDS = {"not airworthy": "no", "not judged": "not judged"}
"""Chips over the list and what they ask for."""
GROUP_WORDS: tuple[tuple[object, str], ...] = (
    ("", "not grouped"),
    ("registration", "by airplane"),
    ("risk", "by risk"),
    ("waits_for", "by who is waited for"),
    ("disposition", "by what was decided"),
    ("state", "by state"),
    ("owner", "by owner"),
)
OPEN_WORDS: tuple[tuple[object, str], ...] = (("open", "open ones"), ("all", "closed ones too"))
RISK_WORDS: tuple[tuple[object, str], ...] = (("", "any risk"), *((each, each) for each in RISKS))
WAIT_WORDS: tuple[tuple[object, str], ...] = (
    ("", "waiting or not"),
    *((each, f"waits for {each}") for each in WAITS),
    ("nobody", "waits for nobody"),
)
STATE_WORDS: tuple[tuple[object, str], ...] = (("", "any state"), *((each, each) for each in STATES))
DECIDED_WORDS: tuple[tuple[object, str], ...] = (
    ("", "any decision"),
    *((each, each) for each in DISPOSITIONS),
)


@dataclass(frozen=True, slots=True)
class Chosen:
    """What a person chose above the list."""

    show: str = "open"
    risk: str = ""
    waits_for: str = ""
    state: str = ""
    disposition: str = ""
    group: str = ""

    def filter(self, search: str, word: str, aircraft_id: int | None, owner_id: int | None) -> Filter:
        """The question to the fleet; `word`: the chip that is pressed."""
        return Filter(
            open_only=self.show == "open",
            aircraft_id=aircraft_id,
            owner_id=owner_id,
            state=self.state,
            risk=self.risk,
            waits_for=self.waits_for,
            disposition=self.disposition,
            airworthy=AIRWORTHY_WORDS.get(word, ""),
            search=search,
        )

    @property
    def narrows(self) -> bool:
        """True when a choice leaves some out."""
        return bool(self.risk or self.waits_for or self.state or self.disposition)

    def as_settings(self) -> dict[str, object]:
        """Plain values to be kept."""
        return asdict(self)


class Question(TypedDict):
    """What the reader of the review takes."""

    which: Filter
    order: str
    descending: bool
    then: Then | None
    group: str


def query_as_settings(query: Query) -> dict[str, object]:
    """The order, search and chip of a list as plain values to be kept."""
    kept = {"order": query.order, "descending": query.descending, "search": query.search, "word": query.state}
    if query.then is None:
        return kept
    return kept | {"then": query.then.order, "then_descending": query.then.descending}


def query_of(settings: Mapping[str, Any]) -> Query:
    """The order, search and chip that were kept."""
    order, search, word, then = (str(settings.get(name, "")) for name in ("order", "search", "word", "then"))
    second = Then(then, bool(settings.get("then_descending"))) if then else None
    return Query(order, bool(settings.get("descending")), search, word, second)


def chosen_of(settings: Mapping[str, Any]) -> Chosen:
    """What was kept; a value that isn't known any more falls back to the usual one."""
    offered = {
        "show": OPEN_WORDS,
        "risk": RISK_WORDS,
        "waits_for": WAIT_WORDS,
        "state": STATE_WORDS,
        "disposition": DECIDED_WORDS,
        "group": GROUP_WORDS,
    }
    known = {name: {value for value, _words in choices} for name, choices in offered.items()}
    kept = {
        each.name: settings[each.name]
        for each in fields(Chosen)
        if isinstance(settings.get(each.name), str) and settings[each.name] in known[each.name]
    }
    return Chosen(**kept)
