"""What is known of a person, an airplane and a piece of work, in the words that rules ask for."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from decimal import Decimal

from annual_planner.trade.clauses import Expiry, Facts, RuleSet
from annual_planner.trade.people import Airplane, Certificate, CertificateKind, Person, Standing, WorkPiece

DATABASE_UPDATE = "43.3(k)"
MONTHS_OF_WORK = Decimal(6)
"""Months of work within 24 that keep a mechanic's privileges alive (65.83)."""


def facts_of(
    work: WorkPiece, person: Person, airplane: Airplane, standing: Standing, on: date, rules: RuleSet
) -> Facts:
    """Give everything a rule may ask about this question; the names are those of clauses.FACTS."""
    return {
        **_work_facts(work, rules),
        "airplane.category": frozenset({airplane.category}),
        "airplane.uses": airplane.uses,
        "person.standing": frozenset({str(standing)}),
        **_person_facts(person, on, rules.expiry),
    }


def in_force(certificate: Certificate, on: date) -> bool:
    """Say whether the certificate's own dates take in that day; both ends count."""
    begun = certificate.valid_from is None or certificate.valid_from <= on
    return begun and (certificate.expires_on is None or on <= certificate.expires_on)


def expires_on(certificate: Certificate, expiry: Expiry | None) -> date | None:
    """Give the last day of an inspection authorization: as its card says, else as the rules have it."""
    if certificate.expires_on or not certificate.valid_from or not expiry:
        return certificate.expires_on
    return expiry.next_from(certificate.valid_from)


def listed_as(work: WorkPiece, rules: RuleSet) -> str:
    """Say how the work stands to the preventive maintenance list: every item it names must be on it.

    Work is a database update only when it is nothing else besides.
    """
    others = [ref for ref in work.preventive if ref != DATABASE_UPDATE]
    if work.preventive and not others:
        return "database update"
    return "listed" if others and all(rules.item(ref) for ref in others) else "not listed"


def _work_facts(work: WorkPiece, rules: RuleSet) -> Facts:
    return {
        "work.kind": frozenset({str(work.kind)}),
        "work.subject": frozenset({str(work.subject)}),
        "work.inspection": frozenset({work.inspection or "none"}),
        "work.major": _yes(work.major),
        "work.complex": _yes(work.complex),
        "work.listed": frozenset({listed_as(work, rules)}),
        "work.items": frozenset(work.preventive),
    }


def _person_facts(person: Person, on: date, expiry: Expiry | None) -> Facts:
    held = [c for c in person.certificates if in_force(c, on)]
    authorization = _latest(person.certificates, on)
    return {
        "person.certificates": frozenset(str(c.kind) for c in held),
        "pilot.grades": _ratings(held, CertificateKind.PILOT),
        "mechanic.ratings": _ratings(held, CertificateKind.MECHANIC),
        "mechanic.recent": frozenset({_recent(held)}),
        "repairman.ratings": _ratings(held, CertificateKind.REPAIRMAN),
        "station.ratings": _ratings(held, CertificateKind.REPAIR_STATION),
        "authorization.time": frozenset({_time(authorization, on, expiry)}),
        "authorization.activity": frozenset({_activity(authorization, on, expiry)}),
        "authorization.notice": frozenset({_notice(authorization, on)}),
    }


def _latest(certificates: Iterable[Certificate], on: date) -> Certificate | None:
    """Of several authorizations, the one whose card began last but not after the day; else any."""
    held = [c for c in certificates if c.kind is CertificateKind.INSPECTION_AUTHORIZATION]
    return max(held, key=lambda c: _began(c, on), default=None)


def _began(certificate: Certificate, on: date) -> date:
    began = certificate.valid_from or date.min
    return began if began <= on else date.min


def _ratings(held: Iterable[Certificate], kind: CertificateKind) -> frozenset[str]:
    return frozenset(rating for c in held if c.kind is kind for rating in c.ratings)


def _recent(held: Iterable[Certificate]) -> str:
    mechanics = [c for c in held if c.kind is CertificateKind.MECHANIC]
    months = [c.months_worked_in_24 for c in mechanics if c.months_worked_in_24 is not None]
    if not mechanics:
        return "not a mechanic"
    if not months:
        return "not recorded"
    return "yes" if max(months) >= MONTHS_OF_WORK else "no"


def _time(authorization: Certificate | None, on: date, expiry: Expiry | None) -> str:
    if authorization is None:
        return "not held"
    last = expires_on(authorization, expiry)
    if authorization.valid_from and on < authorization.valid_from:
        return "not begun"
    if last is None:
        return "dates not recorded"
    return "in date" if on <= last else "ran out"


def _activity(authorization: Certificate | None, on: date, expiry: Expiry | None) -> str:
    if authorization is None:
        return "not held"
    if authorization.activity_met:
        return "met or not yet asked"
    checked = _activity_checked_on(authorization, expiry)
    return "missed" if checked is None or on > checked else "met or not yet asked"


def _activity_checked_on(authorization: Certificate, expiry: Expiry | None) -> date | None:
    last = expires_on(authorization, expiry)
    if last is None or expiry is None or not expiry.activity_checked_years_before:
        return None  # no date to wait for: a missed activity counts at once, the cautious reading
    return date(last.year - expiry.activity_checked_years_before, expiry.month, expiry.day)


def _notice(authorization: Certificate | None, on: date) -> str:
    if authorization is None:
        return "not held"
    moved, told = authorization.base_moved_on, authorization.base_notice_on
    if moved is None or on < moved:
        return "not needed"
    return "sent" if told is not None and moved <= told <= on else "not sent"


def _yes(answer: bool) -> frozenset[str]:
    return frozenset({"yes" if answer else "no"})
