"""What a signature is asked for, what it means, and whether a person may give it, on both days that count."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from annual_planner.trade.authority import Authority, MayDo, authority
from annual_planner.trade.clauses import RuleSet
from annual_planner.trade.facts import expires_on, in_force
from annual_planner.trade.people import Airplane, Certificate, CertificateKind, Person, Standing, WorkPiece
from annual_planner.trade.said import said_date
from annual_planner.trade.verdict import TAKEN
from annual_planner.trade.working import Input, Rule, Step, Worked, Working

PERFORMED = "performed"
AIRWORTHY = "inspected and airworthy"
LIST_GIVEN = "inspected, list given"
SUPERVISED = "supervised"
KEY_CLOSED = "key closed"

MEANINGS: Mapping[str, str] = {
    PERFORMED: "I did this work as it is described here, and it was done satisfactorily.",
    AIRWORTHY: "I inspected what is described here and found it airworthy.",
    LIST_GIVEN: (
        "I inspected what is described here, did not find it airworthy, and gave the owner or operator the "
        "signed and dated list of what I found."
    ),
    SUPERVISED: (
        "The person named here did this work; I watched it as closely as it needed, was there in person, and"
        " it was done satisfactorily."
    ),
    KEY_CLOSED: "I witness that the key named here is closed from now on; I am not its holder.",
    "handed over": "I handed over what is listed here.",
    "received": "I received what is listed here.",
}
"""What each meaning says to the signer; the same words are part of what is signed."""


def meanings_of(works: Sequence[WorkPiece]) -> tuple[str, ...]:
    """What work other than an inspection is signed as; major work is also inspected after a mechanic did it.

    Source: 14 CFR 43.9(a)(4), 65.95(a)(1).
    """
    return (PERFORMED, SUPERVISED, *((AIRWORTHY,) if any(work.major for work in works) else ()))


_BOUND = ("annual", "progressive")
"""Inspections that only an inspection authorization carries, among people of a small shop."""
_MAJOR = "14 CFR 65.95(a)(1): Major work is approved by the holder of an inspection authorization."
_CERTIFICATED = (
    CertificateKind.MECHANIC,
    CertificateKind.REPAIRMAN,
    CertificateKind.REPAIR_STATION,
    CertificateKind.MANUFACTURER,
)


@dataclass(frozen=True, slots=True)
class ToSign:
    """One thing that can be signed: its content as values, and the facts by which it is decided who may."""

    kind: str
    """'card', 'discrepancy', 'entry', 'package', 'key closed', 'hand-over' …"""
    said: str
    """How people call it, such as 'card 12 of N012AP-2026-1'."""
    values: Mapping[str, object]
    """The content, of values that trade.canonical takes; the signature covers these and no others."""
    work_on: date | None
    """The day of the work or of the inspection; None where no work is signed for, or none is done yet."""
    meanings: tuple[str, ...]
    """Keys of MEANINGS that fit it."""
    works: tuple[WorkPiece, ...] = ()
    """The pieces of work that the rules are asked about, each; empty where it is no work on an airplane."""
    aircraft_id: int | None = None
    package_id: int | None = None
    performer_id: int | None = None
    """Who did the work where that is written down."""
    roles: tuple[str, ...] = ()
    """With no works: any of these roles is asked of the signer; empty = anyone."""
    never_by: int | None = None
    """The person who can't be the signer, such as the holder of a key that is closed."""
    corrects_id: int | None = None
    """The signed record that it takes the place of."""
    correction_why: str = ""


@dataclass(frozen=True, slots=True)
class MaySign:
    """The answer to whether a person may sign, in what role, and by which certificates."""

    may: bool
    why: str
    """In words for the person, above all where the answer is no."""
    role: str = ""
    """'mechanic', 'inspection authorization', 'owner-pilot', …; a role in the shop where it is no work."""
    certificates: tuple[Certificate, ...] = ()


@dataclass(frozen=True, slots=True)
class Signer:
    """A person with what matters of them for one airplane."""

    person_id: int
    person: Person
    roles: tuple[str, ...]
    standing: Standing = Standing.NONE


def may_sign(
    thing: ToSign,
    meaning: str,
    signer: Signer,
    airplane: Airplane,
    performer_id: int | None,
    signing_on: date,
    rules: RuleSet,
) -> Worked[MaySign]:
    """Whether this person may sign this with this meaning.

    Entitled on the day of the work and again on the day of signing, for every piece of work the thing holds.
    Who signs only as owner or operator signs their own preventive maintenance and nothing else. Sources: as
    the rules' clauses name them; 14 CFR 43.3(d) for supervised work, 43.3(g) and 43.7(f) for owners.
    """
    wrong = _wrong_meaning(thing, meaning, signer, performer_id)
    if wrong:
        return _told(thing, MaySign(False, wrong), signer, ())
    if not thing.works:
        return _told(thing, _by_role(thing, signer), signer, ())
    asked = [
        _Asked.of(work, signer, airplane, on, rules)
        for work in thing.works
        for on in _days(thing, signing_on)
    ]
    workings = tuple(each.working for each in asked)
    refused = [each for each in asked if not each.may]
    if refused:
        return _told(thing, MaySign(False, refused[0].why()), signer, workings)
    as_owner = any(each.only_as_owner for each in asked)
    wrong = _wrong_for_owner(meaning, signer, performer_id) if as_owner else ""
    if wrong:
        return _told(thing, MaySign(False, wrong), signer, workings)
    named = _as_owner(signer, signing_on) if as_owner else _role(thing, signer, airplane, signing_on, rules)
    return _told(thing, _numbered(signer, *named), signer, workings)


def _days(thing: ToSign, signing_on: date) -> tuple[date, ...]:
    return tuple(dict.fromkeys((thing.work_on or signing_on, signing_on)))


def _wrong_meaning(thing: ToSign, meaning: str, signer: Signer, performer_id: int | None) -> str:
    if meaning not in thing.meanings or meaning not in MEANINGS:
        return f"{thing.said} can be signed as {' or '.join(thing.meanings)}, not as '{meaning}'."
    if thing.never_by == signer.person_id:
        return f"{signer.person.name} can't sign this; it takes a second person."
    if meaning == SUPERVISED:
        return _wrong_supervision(thing, signer, performer_id)
    if performer_id not in (None, signer.person_id) and meaning == PERFORMED and thing.works:
        return "Somebody else did this work; sign it as supervised, or let the person who did it sign."
    return ""


def _wrong_supervision(thing: ToSign, signer: Signer, performer_id: int | None) -> str:
    if performer_id is None or performer_id == signer.person_id:
        return "Supervised work needs the name of another person who did it."
    if any(_is_inspection(work) for work in thing.works):
        return "Supervision never covers an inspection that the rules require (14 CFR 43.3(d))."
    return ""


def _is_inspection(work: WorkPiece) -> bool:
    return bool(work.inspection) and str(work.kind) in ("inspect", "test", "run_up", "record")


def _by_role(thing: ToSign, signer: Signer) -> MaySign:
    fitting = [role for role in signer.roles if not thing.roles or role in thing.roles]
    if thing.roles and not fitting:
        return MaySign(False, f"It is signed by a {' or '.join(thing.roles)}; {signer.person.name} is none.")
    return MaySign(True, "No work on an airplane is signed for.", fitting[0] if fitting else "person")


@dataclass(frozen=True, slots=True)
class _Asked:
    """One piece of work on one day, asked of the rules."""

    work: WorkPiece
    on: date
    may: bool
    only_as_owner: bool
    working: Working

    @classmethod
    def of(cls, work: WorkPiece, signer: Signer, airplane: Airplane, on: date, rules: RuleSet) -> _Asked:
        told = authority(work, signer.person, airplane, signer.standing, on, rules)
        certificated = any(c.kind in _CERTIFICATED and in_force(c, on) for c in signer.person.certificates)
        may = told.may_sign or (certificated and _unowed(told))
        only_as_owner = may and signer.standing is not Standing.NONE
        if only_as_owner:
            alone = authority(work, signer.person, airplane, Standing.NONE, on, rules)
            only_as_owner = not (alone.may_sign or (certificated and _unowed(alone)))
        return cls(work, on, may, only_as_owner, told.working)

    def why(self) -> str:
        """The reason of a no: the bars that fit; those that took a right away first, 43.3 last."""
        steps = self.working.steps
        barred = [s.text for s in steps if "[forbid]" in s.text and s.result.startswith("fits")]
        took = tuple(s.result.removeprefix(TAKEN) for s in steps if s.result.startswith(TAKEN))
        order = sorted(barred, key=lambda text: (not text.startswith(took), "CFR 43.3" in text))
        told = [text.replace(" [forbid]", "") for text in order]
        if self.work.major and not took:
            told.insert(0, _MAJOR)
        reasons = " ".join(told) if told else "No rule permits it to a person with these certificates."
        return f"'{self.work.title}' can't be signed as of {said_date(self.on)}. {reasons}"


def _wrong_for_owner(meaning: str, signer: Signer, performer_id: int | None) -> str:
    if meaning != PERFORMED or performer_id not in (None, signer.person_id):
        return "An owner signs only preventive maintenance of their own doing (14 CFR 43.3(g), 43.7(f))."
    return ""


def _unowed(told: Authority) -> bool:
    """Work that may be done and owes no entry: a certificated person may sign that it was done."""
    return told.may_do is MayDo.YES and not told.entry


def _numbered(signer: Signer, role: str, certificates: tuple[Certificate, ...]) -> MaySign:
    """The role and the certificates that the signature names; their numbers must be written down."""
    if not any(each.number.strip() for each in certificates):
        return MaySign(
            False,
            f"The number of {signer.person.name}'s certificate isn't written down, and an entry must name it "
            "(14 CFR 43.9(a)(4), 43.11(a)(3)).",
        )
    return MaySign(True, f"Entitled as {_HOLDERS.get(role, role)}.", role, certificates)


_HOLDERS = {"inspection authorization": "holder of an inspection authorization"}
"""Roles that name a paper, as the person who holds it."""


_Role = tuple[str, tuple[Certificate, ...]]


def _as_owner(signer: Signer, on: date) -> _Role:
    held = (each for each in signer.person.certificates if in_force(each, on))
    return "owner-pilot", tuple(each for each in held if each.kind is CertificateKind.PILOT)


def _role(thing: ToSign, signer: Signer, airplane: Airplane, on: date, rules: RuleSet) -> _Role:
    """The first of the papers that alone entitles to all of it; every one of them where none alone does."""
    papers = _papers(thing, signer.person, on, rules)
    if not papers:
        return "", ()
    if len(papers) == 1:
        return papers[0]
    for role, certificates in papers:
        alone = Person(signer.person.name, certificates)
        told = (authority(work, alone, airplane, Standing.NONE, on, rules) for work in thing.works)
        if all(each.may_sign or _unowed(each) for each in told):
            return role, certificates
    return papers[0][0], tuple(dict.fromkeys(each for _, certificates in papers for each in certificates))


def _papers(thing: ToSign, person: Person, on: date, rules: RuleSet) -> list[_Role]:
    """What the person holds that day to sign work by, the authorization first where the work asks for it."""
    held = [each for each in person.certificates if in_force(each, on)]
    papers: list[_Role] = [
        (str(kind), of_kind)
        for kind in _CERTIFICATED
        if (of_kind := tuple(each for each in held if each.kind is kind))
    ]
    mechanic = [each for each in held if each.kind is CertificateKind.MECHANIC]
    authorization = [each for each in held if _is_authorization(each, on, rules)]
    bound = any(work.inspection in _BOUND or work.major for work in thing.works)
    if bound and authorization and mechanic:
        papers.insert(0, ("inspection authorization", (*authorization, *mechanic)))
    return papers


def _is_authorization(certificate: Certificate, on: date, rules: RuleSet) -> bool:
    if certificate.kind is not CertificateKind.INSPECTION_AUTHORIZATION:
        return False
    last = expires_on(certificate, rules.expiry)
    return last is not None and on <= last


_ENTITLED = Rule("14 CFR 43.7, 43.9(a)(4), 43.11(a)(3)", "who approves is entitled and names the certificate")
_BY_ROLE = Rule("this program's own", "what is no work on an airplane is signed by whoever has the role")


def _told(thing: ToSign, answer: MaySign, signer: Signer, parts: tuple[Working, ...]) -> Worked[MaySign]:
    working = Working(
        title=f"May {signer.person.name} sign {thing.said}?",
        result=("may sign: " if answer.may else "may not sign: ") + answer.why,
        inputs=(
            Input("what", thing.said),
            Input("day of the work", said_date(thing.work_on) if thing.work_on else "none"),
            Input("certificates named", ", ".join(f"{each.kind}" for each in answer.certificates) or "none"),
        ),
        steps=(
            Step("entitled on the day of the work and on the day of signing", answer.why)
            if thing.works
            else Step("no work on an airplane: signed by role", " or ".join(thing.roles) or "anyone"),
        ),
        rules=(_ENTITLED if thing.works else _BY_ROLE,),
        assumptions=("Certificates are as they were written down; the program has not seen them.",),
        parts=parts,
    )
    return Worked(answer, working)
