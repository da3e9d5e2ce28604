"""The text of a record entry: composed from a template, and held against what the rule asks for."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from annual_planner.trade.answer import answer
from annual_planner.trade.entries import DirectivePart, EntryPart
from annual_planner.trade.refused import Refused
from annual_planner.trade.working import Step, Worked

_BLANK = re.compile(r"\{([a-z_]+)\}")

BY_SIGNING = frozenset({EntryPart.SIGNATURE, EntryPart.CERTIFICATE_NUMBER, EntryPart.CERTIFICATE_KIND})
"""Parts that the act of signing adds to the text."""


class EntryKind(StrEnum):
    """What an entry records; each kind has its own list of contents in the rules."""

    MAINTENANCE = "maintenance"
    INSPECTION = "inspection"
    DIRECTIVE = "directive"
    PREVENTIVE = "preventive maintenance"


@dataclass(frozen=True, slots=True)
class AskedPart:
    """One thing the rule wants in an entry, the facts that show it, and words that must stand in the text.

    `facts` are names of facts; the text holds the part when it holds every one of their values and every one
    of `words`.
    """

    part: EntryPart | DirectivePart
    facts: tuple[str, ...] = ()
    words: tuple[str, ...] = ()
    only_with: str = ""
    """Asked only where this fact is known, such as a performer who is not the signer."""


@dataclass(frozen=True, slots=True)
class EntryTemplate:
    """How one kind of entry is worded.

    `{fact}` stands for a fact; a line in [brackets] falls away where a fact in it isn't known.
    """

    key: str
    title: str
    kind: EntryKind
    citation: str
    approved: bool | None
    """True or False where the entry approves or withholds; None where it is neither."""
    asks: tuple[AskedPart, ...]
    text: str

    @property
    def blanks(self) -> tuple[str, ...]:
        """Names of all facts that the text may take, each once, in order."""
        return tuple(dict.fromkeys(_BLANK.findall(self.text)))


def composed(template: EntryTemplate, facts: Mapping[str, str]) -> Worked[str]:
    """The entry's text with the facts in their places. Raises Refused where a needed fact is missing."""
    lines = [_line(line, facts) for line in template.text.strip().splitlines()]
    kept = [line for line in lines if line is not None]
    lacking = sorted({name for line in kept for name in _BLANK.findall(line) if not facts.get(name)})
    if lacking:
        said = ", ".join(name.replace("_", " ") for name in lacking)
        raise Refused(f"The {template.title} lacks: {said}.", "Fill that in first, then compose it again.")
    text = "\n".join(_BLANK.sub(lambda found: facts[found[1]].strip(), line) for line in kept)
    return answer(
        text,
        template.title,
        f"{len(text.splitlines())} lines",
        citation=template.citation,
        inputs=[(name.replace("_", " "), facts[name]) for name in template.blanks if facts.get(name)],
    )


def _line(line: str, facts: Mapping[str, str]) -> str | None:
    """The line as it is taken over; None for one in brackets that has a fact missing."""
    if not (line.startswith("[") and line.endswith("]")):
        return line
    return line[1:-1] if all(facts.get(name) for name in _BLANK.findall(line)) else None


def missing_in(
    template: EntryTemplate, text: str, facts: Mapping[str, str]
) -> Worked[tuple[EntryPart | DirectivePart, ...]]:
    """What the rule asks for and the text, perhaps edited by hand, does not hold.

    What the signing itself adds (signature, number and kind of certificate) is not looked for.
    """
    asked = [each for each in template.asks if not each.only_with or facts.get(each.only_with)]
    steps = [_held(each, text, facts) for each in asked]
    missing = tuple(each.part for each, step in zip(asked, steps, strict=True) if step.result == "missing")
    result = f"missing: {', '.join(part.value for part in missing)}" if missing else "complete"
    return answer(
        missing, f"Contents of the {template.title}", result, citation=template.citation, steps=steps
    )


def _held(asked: AskedPart, text: str, facts: Mapping[str, str]) -> Step:
    if asked.part in BY_SIGNING:
        return Step(asked.part.value, "added by signing")
    plain = _plain(text)
    wanted = [*(facts.get(name, "") for name in asked.facts), *asked.words]
    there = all(each and _plain(each) in plain for each in wanted)
    return Step(asked.part.value, "there" if there else "missing")


def _plain(text: str) -> str:
    """Letters and digits alone count, so that another line break or capital is no difference."""
    return " ".join(text.casefold().split())
