"""Many doings of one airplane's requirements at once: each looked at first, then all of them or none."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from annual_planner.records.compliances import RecordCompliance
from annual_planner.records.edits import Changed
from annual_planner.records.row_edits import AddRow, Subject, Together
from annual_planner.store.doing_facts import CountedHere, days_done, requirements_counted
from annual_planner.store.record_facts import counting_readings
from annual_planner.trade.refused import Refused
from annual_planner.trade.said import said_date
from annual_planner.trade.usage import Reading

if TYPE_CHECKING:
    from annual_planner.store.session import Work


@dataclass(frozen=True, slots=True)
class NewDoing:
    """One doing as it was written elsewhere: the requirement by its title or the number of its directive.

    `counts_on` tells requirements of one title apart: 'engine 2'.
    """

    done_on: date
    requirement: str
    done_hours: Decimal | None = None
    method: str = ""
    entry: str = ""
    done_by: str = ""
    counts_on: str = ""


@dataclass(frozen=True, slots=True)
class Looked:
    """What would become of one doing."""

    doing: RecordCompliance | None = None
    """What would be written; None where nothing would."""
    refused: str = ""
    """Why it can't be taken; empty when it can."""
    stands: bool = False
    """The requirement is down as done on that day already: nothing is written for it."""


def look_through(work: Work, aircraft_id: int, doings: Sequence[NewDoing], today: date) -> tuple[Looked, ...]:
    """What would become of each, in the order given; a fixed few queries, however many there are."""
    check = _Check(
        requirements_counted(work, aircraft_id),
        counting_readings(work, aircraft_id),
        days_done(work, aircraft_id),
        today,
    )
    return tuple(check.look(each) for each in doings)


class _Check:
    """The airplane's requirements and readings, what is on record, and what was taken so far."""

    def __init__(
        self,
        needs: Sequence[CountedHere],
        readings: Sequence[Reading],
        on_record: set[tuple[int, date]],
        today: date,
    ) -> None:
        self._needs, self._readings, self._on_record, self._today = needs, readings, on_record, today
        self._taken: set[tuple[int, date]] = set()

    def look(self, new: NewDoing) -> Looked:
        try:
            need = self._need(new)
        except Refused as refused:
            return Looked(refused=refused.said)
        key = (need.counted.requirement_id, new.done_on)
        if key in self._on_record:
            return Looked(stands=True)
        if key in self._taken:
            return Looked(refused=f"{need.counted.title} stands there twice for {said_date(new.done_on)}.")
        doing = RecordCompliance(
            need.counted.requirement_id,
            new.done_on,
            new.done_hours,
            method=new.method,
            entry=new.entry,
            done_by=new.done_by,
        )
        faults = [*doing.faults_of_day(need.counted, self._today), *doing.faults_of_numbers()]
        faults = faults or doing.faults_of_hours(need.counted, *self._around(new.done_on))
        if faults:
            return Looked(refused=" ".join(faults))
        self._taken.add(key)
        return Looked(doing)

    def _need(self, new: NewDoing) -> CountedHere:
        """The one requirement that is meant. Raises Refused for none, and where several fit."""
        wanted, on = " ".join(new.requirement.split()).casefold(), new.counts_on.strip().casefold()
        named = [each for each in self._needs if wanted in each.names]
        if on:
            named = [each for each in named if each.counts_on.casefold() == on]
        still = [each for each in named if not each.counted.terminated] or named
        if not still:
            raise Refused(
                f"This airplane has no requirement ‘{new.requirement}’" + (f" on {on}." if on else ".")
            )
        if len(still) > 1:
            where = ", ".join(each.counts_on for each in still)
            raise Refused(
                f"‘{new.requirement}’ is there {len(still)} times ({where}): say what it counts on."
            )
        return still[0]

    def _around(self, on: date) -> tuple[Reading | None, Reading | None]:
        """The last reading on or before a day, and the first on or after it."""
        until = bisect_right(self._readings, on, key=_day)
        since = bisect_left(self._readings, on, key=_day)
        before = self._readings[until - 1] if until else None
        return before, self._readings[since] if since < len(self._readings) else None


def _day(reading: Reading) -> date:
    return reading.on


@dataclass(frozen=True, slots=True)
class RecordCompliances:
    """Write down many doings of one airplane; those that are on record already are left alone."""

    aircraft_id: int
    doings: tuple[NewDoing, ...]

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return f"{len(self.doings)} compliances"

    def apply(self, work: Work, today: date) -> Changed:
        """Write all down and refresh what is due once. Raises Refused, with the reasons, for any at fault."""
        together = Together(work, Subject("compliance", self.says, self.aircraft_id))
        looked = look_through(work, self.aircraft_id, self.doings, today)
        faults = [
            f"{said_date(new.done_on)}: {each.refused}"
            for new, each in zip(self.doings, looked, strict=True)
            if each.refused
        ]
        if faults:
            more = f" And {len(faults) - 3} more." if len(faults) > 3 else ""
            raise Refused(
                " ".join(faults[:3]) + more, "Correct them, then paste again; nothing was recorded."
            )
        for each in looked:
            if each.doing is not None:
                together.write(AddRow(together.of, "compliance", each.doing.values()))
        return together.settled(today)
