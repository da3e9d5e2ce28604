"""Whose hands a card may be in: people with their open time, and what the rules let each of them do."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from decimal import Decimal
from functools import cached_property

from annual_planner.planning.card_content import CardContent
from annual_planner.planning.crew.open_time import Calendar, ClosedDay, Span, any_open
from annual_planner.planning.crew.problem import Person, Seat
from annual_planner.planning.entitled import may, work_piece
from annual_planner.planning.open_hours import closed_days, hours_of, shop_hours
from annual_planner.store.rows import AircraftSheet, CardLine
from annual_planner.store.shop_reads import Shop
from annual_planner.trade.authority import MayDo
from annual_planner.trade.clauses import RuleSet
from annual_planner.trade.people import CertificateKind
from annual_planner.trade.people import Person as Certificated
from annual_planner.trade.refused import Refused
from annual_planner.trade.shop_floor import OWN_FIGURE, HourCost, HourCosts

DAYS_AHEAD = 90
AHEAD = timedelta(days=14)
"""Time before a visit in which an owner prepares for it; common practice, no source."""

ON_JACKS = "jacks"
"""Caution of cards that an owner isn't planned on while no mechanic is there; common practice, no source."""

SECOND_PERSON = "second person"
QUARTER = timedelta(minutes=15)
_DAY_ONE = datetime(2000, 1, 1)  # noqa: DTZ001 - the shop's own clock, which has no zone


def person_key(person_id: int) -> str:
    """A person's key in the plan."""
    return f"person {person_id}"


def person_id(key: str) -> int:
    """The person a key of the plan means."""
    return int(key.removeprefix("person "))


@dataclass
class Hands:
    """The people who may work on one airplane, from a moment on the shop's own clock."""

    place: Shop
    sheet: AircraftSheet
    known: Mapping[int, Certificated]
    roles: Mapping[int, tuple[str, ...]]
    rules: RuleSet
    starts: datetime
    costs: HourCosts
    own_costs: Mapping[int, Decimal | None]
    """What an hour of each costs by the shop's own word; None: as of their kind."""
    offered: Collection[int]
    """Numbers of the cards that the owner is asked to do; others are the owner's only where assigned."""
    now: datetime
    """An owner's hours count from here, those of the others from `starts`."""
    _may: dict[tuple[object, ...], MayDo] = field(default_factory=dict)

    @cached_property
    def shop_calendar(self) -> Calendar:
        """The shop's open time that is left."""
        return left_of(shop_hours(self.place, self.starts.date(), self._last_day), self.starts)

    @cached_property
    def shop_closed(self) -> tuple[ClosedDay, ...]:
        """Days that its open time leaves out for a reason of their own."""
        return closed_days(self.place, self.starts.date(), self._last_day)

    @cached_property
    def workers(self) -> dict[str, tuple[Person, Calendar]]:
        """People who may work on this airplane and have hours, with those hours, by key.

        Raises Refused when there is nobody.
        """
        found = dict(filter(None, map(self._worker, self.known)))
        if not found:
            raise Refused(
                "Nobody works on this airplane.",
                "Write down the people who do, with their hours.",
                about="shop",
            )
        return found

    @cached_property
    def watched(self) -> Calendar:
        """Time when a mechanic is in the shop."""
        return any_open(
            hours for key, (_, hours) in self.workers.items() if "mechanic" in self.roles[person_id(key)]
        )

    @cached_property
    def shortest_day(self) -> int:
        """Quarter-hours of the longest day of whoever's longest day is the shortest."""
        longest = (max(hours.minutes_by_day().values()) for _, hours in self.workers.values())
        return min(longest) // (QUARTER // timedelta(minutes=1))

    @property
    def _last_day(self) -> date:
        return self.starts.date() + timedelta(days=DAYS_AHEAD)

    def _worker(self, who: int) -> tuple[str, tuple[Person, Calendar]] | None:
        if not self._works_here(who):
            return None
        begins = self._begins(who)
        own, away = hours_of(self.place, who, begins.date(), self._last_day)
        hours = left_of(own, begins) if own is not None else self.shop_calendar
        if not hours.steps:
            return None
        whole = None if hours == self.shop_calendar else hours
        away_now = tuple(span for span in away if span.end > begins)
        key = person_key(who)
        cost = self.cost_per_hour(who).amount
        person = Person(key, self.known[who].name, hours=whole, away=away_now, cost_per_hour=cost)
        return key, (person, hours)

    def _begins(self, who: int) -> datetime:
        """From when somebody's hours count: an owner may prepare the airplane before it comes."""
        return max(self.now, self.starts - AHEAD) if self._only_owns(who) else self.starts

    def _only_owns(self, who: int) -> bool:
        """Whether somebody works on the airplane for owning it, and for nothing else."""
        return self.sheet.owner_id == who and not {"mechanic", "helper"} & set(self.roles[who])

    @cached_property
    def comes_ahead(self) -> str | None:
        """Key of the owner, where the owner has hours before the visit; else None."""
        for key, (_, hours) in self.workers.items():
            if hours.spans[0].start < self.starts:
                return key
        return None

    @cached_property
    def opens(self) -> datetime:
        """The first moment of the visit at which anybody works; its start where nobody does."""
        whole = any_open([self.shop_calendar, *(hours for _, hours in self.workers.values())])
        left = left_of(whole, self.starts)
        return left.when(0) if left.steps else self.starts

    def cost_per_hour(self, who: int) -> HourCost:
        """What an hour of a person costs: their own figure, else that of their kind, and where it is from."""
        own = self.own_costs.get(who)
        if own is not None:
            return HourCost(own, OWN_FIGURE)
        return usual_cost(self.costs, self.roles[who], self.known[who], owns=self.sheet.owner_id == who)

    def _works_here(self, who: int) -> bool:
        """Mechanics do; helpers and the airplane's owner where they have hours of their own."""
        if "mechanic" in self.roles[who]:
            return True
        own_hours = any(each.person_id == who for each in self.place.open_hours)
        return own_hours and ("helper" in self.roles[who] or self.sheet.owner_id == who)

    def seats(self, card: CardLine, content: CardContent) -> tuple[Seat, ...]:
        """A seat for who does the card, and one for a second person. Refused when nobody may do it."""
        who = self.who(card, content)
        if card.assigned_person_id is not None and person_key(card.assigned_person_id) in self.workers:
            who = frozenset({person_key(card.assigned_person_id)})
        if not who:
            raise Refused(
                f"Card {card.number} '{card.title}' needs {_article(card.doer)}, and nobody here may do it.",
                "Write down somebody who may, with hours; or leave the card out.",
            )
        second = (Seat(people=self._anyone()),) if SECOND_PERSON in content.tools else ()
        return (Seat(people=who), *second)

    def who(self, card: CardLine, content: CardContent, *, inspects: bool = False) -> frozenset[str]:
        """Keys of those who may do the card, or (`inspects`) look at it and sign.

        What needs supervision is only for those who are there while a mechanic is. The owner is asked for
        what the preparation list gives them, unless there is nobody else.
        """
        found = set()
        for key in self.workers:
            answer = self._may_do(card, content, person_id(key), inspects=inspects)
            if answer is MayDo.YES or (answer is MayDo.SUPERVISED and self._is_watched(key)):
                found.add(key)
        return frozenset({key for key in found if self._is_asked(key, card, content)} or found)

    def _is_asked(self, key: str, card: CardLine, content: CardContent) -> bool:
        """Whether somebody is asked for a card; an owner not for what isn't offered, nor alone on jacks."""
        if not self._only_owns(person_id(key)):
            return True
        alone = not self._is_watched(key)
        return card.number in self.offered and not (alone and ON_JACKS in content.cautions)

    def _is_watched(self, key: str) -> bool:
        """Whether a mechanic is there during all of somebody's hours of the visit."""
        hours = left_of(self.workers[key][1], self.starts)
        return bool(hours.steps) and within(hours, self.watched)

    def does_alone(self, card: CardLine, content: CardContent, key: str) -> bool:
        """Whether somebody may do a card without supervision."""
        return self._may_do(card, content, person_id(key), inspects=False) is MayDo.YES

    def _may_do(self, card: CardLine, content: CardContent, who: int, *, inspects: bool) -> MayDo:
        piece = work_piece(card.title, card.kind, content)
        sort = (piece.kind, piece.subject, piece.preventive, piece.inspection, inspects, who)
        if sort not in self._may:
            answer = may(piece, self.known[who], self.sheet, who, self.starts.date(), self.rules)
            self._may[sort] = MayDo.NO if inspects and not answer.may_sign else answer.may_do
        return self._may[sort]

    def _anyone(self) -> frozenset[str]:
        return frozenset(filter(self._is_watched, self.workers))


def usual_cost(costs: HourCosts, roles: Collection[str], person: Certificated, *, owns: bool) -> HourCost:
    """What an hour of a person costs where the shop hasn't said: as of their kind.

    `owns`: they are the owner of the airplane that is worked on.
    """
    if "mechanic" in roles:
        kinds = {each.kind for each in person.certificates}
        inspects = CertificateKind.INSPECTION_AUTHORIZATION in kinds
        return costs.of("inspector" if inspects else "mechanic")
    return costs.of("owner" if owns else "helper")


def left_of(calendar: Calendar, moment: datetime) -> Calendar:
    """What is left of open time from a moment on, to the next quarter-hour."""
    begins = moment + (_DAY_ONE - moment) % QUARTER
    spans = (Span(max(span.start, begins), span.end) for span in calendar.spans if span.end > begins)
    return Calendar(tuple(spans))


def within(hours: Calendar, watched: Calendar) -> bool:
    """Whether all of some hours lie within others."""
    return all(any(w.start <= h.start and h.end <= w.end for w in watched.spans) for h in hours.spans)


def _article(doer: str) -> str:
    return f"an {doer}" if doer[:1] in "aeiou" else f"a {doer}"
