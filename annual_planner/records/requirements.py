"""Requirements of one airplane: added, taken on from templates, ended."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from annual_planner.records.edits import Changed
from annual_planner.records.row_edits import AddRow, ChangeRow, Subject, Together
from annual_planner.store.due_facts import aircraft_of_requirement
from annual_planner.store.record_facts import fitted_by_kind, taken_on
from annual_planner.store.writing import values_of
from annual_planner.trade.periods import Interval
from annual_planner.trade.refused import Refused
from annual_planner.trade.requirements import CountsOn, RequirementTemplate

if TYPE_CHECKING:
    from annual_planner.store.session import Work


@dataclass(frozen=True, slots=True)
class AddRequirement:
    """Write down something that must be done on an airplane, at an interval, once, or by a fixed day.

    `assembly_id`: whose hours count; None for the airframe.
    """

    aircraft_id: int
    title: str
    force: str
    interval: Interval | None = None
    key: str = ""
    source: str = ""
    citation: str = ""
    assembly_id: int | None = None
    effective_on: date | None = None
    effective_hours: Decimal | None = None
    fixed_on: date | None = None
    directive_number: str = ""
    directive_revised_on: date | None = None
    note: str = ""

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return f"requirement {self.title}"

    def apply(self, work: Work, today: date) -> Changed:
        """Write it down. Raises Refused without a title, or with neither an interval nor a day."""
        if not self.title.strip():
            raise Refused("A requirement needs a title.", "Say in a few words what must be done.")
        if self.interval is None and self.fixed_on is None:
            raise Refused(
                f"{self.title}: neither an interval nor a day is given.",
                "Give hours, cycles, months or days, or the printed day.",
            )
        of = Subject("requirement", self.says, self.aircraft_id)
        return AddRow(of, "requirement", self.values()).apply(work, today)

    def values(self) -> dict[str, object]:
        """The row's values by column."""
        return {
            **_interval_values(self.interval),
            "aircraft_id": self.aircraft_id,
            "assembly_id": self.assembly_id,
            "key": self.key,
            "title": self.title.strip(),
            "source": self.source,
            "citation": self.citation,
            "force": str(self.force),
            "effective_on": self.effective_on,
            "effective_hours": self.effective_hours,
            "fixed_on": self.fixed_on,
            "directive_number": self.directive_number,
            "directive_revised_on": self.directive_revised_on,
            "note": self.note,
        }


def _interval_values(interval: Interval | None) -> dict[str, object]:
    if interval is None:
        return {"enroute_excess_hours": Decimal(0)}
    return {
        "every_hours": interval.hours,
        "every_cycles": interval.cycles,
        "every_calendar_months": interval.calendar_months,
        "every_months": interval.months,
        "every_days": interval.days,
        "logic": interval.logic.value,
        "recurring": interval.recurring,
        "enroute_excess_hours": interval.enroute_excess_hours,
    }


@dataclass(frozen=True, slots=True)
class TakeOnTemplates:
    """Take on the requirements that bite on an airplane by its use and equipment.

    Those of an engine or propeller are taken on for each one fitted. Left out: what it has already, what only
    an event asks for, and what has its interval written elsewhere.
    """

    aircraft_id: int
    templates: Sequence[RequirementTemplate] = field(default=())

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "requirements taken on"

    def apply(self, work: Work, today: date) -> Changed:
        """Write them down together. Raises Refused when the airplane is gone."""
        together = Together(work, Subject("requirement", self.says, self.aircraft_id))
        for each in requirements_to_take_on(work, self.aircraft_id, self.templates):
            together.write(
                AddRow(Subject("requirement", each.says, self.aircraft_id), "requirement", each.values())
            )
        return together.settled(today)


def requirements_to_take_on(
    work: Work, aircraft_id: int, templates: Sequence[RequirementTemplate], *, of: int | None = None
) -> Iterator[AddRequirement]:
    """What an airplane would take on of these templates; `of`: only what counts on that fitted assembly."""
    aircraft = values_of(work, "aircraft", aircraft_id, said="airplane")
    features, uses = _words(aircraft["features"]), _words(aircraft["uses"])
    fitted = fitted_by_kind(work, aircraft_id)
    there = taken_on(work, aircraft_id)
    for template in templates:
        if template.interval is None or template.on_event or not template.applies(features, uses):
            continue
        for assembly_id in _counted_on(template.counts_on, fitted):
            if (template.key, assembly_id) not in there and of in (None, assembly_id):
                yield _from_template(aircraft_id, template, assembly_id)


def _words(value: object) -> frozenset[str]:
    assert isinstance(value, list)
    return frozenset(value)


def _counted_on(counts_on: CountsOn, fitted: dict[str, list[int]]) -> Sequence[int | None]:
    if counts_on in (CountsOn.ENGINE, CountsOn.PROPELLER):
        return fitted.get(counts_on.value, [])
    return [None]


def _from_template(
    aircraft_id: int, template: RequirementTemplate, assembly_id: int | None
) -> AddRequirement:
    return AddRequirement(
        aircraft_id=aircraft_id,
        title=template.title,
        force=template.force.value,
        interval=template.interval,
        key=template.key,
        source=template.source,
        citation=template.citation,
        assembly_id=assembly_id,
        note=template.note,
    )


@dataclass(frozen=True, slots=True)
class EndRequirement:
    """Say that a requirement no longer applies, and why; it stays in the records."""

    requirement_id: int
    why: str

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "end of a requirement"

    def apply(self, work: Work, today: date) -> Changed:
        """End it. Raises Refused without a reason, ChangedMeanwhile when it was ended otherwise already."""
        if not self.why.strip():
            raise Refused(
                "Why it no longer applies is missing.", "Name the terminating action or the reason."
            )
        of = Subject("requirement", self.says, aircraft_of_requirement(work, self.requirement_id))
        saw, wants = {"terminated": ""}, {"terminated": self.why.strip()}
        return ChangeRow(of, "requirement", self.requirement_id, saw, wants).apply(work, today)
