"""Who may do a piece of work, under whom, and who signs for it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum
from typing import Self

from annual_planner.trade.cards import WorkKind
from annual_planner.trade.clauses import FACTS, Basis, Decides, Facts, RuleSet, try_clause
from annual_planner.trade.facts import facts_of
from annual_planner.trade.people import (
    Airplane,
    Certificate,
    CertificateKind,
    Person,
    Standing,
    WorkPiece,
)
from annual_planner.trade.verdict import STRONGEST_FIRST, Verdict
from annual_planner.trade.working import Input, Rule, Step, Worked, Working

NOBODY = "nobody"
"""No signature of a certificated person is asked for."""
NOT_SETTLED = "not settled"
"""None of the usual people is plainly entitled; a person must decide."""

_PERMITS = (Decides.DO, Decides.SUPERVISED, Decides.SIGN, Decides.ASK)
_ANSWERING = tuple(kind for kind in Decides if kind is not Decides.FLY)
_WITHOUT_MECHANIC = ("anyone", "owner-pilot")
_STATION = tuple(sorted(FACTS["station.ratings"].words))
_WORDS = {
    "anyone": "anyone",
    "owner-pilot": "owner",
    "anyone supervised": "helper",
    "mechanic airframe": "mechanic",
    "mechanic powerplant": "mechanic",
    "mechanic airframe and powerplant": "mechanic",
    "inspection authorization": "inspector",
    "repair station": "repair station",
    "manufacturer": "manufacturer",
}


class MayDo(StrEnum):
    """The answer to whether this person may do the work."""

    YES = "may do"
    SUPERVISED = "may do under supervision"
    NO = "may not"
    ASK = "needs a mechanic's judgement"


@dataclass(frozen=True, slots=True)
class Authority:
    """The answer for one person and one piece of work on one date."""

    may_do: MayDo
    may_sign: bool
    entry: str
    """Which entry is owed: '43.9', '43.11' or '' when none."""
    warnings: tuple[str, ...]
    working: Working
    forms: tuple[str, ...] = ()
    """Forms owed besides the entry, such as 'Form 337'."""


@dataclass(frozen=True, slots=True)
class Needed:
    """The least entitled doer and signer of a piece of work."""

    doer: str
    """'anyone', 'owner-pilot', 'anyone supervised', 'mechanic airframe', 'mechanic powerplant', 'mechanic
    airframe and powerplant', 'inspection authorization', 'repair station', 'manufacturer', 'not settled'."""
    signer: str
    """The same words, 'nobody' when nothing is to be signed."""
    entry: str
    forms: tuple[str, ...] = ()

    @property
    def done_by(self) -> str:
        """A short word for a box: 'owner', 'helper', 'mechanic', 'inspector', 'repair station', 'anyone'."""
        return _WORDS.get(self.doer, self.doer)

    @property
    def signed_by(self) -> str:
        """A short word for a box, as done_by; 'nobody' when nothing is to be signed."""
        return _WORDS.get(self.signer, self.signer)


def authority(
    work: WorkPiece, person: Person, airplane: Airplane, standing: Standing, on: date, rules: RuleSet
) -> Authority:
    """Hold every clause of the rules against this question and put the answers together.

    A permission counts when its clause fits and no fitting prohibition takes its basis away. The working
    lists every clause tried, with the reason where one does not fit.
    """
    return _Judged.of(work, person, airplane, standing, on, rules).told()


def least_needed(
    work: WorkPiece, airplane: Airplane, on: date, rules: RuleSet, owner: Person | None = None
) -> Worked[Needed]:
    """Ask the rules about typical people, from the least entitled up, and take the first who may.

    The owner comes before a supervised helper: it costs no mechanic's time. `owner`: this airplane's, with
    the certificates on record; None takes an owner with a private pilot certificate.
    """
    people = _typical(on, owner)
    asked = {who: _Judged.of(work, person, airplane, held, on, rules) for who, person, held in people}
    helper = asked["anyone"]
    doer = _doer([w for w, a in asked.items() if a.may_do is MayDo.YES], helper.may_do is MayDo.SUPERVISED)
    signer = _signer([w for w, a in asked.items() if a.may_sign], helper.entry, doer)
    needed = Needed(doer, signer, helper.entry, helper.forms)
    return Worked(needed, _needed_working(work, needed, asked))


@dataclass(frozen=True, slots=True)
class _Judged:
    """One question with its facts and its verdict; the working is put into words only when asked for."""

    work: WorkPiece
    person: Person
    on: date
    rules: RuleSet
    facts: Facts
    verdict: Verdict

    @classmethod
    def of(
        cls, work: WorkPiece, person: Person, airplane: Airplane, standing: Standing, on: date, rules: RuleSet
    ) -> Self:
        facts = facts_of(work, person, airplane, standing, on, rules)
        tried = tuple(try_clause(clause, facts) for clause in rules.clauses)
        return cls(work, person, on, rules, facts, Verdict(tried))

    @property
    def may_do(self) -> MayDo:
        return _may_do(self.verdict)

    @property
    def may_sign(self) -> bool:
        return bool(self.verdict.standing(Decides.SIGN))

    @property
    def entry(self) -> str:
        return next((clause.gives for clause in self.verdict.fitting(Decides.ENTRY)), "")

    @property
    def forms(self) -> tuple[str, ...]:
        return tuple(clause.gives for clause in self.verdict.fitting(Decides.FORM))

    @property
    def in_words(self) -> str:
        signs = "may sign" if self.may_sign else "may not sign"
        return f"{self.may_do}; {signs}; {_owed(self.entry, self.forms)}"

    def told(self) -> Authority:
        limits = _limits(self.work, self.verdict, self.rules)
        return Authority(
            may_do=self.may_do,
            may_sign=self.may_sign,
            entry=self.entry,
            warnings=(*self.verdict.told(Decides.WARN), *limits),
            working=self.working(),
            forms=self.forms,
        )

    def working(self) -> Working:
        return Working(
            title=f"May {self.person.name} do '{self.work.title}' on {self.on.isoformat()}?",
            result=self.in_words,
            inputs=_inputs(self.facts),
            steps=tuple(self.verdict.steps(self.facts, *_ANSWERING)),
            rules=tuple(Rule(c.citation, c.says) for c in self.verdict.deciding()),
            assumptions=(*self.verdict.told(Decides.ASSUME), _read_on(self.rules)),
        )

    def why(self) -> str:
        """Name the clauses that permit or forbid here, in short."""
        telling = [c for c in self.verdict.deciding() if c.decides in (*_PERMITS, Decides.FORBID)]
        return ", ".join(dict.fromkeys(clause.citation for clause in telling)) or "no clause permits it"


def may_fly_check(
    person: Person, airplane: Airplane, standing: Standing, on: date, rules: RuleSet
) -> Worked[bool]:
    """Say whether this person may make the flight check after work that may have changed how it flies.

    Only crew goes along, and the flight is logged in the airplane's records (91.407(b)).
    """
    flight = WorkPiece("flight check", WorkKind.RUN_UP)
    judged = _Judged.of(flight, person, airplane, standing, on, rules)
    tried = [t for t in judged.verdict.tried if t.clause.decides is Decides.FLY]
    may = any(t.fits for t in tried)
    steps = tuple(judged.verdict.steps(judged.facts, Decides.FLY))
    said = tuple(Rule(t.clause.citation, t.clause.says) for t in tried)
    title = f"May {person.name} make the flight check on {on.isoformat()}?"
    working = Working(
        title, "may" if may else "may not", _inputs(judged.facts), steps, said, (_read_on(rules),)
    )
    return Worked(may, working)


def _may_do(verdict: Verdict) -> MayDo:
    answers = (MayDo.YES, MayDo.ASK, MayDo.SUPERVISED)
    ranks = zip(STRONGEST_FIRST, answers, strict=True)
    return next((answer for decides, answer in ranks if verdict.standing(decides)), MayDo.NO)


def _limits(work: WorkPiece, verdict: Verdict, rules: RuleSet) -> list[str]:
    """Give the limits of the list's items, where the answer rests on the list."""
    if Basis.OWNER_PILOT not in verdict.bases():
        return []
    items = [item for ref in work.preventive if (item := rules.item(ref))]
    return [f"Only with: {limit} ({item.ref})" for item in items for limit in item.limits]


def _inputs(facts: Facts) -> tuple[Input, ...]:
    return tuple(
        Input(FACTS[name].label, ", ".join(sorted(words)) or "none") for name, words in facts.items()
    )


def _owed(entry: str, forms: Sequence[str]) -> str:
    return " and ".join((f"entry of {entry}" if entry else "no entry", *forms))


def _read_on(rules: RuleSet) -> str:
    read = f"as read on {rules.read_on.isoformat()}" if rules.read_on else "date of reading not recorded"
    return f"Rules '{rules.name}', {read}; the rules in force govern, look them up again"


def _doer(doers: Sequence[str], helper_supervised: bool) -> str:
    first = doers[0] if doers else NOT_SETTLED
    return "anyone supervised" if helper_supervised and first not in _WITHOUT_MECHANIC else first


def _signer(signers: Sequence[str], entry: str, doer: str) -> str:
    if signers:
        return signers[0]
    return NOT_SETTLED if entry or doer == NOT_SETTLED else NOBODY


def _typical(on: date, owner: Person | None) -> list[tuple[str, Person, Standing]]:
    """People as every shop knows them, from the least entitled up; their certificates are all in force."""
    mechanic, station = CertificateKind.MECHANIC, CertificateKind.REPAIR_STATION
    both = _certificate(mechanic, "airframe", "powerplant")
    inspector = Certificate(CertificateKind.INSPECTION_AUTHORIZATION, "", valid_from=on)
    private = _certificate(CertificateKind.PILOT, "private")
    usual = Person("an owner with a private pilot certificate", (private,))
    none = Standing.NONE
    return [
        ("anyone", Person("a person without a certificate"), none),
        ("owner-pilot", owner or usual, Standing.OWNER),
        ("mechanic airframe", Person("an airframe mechanic", (_certificate(mechanic, "airframe"),)), none),
        (
            "mechanic powerplant",
            Person("a powerplant mechanic", (_certificate(mechanic, "powerplant"),)),
            none,
        ),
        ("mechanic airframe and powerplant", Person("a mechanic with both ratings", (both,)), none),
        ("inspection authorization", Person("an inspection authorization holder", (both, inspector)), none),
        (
            "repair station",
            Person("a repair station rated for it", (_certificate(station, *_STATION),)),
            none,
        ),
        ("manufacturer", Person("the manufacturer", (_certificate(CertificateKind.MANUFACTURER),)), none),
    ]


def _certificate(kind: CertificateKind, *ratings: str) -> Certificate:
    return Certificate(kind, "", frozenset(ratings), months_worked_in_24=Decimal(24))


def _needed_working(work: WorkPiece, needed: Needed, asked: Mapping[str, _Judged]) -> Working:
    """Every typical person's answer in a line; the whole working of those chosen, and of the helper."""
    chosen = dict.fromkeys(("anyone", needed.doer, needed.signer))
    return Working(
        title=f"The least that '{work.title}' needs",
        result=f"done by: {needed.doer}; signed by: {needed.signer}; {_owed(needed.entry, needed.forms)}",
        steps=tuple(Step(a.person.name, f"{a.in_words} ({a.why()})") for a in asked.values()),
        assumptions=("The people asked about hold certificates in force and recent experience",),
        parts=tuple(asked[who].working() for who in chosen if who in asked),
    )
