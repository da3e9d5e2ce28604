"""Has it been found before? Earlier discrepancies like a new one, here and on others of the type."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from annual_planner.store.alike_reads import AlikeLine, alike_candidates
from annual_planner.trade.said import said_date
from annual_planner.trade.working import Input, Rule, Step, Worked, Working

if TYPE_CHECKING:
    from annual_planner.store.session import Work

YEARS_BACK = 5
SAME_PLACE_SCORE, OTHER_PLACE_SCORE = 62.0, 82.0
"""How alike the words must be, of 100, in the same place and elsewhere; common practice, no source."""
_DAYS = 365.25
_TIMES = {2: "second", 3: "third", 4: "fourth", 5: "fifth", 6: "sixth"}


@dataclass(frozen=True, slots=True)
class AlikeOne:
    """An earlier discrepancy like the new one, and how alike its words are, of 100."""

    line: AlikeLine
    score: float
    same_airplane: bool


@dataclass(frozen=True, slots=True)
class Alike:
    """What was found before, in a line."""

    count: int
    """How often on this airplane, the new one counted."""
    says: str
    lines: tuple[AlikeOne, ...]


def alike(
    work: Work,
    aircraft_id: int,
    zone: str,
    text: str,
    today: date,
    *,
    cylinder: int | None = None,
    but_not: int | None = None,
) -> Worked[Alike]:
    """Find earlier ones by place and words, of the last five years; `but_not`: the new one itself."""
    since = date(today.year - YEARS_BACK, today.month, min(today.day, 28))
    known = [line for line in alike_candidates(work, aircraft_id, since) if line.discrepancy_id != but_not]
    scored = (_scored(line, aircraft_id, zone, cylinder, text) for line in known)
    found = sorted((each for each in scored if each), key=lambda one: one.line.found_on, reverse=True)
    here = [one for one in found if one.same_airplane]
    says = _says(here, len(found) - len(here), today)
    value = Alike(len(here) + 1, says, tuple(found))
    return Worked(value, _working(value, text, zone, cylinder, len(known)))


def _scored(line: AlikeLine, aircraft_id: int, zone: str, cylinder: int | None, text: str) -> AlikeOne | None:
    from rapidfuzz import fuzz, utils

    score = fuzz.token_sort_ratio(text, line.text, processor=utils.default_process)
    contains = fuzz.token_set_ratio(text, line.text, processor=utils.default_process)
    mean = (score + contains) / 2
    if cylinder is not None and line.cylinder is not None and cylinder != line.cylinder:
        return None
    needed = SAME_PLACE_SCORE if line.zone == zone else OTHER_PLACE_SCORE
    return AlikeOne(line, mean, line.aircraft_id == aircraft_id) if mean >= needed else None


def _says(here: list[AlikeOne], elsewhere: int, today: date) -> str:
    parts = []
    if here:
        count = len(here) + 1
        said = _TIMES.get(count, f"{count}th")
        parts.append(f"{said} time in {_span(here[-1].line.found_on, today)} on this airplane")
    if elsewhere:
        more = "times" if elsewhere > 1 else "time"
        parts.append(f"found {elsewhere} {more} on others of its type")
    return "; ".join(parts).capitalize() if parts else "Not found before"


def _span(first: date, today: date) -> str:
    years = (today - first).days / _DAYS
    if years > 1.5:
        return f"{round(years)} years"
    months = max(1, round(years * 12))
    return "a year" if 11 <= months <= 13 else f"{months} months" if months > 1 else "a month"


def _working(value: Alike, text: str, zone: str, cylinder: int | None, looked_at: int) -> Working:
    place = zone + (f", cylinder {cylinder}" if cylinder is not None else "")
    return Working(
        title="Found before?",
        result=value.says,
        inputs=(
            Input("words", text),
            Input("place", place),
            Input("looked at", str(looked_at), "earlier ones"),
        ),
        steps=tuple(
            Step(
                f"{one.line.registration}, {said_date(one.line.found_on)}, {one.line.zone}: {one.line.text}",
                f"words alike {one.score:.0f} of 100",
            )
            for one in value.lines
        )
        or (Step("words compared, one by one", "none alike enough"),),
        rules=(
            Rule(
                "common practice, no source",
                f"Words alike {SAME_PLACE_SCORE:.0f} of 100 in the same place, {OTHER_PLACE_SCORE:.0f} in "
                "another; another cylinder is another fault.",
            ),
        ),
        assumptions=(
            f"Only the last {YEARS_BACK} years are looked at; the words are compared, not the cause",
        ),
    )
