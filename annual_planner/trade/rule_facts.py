"""What a question to a rule asks for, and how the facts that a person types are read.

A question is put together from a plain function of named facts; its working names them all as stated.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any, Literal, NamedTuple, TypeVar

from annual_planner.trade.refused import Refused
from annual_planner.trade.said import said_date
from annual_planner.trade.working import Input, Rule, Step, Worked, Working

T = TypeVar("T")
Value = date | Decimal | tuple[Decimal, ...] | bool | str
Kind = Literal["day", "number", "numbers", "yes or no", "choice"]

FIRST_DAY, LAST_DAY = date(1900, 1, 1), date(2199, 12, 31)
"""Days a person may mean."""
MOST_NUMBERS, LONGEST_TYPED, LONGEST_SHOWN = 200, 2_000, 40
"""Numbers in a list; signs of what is typed; signs of it that an answer repeats."""
ALWAYS = (
    "What was stated is taken as it is; nothing is looked up in the fleet and nothing is recorded.",
    "The rules were read as published between 24 Aug and 29 Sep 2026; look at the text in force.",
    "The certificated person decides; this only advises.",
)

MONTH_ENDS = "Calendar months run to the last day of the month, as the agency's training handbook reads them."


class Fact(NamedTuple):
    """One thing that a question asks for."""

    key: str
    label: str
    """As a person reads it."""
    kind: Kind
    unit: str = ""
    choices: tuple[str, ...] = ()
    needed: bool = True
    tip: str = ""
    least: Decimal = Decimal(0)
    most: Decimal = Decimal(100_000)
    whole: bool = False
    """Of a number: whole ones only."""

    @property
    def expected(self) -> str:
        """What may be typed, in words."""
        unit = f" ({self.unit})" if self.unit else ""
        if self.kind == "choice":
            return f"one of: {', '.join(self.choices)}"
        if self.kind == "number":
            return f"a {'whole ' if self.whole else ''}number from {self.least:f} to {self.most:f}{unit}"
        said = {"day": "a day such as 2027-03-15", "numbers": f"numbers such as 40 25{unit}"}
        return said.get(self.kind, "yes or no")


class RuleQuestion(NamedTuple):
    """A question to a rule that no record of a fleet answers by itself."""

    key: str
    """Stable: what the command line calls it."""
    title: str
    about: str
    """The group it stands in."""
    citation: str
    facts: tuple[Fact, ...]
    answer: Callable[[Mapping[str, Value]], Worked[Any]]


def question(
    key: str, title: str, about: str, citation: str, answers: Callable[..., Worked[Any]], *facts: Fact
) -> RuleQuestion:
    """A question whose function takes the facts by their keys; a fact not needed has a default there."""

    def answer(given: Mapping[str, Value]) -> Worked[Any]:
        found = answers(**given)
        working = replace(
            found.working,
            title=title,
            inputs=tuple(_input(fact, given.get(fact.key)) for fact in facts),
            assumptions=(*found.working.assumptions, *ALWAYS),
        )
        return Worked(found.value, working)

    return RuleQuestion(key, title, about, citation, facts, answer)


def told(
    value: T, sentence: str, *steps: Step, rules: Sequence[Rule], assumptions: Sequence[str] = ()
) -> Worked[T]:
    """What a rule's function answers: title and inputs come from the question."""
    return Worked(
        value, Working("", sentence, steps=steps, rules=tuple(rules), assumptions=tuple(assumptions))
    )


def yes(fact: bool) -> str:
    """A yes or no as a step says it."""
    return "yes" if fact else "no"


def plain(number: Decimal) -> str:
    """A number without an exponent.

    >>> plain(Decimal("1E+3")), plain(Decimal("40.50"))
    ('1000', '40.50')
    """
    return f"{number:f}"


def read_facts(asked: RuleQuestion, typed: Mapping[str, str]) -> dict[str, Value]:
    """The facts as typed, as values. Raises Refused that names every fault by its fact."""
    wanted = {fact.key: fact for fact in asked.facts}
    faults = [f"'{_shown(key)}' is not asked for." for key in typed if key not in wanted]
    values: dict[str, Value] = {}
    for fact in asked.facts:
        text = " ".join(typed.get(fact.key, "")[: LONGEST_TYPED + 1].split())
        if not text and not fact.needed:
            continue
        try:
            values[fact.key] = _read(fact, text)
        except ValueError as fault:
            faults.append(f"{fact.label} ({fact.key}): {fault}; expected is {fact.expected}.")
    if faults:
        raise Refused("\n".join(faults), f"The question asks for: {', '.join(wanted)}.")
    return values


def _read(fact: Fact, text: str) -> Value:
    """One fact. Raises ValueError that says what is wrong with it."""
    if not text:
        raise ValueError("nothing is stated")
    if len(text) > LONGEST_TYPED:
        raise ValueError(f"more than {LONGEST_TYPED} signs")
    return _READERS[fact.kind](fact, text)


def _day(fact: Fact, text: str) -> date:
    if not re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", text):
        raise ValueError(f"'{_shown(text)}' is no day")
    try:
        day = date.fromisoformat(text)
    except ValueError:
        raise ValueError(f"'{text}' is not in the calendar") from None
    if not FIRST_DAY <= day <= LAST_DAY:
        raise ValueError(f"'{text}' is outside the years {FIRST_DAY.year} to {LAST_DAY.year}")
    return day


def _number(fact: Fact, text: str) -> Decimal:
    if re.fullmatch(r"[0-9]{1,3}(,[0-9]{3})+", text):
        raise ValueError(f"the comma of '{_shown(text)}' can be read two ways")
    if not re.fullmatch(r"[-+]?[0-9]{1,12}([.,][0-9]{1,12})?", text):
        raise ValueError(f"'{_shown(text)}' is no number")
    number = Decimal(text.replace(",", "."))
    if not fact.least <= number <= fact.most:
        raise ValueError(f"'{_shown(text)}' is out of bounds")
    if fact.whole and number != int(number):
        raise ValueError(f"'{_shown(text)}' is not whole")
    return number


def _numbers(fact: Fact, text: str) -> tuple[Decimal, ...]:
    """Parted by blanks, commas or both; a comma with no blank around it could be a decimal one too."""
    if re.search(r"[0-9],[0-9]", text):
        raise ValueError(f"the comma of '{_shown(text)}' can be read two ways")
    parts = text.replace(",", " ").replace(";", " ").split()
    if not 0 < len(parts) <= MOST_NUMBERS:
        raise ValueError(f"1 to {MOST_NUMBERS} numbers are taken")
    return tuple(_number(fact, part) for part in parts)


def _yes_or_no(fact: Fact, text: str) -> bool:
    found = {"yes": True, "y": True, "no": False, "n": False}.get(text.casefold())
    if found is None:
        raise ValueError(f"'{_shown(text)}' is neither yes nor no")
    return found


def _choice(fact: Fact, text: str) -> str:
    found = next((each for each in fact.choices if _folded(each) == _folded(text)), None)
    if found is None:
        raise ValueError(f"'{_shown(text)}' is none of the choices")
    return found


_READERS: dict[Kind, Callable[[Fact, str], Value]] = {
    "day": _day,
    "number": _number,
    "numbers": _numbers,
    "yes or no": _yes_or_no,
    "choice": _choice,
}


def _folded(text: str) -> str:
    return text.casefold().replace("-", " ")


def _shown(text: str) -> str:
    return text if len(text) <= LONGEST_SHOWN else f"{text[:LONGEST_SHOWN]}…"


def _input(fact: Fact, value: Value | None) -> Input:
    if value is None:
        return Input(fact.label, "not stated")
    return Input(fact.label, " ".join(_said(value)), fact.unit, "as stated")


def _said(value: Value) -> Iterator[str]:
    if isinstance(value, bool):
        yield yes(value)
    elif isinstance(value, date):
        yield said_date(value)
    elif isinstance(value, tuple):
        yield ", ".join(plain(each) for each in value)
    else:
        yield plain(value) if isinstance(value, Decimal) else value
