"""What the part shows: the plan that was kept, the question as it stands now, and what binds the plan."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time
from typing import TYPE_CHECKING

from annual_planner.planning.card_jobs import Asked, asked_of_package
from annual_planner.planning.crew.binding import Binding, binding
from annual_planner.planning.crew.laid_out import LaidOut
from annual_planner.planning.job_hands import person_key
from annual_planner.planning.owner_days import Owner, owner_of
from annual_planner.planning.timeline import Bar, bars_of
from annual_planner.planning.work_plan import Kept, kept_plan_of
from annual_planner.store.fleet_reads import aircraft_sheet, fleet_fact, people
from annual_planner.store.packages import package_dates
from annual_planner.store.shop_reads import PartAwaited, parts_awaited
from annual_planner.trade.refused import Refused
from annual_planner.trade.working import Worked

if TYPE_CHECKING:
    from annual_planner.library.shelf import Library
    from annual_planner.store.session import Work


@dataclass(frozen=True, slots=True)
class Plan:
    """One plan with its bars and what binds them (None where the question can't be put)."""

    laid: LaidOut
    bars: tuple[Bar, ...]
    bound: Worked[Binding] | None


@dataclass(frozen=True, slots=True)
class Seen:
    """Everything of one package. `fault`: why the work can't be laid out anew as things stand."""

    package_id: int
    registration: str
    number: str
    demo: bool
    asked: Asked | None
    fault: Refused | None
    names: dict[str, str]
    plan: Plan | None
    kept: Kept | None
    parts: tuple[PartAwaited, ...]
    promised_on: date | None
    start_on: date
    owner: Owner | None
    library: Library


def read_seen(work: Work, package_id: int, library: Library, today: date) -> Seen:
    """Read it. A question that can't be put leaves the last good plan where it is."""
    dates = package_dates(work, package_id)
    asked, fault = None, None
    try:
        asked = asked_of_package(work, package_id, library, datetime.combine(today, time.min))
    except Refused as refused:
        fault = refused
    kept = kept_plan_of(work, package_id)
    names = {person_key(each.person_id): each.name for each in people(work)}
    return Seen(
        package_id=package_id,
        registration=dates.registration,
        number=dates.number,
        demo=fleet_fact(work, "demo") == "yes",
        asked=asked,
        fault=fault,
        names=names,
        plan=plan_seen(kept.plan, names, asked) if kept is not None else None,
        kept=kept,
        parts=parts_awaited(work, package_id),
        promised_on=dates.promised_on,
        start_on=dates.start_on,
        owner=owner_of(work, aircraft_sheet(work, dates.aircraft_id)),
        library=library,
    )


def plan_seen(
    laid: LaidOut, names: dict[str, str], asked: Asked | None, *, with_binding: bool = True
) -> Plan:
    """A plan with its bars and what binds them; without the latter it is there at once."""
    bound = binding(asked.problem, laid) if asked is not None and with_binding else None
    return Plan(laid, bars_of(laid, names, asked, bound.value if bound is not None else None), bound)
