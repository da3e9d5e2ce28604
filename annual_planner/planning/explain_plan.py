"""The working behind when work is done: a package's kept plan, its promise, and an airplane's week.

After the registration: 'plan' (the chain that makes the finish), 'card 12 when' (what keeps it from being
earlier), 'promise' (the likely finish), 'week' (why its annual is in its week).
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, time

from annual_planner.library.shelf import Library
from annual_planner.planning.card_jobs import Asked, asked_of_package
from annual_planner.planning.crew.laid_out import LaidOut
from annual_planner.planning.crew.open_time import STEPS_AN_HOUR, said_moment
from annual_planner.planning.work_plan import kept_plan_of
from annual_planner.store.session import Work
from annual_planner.trade.refused import Refused
from annual_planner.trade.working import Input, Step, Working


def explain_plan(work: Work, package_id: int, library: Library, today: date) -> Working:
    """The chain of cards that makes the finish of the kept plan. Refused where there is no plan."""
    from annual_planner.planning.crew.binding import binding

    asked, plan = _laid_out(work, package_id, library, today)
    return binding(asked.problem, plan).working


def explain_job(work: Work, package_id: int, number: int, library: Library, today: date) -> Working:
    """What keeps one card of the kept plan from being earlier, and how long it may slip.

    Refused where there is no plan, or the card isn't in it.
    """
    from annual_planner.planning.crew.binding import binding

    asked, plan = _laid_out(work, package_id, library, today)
    key = next((key for key, card in asked.cards.items() if card.number == number), None)
    place = next((each for each in plan.places if each.job == key), None)
    if key is None or place is None:
        raise Refused(f"Card {number} isn't in the plan.", "Done and left-out cards aren't laid out.")
    bound = binding(asked.problem, plan)
    own = bound.value.job(key)
    names = {person.key: person.name for person in asked.problem.people}
    held = [Step(f"can't begin before {said_moment(place.starts)}", each.said) for each in own.reasons]
    return replace(
        bound.working,
        title=f"When '{place.title}' is done",
        result=f"{said_moment(place.starts)} to {said_moment(place.ends)}",
        inputs=(
            Input("who", ", ".join(names.get(key, key) for key in place.people) or "nobody"),
            Input("slack", f"{own.slack / STEPS_AN_HOUR:g}", "h"),
        ),
        steps=tuple(held),
        parts=(bound.working,),
    )


def explain_promise(work: Work, package_id: int, library: Library, today: date) -> Working:
    """The likely finish of the kept plan, drawn by chance. Refused where there is no plan."""
    from annual_planner.planning.crew.likely import SHOWN_REPLANNED_SAMPLES, SHOWN_SAMPLES, likely_finish

    asked, plan = _laid_out(work, package_id, library, today)
    return likely_finish(
        asked.problem, plan, samples=SHOWN_SAMPLES, replanned_samples=SHOWN_REPLANNED_SAMPLES
    ).working


def _laid_out(work: Work, package_id: int, library: Library, today: date) -> tuple[Asked, LaidOut]:
    kept = kept_plan_of(work, package_id)
    if kept is None:
        raise Refused(
            "The work isn't laid out yet.",
            "Lay it out under 'Who and when', or by the command 'layout --keep'.",
        )
    return asked_of_package(work, package_id, library, datetime.combine(today, time.min)), kept.plan


def explain_week(work: Work, aircraft_id: int, today: date) -> Working:
    """Why the airplane's annual is in its week of the kept plan, and what other weeks would cost.

    Refused where the shop's weeks can't be planned, or nothing of this airplane is in them.
    """
    from annual_planner.planning.shop_weeks.kept import kept_plan
    from annual_planner.planning.shop_weeks.placing import why_there
    from annual_planner.planning.shop_weeks.stored import weeks_from_fleet
    from annual_planner.store.shop_reads import planned_visits

    found = weeks_from_fleet(work, today)
    plan = kept_plan(found.asked, planned_visits(work, today, date.max))
    if all(each.visit.key != aircraft_id for each in plan.placed):
        raise Refused(
            "No annual of this airplane is to be placed in the coming weeks.",
            "'weeks' says why it is left out.",
        )
    return why_there(found.asked, plan, aircraft_id).working


def explain_coverage(work: Work, aircraft_id: int, library: Library) -> Working:
    """Whether the cards look at every item of the scope of an annual, for what this airplane has."""
    from annual_planner.store.aircraft_reads import aircraft_sheet
    from annual_planner.trade.coverage import scope_checked

    features = frozenset(aircraft_sheet(work, aircraft_id).features)
    return scope_checked(library.items, library.cards, features).working
