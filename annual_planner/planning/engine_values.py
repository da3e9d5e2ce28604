"""Plugs and cylinders of one engine as plain values for JSON: dates ISO text, hours decimal text, unknown null.

| key | what it holds |
| --- | --- |
| `engine` | registration, position, positions (position, title, type, hours), title, type, type_title, hours, today, demo |
| `places` | list: place, magneto, polarity, next_place, reach, hours_here, plug (as below, or null) |
| `tray` | null, or: rotation_id, rotated_on, engine_hours, moved, gaskets (plugs_out, gaskets_out, missing, not_asked), slots, goes_in, refused |
| `spares` | list of plugs that lie in the drawer |
| `removed` | list of plugs that once were in it |
| `rotations` | list, newest first: id, rotated_on, engine_hours, scheme, moved, state, departures, new_gaskets, note |
| `schemes` | list: key, title, chosen, moves (place to place), change_place, change_row, change_magneto, polarity (changes, stays, alternates, unknown: places), rotations_until_home |
| `proposal` | scheme, complete, missing (places), because |
| `torque` | low_nm, high_nm, source |
| `restrictor_in` | inches |
| `rule` | key, title, citation, max_loss_fraction, master_floor, watch_below_psi |
| `hours_to_annual` | hours, refused |
| `outlook` | places (by how they stand), cost_now, cost_later, given_up, now_is_cheaper, refused |
| `tests` | list, newest first: id, tested_on, engine_hours, cold, regulated_psi, restrictor_in, tester, master_psi, ambient_psi_a, air, after_work, minutes_since_shutdown, oil_temperature_c, note, lowest_good_psi, spread_psi, spread, refused, readings |
| `cylinders` | list: cylinder, trend, changes, latest_psi, latest_on |

A plug: id, tag, type, run_hours, hours_since_set, last_gap_in, last_gap_on, bought_on, scrapped_on, scrapped_why,
looks (newest first: id, looked_on, stage, place, life_hours, conditions, damage, dropped, gaps_in, set_gap_in,
electrode_in, resistance_ohm, verdict, overruled_because, note), stays (newest first: place, fitted_on,
from_hours, removed_on, to_hours, why), wear (electrode and gap: said, why_not, early_hours, likely_hours,
late_hours; per_100_h_in). A slot of the tray: place, plug, gasket_out, verdict, next_place. A reading: cylinder,
reading_psi, first_psi, verdict, normalized_psi, leak_ratio, index, heard, suggests, recheck (advice, next). A
trend: said, why_not, early_hours, likely_hours, late_hours, compared_by, series (began, tests), left_out.
"""  # noqa: E501 - a table's rows stay whole

from __future__ import annotations

from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Any

from annual_planner.planning.as_values import Names, Values, plain, row_values
from annual_planner.planning.engine_view import (
    CylinderView,
    EngineView,
    LookView,
    PlaceView,
    PlugView,
    ReadingView,
    TestView,
    TraySlot,
    TrayView,
)
from annual_planner.store.plug_rows import RotationLine
from annual_planner.trade.rotation import Change, Rotation
from annual_planner.trade.trends import Trend
from annual_planner.trade.wear import PlugWear


def engine_as_values(view: EngineView) -> Values:
    """One engine's whole page, shaped as the table above says."""
    return {
        "engine": _engine(view),
        "places": [_place(each) for each in view.places],
        "tray": _tray(view.tray) if view.tray else None,
        "spares": [_plug(each) for each in view.spares],
        "removed": [_plug(each) for each in view.removed],
        "rotations": [_rotation(each) for each in view.rotations],
        "schemes": [_scheme(each.value, view.scheme_key) for each in view.schemes],
        "proposal": _proposal(view),
        "torque": row_values(view.torque.value, ("low_nm", "high_nm", "source")),
        "restrictor_in": view.restrictor.value,
        "rule": row_values(view.rule, _RULE),
        "hours_to_annual": {
            "hours": plain(view.hours_to_annual.value) if view.hours_to_annual else None,
            "refused": view.hours_to_annual_refused,
        },
        "outlook": _outlook(view),
        "tests": [_test(each) for each in view.tests],
        "cylinders": [_cylinder(each) for each in view.cylinders],
    }


_RULE: Names = ("key", "title", "citation", "max_loss_fraction", "master_floor", "watch_below_psi")
_ROTATION: Names = (
    ("id", "rotation_id"), "rotated_on", "engine_hours", ("scheme", "scheme_key"), "moved", "state",
    "departures", "new_gaskets", "note",
)  # fmt: skip
_STAY: Names = (
    "place", "fitted_on", ("from_hours", "engine_hours_at_fitting"), "removed_on",
    ("to_hours", "engine_hours_at_removal"), "why",
)  # fmt: skip
_LOOK: Names = (
    ("id", "check_id"), "looked_on", "stage", "place", "conditions", "damage", "dropped", "gaps_in",
    "set_gap_in", "electrode_in", "resistance_ohm", "overruled_because", "note",
)  # fmt: skip
_TEST: Names = (
    ("id", "test_id"), "tested_on", "engine_hours", "cold", "regulated_psi", "restrictor_in", "tester",
    "master_psi", "after_work", "minutes_since_shutdown", "oil_temperature_c", "note",
)  # fmt: skip


def _engine(view: EngineView) -> Values:
    positions = [
        {
            "position": each.position,
            "title": each.title,
            "type": each.type_key,
            "hours": plain(each.hours_now),
        }
        for each in view.positions
    ]
    return {
        "registration": view.registration,
        "position": view.position,
        "positions": positions,
        "title": view.engine_title,
        "type": view.engine_type.key,
        "type_title": view.engine_type.title,
        "hours": plain(view.engine_hours),
        "today": plain(view.today),
        "demo": view.demo,
    }


def _place(each: PlaceView) -> Values:
    return {
        "place": str(each.place),
        "magneto": each.magneto.value,
        "polarity": each.polarity.value,
        "next_place": str(each.next_place),
        "reach": each.reach.value if each.reach else None,
        "hours_here": plain(each.hours_here),
        "plug": _plug(each.plug) if each.plug else None,
    }


def _plug(each: PlugView) -> Values:
    line = each.line
    return {
        "id": each.plug_id,
        "tag": each.tag,
        "type": line.type_key,
        "run_hours": plain(each.run_hours),
        "hours_since_set": plain(each.hours_since_set),
        "last_gap_in": each.last_gap_in,
        "last_gap_on": plain(each.last_gap_on),
        **row_values(line, ("bought_on", "scrapped_on", "scrapped_why")),
        "looks": [_look(look) for look in each.looks],
        "stays": [row_values(stay, _STAY) for stay in each.stays],
        "wear": _wear(each.wear.value) if each.wear else None,
    }


def _look(each: LookView) -> Values:
    own = row_values(each.line, _LOOK)
    return {**own, "life_hours": plain(each.life_hours), "verdict": each.verdict.value}


def _wear(wear: PlugWear) -> Values:
    return {
        "electrode": _trend(wear.electrode),
        "gap": _trend(wear.gap.trend),
        "per_100_h_in": wear.gap.per_100_h_in,
    }


def _trend(trend: Trend) -> Values:
    ahead = trend.outlook
    return {
        "said": trend.said,
        "why_not": trend.why_not.value if trend.why_not else None,
        "early_hours": _finite(ahead.early_hours) if ahead else None,
        "likely_hours": _finite(ahead.likely_hours) if ahead else None,
        "late_hours": _finite(ahead.late_hours) if ahead else None,
    }


def _finite(hours: float) -> float | None:
    """Hours with one decimal; what has no end is null, as JSON has no word for it."""
    return None if hours == float("inf") else round(hours, 1)


def _tray(tray: TrayView) -> Values:
    count = tray.gaskets
    goes = tray.goes_in.value if tray.goes_in else ()
    return {
        **row_values(tray.line, ("rotation_id", "rotated_on", "engine_hours", "moved")),
        "gaskets": {
            **row_values(count, ("plugs_out", "gaskets_out")),
            "missing": _places(count.missing),
            "not_asked": _places(count.not_asked),
        },
        "slots": [_slot(each) for each in tray.slots],
        "goes_in": [
            {
                "place": str(each.place),
                "from": str(each.came_from) if each.came_from else None,
                "new_types": list(each.new_types),
            }
            for each in goes
        ],
        "refused": tray.goes_in_refused,
    }


def _slot(each: TraySlot) -> Values:
    return {
        "place": str(each.place),
        "plug": _plug(each.plug),
        "gasket_out": each.gasket_out,
        "verdict": each.verdict.value if each.verdict else None,
        "next_place": str(each.next_place) if each.next_place else None,
    }


def _places(places: Iterable[object]) -> list[str]:
    return [str(each) for each in places]


def _rotation(line: RotationLine) -> Values:
    return row_values(line, _ROTATION)


def _scheme(each: Rotation, chosen: str) -> Values:
    scheme = each.scheme
    names = {Change.CHANGES: "changes", Change.STAYS: "stays", Change.ALTERNATES: "alternates"}
    polarity = {names.get(way, "unknown"): _places(each.with_polarity(way)) for way in Change}
    return {
        "key": scheme.key,
        "title": scheme.title,
        "chosen": scheme.key == chosen,
        "moves": {str(old): str(new) for old, new in scheme.moves.items()},
        **row_values(each, ("change_place", "change_row", "change_magneto")),
        "polarity": polarity,
        "rotations_until_home": each.rotations_until_home,
    }


def _proposal(view: EngineView) -> Values:
    value = view.proposal.value
    return {
        "scheme": value.rotation.scheme.key,
        "complete": value.complete,
        "missing": _places(value.missing),
        "because": value.because,
    }


def _outlook(view: EngineView) -> Values:
    value = view.outlook.value if view.outlook else None
    money: Mapping[str, Decimal | bool] = (
        {}
        if value is None
        else {
            "cost_now": value.cost_now,
            "cost_later": value.cost_later,
            "given_up": value.given_up,
            "now_is_cheaper": value.now_is_cheaper,
        }
    )
    names = ("cost_now", "cost_later", "given_up", "now_is_cheaper")
    return {
        "places": {} if value is None else {way.value: list(at) for way, at in value.places.items()},
        **{name: plain(money.get(name)) for name in names},
        "refused": view.outlook_refused,
    }


def _test(each: TestView) -> Values:
    judged = each.judged.value if each.judged else None
    return {
        **row_values(each.line, _TEST),
        "ambient_psi_a": each.made.ambient_psi_a,
        "air": each.air,
        "lowest_good_psi": each.lowest_good.value if each.lowest_good else None,
        "spread_psi": judged.spread_psi if judged else None,
        "spread": judged.spread.value if judged and judged.spread else None,
        "refused": each.refused,
        "readings": [_reading(reading) for reading in each.readings],
    }


def _reading(each: ReadingView) -> Values:
    judged, step = each.judged, each.recheck.value.next_step if each.recheck else None
    recheck: Any = None
    if each.recheck:
        recheck = {"advice": each.recheck.value.advice.value, "next": step.title if step else None}
    return {
        **row_values(each.line, ("cylinder", "reading_psi", "first_psi")),
        "verdict": judged.verdict.value if judged else None,
        "normalized_psi": judged.normalized_psi if judged else None,
        "leak_ratio": judged.leak_ratio if judged else None,
        "index": judged.index if judged else None,
        "heard": list(each.line.heard),
        "suggests": [path.suggests for path in each.paths.value],
        "recheck": recheck,
    }


def _cylinder(each: CylinderView) -> Values:
    changes = [
        row_values(change, ("changed_on", "engine_hours", "what", "serial")) for change in each.changes
    ]
    return {
        "cylinder": each.cylinder,
        "trend": _cylinder_trend(each),
        "changes": changes,
        "latest_psi": each.latest.line.reading_psi if each.latest else None,
        "latest_on": plain(each.latest_test.line.tested_on) if each.latest_test else None,
    }


def _cylinder_trend(each: CylinderView) -> Values:
    if each.trend is None:
        ahead = dict.fromkeys(("why_not", "early_hours", "likely_hours", "late_hours"))
        return {"said": each.refused, **ahead, "compared_by": None, "series": [], "left_out": []}
    value = each.trend.value
    series = [{"began": run.began, "tests": [plain(test.on) for test in run.tests]} for run in value.series]
    return {
        **_trend(value.trend),
        "compared_by": value.compared_by.value,
        "series": series,
        "left_out": [plain(test.on) for test in value.left_out],
    }
