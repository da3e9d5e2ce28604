"""A package's cards as jobs to lay out: who may do each by the rules, where, with what, after what."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from decimal import Decimal

from annual_planner.library.rules import load_rules
from annual_planner.library.shelf import Library
from annual_planner.library.shop_floor import load_shop_floor
from annual_planner.planning.card_content import CardContent, from_stored
from annual_planner.planning.crew.open_time import Calendar, Span, any_open
from annual_planner.planning.crew.problem import (
    After,
    Job,
    Pauses,
    Person,
    Pinned,
    Problem,
    Promise,
    Room,
    Seat,
    Tool,
    inspection,
)
from annual_planner.planning.drafts import engine_key
from annual_planner.planning.entitled import may, work_piece
from annual_planner.planning.in_order import key_in_order, line_in_order
from annual_planner.planning.open_hours import hours_of, shop_hours
from annual_planner.planning.reading import read_package
from annual_planner.store.begun_cards import Begun, begun_cards
from annual_planner.store.fleet_reads import people, person_values
from annual_planner.store.packages import package_dates
from annual_planner.store.rows import AircraftSheet, CardLine
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
from annual_planner.trade.authority import MayDo
from annual_planner.trade.cards import Phase
from annual_planner.trade.clauses import RuleSet
from annual_planner.trade.gates import Gate, gates
from annual_planner.trade.people import Person as Certificated
from annual_planner.trade.refused import Refused
from annual_planner.trade.sequence import Link, links
from annual_planner.trade.shop_floor import ShopFloor

DAYS_AHEAD = 90
_DAY_ONE = datetime(2000, 1, 1)  # noqa: DTZ001 - the shop's own clock, which has no zone
STEPS_AN_HOUR = 4
SECOND_PERSON = "second person"
REPAIR_STATION = "repair station"
INSPECTOR = "inspector"
DONE_STATES = ("done", "not applicable", "carried over")
NO_PAUSE = (Phase.HOT_CHECKS, Phase.RUN_UP)
"""Phases whose cards aren't left lying over night."""
LEAVES_SHOP_OUT = ("owner", "helper")
"""Roles that come on days of their own."""


@dataclass(frozen=True, slots=True)
class Asked:
    """The problem of one package, the cards behind its jobs, and what was assumed."""

    package_id: int
    problem: Problem
    cards: Mapping[str, CardLine]
    people: Mapping[str, int]
    """Ids of the people by their keys."""
    assumed: tuple[str, ...]


def person_key(person_id: int) -> str:
    """A person's key in the plan."""
    return f"person {person_id}"


def asked_of_package(work: Work, package_id: int, library: Library, now: datetime) -> Asked:
    """Put the problem of laying out a package together, from `now` (local, without a zone) on.

    Raises Refused, with every fault named: no open hours, a part without a date, a card nobody may do.
    """
    view = read_package(work, package_id, library, now.date())
    gathered = _Gathered(
        sheet=view.aircraft,
        cards=tuple(view.cards),
        place=shop(work),
        pins=card_pins(work, package_id),
        begun=begun_cards(work, package_id),
        parts=parts_awaited(work, package_id),
        floor=load_shop_floor(),
        rules=load_rules(),
        known=person_values(work),
        roles={each.person_id: each.roles for each in people(work)},
        starts=max(now, datetime.combine(view.package.start_on, time.min)),
    )
    problem = gathered.problem(_promises(work, package_id, gathered))
    by_key = {key_in_order(card): card for card in gathered.cards}
    return Asked(
        package_id,
        problem,
        by_key,
        {person_key(each): each for each in gathered.known},
        (
            "Times of cards are their likely hours, to the quarter-hour upwards.",
            "Helpers and the owner do supervised work only while a mechanic is in the shop.",
            "Zones, hot windows and draining times: common practice, no source.",
        ),
    )


def _promises(work: Work, package_id: int, gathered: _Gathered) -> tuple[Promise, ...]:
    """The date promised to the owner; the day the annual runs out, which weighs no more than that."""
    dates = package_dates(work, package_id)
    found = []
    if dates.promised_on is not None:
        found.append(Promise("promised date", _evening(dates.promised_on), weight=2))
    for annual in annuals_ahead(work, aircraft_id=dates.aircraft_id):
        if annual.due_on is not None and annual.due_on >= gathered.starts.date():
            found.append(Promise("annual due", _evening(annual.due_on)))
    return tuple(found)


def _evening(day: date) -> datetime:
    return datetime.combine(day + timedelta(days=1), time.min)


@dataclass(slots=True)
class _Gathered:
    """Everything one problem is made of."""

    sheet: AircraftSheet
    cards: tuple[CardLine, ...]
    place: Shop
    pins: Mapping[int, CardPin]
    begun: Mapping[int, Begun]
    parts: Sequence[PartAwaited]
    floor: ShopFloor
    rules: RuleSet
    known: Mapping[int, Certificated]
    roles: Mapping[int, tuple[str, ...]]
    starts: datetime
    _may: dict[tuple[object, ...], MayDo] = field(default_factory=dict)

    def problem(self, promises: tuple[Promise, ...]) -> Problem:
        """The whole problem. Raises Refused with what is wrong."""
        workers = self._workers()
        if not workers:
            raise Refused("Nobody works on this airplane.", "Write down the people who do, with their hours.")
        self._check_parts()
        left = [card for card in self.cards if self._state(card) not in DONE_STATES]
        mechanics = [hours for person, hours in workers.values() if "mechanic" in self.roles[_id(person)]]
        common = any_open([self._shop_calendar(), *[hours for _, hours in workers.values()]])
        if not common.steps:
            raise Refused("There is no open day to lay the work on.", "Write the shop's hours down.")
        watched = any_open(mechanics)
        jobs = tuple(self._jobs(left, workers, watched))
        tools = tuple(Tool(f"thing {each.thing_id}", each.name, each.count) for each in self._equipment())
        return Problem(
            shop=self._shop_calendar(),
            people=tuple(person for person, _ in workers.values()),
            jobs=jobs,
            rooms=tuple(Room(room, room.replace("_", " "), holds) for room, holds in self._rooms(left)),
            tools=tools,
            promises=promises,
        )

    # -- people and hours

    def _last_day(self) -> date:
        return self.starts.date() + timedelta(days=DAYS_AHEAD)

    def _shop_calendar(self) -> Calendar:
        return _from(shop_hours(self.place, self.starts.date(), self._last_day()), self.starts)

    def _workers(self) -> dict[str, tuple[Person, Calendar]]:
        """People who may work on this airplane and have hours, with those hours."""
        found: dict[str, tuple[Person, Calendar]] = {}
        shop_calendar = self._shop_calendar()
        for person_id, person in self.known.items():
            if not self._works_here(person_id):
                continue
            own, away = hours_of(self.place, person_id, self.starts.date(), self._last_day())
            hours = _from(own, self.starts) if own is not None else None
            calendar = hours if hours is not None else shop_calendar
            if calendar.steps:
                key = person_key(person_id)
                whole = None if hours == shop_calendar else hours
                away_now = tuple(span for span in away if span.end > self.starts)
                found[key] = (Person(key, person.name, hours=whole, away=away_now), calendar)
        return found

    def _works_here(self, person_id: int) -> bool:
        roles = self.roles[person_id]
        own_hours = any(each.person_id == person_id for each in self.place.open_hours)
        if "mechanic" in roles:
            return True
        return own_hours and ("helper" in roles or self.sheet.owner_id == person_id)

    # -- cards

    def _state(self, card: CardLine) -> str:
        return self.begun[card.card_id].state if card.card_id in self.begun else "open"

    def _jobs(
        self, cards: Sequence[CardLine], workers: Mapping[str, tuple[Person, Calendar]], watched: Calendar
    ) -> Iterable[Job]:
        bound = links([line_in_order(card) for card in cards])
        passing = gates([line_in_order(card) for card in cards], bound)
        before = self._before(bound, passing)
        yield from (_gate_job(gate) for gate in passing)
        by_card = {card.card_id: card for card in cards}
        for card in by_card.values():
            content = from_stored(card.content)
            seats = self._seats(card, content, workers, watched)
            job = self._job(card, content, seats, before.get(key_in_order(card), ()))
            yield job
            if card.signer == INSPECTOR and card.doer not in (INSPECTOR, REPAIR_STATION):
                looks = self._who(card, content, workers, watched, inspects=True)
                yield inspection(job, Seat(people=looks), 1)

    def _job(
        self, card: CardLine, content: CardContent, seats: tuple[Seat, ...], after: tuple[After, ...]
    ) -> Job:
        arrives_on, arrives = self._arrival(card, content)
        outside = self.floor.outside_days.get(card.doer)
        cure = self.floor.cures.get(content.template)
        begun = self.begun.get(card.card_id)
        likely = _steps(card.hours_likely)
        if begun is not None and begun.minutes:
            likely = max(1, likely - begun.minutes // 15)
        return Job(
            key=key_in_order(card),
            title=f"{card.number} {card.title}",
            likely=likely,
            low=min(likely, _steps(card.hours_low)),
            high=max(likely, _steps(card.hours_high)),
            seats=() if outside else seats,
            room=self._room(card, content),
            tools=self._tools(card, content),
            after=after,
            pauses=Pauses.BREAKS if Phase(card.phase) in NO_PAUSE else Pauses.ANY,
            not_before=datetime.combine(arrives_on, time(8)) if arrives_on is not None else None,
            arrives=arrives,
            cures_min=cure.minutes if cure is not None else 0,
            outside_min=outside * 24 * 60 if outside else None,
            pinned=self._pinned(card, begun),
        )

    def _pinned(self, card: CardLine, begun: Begun | None) -> Pinned | None:
        if begun is not None and begun.state == "in work":
            return Pinned(
                self._first_step(), tuple(person_key(each) for each in begun.people_on[:1]), "begun"
            )
        pin = self.pins.get(card.card_id)
        if pin is None:
            return None
        start = _local(pin.starts_at) if pin.starts_at is not None else None
        who = (person_key(pin.person_id),) if pin.person_id is not None else ()
        return Pinned(start, who, "fixed by hand")

    def _first_step(self) -> datetime:
        return self._shop_calendar().when(0)

    def _room(self, card: CardLine, content: CardContent) -> str:
        return engine_key(card.zone, content.engine)

    def _rooms(self, cards: Iterable[CardLine]) -> list[tuple[str, int]]:
        rooms = {self._room(card, from_stored(card.content)): card.zone for card in cards}
        return [(room, self.floor.room_for.get(zone, 2)) for room, zone in sorted(rooms.items())]

    def _before(self, bound: Iterable[Link], passing: Iterable[Gate]) -> dict[str, tuple[After, ...]]:
        """What each card waits for, with the windows while things are hot, and the gates it is beyond."""
        found: dict[str, list[After]] = {}
        for link in bound:
            found.setdefault(link.after, []).append(self._after(link))
        for gate in passing:
            for key in gate.beyond:
                found.setdefault(key, []).append(After(gate.key, why=gate.why))
        for key, waits in found.items():
            found[key] = list({each.job: each for each in sorted(waits, key=_tightest)}.values())
        return {key: tuple(waits) for key, waits in found.items()}

    def _after(self, link: Link) -> After:
        for hot in self.floor.hot:
            if _bare(link.after) == hot.card and _bare(link.before) == hot.after:
                return After(link.before, most_min=hot.within_min, why=hot.why)
        return After(link.before, why=link.why)

    # -- who

    def _seats(
        self,
        card: CardLine,
        content: CardContent,
        workers: Mapping[str, tuple[Person, Calendar]],
        watched: Calendar,
    ) -> tuple[Seat, ...]:
        who = self._who(card, content, workers, watched)
        if card.assigned_person_id is not None and person_key(card.assigned_person_id) in workers:
            who = frozenset({person_key(card.assigned_person_id)})
        if not who and card.doer not in self.floor.outside_days:
            raise Refused(
                f"Card {card.number} '{card.title}' needs {_article(card.doer)}, and nobody here may do it.",
                "Write down somebody who may, with hours; or leave the card out.",
            )
        second = (Seat(people=self._anyone(workers, watched)),) if SECOND_PERSON in content.tools else ()
        return (Seat(people=who), *second)

    def _who(
        self,
        card: CardLine,
        content: CardContent,
        workers: Mapping[str, tuple[Person, Calendar]],
        watched: Calendar,
        *,
        inspects: bool = False,
    ) -> frozenset[str]:
        """Keys of those who may do the card; what needs supervision, only by those there with a mechanic."""
        found = set()
        for key, (person, hours) in workers.items():
            answer = self._may_do(card, content, _id(person), inspects=inspects)
            if answer is MayDo.YES or (answer is MayDo.SUPERVISED and _within(hours, watched)):
                found.add(key)
        return frozenset(found)

    def _may_do(self, card: CardLine, content: CardContent, person_id: int, *, inspects: bool) -> MayDo:
        piece = work_piece(card.title, card.kind, content)
        sort = (piece.kind, piece.subject, piece.preventive, piece.inspection, inspects, person_id)
        if sort not in self._may:
            answer = may(piece, self.known[person_id], self.sheet, person_id, self.starts.date(), self.rules)
            allowed = answer.may_do
            if inspects and not answer.may_sign:
                allowed = MayDo.NO
            self._may[sort] = allowed
        return self._may[sort]

    def _anyone(self, workers: Mapping[str, tuple[Person, Calendar]], watched: Calendar) -> frozenset[str]:
        return frozenset(key for key, (_, hours) in workers.items() if _within(hours, watched))

    # -- equipment and parts

    def _equipment(self) -> list[ShopThing]:
        return [each for each in self.place.things if each.kind == "equipment"]

    def _tools(self, card: CardLine, content: CardContent) -> tuple[tuple[str, int], ...]:
        wanted = [*content.tools, *(("run-up place",) if Phase(card.phase) is Phase.RUN_UP else ())]
        return tuple(
            (f"thing {each.thing_id}", 1)
            for each in self._equipment()
            if any(_same_thing(each.name, tool) for tool in wanted)
        )

    def _check_parts(self) -> None:
        dateless = [each.name for each in self.parts if each.arrived_on is None and each.arrives_on is None]
        if dateless:
            raise Refused(
                f"No day is known for: {', '.join(dateless)}.", "Say when the part comes, or that it is here."
            )

    def _arrival(self, card: CardLine, content: CardContent) -> tuple[date | None, str]:
        """The latest arrival among the parts this card waits for."""
        waits = [
            each
            for each in self.parts
            if each.arrived_on is None and each.arrives_on is not None and _waits_for(card, content, each)
        ]
        last = max(waits, key=lambda each: each.arrives_on or date.min, default=None)
        return (last.arrives_on, f"{last.name} comes") if last is not None else (None, "")


def _gate_job(gate: Gate) -> Job:
    """A gate as a job without hands or time, so that what is beyond waits for one thing."""
    waits = tuple(After(key, why=gate.why) for key in gate.before)
    return Job(gate.key, gate.title, 0, seats=(), after=waits)


def _waits_for(card: CardLine, content: CardContent, part: PartAwaited) -> bool:
    """A part of one card holds that card; one that cards list by name, those; another, the closing."""
    if part.card_id is not None:
        return part.card_id == card.card_id
    return part.name in {each.name for each in content.parts} or card.phase == Phase.CLOSE


def _id(person: Person) -> int:
    return int(person.key.removeprefix("person "))


def _from(calendar: Calendar, moment: datetime) -> Calendar:
    """What is left of open time from a moment on, to the next quarter-hour."""
    begins = moment + (_DAY_ONE - moment) % timedelta(minutes=15)
    spans = (Span(max(span.start, begins), span.end) for span in calendar.spans if span.end > begins)
    return Calendar(tuple(spans))


def _within(hours: Calendar, watched: Calendar) -> bool:
    """Whether somebody is only there while a mechanic is."""
    return all(any(w.start <= h.start and h.end <= w.end for w in watched.spans) for h in hours.spans)


def _steps(hours: Decimal) -> int:
    return max(1, math.ceil(hours * STEPS_AN_HOUR))


def _local(moment: datetime) -> datetime:
    return moment.astimezone().replace(tzinfo=None)


def _bare(key: str) -> str:
    """A card's key without its engine."""
    return key.split("#")[0]


def _tightest(after: After) -> int:
    """So that, of two waits for one card, the one with a window comes last and stays."""
    return -(after.most_min if after.most_min is not None else 10**9)


def _article(doer: str) -> str:
    return f"an {doer}" if doer[:1] in "aeiou" else f"a {doer}"


_SMALL_WORDS = frozenset({"a", "of", "pair", "set", "the"})


def _same_thing(name: str, tool: str) -> bool:
    """Whether the shop's thing is what a card asks for: the words of one are all in the other."""
    one, other = (frozenset(text.casefold().split()) - _SMALL_WORDS for text in (name, tool))
    return bool(one and other) and (one <= other or other <= one)
