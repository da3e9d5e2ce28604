"""A plan as bars on a line of working days: what the window draws, its table says and the paper shows."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from annual_planner.library.zone_words import zone_words
from annual_planner.planning.card_jobs import Asked
from annual_planner.planning.crew.binding import Binding, Bound
from annual_planner.planning.crew.laid_out import LaidOut, Place
from annual_planner.planning.crew.open_time import STEPS_AN_HOUR, Span
from annual_planner.planning.work_plan import work_places

BY = ("person", "zone", "card")
"""The ways bars can be put into rows."""

INSPECTION = ":inspection"


@dataclass(frozen=True, slots=True)
class Bar:
    """One card in the plan, in words and times. `slack_hours` None: not known for this plan any more."""

    job: str
    title: str
    card_id: int | None
    people: tuple[str, ...]
    zone: str
    starts: datetime
    ends: datetime
    pieces: tuple[Span, ...]
    critical: bool
    slack_hours: float | None
    held: str
    waits: str
    brief: str = ""
    """What it waits for, by the number of the card."""

    @property
    def standing(self) -> str:
        """What marks it out, in words."""
        marks = ["critical"] if self.critical else []
        return ", ".join(marks + ([self.held] if self.held else []))


@dataclass(frozen=True, slots=True)
class Axis:
    """Working days beside each other, each from the first hour to the last; days without work fall out.

    `opens` and `closes` in hours after midnight.
    """

    days: tuple[date, ...]
    opens: float
    closes: float

    def at(self, moment: datetime) -> float:
        """Place of a moment in days: 1.5 is the middle of the second day shown."""
        earlier = sum(day < moment.date() for day in self.days)
        if moment.date() not in self.days:
            return float(earlier)
        hour = moment.hour + moment.minute / 60
        return earlier + min(max((hour - self.opens) / (self.closes - self.opens), 0.0), 1.0)

    def moment(self, place: float) -> datetime:
        """The quarter-hour at a place in days; the first or last one beyond the ends."""
        number = min(max(int(place), 0), len(self.days) - 1)
        share = min(max(place - number, 0.0), 1.0)
        quarters = round((self.opens + share * (self.closes - self.opens)) * STEPS_AN_HOUR)
        quarters = min(quarters, round(self.closes * STEPS_AN_HOUR) - 1)
        day = self.days[number]
        return datetime(day.year, day.month, day.day) + timedelta(minutes=15 * quarters)  # noqa: DTZ001


def bars_of(
    plan: LaidOut, names: Mapping[str, str], asked: Asked | None, bound: Binding | None
) -> tuple[Bar, ...]:
    """Every card of a plan by start. Without the question or the binding their parts stay empty."""
    known = {each.job: each for each in bound.jobs} if bound is not None else {}
    chain = frozenset(bound.chain) if bound is not None else frozenset()
    titles = {place.job: place.title for place in plan.places}
    return tuple(
        _bar(place, names, asked, known.get(place.job), chain, titles) for place in work_places(plan)
    )


def _bar(
    place: Place,
    names: Mapping[str, str],
    asked: Asked | None,
    bound: Bound | None,
    chain: frozenset[str],
    titles: Mapping[str, str],
) -> Bar:
    card = asked.cards.get(place.job.removesuffix(INSPECTION)) if asked is not None else None
    job = next((each for each in asked.problem.jobs if each.key == place.job), None) if asked else None
    return Bar(
        job=place.job,
        title=place.title,
        card_id=card.card_id if card is not None and not place.job.endswith(INSPECTION) else None,
        people=tuple(names.get(key, key) for key in place.people),
        zone=zone_words(card.zone) if card is not None else "",
        starts=place.starts,
        ends=place.ends,
        pieces=place.pieces,
        critical=place.job in chain,
        slack_hours=bound.slack / STEPS_AN_HOUR if bound is not None else None,
        held=job.pinned.why if job is not None and job.pinned is not None else "",
        waits="; ".join(each.said for each in bound.reasons) if bound is not None else "",
        brief=_brief(bound, titles),
    )


def _brief(bound: Bound | None, titles: Mapping[str, str]) -> str:
    """The first of what binds a card in few words; nothing where it begins as soon as somebody is there."""
    if bound is None or not bound.reasons:
        return ""
    first = bound.reasons[0]
    if first.job is None:
        return first.brief
    card = short_title(titles.get(first.job, first.job))
    return f"{card} ({first.brief})" if first.brief else card


def short_title(title: str) -> str:
    """A card by its number alone; a title without one as it is.

    >>> short_title("72 Battery and its installation"), short_title("Hot checks done")
    ('72', 'Hot checks done')
    """
    found = re.match(r"(Inspection of )?[0-9]+(?= )", title)
    return found[0] if found is not None else title


def rows_of(bars: Sequence[Bar], by: str) -> list[tuple[str, tuple[Bar, ...]]]:
    """Bars in rows by person, by zone or one row a card; a card of two people is in both rows.

    What is worked on side by side goes into rows below without words, so that no bar hides another.
    """
    if by == "card":
        return [(bar.title, (bar,)) for bar in bars]
    found: dict[str, list[Bar]] = {}
    for bar in bars:
        for key in (bar.people or ("nobody: sent out",)) if by == "person" else (bar.zone or "inspection",):
            found.setdefault(key, []).append(bar)
    return [
        ("" if lane else words, bars_of_lane)
        for words, own in sorted(found.items())
        for lane, bars_of_lane in enumerate(_lanes(own))
    ]


def _lanes(bars: Sequence[Bar]) -> list[tuple[Bar, ...]]:
    """Bars in as few rows as keep those at the same time apart."""
    lanes: list[list[Bar]] = []
    for bar in sorted(bars, key=lambda each: (each.starts, each.ends)):
        free = next((lane for lane in lanes if lane[-1].ends <= bar.starts), None)
        if free is None:
            lanes.append([bar])
        else:
            free.append(bar)
    return [tuple(lane) for lane in lanes]


def axis_of(bars: Sequence[Bar]) -> Axis | None:
    """The working days that bars lie on; None where there are none."""
    spans = [piece for bar in bars for piece in bar.pieces]
    if not spans:
        return None
    opens = min(span.start.hour for span in spans)
    closes = max(_hours(span.end, span.start.date()) for span in spans)
    return Axis(tuple(sorted({span.start.date() for span in spans})), float(opens), closes)


def _hours(moment: datetime, day: date) -> float:
    return 24.0 if moment.date() > day else moment.hour + moment.minute / 60


def hours_by_day(bars: Sequence[Bar]) -> list[tuple[str, date, float]]:
    """Hours of work of each person on each day, by name and day."""
    found: dict[tuple[str, date], float] = {}
    for bar in bars:
        for name in bar.people:
            for piece in bar.pieces:
                key = (name, piece.start.date())
                found[key] = found.get(key, 0.0) + piece.steps / STEPS_AN_HOUR
    return [(name, day, hours) for (name, day), hours in sorted(found.items())]
