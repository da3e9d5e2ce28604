"""One package put together for a reader, in a fixed number of queries whatever its size."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date

from annual_planner.library.shelf import Library
from annual_planner.planning.card_content import from_stored
from annual_planner.planning.drafts import engines_of
from annual_planner.planning.due_after import due_after
from annual_planner.planning.entitled import owner_person
from annual_planner.planning.in_order import lines_in_order
from annual_planner.planning.owner_jobs import leave_alone, owner_first, owner_jobs
from annual_planner.planning.package_engines import engine_views, plugs_to_buy
from annual_planner.planning.package_view import PackageView
from annual_planner.planning.sums import (
    Contents,
    cautions_named,
    hours_by_doer,
    parts_first,
    parts_needed,
    tools_needed,
)
from annual_planner.store.fleet_reads import aircraft_sheet, assemblies, fleet_fact
from annual_planner.store.packages import (
    card_lines,
    discrepancies_of,
    item_lines,
    package_dates,
    package_line,
)
from annual_planner.store.rows import AircraftSheet, CardLine, ItemLine
from annual_planner.store.session import Work
from annual_planner.store.weighable import weighables
from annual_planner.trade.coverage import Covered, why_not_applicable


def read_package(work: Work, package_id: int, library: Library, today: date) -> PackageView:
    """Everything a reader needs of one package.

    Refused when it is gone, or when its cards wait for each other.
    """
    dates = package_dates(work, package_id)
    sheet = aircraft_sheet(work, dates.aircraft_id)
    items = tuple(_on_engine(item, sheet) for item in item_lines(work, package_id))
    every = card_lines(work, package_id)
    cards, working = lines_in_order(card for card in every if card.included)
    contents = {card.card_id: from_stored(card.content) for card in every}
    repaired = tuple(card.discrepancy_id for card in every if card.discrepancy_id is not None)
    done_now = frozenset(item.due.requirement_id for item in items if item.do_now)
    engines = engine_views(work, dates.aircraft_id, library, today)
    jobs = owner_jobs(cards, contents, sheet, owner_person(work, sheet), dates.start_on, library)
    return PackageView(
        package=package_line(work, package_id),
        aircraft=sheet,
        assemblies=tuple(assemblies(work, dates.aircraft_id)),
        horizon_on=dates.horizon_on,
        today=today,
        demo=fleet_fact(work, "demo") == "yes",
        items=items,
        cards=cards,
        left_out=tuple(card for card in every if not card.included),
        discrepancies=tuple(discrepancies_of(work, dates.aircraft_id, repaired)),
        hours=hours_by_doer(cards),
        parts=parts_first((*plugs_to_buy(engines, cards), *parts_needed(cards, contents))),
        tools=tools_needed(cards, contents),
        owner_jobs=jobs,
        leave_alone=leave_alone(cards, contents, jobs),
        coverage=covered(cards, contents, sheet, library),
        due_after=due_after(weighables(work, dates.aircraft_id), done_now, sheet, dates.start_on),
        cautions=cautions_named(cards, contents, library.cautions),
        order_working=working,
        owner_first=owner_first(cards, contents),
        engines=engines,
    )


def _on_engine(item: ItemLine, sheet: AircraftSheet) -> ItemLine:
    """The item, named by its engine or propeller where the airplane has several, as its cards are."""
    of = item.due.counts_on
    if engines_of(sheet) == 1 or not of.startswith(("engine ", "propeller ")):
        return item
    return replace(item, due=replace(item.due, title=f"{item.due.title} ({of})"))


def covered(
    cards: Iterable[CardLine], contents: Contents, sheet: AircraftSheet, library: Library
) -> tuple[Covered, ...]:
    """Each item of an annual's scope with the keys of the cards that are in and look at it."""
    looking: dict[str, list[str]] = {}
    for card in cards:
        for item_id in contents[card.card_id].covers:
            looking.setdefault(item_id, []).append(card.key)
    features = frozenset(sheet.features)
    titles = {feature.key: feature.title for feature in library.features}
    return tuple(
        Covered(item, tuple(looking.get(item.id, ())), why_not_applicable(item, features, titles))
        for item in library.items
    )
