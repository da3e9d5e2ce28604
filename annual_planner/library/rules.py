"""Reads resources/rules/*.toml into the rules that trade.authority asks, or says what is wrong with them."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable
from datetime import date
from functools import cache
from importlib import resources
from typing import Any

from pydantic import BaseModel, ConfigDict, Field, StrictBool, ValidationError, model_validator

from annual_planner.library.faults import short
from annual_planner.library.rows import Text
from annual_planner.trade.clauses import (
    FACTS,
    Basis,
    Clause,
    Condition,
    Decides,
    Expiry,
    ListedItem,
    RuleSet,
    Test,
)
from annual_planner.trade.refused import Refused

_PERMITS = (Decides.DO, Decides.SUPERVISED, Decides.SIGN, Decides.FLY, Decides.ASK)


@cache
def load_rules(name: str = "us") -> RuleSet:
    """Give the shipped rules with this name, read once. Refused, with all faults, when they can't be."""
    return read_rules(f"resources/rules/{name}.toml", _shipped(name))


def read_rules(file: str, text: str) -> RuleSet:
    """Give the rules in this TOML text. Refused with all faults: file, table, key, what was expected."""
    try:
        content = tomllib.loads(text)
    except (ValueError, RecursionError) as fault:  # no TOML, a number too long, nested too deep
        raise _refused(file, [f"not readable as TOML: {fault}"]) from fault
    try:
        return _File.model_validate(content).as_rules()
    except ValidationError as fault:
        raise _refused(file, _faults(fault)) from fault


class _Table(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class _When(_Table):
    fact: str
    any: tuple[str, ...] = ()
    all: tuple[str, ...] = ()
    none: tuple[str, ...] = ()

    @model_validator(mode="after")
    def _can_be_held_against_a_fact(self) -> _When:
        if self.fact not in FACTS:
            raise ValueError(f"no fact is called '{self.fact}'; expected one of {', '.join(FACTS)}")
        if len(self._tests()) != 1:
            raise ValueError("expected exactly one of 'any', 'all', 'none', with at least one word")
        known = FACTS[self.fact].words
        words = self._tests()[0][1]
        if known and not known.issuperset(words):
            wrong = ", ".join(f"'{word}'" for word in words if word not in known)
            raise ValueError(f"{self.fact} is never {wrong}; expected among {', '.join(sorted(known))}")
        return self

    def as_condition(self) -> Condition:
        test, words = self._tests()[0]
        return Condition(self.fact, test, words)

    def _tests(self) -> list[tuple[Test, tuple[str, ...]]]:
        pairs = (Test.ANY, self.any), (Test.ALL, self.all), (Test.NONE, self.none)
        return [(test, words) for test, words in pairs if words]


class _Clause(_Table):
    key: Text
    citation: Text
    says: Text
    decides: Decides
    when: tuple[_When, ...] = ()
    basis: Basis | None = None
    takes: tuple[Basis, ...] = ()
    gives: str = ""

    @model_validator(mode="after")
    def _has_what_its_kind_needs(self) -> _Clause:
        needed = {
            "basis": self.decides in _PERMITS,
            "takes": self.decides is Decides.FORBID,
            "gives": self.decides in (Decides.ENTRY, Decides.FORM),
        }
        for key, wanted in needed.items():
            if wanted and not getattr(self, key):
                raise ValueError(f"a clause that decides '{self.decides}' needs '{key}'")
        return self

    def as_clause(self) -> Clause:
        when = tuple(condition.as_condition() for condition in self.when)
        return Clause(
            self.key, self.citation, self.says, self.decides, when, self.basis, self.takes, self.gives
        )


class _Item(_Table):
    ref: Text
    subject: Text
    limits: tuple[str, ...] = ()
    for_airplane: StrictBool = True


class _Expiry(_Table):
    month: int = Field(ge=1, le=12, strict=True)
    day: int = Field(ge=1, le=28 + 3, strict=True)
    years: str = Field(default="every", pattern="^(every|odd|even)$")
    activity_checked_years_before: int = Field(default=0, ge=0, strict=True)

    @model_validator(mode="after")
    def _is_a_day_of_every_year(self) -> _Expiry:
        date(2001, self.month, self.day)  # a year without a leap day
        return self


class _File(_Table):
    name: Text
    read_on: date
    expiry: _Expiry | None = None
    item: tuple[_Item, ...] = ()
    clause: tuple[_Clause, ...] = Field(min_length=1)

    @model_validator(mode="after")
    def _names_nothing_twice(self) -> _File:
        for word, keys in (("clause", [c.key for c in self.clause]), ("item", [i.ref for i in self.item])):
            twice = sorted({key for key in keys if keys.count(key) > 1})
            if twice:
                raise ValueError(f"{word} given more than once: {', '.join(twice)}; expected once each")
        return self

    def as_rules(self) -> RuleSet:
        expiry = Expiry(**self.expiry.model_dump()) if self.expiry else None
        items = tuple(ListedItem(**item.model_dump()) for item in self.item)
        return RuleSet(self.name, tuple(c.as_clause() for c in self.clause), items, expiry, self.read_on)


def _shipped(name: str) -> str:
    file = resources.files("resources").joinpath("rules", f"{name}.toml")
    if not file.is_file():
        raise Refused(
            said=f"There are no rules called '{name}' (resources/rules/{name}.toml is missing).",
            remedy="Choose rules that are there; 'us' comes with the program.",
        )
    return file.read_text(encoding="utf-8")


def _refused(file: str, faults: Iterable[str]) -> Refused:
    lines = "\n".join(f"  {fault}" for fault in faults)
    return Refused(said=f"{file} can't be used:\n{lines}", remedy="Correct these places and load it again.")


def _faults(fault: ValidationError) -> list[str]:
    return [f"{_where(error['loc'])}: {_what(error)}" for error in fault.errors()]


def _where(place: tuple[int | str, ...]) -> str:
    """Name a place as people count: 'clause 3, when 2, key fact'."""
    words = [str(part + 1) if isinstance(part, int) else f", {part}" for part in place]
    return " ".join(words).removeprefix(", ").replace(" ,", ",") or "the whole file"


def _what(error: Any) -> str:
    message = str(error["msg"]).removeprefix("Value error, ")
    given = error["input"]
    return f"{message}, not {short(given)}" if isinstance(given, str | int | bool) else message
