"""May an item that doesn't work be left so for a while? The questions of 14 CFR 91.213(d), one by one.

The answer depends on the kinds of flight, so it carries them. It advises; a rated pilot or mechanic decides.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from annual_planner.trade.said import said_date
from annual_planner.trade.working import Input, Rule, Step, Worked, Working


class Flight(StrEnum):
    """Kinds of flight that the rules on equipment tell apart."""

    VFR_DAY = "VFR day"
    VFR_NIGHT = "VFR night"
    IFR = "IFR"
    IFR_NIGHT = "IFR night"


_ASKS_ALSO = {
    Flight.VFR_DAY: (Flight.VFR_DAY,),
    Flight.VFR_NIGHT: (Flight.VFR_DAY, Flight.VFR_NIGHT),
    Flight.IFR: (Flight.VFR_DAY, Flight.IFR),
    Flight.IFR_NIGHT: (Flight.VFR_DAY, Flight.VFR_NIGHT, Flight.IFR),
}
"""Which lists of 91.205 a kind of flight asks for: night adds (c) to (b), instrument flight adds (d)."""


class Verdict(StrEnum):
    """What the questions end in."""

    MAY = "may be deferred"
    MAY_NOT = "may not"
    ASK = "ask"


@dataclass(frozen=True, slots=True)
class Needed:
    """A rule that asks for an item on a kind of flight; `only`: a fact that must be so besides."""

    flight: Flight
    citation: str
    only: str = ""
    only_asks: str = ""


@dataclass(frozen=True, slots=True)
class Equipment:
    """A sort of equipment and the flights on which the general rules ask for it; none where they never do."""

    key: str
    title: str
    needed: tuple[Needed, ...] = ()


@dataclass(frozen=True, slots=True)
class Question:
    """One question: what is asked, why, the rule behind it, the answers to choose from, and the one given."""

    key: str
    text: str
    why: str
    citation: str
    choices: tuple[tuple[str, str], ...]
    """(value, words) of each answer."""
    answer: str = ""


@dataclass(frozen=True, slots=True)
class Deferral:
    """The answer, what it holds for, and what has to be done."""

    verdict: Verdict
    says: str
    limits: str
    """Kinds of flight for which it holds: 'VFR day only'."""
    placard: str
    control_placard: str
    entry: str
    follow_up: str
    until: date | None
    missing: tuple[str, ...]
    """Keys of the questions that are still to be answered, or to be asked of someone who knows."""

    @property
    def may(self) -> bool:
        """Whether it may be deferred."""
        return self.verdict is Verdict.MAY


YES, NO, UNKNOWN = "yes", "no", "not known"
REMOVED, DEACTIVATED = "removed", "deactivated"
_YES_NO = ((YES, "yes"), (NO, "no"), (UNKNOWN, "I don't know"))
FOLLOW_UP = (
    "At the next required inspection it is repaired, replaced, removed or inspected (91.405(c)), and the "
    "inspector puts it on the list of 43.11(b)."
)


@dataclass(frozen=True, slots=True)
class _Gate:
    """A yes-or-no question; one answer ends it."""

    key: str
    text: str
    why: str
    citation: str
    ends_on: str
    says: str
    verdict: Verdict = Verdict.MAY_NOT


_LEAD = (
    _Gate("mel", "Is an approved minimum equipment list with its letter of authorization in use?",
          "Then that list alone says what may be left.", "14 CFR 91.213(a)", YES,
          "the approved list governs: look the item up there", Verdict.ASK),
    _Gate("small", "Is it a small airplane without turbines?", "The way without a list is open to it.",
          "14 CFR 91.213(d)(1)", NO, "the way without a list isn't open to this airplane"),
)  # fmt: skip
_ITEM = (
    _Gate("type_data", "Is the item part of the equipment for VFR day under which the type was certificated?",
          "Look in the type certificate data and the flight manual.", "14 CFR 91.213(d)(2)(i)", YES,
          "it belongs to what the type was certificated with for VFR day"),
    _Gate("equipment_list",
          "Does the equipment list, or the list for the kinds of operation, require it for these flights?",
          "Look in the equipment list of this serial number.", "14 CFR 91.213(d)(2)(ii)", YES,
          "the airplane's own list requires it for these flights"),
    _Gate("other_rule", "Does another rule of Part 91 require it for these flights or where they go?",
          "A transponder in some airspace, a locator transmitter, oxygen: rules beside 91.205.",
          "14 CFR 91.213(d)(2)(iii)", YES, "another rule of Part 91 requires it for these flights"),
    _Gate("directive", "Does an airworthiness directive require it to work?",
          "Look at the directives of the airplane and of the item.", "14 CFR 91.213(d)(2)(iv)", YES,
          "a directive requires it"),
)  # fmt: skip
_HAZARD = _Gate(
    "hazard",
    "Has a rated pilot, or a rated mechanic, found that it is no hazard left so?",
    "A named person has to decide that.",
    "14 CFR 91.213(d)(4)",
    NO,
    "nobody entitled has found it to be no hazard",
)


def questions(answers: Mapping[str, str], equipment: Sequence[Equipment]) -> tuple[Question, ...]:
    """Give the questions in their order; which facts are asked for depends on item and flights answered."""
    items = tuple((each.key, each.title) for each in equipment)
    flights = tuple((each.value, each.value) for each in Flight)
    asked = [
        Question("item", "What doesn't work?", "The rules name sorts of equipment.", "14 CFR 91.205", items),
        Question("flight", "What flights will be made before it is put right?",
                 "The most demanding kind counts.", "14 CFR 91.213(d)(2)", flights),
        *(_asked(gate) for gate in _LEAD),
        *_only_questions(answers, equipment),
        *(_asked(gate) for gate in _ITEM),
        Question("how", "Will it be removed, or made unable to work?",
                 "One of the two has to be done.", "14 CFR 91.213(d)(3)",
                 ((REMOVED, "removed"), (DEACTIVATED, "deactivated"), (NO, "neither"))),
        _asked(_HAZARD),
    ]  # fmt: skip
    return tuple(Question(q.key, q.text, q.why, q.citation, q.choices, answers.get(q.key, "")) for q in asked)


def _asked(gate: _Gate) -> Question:
    return Question(gate.key, gate.text, gate.why, gate.citation, _YES_NO)


def _flight(answers: Mapping[str, str]) -> Flight | None:
    return next((each for each in Flight if each.value == answers.get("flight")), None)


def _item(answers: Mapping[str, str], equipment: Sequence[Equipment]) -> Equipment | None:
    return next((each for each in equipment if each.key == answers.get("item")), None)


def _bearing(answers: Mapping[str, str], equipment: Sequence[Equipment]) -> list[Needed]:
    """Rules that ask for the item on the flights named, or on a kind these include."""
    item, flight = _item(answers, equipment), _flight(answers)
    if item is None or flight is None:
        return []
    return [need for need in item.needed if need.flight in _ASKS_ALSO[flight]]


def _only_questions(answers: Mapping[str, str], equipment: Sequence[Equipment]) -> list[Question]:
    facts = {need.only: need for need in _bearing(answers, equipment) if need.only}
    return [
        Question(only, need.only_asks, "The rule asks for the item only then.", need.citation, _YES_NO)
        for only, need in facts.items()
    ]


def deferral(
    answers: Mapping[str, str], equipment: Sequence[Equipment], next_inspection_on: date | None = None
) -> Worked[Deferral]:
    """Work the answers through: the first that forbids ends it; what nobody knows is to be asked.

    `answers` by the questions' keys. `next_inspection_on`: last day of the next required inspection.
    """
    course = _Course(answers, equipment)
    verdict, says = course.outcome()
    found = Deferral(
        verdict=verdict,
        says=_says(verdict, says, next_inspection_on),
        limits=_limits(_flight(answers)) if verdict is Verdict.MAY else "",
        placard=_placard(course.title) if verdict is Verdict.MAY else "",
        control_placard="INOPERATIVE" if verdict is Verdict.MAY else "",
        entry=_entry(answers) if verdict is Verdict.MAY else "",
        follow_up=FOLLOW_UP if verdict is Verdict.MAY else "",
        until=next_inspection_on if verdict is Verdict.MAY else None,
        missing=tuple(course.missing),
    )
    return Worked(found, course.working(found))


class _Course:
    """One way through the questions, with its steps."""

    def __init__(self, answers: Mapping[str, str], equipment: Sequence[Equipment]) -> None:
        self.answers, self.equipment = answers, equipment
        self.missing: list[str] = []
        self.steps: list[Step] = []
        self.rules: list[Rule] = []
        item = _item(answers, equipment)
        self.title = item.title if item else "the item"
        self.forbids: list[tuple[Verdict, str]] = []
        self._walk(item)

    def outcome(self) -> tuple[Verdict, str]:
        """What forbids goes before what isn't known; an approved list before both."""
        order = (Verdict.ASK, Verdict.MAY_NOT)
        for verdict in order:
            for found, says in self.forbids:
                if found is verdict:
                    return verdict, says
        if self.missing:
            return Verdict.ASK, f"not settled: {', '.join(each.replace('_', ' ') for each in self.missing)}"
        return Verdict.MAY, ""

    def _walk(self, item: Equipment | None) -> None:
        for key, known in (("item", item), ("flight", _flight(self.answers))):
            if known is None:
                self.missing.append(key)
        for gate in _LEAD:
            self._gate(gate)
        for need in _bearing(self.answers, self.equipment):
            self._need(need)
        if item is not None and not _bearing(self.answers, self.equipment):
            self.steps.append(Step("91.205: asked for on these flights?", "no"))
            self.rules.append(Rule("14 CFR 91.205", "Equipment by kind of flight."))
        for gate in _ITEM:
            self._gate(gate)
        self._how()
        self._gate(_HAZARD)

    def _gate(self, gate: _Gate) -> None:
        given = self.answers.get(gate.key, "")
        self.steps.append(Step(gate.text, given or "not answered"))
        self.rules.append(Rule(gate.citation, gate.why))
        if given == gate.ends_on:
            self.forbids.append((gate.verdict, gate.says))
        elif given not in (YES, NO):
            self.missing.append(gate.key)

    def _need(self, need: Needed) -> None:
        given = self.answers.get(need.only, "") if need.only else YES
        asks = f", {need.only_asks}" if need.only else ""
        self.steps.append(Step(f"{need.citation} asks for it, {need.flight}{asks}", given or "not answered"))
        self.rules.append(Rule(f"14 CFR {need.citation}"))
        if given == YES:
            self.forbids.append((Verdict.MAY_NOT, f"{need.citation} asks for it ({need.flight})"))
        elif given != NO:
            self.missing.append(need.only)

    def _how(self) -> None:
        given = self.answers.get("how", "")
        self.steps.append(Step("Removed or deactivated?", given or "not answered"))
        self.rules.append(Rule("14 CFR 91.213(d)(3)", "Removed or deactivated, placarded, recorded."))
        if given == NO:
            self.forbids.append((Verdict.MAY_NOT, "it is neither removed nor deactivated"))
        elif given not in (REMOVED, DEACTIVATED):
            self.missing.append("how")

    def working(self, found: Deferral) -> Working:
        """Put the way into words."""
        return Working(
            title=f"May {self.title} be left not working?",
            result=found.says,
            inputs=(Input("item", self.title), Input("flights", self.answers.get("flight", "not said"))),
            steps=tuple(self.steps),
            rules=(*dict.fromkeys(self.rules), Rule("14 CFR 91.405(c)", FOLLOW_UP)),
            assumptions=(
                "The answers given are right; the rules in force and whoever signs decide, not this program",
                "What isn't deferrable flies only under a special flight permit (91.213(e), 21.197)",
            ),
        )


def _says(verdict: Verdict, why: str, until: date | None) -> str:
    if verdict is Verdict.MAY_NOT:
        return f"may not be deferred: {why}"
    if verdict is Verdict.ASK:
        return f"ask before anything is decided: {why}"
    end = f", last day {said_date(until)}" if until else ""
    return f"may be deferred until the next required inspection{end}"


def _limits(flight: Flight | None) -> str:
    return {
        Flight.VFR_DAY: "VFR by day only",
        Flight.VFR_NIGHT: "VFR by day and night, not IFR",
        Flight.IFR: "VFR and IFR by day",
        Flight.IFR_NIGHT: "VFR and IFR, by day and night",
        None: "",
    }[flight]


def _placard(title: str) -> str:
    return f"{title}: INOPERATIVE"


def _entry(answers: Mapping[str, str]) -> str:
    if answers.get("how") == REMOVED:
        return (
            "Entry of 43.9 for the removal; cockpit control placarded; weight and equipment list corrected."
        )
    return "Placard; an entry of 43.9 too where making it unable to work is maintenance."
