"""Readers of people and of facts about the fleet as a whole."""

from __future__ import annotations

from difflib import get_close_matches

from sqlalchemy import select

from annual_planner.store.mappings import CertificateRow, FleetFact, PersonRow
from annual_planner.store.rows import PersonLine
from annual_planner.store.session import Work
from annual_planner.trade.people import Certificate, CertificateKind, Person
from annual_planner.trade.refused import Refused


def people(work: Work) -> list[PersonLine]:
    """Everyone in the fleet by name, with a short text of what they hold."""
    held = _certificates(work)
    rows = work.session.scalars(select(PersonRow).order_by(PersonRow.name))
    return [
        PersonLine(
            person_id=row.id,
            name=row.name,
            roles=tuple(row.roles),
            holds=", ".join(_said(each) for each in held.get(row.id, ())),
            contact=row.contact,
            cost_per_hour=row.cost_per_hour,
            version=row.version,
        )
        for row in rows
    ]


def person_values(work: Work) -> dict[int, Person]:
    """Everyone with their certificates, as the rules about who may do what ask for them."""
    held = _certificates(work)
    rows = work.session.execute(select(PersonRow.id, PersonRow.name).order_by(PersonRow.id))
    return {row_id: Person(name, tuple(held.get(row_id, ()))) for row_id, name in rows}


def _certificates(work: Work) -> dict[int, list[Certificate]]:
    held: dict[int, list[Certificate]] = {}
    for row in work.session.scalars(select(CertificateRow).order_by(CertificateRow.id)):
        held.setdefault(row.person_id, []).append(_certificate(row))
    return held


def _certificate(row: CertificateRow) -> Certificate:
    return Certificate(
        kind=CertificateKind(row.kind),
        number=row.number,
        ratings=frozenset(row.ratings),
        valid_from=row.valid_from,
        expires_on=row.expires_on,
        activity_met=row.activity_met,
        base_moved_on=row.base_moved_on,
        base_notice_on=row.base_notice_on,
        months_worked_in_24=row.months_worked_in_24,
    )


def _said(certificate: Certificate) -> str:
    ratings = f" ({', '.join(sorted(certificate.ratings))})" if certificate.ratings else ""
    return f"{certificate.kind.value}{ratings}"


def fleet_fact(work: Work, key: str) -> str:
    """One fact about the whole fleet; empty when it is not written down."""
    return work.session.scalar(select(FleetFact.value).where(FleetFact.key == key)) or ""


def set_fleet_fact(work: Work, key: str, value: str) -> None:
    """Write down one fact about the whole fleet."""
    work.session.merge(FleetFact(key=key, value=value))
    work.session.flush()


def person_named(work: Work, name: str) -> PersonLine:
    """The person of this name, in either case. Refused, with names that come near, where nobody has it."""
    everybody = people(work)
    found = next((each for each in everybody if each.name.casefold() == name.strip().casefold()), None)
    if found is not None:
        return found
    names = [each.name for each in everybody]
    near = get_close_matches(name, names, n=3, cutoff=0.5)
    if near:
        remedy = f"Did you mean {' or '.join(near)}?"
    elif names:
        remedy = f"Write the name as it stands there, such as {names[0]}."
    else:
        remedy = "Write people down under Set up the shop."
    raise Refused(f"There is nobody called {name} in the fleet.", remedy)
