"""Cards of one's own on a package: adding, removing, putting back."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from annual_planner.library.rules import load_rules
from annual_planner.planning.card_changes import (
    CARD,
    CARD_CHANGED,
    HoursGiven,
    card_said,
    check_hours,
    open_package,
)
from annual_planner.planning.card_content import CardContent, as_stored
from annual_planner.planning.drafts import OWN
from annual_planner.planning.entitled import LeastAsked, owner_person
from annual_planner.records.edits import Changed
from annual_planner.store.audit import note_change
from annual_planner.store.fleet_reads import aircraft_sheet
from annual_planner.store.package_writes import NewCard, add_cards
from annual_planner.store.packages import PackageDates, card_line, card_lines
from annual_planner.store.session import Work
from annual_planner.store.writing import add, field_of, remove
from annual_planner.trade.cards import ENGINE_ZONES, Hours, Phase, WorkKind
from annual_planner.trade.clauses import RuleSet
from annual_planner.trade.refused import Refused


@dataclass(frozen=True, slots=True)
class AddOwnCard:
    """Add a card of one's own to a package: `hours` are low, likely, high; `major` repair or alteration."""

    package_id: int
    title: str
    zone: str
    phase: str
    kind: str
    hours: HoursGiven
    note: str = ""
    rules: RuleSet | None = None
    major: bool = False

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return f"card '{self.title}'"

    def apply(self, work: Work, today: date) -> Changed:
        """Write it down behind the last number. Refused, with every fault, when it can't be a card."""
        dates = open_package(work, self.package_id)
        phase, kind, hours = self._checked()
        number = max((card.number for card in card_lines(work, self.package_id)), default=0) + 1
        card = self._card(work, dates, number, phase, kind, hours)
        (card_id,) = add_cards(work, self.package_id, [card])
        after = {"number": number, "title": card.title}
        note_change(work, CARD, card_id, dates.aircraft_id, "added a card", {}, after)
        return Changed(CARD_CHANGED, RemoveCard(card_id), dates.aircraft_id, card_id)

    def _checked(self) -> tuple[Phase, WorkKind, Hours]:
        faults = [] if self.title.strip() else ["The card has no title."]
        if self.phase not in tuple(Phase):
            faults.append(f"There is no phase '{self.phase}'.")
        if self.kind not in tuple(WorkKind):
            faults.append(f"There is no kind of work '{self.kind}'.")
        if faults:
            raise Refused(" ".join(faults), f"Phases: {', '.join(Phase)}; kinds: {', '.join(WorkKind)}.")
        return Phase(self.phase), WorkKind(self.kind), check_hours(*self.hours)

    def _card(
        self, work: Work, dates: PackageDates, number: int, phase: Phase, kind: WorkKind, hours: Hours
    ) -> NewCard:
        subject = self.zone if self.zone in ENGINE_ZONES else "airframe"
        inspection = "annual" if kind is WorkKind.INSPECT else ""
        content = CardContent(
            subject=subject, inspection=inspection, inspector=bool(inspection), major=self.major
        )
        sheet = aircraft_sheet(work, dates.aircraft_id)
        rules = self.rules or load_rules()
        asked = LeastAsked(sheet, dates.start_on, rules, owner_person(work, sheet))
        needed = asked.needed(self.title, kind.value, content).value
        return NewCard(
            number=number,
            key=f"own:{number}",
            title=self.title.strip(),
            zone=self.zone,
            phase=phase.value,
            kind=kind.value,
            hours_low=hours.low,
            hours_likely=hours.likely,
            hours_high=hours.high,
            content=as_stored(content),
            origin=OWN,
            included=True,
            doer=needed.done_by,
            signer=needed.signed_by,
            entry=needed.entry,
            note=self.note,
        )


@dataclass(frozen=True, slots=True)
class RemoveCard:
    """Take one's own card away."""

    card_id: int

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "removal of the card"

    def apply(self, work: Work, today: date) -> Changed:
        """Remove it. Refused for a card that isn't one's own: that is left out, not removed."""
        card = card_line(work, self.card_id)
        dates = open_package(work, card.package_id)
        if card.origin != OWN:
            raise Refused(f"Card {card.number} came with the package.", "Leave it out instead.")
        values = remove(work, CARD, self.card_id, aircraft_id=dates.aircraft_id, said=card_said(card))
        kept = tuple(values.items())
        return Changed(CARD_CHANGED, PutBackCard(card.title, kept, dates.aircraft_id), dates.aircraft_id)


@dataclass(frozen=True, slots=True)
class PutBackCard:
    """Put a removed card back as it was."""

    title: str
    values: tuple[tuple[str, object], ...]
    aircraft_id: int

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return f"return of card '{self.title}'"

    def apply(self, work: Work, today: date) -> Changed:
        """Write its row again under its old id and, where that is still free, its old number."""
        said = f"card '{self.title}'"
        values = dict(self.values)
        taken = {card.number for card in card_lines(work, field_of(values, "package_id", int))}
        if values["number"] in taken:
            values["number"] = max(taken) + 1
        card_id = add(work, CARD, values, aircraft_id=self.aircraft_id, said=said)
        return Changed(CARD_CHANGED, RemoveCard(card_id), self.aircraft_id, card_id)
