"""Rules as data: clauses with conditions over a closed set of facts, and the trying of one clause."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from annual_planner.trade.cards import Subject, WorkKind

Facts = Mapping[str, frozenset[str]]
"""What is known of one question: each fact's words; a fact with one answer holds one word."""


class Decides(StrEnum):
    """What a clause settles when it fits."""

    DO = "do"
    """May do the work, on the clause's basis."""
    SUPERVISED = "supervised"
    """May do the work under someone entitled."""
    SIGN = "sign"
    """May approve the work for return to service, on the clause's basis."""
    FLY = "fly"
    """May make the flight check after work that may have changed how the airplane flies."""
    ASK = "ask"
    """The rules leave it to a certificated person's judgement."""
    FORBID = "forbid"
    """Takes away what the named bases gave."""
    ENTRY = "entry"
    """An entry is owed."""
    FORM = "form"
    """A form is owed besides the entry."""
    WARN = "warn"
    """Something to be told beside the answer."""
    ASSUME = "assume"
    """Something taken for granted, which the people concerned must know to be true."""


class Basis(StrEnum):
    """What a permission rests on."""

    ANYONE = "no certificate needed"
    OUTSIDE = "outside the maintenance rules"
    SUPERVISION = "supervision"
    OWNER_PILOT = "pilot who owns or operates the airplane"
    PILOT = "pilot certificate"
    MECHANIC = "mechanic certificate"
    AUTHORIZATION = "inspection authorization"
    UNDER_AUTHORIZATION = "supervision by an inspection authorization holder"
    JUDGEMENT = "a mechanic's judgement"
    REPAIRMAN = "repairman certificate"
    STATION = "repair station certificate"
    MAKER = "manufacturer"


class Test(StrEnum):
    """How a condition compares a fact's words with its own."""

    __test__ = False  # not a test class, whatever a test runner may think of the name

    ANY = "any"
    """At least one of the condition's words is among the fact's."""
    ALL = "all"
    """Every one of the condition's words is among the fact's."""
    NONE = "none"
    """None of the condition's words is among the fact's."""


@dataclass(frozen=True, slots=True)
class Fact:
    """A fact that conditions may ask for: what people call it, and the words it can hold (empty: any)."""

    label: str
    words: frozenset[str] = frozenset()


def _fact(label: str, *words: str) -> Fact:
    return Fact(label, frozenset(words))


_CERTIFICATES = (
    "mechanic", "inspection authorization", "repairman", "pilot", "repair station", "manufacturer",
)  # fmt: skip
_PILOTS = ("student", "sport", "recreational", "private", "commercial", "airline transport")

FACTS: Mapping[str, Fact] = {
    "work.kind": _fact("kind of work", *WorkKind),
    "work.subject": _fact("part of the airplane", *Subject),
    "work.inspection": _fact("required inspection", "none", "annual", "100-hour", "progressive"),
    "work.major": _fact("major repair or alteration", "yes", "no"),
    "work.complex": _fact("complex assembly work", "yes", "no"),
    "work.listed": _fact("preventive maintenance list", "listed", "not listed", "database update"),
    "work.items": _fact("items of the list"),
    "airplane.category": _fact("airworthiness category"),
    "airplane.uses": _fact("use of the airplane"),
    "person.standing": _fact("relation to the airplane", "none", "owner", "operator"),
    "person.certificates": _fact("certificates in force", *_CERTIFICATES),
    "pilot.grades": _fact("pilot certificate", *_PILOTS),
    "mechanic.ratings": _fact("mechanic ratings", "airframe", "powerplant"),
    "mechanic.recent": _fact("6 months' work in 24", "yes", "no", "not recorded", "not a mechanic"),
    "authorization.time": _fact("inspection authorization", "not held", "in date", "ran out", "not begun",
                                "dates not recorded"),
    "authorization.activity": _fact("first-year activity", "not held", "met or not yet asked", "missed"),
    "authorization.notice": _fact("notice of a new base", "not held", "not needed", "sent", "not sent"),
    "repairman.ratings": _fact("repairman ratings"),
    "station.ratings": _fact("repair station ratings", *(s for s in Subject if s != "engine"), "powerplant"),
}  # fmt: skip
"""Every fact the program can tell a rule. Another country's rules use the same ones."""


@dataclass(frozen=True, slots=True)
class Condition:
    """One thing that must be so for a clause to fit."""

    fact: str
    test: Test
    words: tuple[str, ...]

    def met(self, facts: Facts) -> bool:
        """Say whether it is so."""
        known = facts[self.fact]
        if self.test is Test.ALL:
            return known.issuperset(self.words)
        return known.isdisjoint(self.words) == (self.test is Test.NONE)

    def shortfall(self, facts: Facts) -> str:
        """Say in words why it is not met."""
        known = _listed(sorted(facts[self.fact]), "and") or "none"
        return f"{FACTS[self.fact].label}: {known}; {self._asks()}"

    def _asks(self) -> str:
        if self.test is Test.NONE:
            return f"it asks for anything but {_listed(self.words, 'or')}"
        return f"it asks for {_listed(self.words, 'or' if self.test is Test.ANY else 'and')}"


@dataclass(frozen=True, slots=True)
class Clause:
    """One rule: where it stands, what it says in our words, what it decides and when it fits."""

    key: str
    citation: str
    says: str
    decides: Decides
    when: tuple[Condition, ...] = ()
    basis: Basis | None = None
    """DO, SUPERVISED, SIGN, FLY, ASK: what the permission rests on. WARN, ASSUME: told where it counts."""
    takes: tuple[Basis, ...] = ()
    """FORBID: the bases whose permissions fall away."""
    gives: str = ""
    """ENTRY, FORM: which one."""


@dataclass(frozen=True, slots=True)
class ListedItem:
    """One item of the preventive maintenance list, with the limits that must all hold."""

    ref: str
    subject: str
    limits: tuple[str, ...] = ()
    for_airplane: bool = True


@dataclass(frozen=True, slots=True)
class Expiry:
    """When inspection authorizations run out: a day of the year, in every year, odd or even years."""

    month: int
    day: int
    years: str = "every"
    """'every', 'odd' or 'even'."""
    activity_checked_years_before: int = 0
    """How many years before running out the first year's activity must be met; 0: never checked."""

    def next_from(self, day: date) -> date:
        """First such day on or after the given one."""
        years = (y for y in range(day.year, day.year + 4) if self._counts(y))
        return next(end for y in years if (end := date(y, self.month, self.day)) >= day)

    def _counts(self, year: int) -> bool:
        return self.years == "every" or (year % 2 == 1) == (self.years == "odd")


@dataclass(frozen=True, slots=True)
class RuleSet:
    """One country's rules on who may do what."""

    name: str
    clauses: tuple[Clause, ...]
    items: tuple[ListedItem, ...] = ()
    expiry: Expiry | None = None
    read_on: date | None = None
    """When the rule text was last read; people are told to look again."""

    def item(self, ref: str) -> ListedItem | None:
        """Give the item of the preventive maintenance list with this reference, or None."""
        return next((item for item in self.items if item.ref == ref), None)


@dataclass(frozen=True, slots=True)
class Tried:
    """A clause held against the facts; it fits when no condition is left unmet."""

    clause: Clause
    unmet: tuple[Condition, ...]

    @property
    def fits(self) -> bool:
        """Every condition is met."""
        return not self.unmet

    def shortfalls(self, facts: Facts) -> str:
        """Say in words why it does not fit; empty when it does."""
        return "; ".join(condition.shortfall(facts) for condition in self.unmet)


def try_clause(clause: Clause, facts: Facts) -> Tried:
    """Hold one clause against the facts. KeyError when a condition asks for a fact that isn't there."""
    return Tried(clause, tuple(condition for condition in clause.when if not condition.met(facts)))


def _listed(words: tuple[str, ...] | list[str], joint: str) -> str:
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} {joint} {words[-1]}"
