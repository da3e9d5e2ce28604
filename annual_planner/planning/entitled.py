"""Who must at least do and sign a card, and whether a person may, by the rules kept as data."""

from __future__ import annotations

from datetime import date

from annual_planner.planning.card_content import CardContent
from annual_planner.store.fleet_reads import aircraft_sheet, person_values
from annual_planner.store.rows import AircraftSheet
from annual_planner.store.session import Work
from annual_planner.trade.authority import Authority, Needed, authority, least_needed, may_fly_check
from annual_planner.trade.cards import WorkKind
from annual_planner.trade.clauses import RuleSet
from annual_planner.trade.people import Airplane, Person, Standing, WorkPiece
from annual_planner.trade.said import said_date
from annual_planner.trade.working import Input, Rule, Step, Worked, Working


def airplane_of(sheet: AircraftSheet) -> Airplane:
    """What the rules ask about the airplane."""
    return Airplane(sheet.category, frozenset(sheet.uses))


def work_piece(title: str, kind: str, content: CardContent) -> WorkPiece:
    """A card as the rules see it."""
    return WorkPiece(
        title=title,
        kind=WorkKind(kind),
        subject=content.subject,
        preventive=content.preventive,
        inspection=content.inspection,
        complex=content.complex,
        major=content.major,
    )


def standing_of(sheet: AircraftSheet, person_id: int) -> Standing:
    """The person's relation to the airplane."""
    return Standing.OWNER if sheet.owner_id == person_id else Standing.NONE


def may(
    work: WorkPiece, person: Person, sheet: AircraftSheet, person_id: int, on: date, rules: RuleSet
) -> Authority:
    """Answer whether this person may do and sign this work on that day."""
    return authority(work, person, airplane_of(sheet), standing_of(sheet, person_id), on, rules)


def owner_person(work: Work, sheet: AircraftSheet) -> Person | None:
    """The airplane's owner with the certificates on record; None where no owner is recorded."""
    return person_values(work).get(sheet.owner_id) if sheet.owner_id is not None else None


def explain_flight_check(work: Work, aircraft_id: int, rules: RuleSet, today: date) -> Working:
    """Who of the people on record may make the flight check after work that may have changed how it flies."""
    sheet, people = aircraft_sheet(work, aircraft_id), person_values(work)
    asked = [
        (person.name, may_fly_check(person, airplane_of(sheet), standing_of(sheet, each), today, rules))
        for each, person in sorted(people.items(), key=lambda item: item[1].name)
    ]
    able = [name for name, worked in asked if worked.value]
    return Working(
        title=f"Who may make the flight check of {sheet.registration}",
        result=", ".join(able) or "nobody on record",
        inputs=(Input("people on record", str(len(people))), Input("day", said_date(today))),
        steps=tuple(Step(name, worked.working.result) for name, worked in asked),
        rules=(Rule("14 CFR 91.407(b)", "before anybody but crew goes along, and logged in the records"),),
        assumptions=(
            "The work may have changed how it flies; no ground test shows that it did not (91.407(c)).",
            "Whoever flies is rated on the airplane; the program has not seen the certificates.",
        ),
        parts=tuple(worked.working for _, worked in asked if worked.value),
    )


class LeastAsked:
    """Asks the rules once for each sort of work on one airplane; cards of one sort share the answer.

    `owner`: the airplane's owner with the certificates on record; None where no owner is recorded, then an
    owner with a private pilot certificate is taken.
    """

    def __init__(self, sheet: AircraftSheet, on: date, rules: RuleSet, owner: Person | None = None) -> None:
        self._owner = owner
        self._airplane = airplane_of(sheet)
        self._on = on
        self._rules = rules
        self._known: dict[tuple[object, ...], Worked[Needed]] = {}

    def needed(self, title: str, kind: str, content: CardContent) -> Worked[Needed]:
        """The least doer, signer and the entry owed."""
        work = work_piece(title, kind, content)
        sort = (work.kind, work.subject, work.preventive, work.inspection, work.complex, work.major)
        if sort not in self._known:
            self._known[sort] = least_needed(work, self._airplane, self._on, self._rules, self._owner)
        return self._known[sort]
