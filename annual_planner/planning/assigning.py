"""Giving cards to people, by what the rules let them do."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from annual_planner.library.rules import load_rules
from annual_planner.planning.card_changes import CARD_CHANGED, change_card
from annual_planner.planning.card_content import from_stored
from annual_planner.planning.entitled import may, work_piece
from annual_planner.records.edits import Changed
from annual_planner.store.fleet_reads import aircraft_sheet, person_values
from annual_planner.store.packages import card_line, package_dates
from annual_planner.store.rows import CardLine
from annual_planner.store.session import Work
from annual_planner.trade.authority import Authority, MayDo
from annual_planner.trade.clauses import RuleSet
from annual_planner.trade.refused import Refused


@dataclass(frozen=True, slots=True)
class AssignCard:
    """Give a card to a person, or to nobody (None). `rules`: as shipped where none are given."""

    card_id: int
    saw_person_id: int | None
    wants_person_id: int | None
    rules: RuleSet | None = None

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "person of the card"

    def apply(self, work: Work, today: date) -> Changed:
        """Write it down. Refused, with the reasons, for a person who may not do it on the first day."""
        if self.wants_person_id is not None:
            check_assignment(work, self.card_id, self.wants_person_id, self.rules)
        aircraft_id = change_card(
            work,
            self.card_id,
            {"assigned_person_id": self.saw_person_id},
            {"assigned_person_id": self.wants_person_id},
        )
        back = AssignCard(self.card_id, self.wants_person_id, self.saw_person_id, self.rules)
        return Changed(CARD_CHANGED, back, aircraft_id)


def check_assignment(
    work: Work, card_id: int, person_id: int, rules: RuleSet | None = None
) -> tuple[str, ...]:
    """Warnings for giving this card to this person, such as the supervision it needs.

    Refused, with the reasons, when the person may not do it on the first day of the visit.
    """
    card = card_line(work, card_id)
    answer = assignment(work, card, person_id, rules or load_rules())
    if answer.may_do is MayDo.NO:
        raise Refused(
            f"{answer.working.title} {answer.working.result}. {_because(answer)}".strip(),
            f"Give it to: {card.doer}.",
        )
    asked = {
        MayDo.SUPERVISED: ("Only under the supervision in person of a certificated person (43.3(d)).",),
        MayDo.ASK: ("Whether this person may do it needs a mechanic's judgement.",),
    }
    return (*asked.get(answer.may_do, ()), *answer.warnings)


def assignment(work: Work, card: CardLine, person_id: int, rules: RuleSet) -> Authority:
    """The authority of a person for a card on the first day of its visit. Refused when the person is gone."""
    person = person_values(work).get(person_id)
    if person is None:
        raise Refused("That person is no longer in the fleet.", "Choose another person.")
    dates = package_dates(work, card.package_id)
    sheet = aircraft_sheet(work, dates.aircraft_id)
    piece = work_piece(card.title, card.kind, from_stored(card.content))
    return may(piece, person, sheet, person_id, dates.start_on, rules)


def _because(answer: Authority) -> str:
    said = [f"{rule.citation}: {rule.says}" for rule in answer.working.rules if rule.says]
    return " ".join((*said, *answer.warnings))
