"""Tables of requirements: what must be done at an interval, on which airplanes, and what stands behind it."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated, Self

from pydantic import Field, StrictBool, model_validator

from annual_planner.library.files import Kind
from annual_planner.library.rows import Exact, Note, Row, Text, Whole, Word, Words
from annual_planner.trade.periods import (
    LONGEST_CYCLES,
    LONGEST_DAYS,
    LONGEST_HOURS,
    LONGEST_MONTHS,
    Force,
    Interval,
    Logic,
)
from annual_planner.trade.requirements import CountsOn, RequirementTemplate, Use

Cycles = Annotated[Whole, Field(gt=0, le=LONGEST_CYCLES)]
Months = Annotated[Whole, Field(gt=0, le=LONGEST_MONTHS)]
Days = Annotated[Whole, Field(gt=0, le=LONGEST_DAYS)]


class IntervalRow(Row):
    """The interval within a requirement."""

    hours: Annotated[Exact, Field(gt=0, le=LONGEST_HOURS)] | None = None
    cycles: Cycles | None = None
    calendar_months: Months | None = None
    months: Months | None = None
    days: Days | None = None
    logic: Logic = Logic.FIRST
    recurring: StrictBool = True
    enroute_excess_hours: Annotated[Exact, Field(ge=0, le=LONGEST_HOURS)] = Decimal(0)

    @model_validator(mode="after")
    def _possible(self) -> Self:
        calendar = [each for each in (self.calendar_months, self.months, self.days) if each is not None]
        if len(calendar) > 1:
            raise ValueError("at most one of calendar_months, months and days")
        if not calendar and self.hours is None and self.cycles is None:
            raise ValueError("at least one of hours, cycles, calendar_months, months and days")
        if self.enroute_excess_hours and self.hours is None:
            raise ValueError("hours beside enroute_excess_hours")
        return self

    def value(self) -> Interval:
        """Give the trade's value."""
        return Interval(**dict(self))


class RequirementRow(Row):
    """One [[requirement]]; without an interval it is written airplane by airplane."""

    key: Word
    title: Text
    citation: Text
    force: Force
    source: Text
    interval: IntervalRow | None = None
    counts_on: CountsOn
    bites_on: Annotated[tuple[Use, ...], Field(min_length=1)] = (Use.ANY,)
    needs: Words = ()
    excludes: Words = ()
    on_event: StrictBool = False
    note: Note = ""

    @model_validator(mode="after")
    def _counted(self) -> Self:
        counted = self.interval is not None and (self.interval.hours or self.interval.cycles)
        if counted and self.counts_on is CountsOn.NONE:
            raise ValueError("counts_on other than 'none' for an interval in hours or cycles")
        return self

    def value(self) -> RequirementTemplate:
        """Give the trade's value."""
        fields = dict(self)
        fields["interval"] = self.interval.value() if self.interval else None
        return RequirementTemplate(**fields)


REQUIREMENTS = Kind("requirements", "requirement", RequirementRow)
