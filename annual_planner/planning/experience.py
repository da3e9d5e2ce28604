"""What the shop's own visits say about the next one: hours learned for cards, and what may be found."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal

from annual_planner.library.shelf import Library
from annual_planner.planning.card_content import from_stored
from annual_planner.planning.crew.estimates import Hours as ThreeHours
from annual_planner.planning.crew.estimates import learned_hours
from annual_planner.planning.crew.findings import Findings, number_from_history
from annual_planner.planning.crew.open_time import STEPS_AN_HOUR
from annual_planner.planning.crew.problem import Job
from annual_planner.planning.drafts import Draft
from annual_planner.store.experience import FoundBefore, cards_taken
from annual_planner.store.rows import CardLine
from annual_planner.store.session import Work
from annual_planner.trade.answer import answer
from annual_planner.trade.cards import Hours, Phase, WorkKind
from annual_planner.trade.refused import Refused
from annual_planner.trade.shop_floor import Defects
from annual_planner.trade.working import Step, Worked

ENOUGH_DOINGS = 3
"""Doings of a template from which its hours are learned; common practice, no source."""

LOOKS = (WorkKind.INSPECT, WorkKind.TEST)
"""Kinds of work that turn defects up."""


@dataclass(frozen=True, slots=True)
class Experience:
    """Hours that cards of each template took in this shop, the oldest first."""

    used: Mapping[str, Sequence[Decimal]] = field(default_factory=dict)

    def learned(self, template: str, hours: Hours) -> Worked[ThreeHours] | None:
        """Hours of a template's cards with their working; None while there are too few doings."""
        used = self.used.get(template, ())
        if len(used) < ENOUGH_DOINGS or not 0 < hours.low <= hours.likely <= hours.high:
            return None
        return learned_hours(ThreeHours(hours.low, hours.likely, hours.high), used)

    def hours(self, template: str, hours: Hours) -> Hours:
        """Learned hours where there are enough doings, else the template's own."""
        worked = self.learned(template, hours)
        return hours if worked is None else Hours(worked.value.low, worked.value.likely, worked.value.high)

    def of_draft(self, draft: Draft) -> Draft:
        """A card to be, with learned hours; one into which others were merged keeps its own."""
        if draft.content.merged:
            return draft
        return replace(draft, hours=self.hours(draft.content.template, draft.hours))

    def of_card(self, card: CardLine, library: Library) -> Hours:
        """Hours of a stored card: learned as long as it has those of its template; a person's own stay."""
        own, content = Hours(card.hours_low, card.hours_likely, card.hours_high), from_stored(card.content)
        template = _template_hours(library, content.template)
        return self.hours(content.template, own) if own == template and not content.merged else own


NO_EXPERIENCE = Experience()


def experience(work: Work) -> Experience:
    """What the last visits took, by template: one query."""
    used: dict[str, list[Decimal]] = {}
    for taken in cards_taken(work):
        if taken.minutes:
            used.setdefault(taken.key.split("#")[0], []).append(Decimal(taken.minutes) / 60)
    return Experience(used)


def explain_hours(work: Work, card: CardLine, library: Library) -> Worked[ThreeHours]:
    """Hours of a card as its shop's doings move them. Refused for one that no template stands behind."""
    content = from_stored(card.content)
    hours = _template_hours(library, content.template)
    if hours is None:
        raise Refused(f"Card {card.number} comes from no template.", "Its hours are what was written down.")
    used = experience(work).used.get(content.template, ())
    template = ThreeHours(hours.low, hours.likely, hours.high)
    return learned_hours(template, used) if len(used) >= ENOUGH_DOINGS else _not_yet_learned(template, used)


def _not_yet_learned(template: ThreeHours, used: Sequence[Decimal]) -> Worked[ThreeHours]:
    """The template's hours, which stand until the card was done often enough."""
    said = f"{template.low} / {template.likely} / {template.high}"
    return answer(
        template,
        "Hours as the template has them",
        f"{said} h",
        citation="common practice, no source",
        says=f"hours are learned once a card was done {ENOUGH_DOINGS} times",
        inputs=[("template", said, "h"), ("doings with their time", str(len(used)))],
        steps=[Step(f"{len(used)} of {ENOUGH_DOINGS} doings", "the template's hours stand")],
        assumptions=["The template's hours are those of a shop that knows the type."],
    )


def _template_hours(library: Library, key: str) -> Hours | None:
    return next((each.hours for each in library.cards if each.key == key), None)


# ---- what may be found


def findings_ahead(
    jobs: Sequence[Job], cards: Mapping[str, CardLine], defects: Defects, before: FoundBefore
) -> Findings | None:
    """Defects that the looking of a package may turn up; None where nothing in it is looked at."""
    on = {job.key: float(job.likely) for job in jobs if job.seats and _looks(cards.get(job.key))}
    if not on:
        return None
    return Findings(
        number=number_from_history(before.found, before.visits, defects.per_annual),
        on=on,
        low=_steps(defects.hours[0]),
        likely=_steps(defects.hours[1]),
        high=_steps(defects.hours[2]),
        part_chance=defects.part_chance,
        part_days=defects.part_days,
        closed_by=dict(_closed_by(on, jobs, cards)),
        source=defects.source,
    )


def _looks(card: CardLine | None) -> bool:
    return card is not None and WorkKind(card.kind) in LOOKS


def _steps(hours: float) -> int:
    return max(1, round(hours * STEPS_AN_HOUR))


def _closed_by(
    on: Iterable[str], jobs: Sequence[Job], cards: Mapping[str, CardLine]
) -> Iterable[tuple[str, str]]:
    """For each job that may find something the one that closes its zone; else the first gate behind it."""
    following: dict[str, list[str]] = {}
    for job in jobs:
        for after in job.after:
            following.setdefault(after.job, []).append(job.key)
    for key in on:
        behind = _behind(key, following)
        closing = [
            each
            for each in behind
            if each in cards and cards[each].zone == cards[key].zone and cards[each].phase == Phase.CLOSE
        ]
        gates = [each for each in behind if each == READY_TO_RUN]
        if closing or gates:
            yield key, (closing or gates)[0]


READY_TO_RUN = "gate: ready to run"
"""The point at which everything is closed (see `trade.gates`)."""


def _behind(key: str, following: Mapping[str, Sequence[str]]) -> list[str]:
    """Jobs that come after one, the nearest first."""
    found = list(dict.fromkeys(following.get(key, ())))
    seen = set(found)
    for each in found:  # it grows while it is walked
        for after in following.get(each, ()):
            if after not in seen:
                seen.add(after)
                found.append(after)
    return found
