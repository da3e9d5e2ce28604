"""A laid-out package as rows and as values for scripts."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime
from decimal import Decimal

from annual_planner.exchange.tables import Cell
from annual_planner.planning.crew.binding import Binding
from annual_planner.planning.crew.laid_out import LaidOut, Moved, Place
from annual_planner.planning.crew.open_time import STEPS_AN_HOUR, said_moment
from annual_planner.planning.owner_days import OwnerDay
from annual_planner.planning.work_plan import work_places
from annual_planner.trade.said import said_date
from annual_planner.trade.working import Worked, as_dict

PLAN_HEADINGS = ("starts", "ends", "card", "who", "slack h", "waits for")


def plan_rows(
    plan: LaidOut, bound: Binding, people: Mapping[str, str], *, for_scripts: bool = False
) -> list[list[Cell]]:
    """One row for each card by start, in the order of PLAN_HEADINGS.

    Moments as people say them, or `for_scripts` as ISO text on the shop's own clock.
    """
    said = _iso if for_scripts else said_moment
    rows: list[list[Cell]] = []
    for place in work_places(plan):
        held = bound.job(place.job)
        rows.append(
            [
                said(place.starts),
                said(place.ends),
                place.title,
                ", ".join(people[key] for key in place.people),
                f"{held.slack / STEPS_AN_HOUR:g}",
                "; ".join(reason.said for reason in held.reasons),
            ]
        )
    return rows


def _iso(moment: datetime) -> str:
    return moment.isoformat(timespec="minutes")


def owner_lines(days: Iterable[OwnerDay], owner: str) -> list[str]:
    """What the owner does on which day, a line for each card, under the day with its hours."""
    lines = []
    for day in days:
        lines.append(f"{owner} on {day.day:%A} {said_date(day.day)}: {day.hours:g} h")
        for piece in day.pieces:
            when = f"{piece.starts:%H:%M}–{piece.ends:%H:%M}"
            lines.append(f"  {when} {piece.card_number} {piece.title}; {piece.authority}")
    return lines


def plan_values(
    plan: LaidOut,
    bound: Binding,
    people: Mapping[str, str],
    cost: Worked[Decimal],
    owner_days: Iterable[OwnerDay] = (),
) -> dict[str, object]:
    """The plan as one object.

    Keys: finish, proven, bound, seconds, late_steps (by promise), critical (titles of the chain), cost (its
    amount as text, in the shop's own money, and its working), cards (job, title, starts, ends, people,
    pieces, slack_hours, waits_for), owner_days (day, hours, cards: number, title, starts, ends, authority),
    moved (title, was, now, were, are).
    Moments are ISO text on the shop's own clock; what isn't known is null.
    """
    titles = {place.job: place.title for place in plan.places}
    return {
        "finish": plan.finish.isoformat(),
        "proven": plan.proven,
        "bound": plan.bound.isoformat() if plan.bound is not None else None,
        "seconds": round(plan.seconds, 2),
        "late_steps": dict(plan.late_steps),
        "critical": [titles[key] for key in bound.chain if key in titles],
        "cost": {"amount": f"{cost.value:.2f}", "working": as_dict(cost.working)},
        "cards": [_card_values(place, bound, people) for place in work_places(plan)],
        "owner_days": [_owner_day_values(day) for day in owner_days],
        "moved": [_moved_values(each, people) for each in plan.moved],
    }


def _card_values(place: Place, bound: Binding, people: Mapping[str, str]) -> dict[str, object]:
    job = bound.job(place.job)
    return {
        "job": place.job,
        "title": place.title,
        "starts": place.starts.isoformat(),
        "ends": place.ends.isoformat(),
        "people": [people[key] for key in place.people],
        "pieces": [[piece.start.isoformat(), piece.end.isoformat()] for piece in place.pieces],
        "slack_hours": job.slack / STEPS_AN_HOUR,
        "waits_for": [reason.said for reason in job.reasons],
    }


def _owner_day_values(day: OwnerDay) -> dict[str, object]:
    return {
        "day": day.day.isoformat(),
        "hours": day.hours,
        "cards": [
            {
                "number": piece.card_number,
                "title": piece.title,
                "starts": piece.starts.isoformat(),
                "ends": piece.ends.isoformat(),
                "authority": piece.authority,
            }
            for piece in day.pieces
        ],
    }


def _moved_values(move: Moved, people: Mapping[str, str]) -> dict[str, object]:
    return {
        "title": move.title,
        "was": move.was.isoformat(),
        "now": move.now.isoformat(),
        "were": [people[key] for key in move.were],
        "are": [people[key] for key in move.are],
    }
