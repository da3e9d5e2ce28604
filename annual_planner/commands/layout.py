"""`layout`: one package's work on people and days."""

from __future__ import annotations

import argparse
from contextlib import closing, suppress
from dataclasses import dataclass
from datetime import date, datetime, time
from pathlib import Path
from typing import TYPE_CHECKING

from annual_planner.commands.opened import (
    check_paper,
    counted_from,
    opened,
    paper_said,
    shop_library,
    tell,
)
from annual_planner.commands.options import (
    COMMAND_LINE,
    DONE,
    a_moment,
    add_command,
    amount,
    fleet_options,
    form_option,
    package_option,
    paper_option,
    seconds_option,
    shop_option,
)
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.commands.options import Commands
    from annual_planner.library.shelf import Library
    from annual_planner.planning.card_jobs import Asked
    from annual_planner.planning.crew.binding import Binding
    from annual_planner.planning.crew.laid_out import LaidOut
    from annual_planner.planning.owner_days import Owner, OwnerDay
    from annual_planner.store.session import Fleet


def add(commands: Commands) -> None:
    """Add the command."""
    layout = add_command(commands, "layout", "lay a package's work out on people and days", _layout)
    fleet_options(layout)
    shop_option(layout)
    package_option(layout)
    text = "lay on from here (YYYY-MM-DD or YYYY-MM-DDTHH:MM)"
    layout.add_argument("--from", dest="start", type=a_moment, metavar="MOMENT", help=text)
    seconds_option(layout)
    layout.add_argument("--keep", action="store_true", help="write the plan into the fleet")
    text = "weigh cost of hours: what a finish an hour earlier is worth"
    layout.add_argument("--hour-worth", type=amount, metavar="MONEY", help=text)
    text = "write the plan on paper here too, laid across"
    layout.add_argument("--pdf", type=Path, metavar="OUT.pdf", help=text)
    paper_option(layout)
    text = "write a calendar file for each person into this folder"
    layout.add_argument("--ics", type=Path, metavar="FOLDER", help=text)
    form_option(layout, "table", "csv", "json")


def _layout(asked: argparse.Namespace) -> int:
    from annual_planner.planning.crew.aims import weighing_cost
    from annual_planner.planning.crew.binding import binding
    from annual_planner.planning.crew.solve import lay_out
    from annual_planner.planning.work_plan import KeepPlan
    from annual_planner.records.apply import apply

    check_paper(asked)
    if asked.ics is not None:
        _check_folder(asked.ics)
    with closing(opened(asked.fleet, read_only=not asked.keep)) as fleet:
        today = counted_from(fleet, asked.today)
        package = _package(fleet, asked, today)
        problem = package.jobs.problem
        aims = weighing_cost(asked.hour_worth)
        plan = lay_out(problem, seconds=asked.seconds, keep=package.kept, aims=aims).value
        if asked.keep:
            kept = KeepPlan(package.package_id, plan, datetime.now().astimezone())
            apply(fleet, kept, COMMAND_LINE, today)
    bound = binding(problem, plan).value
    if asked.ics is not None:
        _write_calendars(asked.ics, plan, package.names, asked.package)
    if asked.pdf is not None:
        _write_plan_pdf(package, plan, bound, asked, today)
    _show(package, plan, bound, asked.form)
    return DONE


@dataclass(frozen=True)
class _Package:
    """What is laid out: the package's jobs, the plan kept before, and what its paper says."""

    package_id: int
    jobs: Asked
    kept: LaidOut | None
    registration: str
    demo: bool
    owner: Owner | None
    library: Library

    @property
    def names(self) -> dict[str, str]:
        return {person.key: person.name for person in self.jobs.problem.people}

    def owner_days(self, plan: LaidOut) -> tuple[OwnerDay, ...]:
        """What the owner does on which day; nothing where none is recorded."""
        from annual_planner.planning.owner_days import owner_days

        cards = self.jobs.cards.values()
        return owner_days(plan, cards, self.owner, self.library) if self.owner is not None else ()


def _package(fleet: Fleet, asked: argparse.Namespace, today: date) -> _Package:
    from annual_planner.planning.card_jobs import asked_of_package
    from annual_planner.planning.owner_days import owner_of
    from annual_planner.planning.work_plan import kept_plan_of
    from annual_planner.store.fleet_reads import aircraft_sheet, fleet_fact
    from annual_planner.store.packages import find_package, package_dates

    start = asked.start or datetime.combine(today, time.min)
    with fleet.reading() as work:
        package_id = find_package(work, asked.package)
        before, library = kept_plan_of(work, package_id), shop_library(asked.shop)
        dates = package_dates(work, package_id)
        return _Package(
            package_id,
            jobs=asked_of_package(work, package_id, library, start),
            kept=before.plan if before is not None else None,
            registration=dates.registration,
            demo=fleet_fact(work, "demo") == "yes",
            owner=owner_of(work, aircraft_sheet(work, dates.aircraft_id)),
            library=library,
        )


def _write_plan_pdf(
    package: _Package, plan: LaidOut, bound: Binding, asked: argparse.Namespace, today: date
) -> None:
    from annual_planner.paper.work_plan import work_plan_pdf
    from annual_planner.planning.timeline import bars_of

    pages = work_plan_pdf(
        bars_of(plan, package.names, package.jobs, bound),
        asked.pdf,
        registration=package.registration,
        number=asked.package,
        finish=plan.said,
        today=today,
        page_size=asked.paper,
        demo=package.demo,
        owner=package.owner.name if package.owner is not None else "",
        owner_days=package.owner_days(plan),
    )
    tell(paper_said("work plan", asked.pdf, pages))


def _show(package: _Package, plan: LaidOut, bound: Binding, form: str) -> None:
    from annual_planner.exchange import tables, work_plans
    from annual_planner.planning.plan_costs import cost_of_plan

    cost, own = cost_of_plan(package.jobs, plan), package.owner_days(plan)
    if form == "json":
        print(tables.as_json(work_plans.plan_values(plan, bound, package.names, cost, own)))
        return
    write = tables.as_csv if form == "csv" else tables.as_table
    rows = work_plans.plan_rows(plan, bound, package.names, for_scripts=form == "csv")
    print(write(work_plans.PLAN_HEADINGS, rows).rstrip("\n"))
    if form == "table":
        print(plan.said)
        print(f"{cost.working.title.lower()}: {cost.working.result}")
        for line in work_plans.owner_lines(own, package.owner.name if package.owner is not None else ""):
            print(line)


def _write_calendars(folder: Path, plan: LaidOut, names: dict[str, str], number: str) -> None:
    from annual_planner.exchange.calendars import person_calendars
    from annual_planner.planning.work_plan import work_places

    made_at = datetime.now().astimezone()
    folder.mkdir(parents=True, exist_ok=True)
    calendars = person_calendars(work_places(plan), names, f"Package {number}", f"package-{number}", made_at)
    for name, content in calendars.items():
        file = folder / f"{name.replace('/', '-')}.ics"
        beside = file.with_name(f".{file.name}.part")
        try:
            beside.write_bytes(content)
            beside.replace(file)
        except OSError as fault:
            with suppress(OSError):  # where nothing can be written, nothing can be removed
                beside.unlink(missing_ok=True)
            remedy = "Make room there, or choose another folder."
            raise Refused(f"{file} can't be written: {fault.strerror}.", remedy) from fault
        tell(f"calendar: {file}")


def _check_folder(folder: Path) -> None:
    """Refuse a place for the calendars before anything is laid out."""
    if folder.exists() and not folder.is_dir():
        raise Refused(f"{folder} is a file, not a folder.", "Name a folder for the calendars.")
