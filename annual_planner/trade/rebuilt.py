"""What 'overhauled' and 'rebuilt' may be said of, and when an engine's record may begin anew."""

from __future__ import annotations

from annual_planner.trade.rule_facts import Fact, question, told, yes
from annual_planner.trade.working import Rule, Step, Worked

ABOUT = "Overhauled and rebuilt"
NEW_LIMITS, STANDARDS, NOT_TESTED = "limits of a new item", "approved or acceptable standards", "nothing"
MAKER, APPROVED, ANOTHER = "its maker", "an agency that the maker approved", "somebody else"

_OVERHAULED = Rule(
    "14 CFR 43.2(a)",
    "only what was taken apart, cleaned, inspected, repaired as needed, put together and tested to approved "
    "or acceptable standards is called overhauled",
)
_REBUILT = Rule(
    "14 CFR 43.2(b)",
    "rebuilt is what was so treated, tested to the limits of a new item, with parts that are new or within "
    "new limits or approved over and undersizes",
)
_NEW_RECORD = Rule(
    "14 CFR 91.421",
    "a record without the history before it only for an engine rebuilt by its maker or an agency that the "
    "maker approved, with a signed entry of the day, of each change that directives ask for, and of each "
    "change of a bulletin that asks to be entered",
)


def called(*, whole: bool, tested_to: str, new_parts: bool) -> Worked[str]:
    """What may be said of an item after such work: 'rebuilt', 'overhauled' or neither.

    Source: 14 CFR 43.2(a), (b).
    """
    overhauled = whole and tested_to != NOT_TESTED
    rebuilt = overhauled and tested_to == NEW_LIMITS and new_parts
    word = "rebuilt" if rebuilt else "overhauled" if overhauled else "neither"
    sentence = (
        f"It may be called {word}." if overhauled else "It may be called neither overhauled nor rebuilt."
    )
    return told(
        word,
        sentence,
        Step("taken apart, cleaned, inspected, repaired as needed and put together", yes(whole)),
        Step("tested to", tested_to),
        Step("every part new, or within new or approved over and undersize limits", yes(new_parts)),
        rules=[_OVERHAULED, _REBUILT],
        assumptions=["The work was done by acceptable methods and entered with what was done."],
    )


def new_record(*, rebuilt_by: str, signed: bool, directives: bool, bulletins: bool) -> Worked[bool]:
    """Whether an engine's record may begin anew, without its history. Source: 14 CFR 91.421."""
    stated = (
        ("rebuilt by its maker or an agency that the maker approved", rebuilt_by != ANOTHER),
        ("signed entry of the day it was rebuilt", signed),
        ("each change that directives ask for entered", directives),
        ("each change of a bulletin that asks to be entered", bulletins),
    )
    missing = [text for text, there in stated if not there]
    return told(
        not missing,
        f"The record goes on with its history: missing is {'; '.join(missing)}."
        if missing
        else "A new record may be begun, without the history before it.",
        *(Step(text, yes(there)) for text, there in stated),
        rules=[_NEW_RECORD],
        assumptions=["Rebuilt is meant as 14 CFR 43.2(b) has it: an overhaul does not begin a new record."],
    )


QUESTIONS = (
    question(
        "overhauled-or-rebuilt",
        "May it be called overhauled, or rebuilt?",
        ABOUT,
        f"{_OVERHAULED.citation}; {_REBUILT.citation}",
        called,
        Fact(
            "whole",
            "All steps done",
            "yes or no",
            tip="Taken apart, cleaned, inspected, repaired as needed, put together.",
        ),
        Fact("tested_to", "Tested to", "choice", choices=(NEW_LIMITS, STANDARDS, NOT_TESTED)),
        Fact(
            "new_parts", "Parts new, or within new or approved limits", "yes or no", tip="Every one of them."
        ),
    ),
    question(
        "engine-record-anew",
        "May this engine's record begin anew, without its history?",
        ABOUT,
        _NEW_RECORD.citation,
        new_record,
        Fact("rebuilt_by", "Rebuilt by", "choice", choices=(MAKER, APPROVED, ANOTHER)),
        Fact("signed", "Signed entry of the day it was rebuilt", "yes or no"),
        Fact("directives", "Each change that directives ask for entered", "yes or no"),
        Fact(
            "bulletins",
            "Each change of a bulletin entered",
            "yes or no",
            tip="Of bulletins that ask for it; yes where there is none.",
        ),
    ),
)
