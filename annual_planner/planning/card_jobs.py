"""A package's cards as jobs to lay out: who may do each by the rules, where, with what, after what."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from decimal import Decimal

from annual_planner.library.rules import load_rules
from annual_planner.library.shelf import Library
from annual_planner.planning.card_content import CardContent, from_stored
from annual_planner.planning.crew.problem import (
    After,
    Job,
    Pauses,
    Pinned,
    Problem,
    Promise,
    Room,
    Seat,
    Tool,
    inspection,
)
from annual_planner.planning.drafts import engine_key
from annual_planner.planning.experience import Experience, experience, findings_ahead
from annual_planner.planning.in_order import key_in_order
from annual_planner.planning.job_ahead import around_the_start
from annual_planner.planning.job_hands import Hands, person_id, person_key
from annual_planner.planning.job_in_work import InWork
from annual_planner.planning.job_waits import arrival, check_parts, waits
from annual_planner.planning.package_view import PackageView
from annual_planner.planning.reading import read_package
from annual_planner.store.begun_cards import Begun, begun_cards
from annual_planner.store.experience import found_before
from annual_planner.store.fleet_reads import people, person_values
from annual_planner.store.packages import package_dates
from annual_planner.store.rows import CardLine
from annual_planner.store.session import Work
from annual_planner.store.shop_reads import (
    CardPin,
    PartAwaited,
    Shop,
    ShopThing,
    card_pins,
    parts_awaited,
    shop,
)
from annual_planner.store.week_reads import annuals_ahead
from annual_planner.trade.card_states import FINISHED, IN_WORK, OPEN
from annual_planner.trade.cards import Hours, Phase
from annual_planner.trade.shop_floor import HourCost, ShopFloor

STEPS_AN_HOUR = 4
INSPECTOR, REPAIR_STATION = "inspector", "repair station"
NO_PAUSE = (Phase.HOT_CHECKS, Phase.RUN_UP)
"""Phases whose cards aren't left lying over night."""

RUN_UP_PLACE = "run-up place"
USUAL_ROOM = 2
"""People a zone holds where the table doesn't say; common practice, no source."""


@dataclass(frozen=True, slots=True)
class Asked:
    """The problem of one package, the cards behind its jobs, and what was assumed."""

    package_id: int
    problem: Problem
    cards: Mapping[str, CardLine]
    people: Mapping[str, int]
    """Ids of the people by their keys."""
    hour_costs: Mapping[str, HourCost]
    """What an hour of everybody in the problem costs, by their keys."""
    assumed: tuple[str, ...]


def asked_of_package(work: Work, package_id: int, library: Library, now: datetime) -> Asked:
    """Put the problem of laying out a package together, from `now` (local, without a zone) on.

    Raises Refused, with every fault named: no open hours, a part without a date, a card nobody may do.
    """
    view = read_package(work, package_id, library, now.date())
    place, parts, floor = shop(work), parts_awaited(work, package_id), library.floor
    check_parts(parts)
    hands = _hands(work, view, place, floor, now)
    equipment = tuple(each for each in place.things if each.kind == "equipment")
    cards = _Cards(
        hands,
        equipment,
        parts,
        floor,
        card_pins(work, package_id),
        begun_cards(work, package_id),
        _learned(view.cards, experience(work), library),
    )
    left = [card for card in view.cards if cards.state(card) not in FINISHED]
    jobs, by_key = tuple(cards.jobs(left)), {key_in_order(card): card for card in view.cards}
    problem = Problem(
        shop=hands.shop_calendar,
        people=tuple(person for person, _ in hands.workers.values()),
        jobs=jobs,
        rooms=tuple(cards.rooms(left)),
        tools=cards.tools(),
        promises=_promises(work, package_id, hands.starts.date()),
        closed=hands.shop_closed,
        findings=findings_ahead(jobs, by_key, floor.defects, found_before(work)),
    )
    return Asked(
        package_id,
        problem,
        by_key,
        {person_key(each): each for each in hands.known},
        {key: hands.cost_per_hour(person_id(key)) for key in hands.workers},
        _assumed(floor),
    )


def _hands(work: Work, view: PackageView, place: Shop, floor: ShopFloor, now: datetime) -> Hands:
    """The people of the shop: what they may do by the rules, what an hour costs, and when they are there."""
    lines = people(work)
    return Hands(
        place=place,
        sheet=view.aircraft,
        known=person_values(work),
        roles={each.person_id: each.roles for each in lines},
        rules=load_rules(),
        starts=max(now, datetime.combine(view.package.start_on, time.min)),
        costs=floor.hour_costs,
        own_costs={each.person_id: each.cost_per_hour for each in lines},
        offered={job.card_number for job in view.owner_jobs},
        now=now,
    )


def _assumed(floor: ShopFloor) -> tuple[str, ...]:
    """What the problem takes for granted, for whoever reads the plan."""
    return (
        "Times of cards are their likely hours, to the quarter-hour upwards.",
        "Helpers and the owner do supervised work only while a mechanic is in the shop.",
        "The owner does what the preparation list offers; before the visit only what needs nobody else.",
        f"Work of up to {floor.same_day.up_to_hours:f} h stays within a day: {floor.same_day.source}.",
        "Zones, hot windows and draining times: common practice, no source.",
    )


def _learned(cards: Iterable[CardLine], before: Experience, library: Library) -> dict[int, Hours]:
    return {card.card_id: before.of_card(card, library) for card in cards}


def _promises(work: Work, package_id: int, today: date) -> tuple[Promise, ...]:
    """The date promised to the owner, which weighs most; the day the annual runs out."""
    dates = package_dates(work, package_id)
    found = []
    if dates.promised_on is not None:
        found.append(Promise("promised date", _evening(dates.promised_on), weight=2))
    for annual in annuals_ahead(work, aircraft_id=dates.aircraft_id):
        if annual.due_on is not None and annual.due_on >= today:
            found.append(Promise("annual due", _evening(annual.due_on)))
    return tuple(found)


def _evening(day: date) -> datetime:
    return datetime.combine(day + timedelta(days=1), time.min)


@dataclass(frozen=True, slots=True)
class _Cards:
    """What turns cards into jobs."""

    hands: Hands
    equipment: Sequence[ShopThing]
    parts: Sequence[PartAwaited]
    floor: ShopFloor
    pins: Mapping[int, CardPin]
    begun: Mapping[int, Begun]
    hours: Mapping[int, Hours]
    """Hours of each card by its id, learned ones where there are."""

    def state(self, card: CardLine) -> str:
        """How far a card has come."""
        return self.begun[card.card_id].state if card.card_id in self.begun else OPEN

    def jobs(self, cards: Sequence[CardLine]) -> Iterable[Job]:
        """The gates, then each card, and behind it the inspector's look where another does the work."""
        gate_jobs, before = waits(cards, self.floor.hot)
        yield from gate_jobs
        hot = {after.job for waited in before.values() for after in waited if after.most_min is not None}
        in_work = InWork(self.hands.workers, self.hands.shop_calendar, self.rooms(cards), self.tools())
        for card in cards:
            content = from_stored(card.content)
            job = self._job(card, content, before.get(key_in_order(card), ()))
            job = around_the_start(job, card, content, self.hands)
            if self.state(card) == IN_WORK:
                on_it = [person_key(each) for each in self.begun[card.card_id].people_on]
                job = in_work.going_on(job, on_it, followed_hot=job.key in hot)
            yield job
            if card.signer == INSPECTOR and card.doer not in (INSPECTOR, REPAIR_STATION):
                yield inspection(job, Seat(people=self.hands.who(card, content, inspects=True)), 1)

    def _job(self, card: CardLine, content: CardContent, after: tuple[After, ...]) -> Job:
        arrives_on, arrives = arrival(card, content, self.parts)
        outside = self.floor.outside_days.get(card.doer)
        cure = self.floor.cures.get(content.template)
        begun = self.begun.get(card.card_id)
        hours = self.hours[card.card_id]
        likely = max(1, _steps(hours.likely) - (begun.minutes // 15 if begun is not None else 0))
        return Job(
            key=key_in_order(card),
            title=f"{card.number} {card.title}",
            likely=likely,
            low=min(likely, _steps(hours.low)),
            high=max(likely, _steps(hours.high)),
            seats=() if outside else self.hands.seats(card, content),
            room=engine_key(card.zone, content.engine),
            tools=self._tools(card, content),
            after=after,
            pauses=self._pauses(card, likely),
            not_before=datetime.combine(arrives_on, time(8)) if arrives_on is not None else None,
            arrives=arrives,
            cures_min=cure.minutes if cure is not None else 0,
            outside_min=outside * 24 * 60 if outside else None,
            pinned=self._pinned(card),
        )

    def _pauses(self, card: CardLine, likely: int) -> Pauses:
        """Hot checks, runs and short work aren't left over a night; what fills somebody's day isn't short."""
        short = min(int(self.floor.same_day.up_to_hours * STEPS_AN_HOUR), self.hands.shortest_day)
        return Pauses.BREAKS if Phase(card.phase) in NO_PAUSE or likely <= short else Pauses.ANY

    def _pinned(self, card: CardLine) -> Pinned | None:
        pin = self.pins.get(card.card_id)
        if pin is None:
            return None
        start = _local(pin.starts_at) if pin.starts_at is not None else None
        who = (person_key(pin.person_id),) if pin.person_id is not None else ()
        return Pinned(start, who, "fixed by hand")

    def rooms(self, cards: Iterable[CardLine]) -> Iterable[Room]:
        """The zones that these cards are in, an engine's apart from another's."""
        zones = {engine_key(card.zone, from_stored(card.content).engine): card.zone for card in cards}
        holds = {**self.floor.room_for, **self.hands.place.room_for}
        for room, zone in sorted(zones.items()):
            yield Room(room, room.replace("_", " "), holds.get(zone, USUAL_ROOM))

    def tools(self) -> tuple[Tool, ...]:
        """The shop's equipment that is shared."""
        return tuple(Tool(_tool_key(each), each.name, each.count) for each in self.equipment)

    def _tools(self, card: CardLine, content: CardContent) -> tuple[tuple[str, int], ...]:
        wanted = [*content.tools, *((RUN_UP_PLACE,) if Phase(card.phase) is Phase.RUN_UP else ())]
        return tuple(
            (_tool_key(each), 1)
            for each in self.equipment
            if any(same_thing(each.name, tool) for tool in wanted)
        )


def _tool_key(thing: ShopThing) -> str:
    return f"thing {thing.thing_id}"


def _steps(hours: Decimal) -> int:
    return max(1, math.ceil(hours * STEPS_AN_HOUR))


def _local(moment: datetime) -> datetime:
    return moment.astimezone().replace(tzinfo=None)


_SMALL_WORDS = frozenset({"a", "of", "pair", "set", "the"})


def same_thing(name: str, tool: str) -> bool:
    """Whether the shop's thing is what a card asks for: the words of one are all in the other."""
    one, other = (frozenset(text.casefold().split()) - _SMALL_WORDS for text in (name, tool))
    return bool(one and other) and (one <= other or other <= one)
