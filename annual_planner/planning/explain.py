"""The working behind a number, asked for in words: 'N012AP annual', 'N012AP card 12', 'N012AP order'."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from difflib import get_close_matches

from annual_planner.library.shelf import Library
from annual_planner.planning.card_content import from_stored
from annual_planner.planning.entitled import LeastAsked, explain_flight_check, owner_person
from annual_planner.planning.in_order import key_in_order, line_in_order, lines_in_order
from annual_planner.planning.weighed import Visit, hours_on, to_weigh, visit_from
from annual_planner.records.due_state import explain_due, explain_dues, explain_usage
from annual_planner.store.fleet_reads import aircraft_sheet, find_aircraft
from annual_planner.store.packages import (
    card_line,
    card_lines,
    item_line,
    item_lines,
    newest_package,
    package_dates,
    package_numbered,
)
from annual_planner.store.rows import AircraftSheet, CardLine, ItemLine
from annual_planner.store.session import Work
from annual_planner.store.weighable import Weighable, item_dues, weighables
from annual_planner.trade.refused import Refused
from annual_planner.trade.sequence import why_here
from annual_planner.trade.weighing import weigh
from annual_planner.trade.working import Input, Step, Working

ASK = (
    "Ask for 'annual', 'usage', 'flight check', words of a requirement, 'card 12', 'card 12 hours', "
    "'card 12 when', 'order', 'package', 'coverage', 'together', 'plan', 'promise', 'cost', 'week', "
    "'closing', 'discrepancy' with words of it, 'after' with words of a requirement, or 'engine 1 plug 3T'."
)


def explain(work: Work, what: str, library: Library, today: date) -> Working:
    """The working of what the words ask for: a registration or the number of a package, then the thing.

    After a registration the package is the open one that begins last. 'usage'; 'flight check' (who may make
    it after work); 'package' (what goes in and why); 'order'; 'card 12' (who may do it, and why it stands
    where it does); 'card 12 hours' (as learned from those used); 'coverage' (of the scope); 'together' (which
    items to bundle over two years); 'plan', 'card 12 when', 'promise' and 'cost' (of its kept plan) and
    'week' (see explain_plan for these); 'closing' (what keeps the package open); 'after' with words of a
    requirement (when it is next due after the visit); 'discrepancy' with words of one that is open; 'engine'
    with its position and a thing (see explain_engine); else words of a requirement ('annual', 'oil').
    Refused, with the choices, where nothing or more fits.
    """
    words = what.split()
    if not words:
        raise Refused("Nothing was asked for.", f"Name an airplane first. {ASK}")
    package_id = package_numbered(work, words[0])
    if package_id is None:
        aircraft_id = find_aircraft(work, words[0])
    else:
        aircraft_id = package_dates(work, package_id).aircraft_id
    asked = [word.lower() for word in words[1:]]
    if not asked:
        raise Refused(f"What of {words[0]} was meant?", ASK)
    if asked == ["after"] or (asked[0] == "card" and not _is_of_package(asked)):
        raise Refused(f"What of '{' '.join(words[1:])}' was meant?", ASK)
    if _is_of_package(asked):
        return _of_package(work, package_id or _package_of(work, aircraft_id), asked, library, today)
    return _of_airplane(work, aircraft_id, asked, library, today)


def _is_of_package(asked: list[str]) -> bool:
    """Whether the words ask for a thing of one package, not of the airplane."""
    match asked:
        case (
            ["package" | "order" | "cost" | "closing" | "plan" | "promise"]
            | ["card", _]
            | ["card", _, "hours" | "when"]
            | ["after", _, *_]
        ):
            return True
        case _:
            return False


def _of_airplane(work: Work, aircraft_id: int, asked: list[str], library: Library, today: date) -> Working:
    """The working of a thing of the airplane: its usage, engines, week, discrepancies, scope, dues."""
    match asked:
        case ["usage"]:
            return explain_usage(work, aircraft_id, today)
        case ["flight", "check"]:
            return explain_flight_check(work, aircraft_id, library.rules, today)
        case ["together"]:
            from annual_planner.planning.bundled import bundle_of_aircraft

            return bundle_of_aircraft(work, aircraft_id, library, today).working
        case ["engine", *rest] if _of_engine(rest):
            from annual_planner.planning.explain_engine import explain_engine

            return explain_engine(work, aircraft_id, rest, library, today)
        case ["week"]:
            from annual_planner.planning.explain_plan import explain_week

            return explain_week(work, aircraft_id, today)
        case ["discrepancy", *rest]:
            from annual_planner.planning.explain_found import explain_discrepancy

            return explain_discrepancy(work, aircraft_id, rest, today)
        case ["coverage"]:
            from annual_planner.planning.explain_plan import explain_coverage

            return explain_coverage(work, aircraft_id, library)
        case _:
            return explain_due(work, _requirement(work, aircraft_id, " ".join(asked)), today)


def _of_package(work: Work, package_id: int, asked: list[str], library: Library, today: date) -> Working:
    """The working of a thing of the package: what goes in, order, cost, closing, a card, dues after."""
    match asked:
        case ["order"]:
            return explain_order(work, package_id)
        case ["cost"]:
            from annual_planner.planning.plan_costs import explain_cost

            return explain_cost(work, package_id, library, today)
        case ["plan" | "promise"] | ["card", _, "when"]:
            return _of_plan(work, package_id, asked, library, today)
        case ["closing"]:
            from annual_planner.planning.closing import closing_state

            return closing_state(work, package_id, library, today).working
        case ["after", *rest]:
            from annual_planner.planning.due_after import explain_due_after

            aircraft_id = package_dates(work, package_id).aircraft_id
            return explain_due_after(work, package_id, _requirement(work, aircraft_id, " ".join(rest)), today)
        case ["card", number, "hours"]:
            from annual_planner.planning.experience import explain_hours

            return explain_hours(work, card_line(work, _card_id(work, package_id, number)), library).working
        case ["card", number]:
            return explain_card(work, _card_id(work, package_id, number), library)
        case _:
            return explain_package(work, package_id, library, today)


def _of_plan(work: Work, package_id: int, asked: list[str], library: Library, today: date) -> Working:
    """The working of when the work is done, by the plan that is kept."""
    from annual_planner.planning import explain_plan as of

    match asked:
        case ["card", number, _]:
            card = card_line(work, _card_id(work, package_id, number))
            return of.explain_job(work, package_id, card.number, library, today)
        case ["promise"]:
            return of.explain_promise(work, package_id, library, today)
        case _:
            return of.explain_plan(work, package_id, library, today)


ENGINE_THINGS = frozenset(
    (
        "plug",
        "cylinder",
        "rotation",
        "proposal",
        "polarity",
        "test",
        "torque",
        "restrictor",
        "set",
        "hours",
        "tray",
    )
)


def _of_engine(rest: Sequence[str]) -> bool:
    """Whether the words after 'engine' ask for its plugs and cylinders, not for a requirement of its name."""
    return not rest or rest[0].isdecimal() or rest[0] in ENGINE_THINGS


def _package_of(work: Work, aircraft_id: int) -> int:
    package_id = newest_package(work, aircraft_id)
    if package_id is None:
        raise Refused("No package is planned for this airplane.", "Plan its annual first.")
    return package_id


def _card_id(work: Work, package_id: int, number: str) -> int:
    cards = card_lines(work, package_id)
    found = next((card.card_id for card in cards if str(card.number) == number.lstrip("#")), None)
    if found is None:
        last = max((card.number for card in cards), default=0)
        raise Refused(f"The package has no card {number}.", f"Its cards are numbered 1 to {last}.")
    return found


def _requirement(work: Work, aircraft_id: int, text: str) -> int:
    """The one requirement that is meant: by its key or title exactly, else by all the words."""
    things = weighables(work, aircraft_id)
    exact = [thing for thing in things if text in (thing.line.key, thing.line.title.lower())]
    found = exact or [thing for thing in things if _has_words(thing, text.split())]
    if len(found) == 1:
        return found[0].line.requirement_id
    if not found:
        raise Refused(f"No requirement of this airplane is called '{text}'.", _near(text, things))
    raise Refused(f"'{text}' may mean several requirements.", _choices(found))


def _has_words(thing: Weighable, words: list[str]) -> bool:
    line = thing.line
    said = f"{line.title} {line.key.replace('_', ' ')} {line.citation} {line.counts_on}".lower()
    return all(word in said for word in words)


def _near(text: str, things: Sequence[Weighable]) -> str:
    """What may have been meant: titles with a word much like one of these; else all there are."""
    near = [thing for thing in things if any(_like(word, thing.line.title) for word in text.split())]
    return _choices(near or things) + f" Or: {ASK}"


def _like(word: str, title: str) -> bool:
    return bool(get_close_matches(word, title.lower().replace(",", "").split(), n=1, cutoff=0.75))


def _choices(things: Iterable[Weighable]) -> str:
    said = [f"'{thing.line.title}'" + _where(thing) for thing in things]
    return "Choose one: " + ", ".join(dict.fromkeys(said)) + "." if said else "It has no requirements yet."


def _where(thing: Weighable) -> str:
    return f" ({thing.line.counts_on})" if thing.line.counts_on != "airframe" else ""


def explain_item(work: Work, item_id: int, today: date, library: Library) -> Working:
    """Why one requirement is proposed to be done now or left, as its facts stand today.

    What the person decided stands beside it.
    """
    item = item_line(work, item_id)
    dates = package_dates(work, item.package_id)
    thing = item_dues(work, (item.due.requirement_id,))[item.due.requirement_id]
    due = explain_due(work, item.due.requirement_id, today)
    return _weighed(
        item, thing, due, visit_from(dates.start_on), aircraft_sheet(work, dates.aircraft_id), library
    )


def _weighed(
    item: ItemLine, thing: Weighable, due: Working, visit: Visit, sheet: AircraftSheet, library: Library
) -> Working:
    """How a requirement is weighed, with its due line and the hours expected among the parts."""
    asked = to_weigh(thing, visit, sheet, library)
    weighed = weigh(asked, visit.start_on, visit.horizon_on).working
    hours = hours_on(thing.hours_now, sheet, visit.start_on).working
    return Working(
        title=weighed.title,
        result=weighed.result,
        inputs=(*weighed.inputs, Input("decided", "do now" if item.do_now else "leave")),
        steps=weighed.steps,
        rules=weighed.rules,
        assumptions=weighed.assumptions,
        parts=(due, hours),
    )


def explain_package(work: Work, package_id: int, library: Library, today: date) -> Working:
    """What goes into a visit and why: each requirement weighed, as a part of its own; a fixed few queries."""
    dates = package_dates(work, package_id)
    items = item_lines(work, package_id)
    ids = tuple(item.due.requirement_id for item in items)
    things, dues = item_dues(work, ids), explain_dues(work, dates.aircraft_id, today)
    visit, sheet = visit_from(dates.start_on), aircraft_sheet(work, dates.aircraft_id)
    now = sum(item.do_now for item in items)
    return Working(
        title=f"What goes into package {dates.number}",
        result=f"{now} of {len(items)} requirements now, {len(items) - now} left",
        inputs=(
            Input("visit starts", dates.start_on.isoformat()),
            Input("looked ahead to", dates.horizon_on.isoformat(), source="when the next annual would end"),
        ),
        steps=tuple(Step(item.due.title, item.reason) for item in items),
        parts=tuple(
            _weighed(item, things[each], dues[each], visit, sheet, library)
            for each, item in zip(ids, items, strict=True)
        ),
    )


def explain_order(work: Work, package_id: int) -> Working:
    """Why the cards of a package stand in their order."""
    return lines_in_order(card for card in card_lines(work, package_id) if card.included)[1]


def explain_card(work: Work, card_id: int, library: Library) -> Working:
    """Who may do and sign a card, why it stands where it does, and what was merged into it."""
    card = card_line(work, card_id)
    content = from_stored(card.content)
    parts = [explain_card_authority(work, card_id, library)]
    if card.included:
        every = card_lines(work, card.package_id)
        parts.append(why_here(key_in_order(card), [line_in_order(each) for each in every if each.included]))
    merged = tuple(Step("taken in, hours not counted twice", title) for title in content.merged)
    return Working(
        title=f"Card {card.number}, {card.title}",
        result=f"{'in' if card.included else 'left out'}; done by {card.doer}, signed by {card.signer}",
        inputs=(Input("comes from", card.origin), Input("hours", _hours(card))),
        steps=merged,
        parts=tuple(parts),
    )


def _hours(card: CardLine) -> str:
    return f"{card.hours_low:f} / {card.hours_likely:f} / {card.hours_high:f} h"


def explain_card_authority(work: Work, card_id: int, library: Library) -> Working:
    """The least that must do and sign a card on its visit's first day, with every rule that was tried."""
    card = card_line(work, card_id)
    dates = package_dates(work, card.package_id)
    sheet = aircraft_sheet(work, dates.aircraft_id)
    asked = LeastAsked(sheet, dates.start_on, library.rules, owner_person(work, sheet))
    return asked.needed(card.title, card.kind, from_stored(card.content)).working
