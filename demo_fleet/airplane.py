"""One airplane of the demo as rows: what it is, what it has flown, what must be done on it and was done."""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from annual_planner.trade.periods import Force
from annual_planner.trade.requirements import CountsOn, RequirementTemplate
from demo_fleet.history import DAYS_PER_MONTH, Flown, flown_months, stand_on
from demo_fleet.written import (
    Demo,
    WrittenAircraft,
    WrittenAssembly,
    WrittenDirective,
    WrittenType,
)

OVERHAULS = {"engine_overhaul", "propeller_overhaul"}
"""Done when the assembly was fitted: it came with no hours."""
WRITTEN_ELSEWHERE = {"directives", "airworthiness_limitations"}
"""Templates that only say where the real ones are written."""
MARKED_DATES = {"elt_battery": (3, 40), "carbon_monoxide_detector": (8, 50)}
"""Things with a date marked on them: between so many and so many months from today."""
ANNUALS_ON_RECORD = {"full": 6, "short": 2, "new": 1}
METER_OFFSET = Decimal("3120.5")
"""What a replaced meter had counted when it was taken out of the demo's one airplane that has had this."""


@dataclass(slots=True)
class Build:
    """One airplane while its rows are made."""

    written: WrittenAircraft
    kind: WrittenType
    aircraft_id: int
    today: date
    rows: dict[str, list[dict[str, Any]]]
    draw: random.Random
    flown: list[Flown]
    assemblies: dict[str, list[int]] = field(default_factory=dict)
    """Ids of fitted assemblies by kind, in the order of their positions."""
    fitted_at: dict[int, Decimal] = field(default_factory=dict)
    """Airframe hours at which each assembly was fitted, new or overhauled."""

    def add(self, table: str, **values: Any) -> int:
        """Put a row with the next id into a table; give the id."""
        row_id = len(self.rows[table]) + 1
        self.rows[table].append({"id": row_id, **values})
        return row_id

    @property
    def annual_on(self) -> date:
        """The day of the last annual."""
        day = 5 + sum(map(ord, self.written.registration)) % 20
        return months_back(self.today, self.written.annual_months_ago).replace(day=day)

    @property
    def annuals(self) -> list[date]:
        """The days of the annuals on record, oldest first."""
        count = ANNUALS_ON_RECORD[self.written.history]
        return [months_back(self.annual_on, 12 * back) for back in reversed(range(count))]


def airplane_rows(
    written: WrittenAircraft,
    demo: Demo,
    people: dict[str, int],
    templates: Sequence[RequirementTemplate],
    today: date,
    rows: dict[str, list[dict[str, Any]]],
) -> Build:
    """Add one airplane's rows to `rows`; what was made of it, for its engines' histories."""
    kind = demo.types[written.type]
    build = Build(
        written=written,
        kind=kind,
        aircraft_id=len(rows["aircraft"]) + 1,
        today=today,
        rows=rows,
        draw=random.Random(written.registration),
        flown=_history(written, today),
    )
    _particulars(build, people[written.owner])
    _assemblies(build)
    _readings(build)
    _requirements(build, templates)
    for key in written.directives:
        _directive(build, demo.directives[key])
    return build


def _history(written: WrittenAircraft, today: date) -> list[Flown]:
    return flown_months(
        written.registration,
        kept=written.history,
        hours_per_month=written.hours_per_month,
        season=written.season,
        hours_now=written.hours_now,
        landings_now=written.landings,
        today=today,
    )


def _particulars(build: Build, owner_id: int) -> None:
    written = build.written
    stated = Decimal(str(written.hours_per_month)) if written.history == "new" else None
    build.add(
        "aircraft",
        registration=written.registration,
        maker=build.kind.maker,
        model=build.kind.model,
        serial=written.serial,
        year_built=written.year_built,
        category="standard",
        uses=list(written.uses),
        features=list(build.kind.features),
        counts=dict(build.kind.counts),
        owner_id=owner_id,
        base=written.base,
        stated_hours_per_month=stated,
        notes=written.story,
    )


def _assemblies(build: Build) -> None:
    _fit(build, "airframe", 1, WrittenAssembly(maker=build.kind.maker, model=build.kind.model),
         build.written.serial, build.written.hours_now)  # fmt: skip
    for position in range(1, build.kind.counts["engines"] + 1):
        serial = f"{build.draw.randint(1000, 9999)}-{position}"
        _fit(build, "engine", position, build.kind.engine, f"E{serial}", build.written.engine_hours)
        _fit(build, "propeller", position, build.kind.propeller, f"P{serial}", build.written.propeller_hours)


def _fit(
    build: Build, kind: str, position: int, assembly: WrittenAssembly, serial: str, hours_now: Decimal
) -> None:
    """Fit an assembly with no hours at the time that leaves it with `hours_now` today."""
    assembly_id = build.add(
        "assembly",
        kind=kind,
        maker=assembly.maker,
        model=assembly.model,
        serial=serial,
        type_key=assembly.type_key,
        hours_since_overhaul_at_fitting=None if kind == "airframe" else Decimal(0),
    )
    airframe_hours = build.written.hours_now - hours_now
    build.add(
        "installation",
        assembly_id=assembly_id,
        aircraft_id=build.aircraft_id,
        position=position,
        fitted_on=day_at_hours(build, airframe_hours),
        airframe_hours_at_fitting=airframe_hours,
        assembly_hours_at_fitting=Decimal(0),
        removed_on=None,
        airframe_hours_at_removal=None,
        assembly_hours_at_removal=None,
    )
    build.assemblies.setdefault(kind, []).append(assembly_id)
    build.fitted_at[assembly_id] = airframe_hours


def day_at_hours(build: Build, hours: Decimal) -> date:
    """The day on which the airframe had these hours; before the readings begin, at its usual pace."""
    built_on = date(build.written.year_built, 4, 1)
    if hours <= 0:
        return built_on
    for entry in build.flown:
        if entry.hours >= hours:
            return entry.on if entry is not build.flown[0] else max(built_on, _before(build, hours))
    return build.today


def _before(build: Build, hours: Decimal) -> date:
    first = build.flown[0]
    months = (first.hours - hours) / Decimal(str(build.written.hours_per_month))
    return first.on - timedelta(days=int(months * DAYS_PER_MONTH))


def _readings(build: Build) -> None:
    replaced_on = _meter_replaced_on(build)
    old_id = _meter(build, build.flown[0].on, Decimal(0), replaced_on) if replaced_on else None
    offset = METER_OFFSET if replaced_on else Decimal(0)
    new_id = _meter(build, replaced_on or build.flown[0].on, offset, None)
    for entry in build.flown:
        old = old_id is not None and replaced_on is not None and entry.on < replaced_on
        build.add(
            "meter_reading",
            meter_id=old_id if old else new_id,
            aircraft_id=build.aircraft_id,
            read_on=entry.on,
            meter_hours=entry.hours if old else entry.hours - offset,
            landings=entry.landings,
            note="",
        )


def _meter_replaced_on(build: Build) -> date | None:
    months = build.written.meter_replaced_months_ago
    return months_back(build.today, months) if months else None


def _meter(build: Build, fitted_on: date, offset: Decimal, replaced_on: date | None) -> int:
    return build.add(
        "meter",
        aircraft_id=build.aircraft_id,
        kind="tach",
        fitted_on=fitted_on,
        offset_hours=offset,
        of_record=replaced_on is None,
        replaced_on=replaced_on,
    )


def _requirements(build: Build, templates: Sequence[RequirementTemplate]) -> None:
    features, uses = frozenset(build.kind.features), frozenset(build.written.uses)
    for template in templates:
        if (
            template.applies(features, uses)
            and not template.on_event
            and template.key not in WRITTEN_ELSEWHERE
        ):
            for position, assembly_id in enumerate(_counted_on(build, template.counts_on), 1):
                _take_on(build, template, assembly_id, position)


def _counted_on(build: Build, counts_on: CountsOn) -> Sequence[int | None]:
    by_kind = {CountsOn.ENGINE: "engine", CountsOn.PROPELLER: "propeller"}
    return build.assemblies[by_kind[counts_on]] if counts_on in by_kind else [None]


def _take_on(build: Build, template: RequirementTemplate, assembly_id: int | None, position: int) -> None:
    every = _every(build, template)
    fixed_on = _marked_date(build, template.key)
    if not any(every.values()) and fixed_on is None:
        return
    twin = build.kind.counts["engines"] > 1 and assembly_id is not None
    requirement_id = build.add(
        "requirement",
        **_requirement_values(build, assembly_id, template.title + (f", no. {position}" if twin else "")),
        **{**every, "fixed_on": fixed_on},
        key=template.key,
        source=template.source,
        citation=template.citation,
        force=template.force.value,
        logic=template.interval.logic.value if template.interval else "first",
        recurring=template.interval.recurring if template.interval else True,
        enroute_excess_hours=template.interval.enroute_excess_hours if template.interval else Decimal(0),
        directive_number="",
        directive_revised_on=None,
        note=template.note,
    )
    if fixed_on is None:
        _compliances(build, requirement_id, template.key, every, assembly_id)


def _requirement_values(build: Build, assembly_id: int | None, title: str) -> dict[str, Any]:
    return {
        "aircraft_id": build.aircraft_id,
        "assembly_id": assembly_id,
        "title": title,
        "effective_on": None,
        "effective_hours": None,
        "terminated": "",
    }


def _every(build: Build, template: RequirementTemplate) -> dict[str, Any]:
    interval = template.interval
    if interval is None:
        overhaul = {"engine_overhaul": build.kind.engine, "propeller_overhaul": build.kind.propeller}
        assembly = overhaul.get(template.key)
        hours = assembly.overhaul_hours if assembly else None
        months = assembly.overhaul_months if assembly else None
        return _intervals(hours=hours, months=months)
    return _intervals(
        interval.hours, interval.cycles, interval.calendar_months, interval.months, interval.days
    )


def _intervals(
    hours: Decimal | None = None,
    cycles: int | None = None,
    calendar_months: int | None = None,
    months: int | None = None,
    days: int | None = None,
) -> dict[str, Any]:
    return {
        "every_hours": hours,
        "every_cycles": cycles,
        "every_calendar_months": calendar_months,
        "every_months": months,
        "every_days": days,
    }


def _marked_date(build: Build, key: str) -> date | None:
    if key not in MARKED_DATES:
        return None
    first, last = MARKED_DATES[key]
    return months_back(build.today, -build.draw.randint(first, last)).replace(day=28)


def _directive(build: Build, directive: WrittenDirective) -> None:
    every = _intervals(
        hours=directive.every_hours,
        months=directive.every_months,
        calendar_months=directive.every_calendar_months,
    )
    for assembly_id in _counted_on(build, CountsOn(directive.counts_on)):
        requirement_id = build.add(
            "requirement",
            **_requirement_values(build, assembly_id, directive.title),
            **{**every, "fixed_on": None},
            key="",
            source=f"Directive {directive.number}",
            citation=f"14 CFR 39.7; directive {directive.number}",
            force=Force.DIRECTIVE.value,
            logic=directive.logic,
            recurring=True,
            enroute_excess_hours=Decimal(0),
            directive_number=directive.number,
            directive_revised_on=directive.revised_on,
            note=directive.note,
        )
        _compliances(build, requirement_id, "directive", every, assembly_id)


def _compliances(
    build: Build, requirement_id: int, key: str, every: dict[str, Any], assembly_id: int | None
) -> None:
    fitted = build.fitted_at.get(assembly_id or 0, Decimal(0))
    for done_on in _doings(build, key, every, assembly_id):
        airframe = stand_on(build.flown, done_on, build.written.hours_per_month)
        build.add(
            "compliance",
            requirement_id=requirement_id,
            done_on=done_on,
            done_hours=Decimal(0) if key in OVERHAULS else max(airframe.hours - fitted, Decimal(0)),
            done_cycles=airframe.landings,
            method="with the annual" if done_on == build.annual_on else "as the entry says",
            entry=f"entry of {done_on.day} {done_on:%b %Y}",
            done_by="Marit Holloway" if build.draw.random() < 0.7 else "Tobin Ashgrove",
            enroute=False,
        )


def _doings(build: Build, key: str, every: dict[str, Any], assembly_id: int | None) -> Iterator[date]:
    """The days on which something was done, oldest first."""
    if key in OVERHAULS:
        yield max(
            day_at_hours(build, build.fitted_at[assembly_id or 0]), date(build.written.year_built, 4, 1)
        )
    elif _belongs_to_annual(build, every):
        yield from build.annuals
    else:
        yield from _doings_in_their_own_time(build, every)


def _belongs_to_annual(build: Build, every: dict[str, Any]) -> bool:
    months = every["every_calendar_months"] or every["every_months"]
    hours = every["every_hours"]
    hours_since_annual = build.written.hours_per_month * build.written.annual_months_ago
    in_hours = hours is None or float(hours) > hours_since_annual * 1.1
    return (months == 12 and in_hours) or (
        months is None and hours is not None and float(hours) >= 100 and in_hours
    )


def _doings_in_their_own_time(build: Build, every: dict[str, Any]) -> Iterator[date]:
    months = every["every_calendar_months"] or every["every_months"]
    days = every["every_days"] or (int(months * DAYS_PER_MONTH) if months else None)
    hours = every["every_hours"]
    by_hours = int(float(hours) / build.written.hours_per_month * 30.44) if hours else None
    length = min(each for each in (days, by_hours) if each)
    last = build.today - timedelta(days=int(length * build.draw.uniform(0.15, 0.8)) + 8)
    first_kept = build.flown[0].on
    past = [last - timedelta(days=length * back) for back in range(1, 40)]
    yield from sorted(day for day in past if day >= first_kept)
    yield last


def months_back(day: date, months: int) -> date:
    """The same day number so many months before (after, when negative), at most the 28th."""
    index = day.year * 12 + day.month - 1 - months
    return date(index // 12, index % 12 + 1, min(day.day, 28))
