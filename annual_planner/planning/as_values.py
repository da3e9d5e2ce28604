"""A work package as plain values that JSON can hold. Dates are ISO text, hours decimal text, unknown is null.

| key | what it holds |
| --- | --- |
| `package` | id, number, title, state, start_on, horizon_on, cards, hours_likely, today, demo |
| `aircraft` | registration, maker, model, serial, category, uses, features, counts, owner, hours_now, read_on, hours_per_month |
| `assemblies` | list: kind, position, maker, model, serial, hours_now, hours_since_overhaul |
| `items` | list: requirement_id, title, citation, force, interval, due_on, due_hours, forecast_on, state, proposed, decided ('do now' or 'leave'), reason, given_up_hours, given_up_days |
| `cards` | list in the order of work: id, number, key, title, zone, phase, kind, hours (low, likely, high), doer, signer, entry, assigned, origin, requirement_id, discrepancy_id, note, content |
| `left_out` | list of cards that are not in, as above |
| `discrepancies` | list: id, found_on, zone, text, airworthy, disposition, hours_estimate |
| `hours` | list: doer, cards, low, likely, high |
| `parts` | list: name, quantity, unit, consumable, cards (numbers), reason (empty where the cards say it) |
| `tools` | list: name, cards (numbers) |
| `owner_first` | list: card, text (what the owner gets ready before the airplane comes in) |
| `owner_jobs` | list: card, title, why, authority, steps, cautions (titles) |
| `leave_alone` | list of texts |
| `coverage` | list: id, ref, subject, cards (keys), not_applicable, met |
| `due_after` | list: title, citation, counts_on, done_now, due_on, due_hours, state |
| `cautions` | list: key, title, text |
| `order_working` | the working of the order: title, result, inputs, steps, rules, assumptions, parts |

`content` of a card is described in planning/card_content.py.
"""  # noqa: E501 - a table's rows stay whole

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from typing import Any

from annual_planner.planning.package_view import PackageView
from annual_planner.store.rows import CardLine, ItemLine
from annual_planner.trade.working import as_dict

Values = dict[str, Any]


def package_as_values(view: PackageView) -> Values:
    """The whole package, shaped as the table above says."""
    return {
        "package": _package(view),
        "aircraft": _aircraft(view),
        "assemblies": _rows(view.assemblies, _ASSEMBLY),
        "items": [_item(item) for item in view.items],
        "cards": [_card(card) for card in view.cards],
        "left_out": [_card(card) for card in view.left_out],
        "discrepancies": _rows(view.discrepancies, _DISCREPANCY),
        "hours": _rows(view.hours, ("doer", "cards", "low", "likely", "high")),
        "parts": _rows(view.parts, _PART),
        "tools": _rows(view.tools, ("name", ("cards", "card_numbers"))),
        "owner_first": _rows(view.owner_first, (("card", "card_number"), "text")),
        "owner_jobs": [_owner_job(job) for job in view.owner_jobs],
        "leave_alone": list(view.leave_alone),
        "coverage": [_covered(each) for each in view.coverage],
        "due_after": _rows(view.due_after, _DUE_AFTER),
        "cautions": _rows(view.cautions, ("key", "title", "text")),
        "order_working": as_dict(view.order_working),
    }


Names = tuple[str | tuple[str, str], ...]
"""Fields to take over; a pair gives a field another name."""

_ASSEMBLY: Names = (
    "kind", "position", "maker", "model", "serial", "hours_now", "hours_since_overhaul",
)  # fmt: skip
_DISCREPANCY: Names = (
    ("id", "discrepancy_id"), "found_on", "zone", "text", "airworthy", "disposition", "hours_estimate",
)  # fmt: skip
_PART: Names = ("name", "quantity", "unit", "consumable", ("cards", "card_numbers"), "reason")
_DUE_AFTER: Names = ("title", "citation", "counts_on", "done_now", "due_on", "due_hours", "state")
_AIRCRAFT: Names = (
    "registration", "maker", "model", "serial", "category", "uses", "features", "counts", "owner",
    "hours_now", "read_on", "hours_per_month",
)  # fmt: skip
_PACKAGE: Names = (
    ("id", "package_id"), "number", "title", "state", "start_on", "cards", "hours_likely",
)  # fmt: skip
_DUE: Names = (
    "requirement_id", "title", "citation", "force", "interval", "due_on", "due_hours", "forecast_on", "state",
)  # fmt: skip
_CARD: Names = (
    ("id", "card_id"), "number", "key", "title", "zone", "phase", "kind", "doer", "signer", "entry",
    ("assigned", "assigned_name"), "origin", "requirement_id", "discrepancy_id", "note", "content",
)  # fmt: skip


def _package(view: PackageView) -> Values:
    own = row_values(view.package, _PACKAGE)
    return {
        **own, "horizon_on": plain(view.horizon_on), "today": plain(view.today), "demo": view.demo
    }  # fmt: skip


def _aircraft(view: PackageView) -> Values:
    return row_values(view.aircraft, _AIRCRAFT)


def _item(item: ItemLine) -> Values:
    return {
        **row_values(item.due, _DUE),
        "proposed": _decided(item.proposed_now),
        "decided": _decided(item.do_now),
        **row_values(item, ("reason", "given_up_hours", "given_up_days")),
    }


def _decided(now: bool) -> str:
    return "do now" if now else "leave"


def _card(card: CardLine) -> Values:
    hours = {
        "low": plain(card.hours_low), "likely": plain(card.hours_likely), "high": plain(card.hours_high)
    }  # fmt: skip
    return {**row_values(card, _CARD), "hours": hours}


def _owner_job(job: Any) -> Values:
    own = row_values(job, (("card", "card_number"), "title", "why", "authority", "steps"))
    return {**own, "cautions": [caution.title for caution in job.cautions]}


def _covered(each: Any) -> Values:
    return {
        **row_values(each.item, ("id", "ref", "subject")),
        **row_values(each, ("cards", "not_applicable", "met")),
    }


def _rows(rows: Iterable[object], names: Names) -> list[Values]:
    return [row_values(row, names) for row in rows]


def row_values(row: object, names: Names) -> Values:
    """These fields of a row as JSON can hold them, each under its own name or the one given before it."""
    pairs = [(name, name) if isinstance(name, str) else name for name in names]
    return {shown: plain(getattr(row, name)) for shown, name in pairs}


def plain(value: object) -> Any:
    """A value as JSON can hold it.

    >>> plain(Decimal("1E+1"))
    '10'
    """
    if isinstance(value, Decimal):
        return f"{value:f}"
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, dict):
        return {str(key): plain(each) for key, each in value.items()}
    return [plain(each) for each in value] if isinstance(value, list | tuple) else value
