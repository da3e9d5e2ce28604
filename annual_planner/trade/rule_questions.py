"""Questions that a person may put to a rule, answered from stated facts with their working.

No record of a fleet answers them, nothing is recorded of them, and they approve nothing.
"""

from __future__ import annotations

from collections.abc import Mapping

from annual_planner.trade import (
    altimeter,
    authorization,
    avionics_checks,
    inspections,
    locator,
    rebuilt,
    work_questions,
)
from annual_planner.trade.refused import Refused
from annual_planner.trade.rule_facts import Fact, RuleQuestion, Value, read_facts
from annual_planner.trade.working import Working

__all__ = ["QUESTIONS", "Fact", "RuleQuestion", "Value", "ask_rule", "question_named", "read_facts"]

QUESTIONS: tuple[RuleQuestion, ...] = (
    *inspections.QUESTIONS,
    *work_questions.QUESTIONS,
    *rebuilt.QUESTIONS,
    *locator.QUESTIONS,
    *altimeter.QUESTIONS,
    *avionics_checks.QUESTIONS,
    *authorization.QUESTIONS,
)
"""Those of one group stand together."""
_BY_KEY = {each.key: each for each in QUESTIONS}
_LONGEST_KEY = 60


def question_named(key: str) -> RuleQuestion:
    """The question with this key. Raises Refused with the keys that come near."""
    asked = key[:_LONGEST_KEY].strip().casefold()
    if asked in _BY_KEY:
        return _BY_KEY[asked]
    from difflib import get_close_matches

    near = get_close_matches(asked, _BY_KEY) or [each for each in _BY_KEY if asked and asked in each]
    remedy = f"Near it: {', '.join(near)}." if near else "Without a key all questions are listed."
    raise Refused(f"There is no question '{asked}'.", remedy)


def ask_rule(key: str, typed: Mapping[str, str]) -> Working:
    """The answer's working to facts as a person types them. Raises Refused for what can't be taken."""
    asked = question_named(key)
    return asked.answer(read_facts(asked, typed)).working
