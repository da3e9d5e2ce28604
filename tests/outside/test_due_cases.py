"""The worked cases of due_cases.toml, each against the part of the program that answers it in use.

Due points and states are worked out as for an airplane of the fleet, from the shipped requirements; what no
record of a fleet answers is put as a question to a rule. Who may do and sign is run by
test_authority_cases.py.

Source: 14 CFR, the section each case names, as published in the electronic Code of Federal Regulations
between 24 August and 29 September 2026; cases marked "derived" are reasoned from those words.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from annual_planner.library.deferral import load_equipment
from annual_planner.library.entries import load_entry_templates
from annual_planner.library.rules import load_rules
from annual_planner.records.due_working import NeedDue, due_working, work_out
from annual_planner.store.due_facts import Done, Fitted
from annual_planner.trade import deferral, retention
from annual_planner.trade.entry_text import missing_in
from annual_planner.trade.facts import expires_on
from annual_planner.trade.people import Certificate, CertificateKind
from annual_planner.trade.periods import Force, Interval, Logic, Point
from annual_planner.trade.rule_questions import question_named, read_facts
from annual_planner.trade.standing import limits_passed
from annual_planner.trade.working import as_lines
from tests.due_facts import TEMPLATES, done, facts, need, read, stands

Facts = dict[str, Any]

CASES: list[Facts] = tomllib.loads((Path(__file__).parent / "due_cases.toml").read_text(encoding="utf-8"))[
    "case"
]

WITH_THE_AUTHORITY_TESTS = {
    "B05", "B06", "H05", "H06", "H11", "H12", "H13", "H15", "H16", "K12", "K13", "K16", "L09", "L11",
}  # fmt: skip
"""Who may do and sign work: run by test_authority_cases.py."""

EQUIPMENT = load_equipment()
ENTRIES = load_entry_templates()
RULES = load_rules()
FAR_BACK = date(2020, 1, 1)
PERMIT = "special flight permit"


def hours(text: str) -> Decimal:
    return Decimal(text)


def ask(key: str, **stated: object) -> Any:
    """What a question to a rule answers to facts as a person types them."""
    asked = question_named(key)
    typed = {name: _typed(value) for name, value in stated.items()}
    return asked.answer(read_facts(asked, typed)).value


def _typed(value: object) -> str:
    return ("yes" if value else "no") if isinstance(value, bool) else str(value)


def annual(given: Facts) -> Facts:
    if "flight_date" in given:
        return annual_on(given["last_legal_day"], given["flight_date"])
    days = [given[key] for key in ("done", "entry_date", "last_annual", "other_date") if key in given]
    found: Facts = {"last_legal_day": due_on("annual", *days)}
    if "previous_last_legal_day" in given:
        before = given["previous_last_legal_day"]
        gone = [day for day in (before, before + timedelta(days=1)) if not annual_on(before, day)["legal"]]
        found |= {"grounded_from": gone[0], "grounded_through": given["done"] - timedelta(days=1)}
        assert not annual_on(before, found["grounded_through"])["legal"]
        assert not overdue(stands(facts(need("annual"), doings={1: [done(given["done"])]}), given["done"]))
    return found


def annual_on(last_legal_day: date, day: date) -> Facts:
    """Whether the annual allows to fly on a day, and what would."""
    found = stands(facts(need("annual"), doings={1: [done(a_year_before(last_legal_day))]}), day)
    assert found.due.value.on == last_legal_day
    return {"legal": not overdue(found), "remedy": PERMIT if PERMIT in told(found) else ""}


def a_year_before(month_end: date) -> date:
    return month_end.replace(year=month_end.year - 1)


def overdue(found: NeedDue) -> bool:
    return found.stands.state.value == "overdue"


def told(found: NeedDue) -> str:
    return "\n".join(as_lines(found.stands.state.working))


def due_on(key: str, *days: date) -> date | None:
    known = facts(need(key), doings={1: [done(day) for day in sorted(days)]})
    return stands(known, max(days)).due.value.on


def on_event(key: str, day: date) -> date | None:
    """When something is due that counts from a day on which something happened, not from a doing."""
    return stands(facts(need(key, effective=Point(day))), day).due.value.on


MODES = {"enroute": True, "hire_not_enroute": False, "private": False}


def hundred_hour(given: Facts) -> Facts:
    if given.get("inspection") == "annual":
        known = facts(
            need("hundred_hour", number=1),
            need("annual", number=2),
            doings={1: [done(FAR_BACK, "1400.0")], 2: [done(date(2026, 1, 1), given["done_at"])]},
        )
        return {"next_due": str(stands(known, date(2026, 1, 1)).due.value.hours)}
    return hundred_hour_after(given, done(date(2026, 1, 1), given["done_at"], enroute=MODES[given["mode"]]))


def hundred_hour_after(given: Facts, late: Done) -> Facts:
    """The next after one that may be late; the one before it was made a hundred hours before it was due."""
    before = done(FAR_BACK, str(hours(given["previous_due"]) - 100))
    found = stands(facts(need("hundred_hour"), doings={1: [before, late]}), date(2026, 6, 1)).due
    broken = any("not covered by the allowance" in step.text for step in found.working.steps)
    return {"violation": broken, "next_due": str(found.value.hours)}


def both(given: Facts) -> Facts:
    late = done(given["done"], given["done_at"], enroute=MODES[given["mode"]])
    return {**hundred_hour_after(given, late), "last_legal_day": due_on("annual", given["done"])}


def applies(given: Facts) -> Facts:
    """By the uses an airplane is given: for instruction it is given by whoever teaches for pay in it."""
    taught = given.get("hired_instruction") and given.get("aircraft_provided_by_instructor")
    uses = {"hire"} if given.get("for_hire_person") else set()
    uses |= {"instruction"} if taught else set()
    return {"applies": TEMPLATES["hundred_hour"].applies(frozenset(), frozenset(uses))}


def dropped(given: Facts) -> Facts:
    """The program's last complete inspection is written down as a doing of both; a routine phase as none."""
    complete = done(given["last_complete"], given["last_complete_hours"])
    known = facts(
        need("annual", number=1), need("hundred_hour", number=2), doings={1: [complete], 2: [complete]}
    )
    annual_due, hundred_due = (stands(known, given["last_routine"], n).due.value for n in (1, 2))
    return {"annual_last_legal_day": annual_due.on, "next_100h": str(hundred_due.hours)}


def counted_from_doing(key: str) -> Callable[[Facts], Facts]:
    return lambda given: {"last_legal_day": due_on(key, given["done"])}


def locator_battery(given: Facts) -> Facts:
    if "use_minutes" in given:
        minutes = " ".join(str(each) for each in given["use_minutes"])
        return {"replace_now": ask("locator-battery-use", use_minutes=minutes)}
    if "life_start" in given:
        months = given["useful_life_months"]
        return {"replace_by": ask("locator-battery-age", life_from=given["life_start"], life_months=months)}
    marked = given["marked_replacement_date"]
    known = facts(need("elt_battery", fixed_on=marked), doings={1: [done(date(2026, 1, 1))]})
    replace_by = stands(known, date(2026, 1, 1)).due.value.on
    assert replace_by == ask("locator-battery-age", marked_on=marked)
    return {"replace_by": replace_by}


def transponder(given: Facts) -> Facts:
    if "lapsed" not in given:
        return counted_from_doing("transponder")(given)
    visual = TEMPLATES["transponder"].applies(frozenset({"transponder"}), frozenset())
    lapsed = stands(facts(need("transponder"), doings={1: [done(date(2024, 5, 1))]}), date(2026, 6, 1))
    return {"legal": not (visual and overdue(lapsed))}


def vor(given: Facts) -> Facts:
    if "uses_vor" not in given:
        return counted_from_doing("vor_check")(given)
    features = frozenset({"vor"} if given["uses_vor"] else ())
    return {"applies": TEMPLATES["vor_check"].applies(features, frozenset({"ifr"}))}


def static_opened(given: Facts) -> Facts:
    drain = given.get("only_drain_or_alternate", False)
    how = "drain or alternate valve only" if drain else "a line or fitting opened"
    tested = {"altimeter_tested_on": given["altimeter_done"]} if "altimeter_done" in given else {}
    found = ask("static-opened", how=how, opened_on=given.get("opened", FAR_BACK), **tested)
    return {
        "static_test_required": found.test_required,
        "altimeter_last_legal_day": found.altimeter_through,
    }


def altimeter_altitude(given: Facts) -> Facts:
    return {"legal": ask("altimeter-altitude", **{key: given[key] for key in ("tested_to_ft", "planned_ft")})}


def altimeter_new(given: Facts) -> Facts:
    found = ask("altimeter-new", made_on=given["made"], fitted_on=given["fitted"])
    return {"last_legal_day": found.last_on, "static_test_required": found.static_test_required}


def vor_limit(given: Facts) -> Facts:
    return {
        "pass": [
            ask("vor-error", check=f"{where} point", error_deg=given[where])
            for where in ("ground", "airborne")
        ]
    }


def authorization_activity(given: Facts) -> Facts:
    """Asked for neither in its first year nor in its second."""
    found = [ask("authorization-activity", held_from=given["held_from"], year=y) for y in ("first", "second")]
    [expires] = {each.expires_on for each in found}
    assert expires == ask("authorization-expiry", issued_on=given["held_from"])
    return {"activity_needed": any(each.needed for each in found), "expires": expires}


def annual_unapproved(given: Facts) -> Facts:
    found = ask("annual-unapproved", entered_on=given["entry_date"], cleared_on=given["cleared"])
    assert found.last_on == due_on("annual", given["entry_date"])
    return {"flyable_from": found.fly_from, "last_legal_day": found.last_on}


def annual_close(given: Facts) -> Facts:
    """Everything of the engine run is there, or nothing of it."""
    parts = ("by_approver", "power", "magnetos", "pressures", "temperatures")
    return {"may_approve": ask("annual-engine-run", **dict.fromkeys(parts, given["engine_run"]))}


def authorization_expiry(given: Facts) -> Facts:
    card = Certificate(CertificateKind.INSPECTION_AUTHORIZATION, "", valid_from=given["issued"])
    return {"expires": expires_on(card, RULES.expiry)}


def registered(given: Facts) -> Facts:
    if given.get("expired"):
        gone = stands(facts(need("registration"), doings={1: [done(date(2019, 5, 4))]}), date(2026, 6, 1))
        return {"legal": not (overdue(gone) and gone.need.force.binding)}
    return {"expires": due_on("registration", given["issued"])}


def recurring(given: Facts) -> Facts:
    interval = Interval(hours=hours(given.get("interval_h", "1")), months=given.get("interval_months"))
    last = done(given.get("last_date") or date(2026, 1, 1), given.get("last_h") or given.get("done_h") or "0")
    ended = "a terminating action was done" if given.get("terminated") else ""
    found = stands(facts(need(interval=interval, terminated=ended), doings={1: [last]}), date(2026, 1, 1)).due
    previous = given.get("previous_due_h")
    return {
        "next_h": str(found.value.hours),
        "next_date": found.value.on,
        "violation": previous is not None and hours(given["done_h"]) > hours(previous),
        "next": "none" if found.value.ended else "something",
        "keep_record": any("stays in the status list" in step.text for step in found.working.steps),
    }


def directive_status(given: Facts) -> Facts:
    """Written down so that it falls due at the limits given: every 50 h and 12 months."""
    interval = Interval(
        hours=hours("50"), months=12, logic=Logic.LAST if given.get("logic") == "later" else Logic.FIRST
    )
    last = done(a_year_before(given["next_date"]), str(hours(given["next_h"]) - 50))
    known = facts(
        need(interval=interval), doings={1: [last]}, readings=[read(given["today"], given["now_h"])]
    )
    found = stands(known, given["today"])
    assert (found.due.value.on, found.due.value.hours) == (given["next_date"], hours(given["next_h"]))
    passed = limits_passed(found.due.value, Point(given["today"], hours(given["now_h"])))
    status = "OVERDUE" if overdue(found) else "OK"
    return {"status": status, "by": ", ".join(passed)}


def plain_months(given: Facts) -> Facts:
    known = facts(
        need(interval=Interval(months=given["interval_months"])), doings={1: [done(given["last_date"])]}
    )
    return {"next_date": stands(known, given["last_date"]).due.value.on}


def initial(given: Facts) -> Facts:
    once = Interval(hours=hours(given["within_h"]), recurring=False)
    begins = Point(given["effective"], hours(given["h_at_effective"]))
    return {
        "due_h": str(stands(facts(need(interval=once, effective=begins)), given["effective"]).due.value.hours)
    }


def component(given: Facts) -> Facts:
    """The engine's second stay on the airplane begins with the hours that its first one left it with."""
    last = hours(given["last_engine_h"])
    first = Fitted("engine", 1, hours(given["last_airframe_h"]), last)
    again = hours(given["refitted_at"])
    second = Fitted("engine", 1, again, first.hours_at(hours(given["removed_at"])))
    known = facts(
        need(interval=Interval(hours=hours(given["interval_h"])), assembly=7),
        doings={1: [done(date(2026, 1, 1), given["last_engine_h"])]},
        readings=[read(date(2026, 6, 1), given["airframe_now"])],
        fitted={7: second},
    )
    worked = work_out(known, date(2026, 6, 1))
    found = worked.needs[0]
    parts = due_working(worked.usage, found).parts
    on_airframe = next(part for part in parts if part.title == "At the airframe's hours")
    return {
        "engine_now": str(second.hours_at(hours(given["airframe_now"]))),
        "due_engine_h": str(found.due.value.hours),
        "due_airframe_h": on_airframe.result.removesuffix(" h"),
    }


def directive_ferry(given: Facts) -> Facts:
    known = facts(need(interval=Interval(days=30)), doings={1: [done(FAR_BACK)]})
    found = stands(known, date(2026, 1, 1))
    assert overdue(found) == given["overdue"]
    unless = " unless the directive forbids it" if "the directive does not forbid it" in told(found) else ""
    return {"remedy": PERMIT + unless if PERMIT in told(found) else ""}


NAMES = {
    "date": "work_date", "error": "bearing_error", "place": "place", "description": "description",
    "number": "directive_number", "revision_date": "revision_date", "method": "method",
    "next_h": "next_hours", "next_date": "next_date", "performer": "performer",
}  # fmt: skip
"""What the facts of an entry are called in the cases and in the program."""
BY_SIGNING = {"signature", "cert_number", "cert_kind"}


def lacking(template: str, text: str, **known: str) -> list[str]:
    found = missing_in(ENTRIES[template], text, {"of_what": "N012AP, airframe", **known}).value
    return [part.value for part in found]


def written(template: str, named: list[str], asked: list[str]) -> list[str]:
    """What an entry lacks that was to say all that is asked and says only what is named."""
    known = {NAMES[name]: f"<{name}>" for name in asked}
    return lacking(template, " ".join(f"<{name}>" for name in named if name not in BY_SIGNING), **known)


def vor_entry(given: Facts) -> Facts:
    missing = written("vor_check", given["fields"], ["date", "error", "place"])
    return {"complete": not missing, "missing": missing}


def work_entry(given: Facts) -> Facts:
    named = given.get("fields", ["description", "date"])
    asked = ["description", "date"]
    if not given.get("performer_is_signer", True):
        assert not given["performer_named"]
        asked.append("performer")
    return {"complete": not written("work", named, asked)}


def inspection_entry(given: Facts) -> Facts:
    known = {"work_date": "4 May 2026", "extent": "all of it", "total_time": "1234.5 h"}
    said = ["type of inspection: annual", "inspected this airplane to the scope of an annual inspection"]
    text = " ".join([*known.values(), *said, "found it airworthy"])
    assert not lacking("annual_approved", text, **known)
    return {
        "complete": not lacking("annual_approved", text.replace(known[given["missing"]], ""), **known),
    }


def directive_record(given: Facts) -> Facts:
    asked = ["number", "method", "revision_date", "next_h", "next_date", "date"]
    missing = written("directive", [*given["fields"], "date"], asked)
    called = {"revision date": "revision_date", "next due by date": "next_date"}
    return {"complete": not missing, "missing": [called[name] for name in missing]}


def battery_entry(given: Facts) -> Facts:
    known = {"work_date": "4 May 2026", "battery": "a new one", "expires": "May 2029"}
    marked = "marked on the outside of the transmitter"
    text = " ".join([*known.values(), marked])
    assert not lacking("locator_battery", text, **known)
    assert given["in_records"]
    assert not given["on_unit"]
    return {"complete": not lacking("locator_battery", text.replace(marked, ""), **known)}


def kept_work(given: Facts) -> Facts:
    worked = retention.work_record_until(given["done"], repeated_on=given.get("superseded"))
    return {"may_discard_from": worked.value}


def kept_annual(given: Facts) -> Facts:
    value = retention.annual_record_until(given["done"]).value
    return {"one_year_limb": value.one_year_on, "valid_through": value.valid_through}


def kept_status(given: Facts) -> Facts:
    return {"discard": "never" if retention.status_record_until().value is None else "some day"}


def kept_list(given: Facts) -> Facts:
    return {"keep_through": retention.discrepancy_list_until(given["list_date"], given["cleared"]).value}


SORTS = {"rate-of-turn": "rate_of_turn", "fuel gauge": "fuel_gauge", "landing light": "landing_light"}
A_LIGHT_PISTON_AIRPLANE = {
    "mel": "no", "small": "yes", "other_rule": "no", "how": "deactivated", "hazard": "yes",
    "type_data": "no", "equipment_list": "no", "directive": "no",
}  # fmt: skip
"""No approved list, the item made unable to work, and somebody entitled finds no hazard."""


def deferrable(given: Facts, **more: str) -> bool:
    stated = {"type_data": "in_type_data", "equipment_list": "on_equipment_list", "directive": "ad_required"}
    answers = {key: "yes" if given[name] else "no" for key, name in stated.items() if name in given}
    item = {"item": SORTS[given["item"]], "flight": given["flight"]}
    found = deferral.deferral({**A_LIGHT_PISTON_AIRPLANE, **answers, **item, **more}, EQUIPMENT).value
    assert found.verdict is not deferral.Verdict.ASK
    return found.may


def defer(given: Facts) -> Facts:
    if given["item"] != "landing light":
        return {"deferrable": deferrable(given)}
    return {
        "deferrable_not_hire": deferrable(given, hire="no"),
        "deferrable_hire": deferrable(given, hire="yes"),
    }


def defer_followup(given: Facts) -> Facts:
    """What is left so falls due by the last day of the next required inspection, and is overdue after it."""
    until = date(2026, 5, 31)
    left = {"item": "rate_of_turn", "flight": "VFR day"}
    allowed = deferral.deferral({**A_LIGHT_PISTON_AIRPLANE, **left}, EQUIPMENT, until).value
    assert allowed.until == until
    assert "91.405(c)" in allowed.follow_up
    passed = until + timedelta(days=1)
    found = stands(facts(need("inoperative_items", fixed_on=allowed.until)), passed)
    return {"breach": overdue(found) and not given["addressed"]}


def life_limit(given: Facts) -> Facts:
    limit = Interval(hours=hours(given["limit_h"]), recurring=False)
    known = facts(
        need(interval=limit, force=Force.LIMITATION, effective=Point(FAR_BACK, hours("0"))),
        readings=[read(date(2026, 1, 1), given["now_h"])],
    )
    return {"legal": not overdue(stands(known, date(2026, 1, 1)))}


RUN: dict[str, Callable[[Facts], Facts]] = {
    "annual": annual,
    "100_hour": hundred_hour,
    "100_hour_applies": applies,
    "both": both,
    "progressive_dropped": dropped,
    "elt_inspection": counted_from_doing("elt_inspection"),
    "elt_battery": locator_battery,
    "elt_removed": lambda given: {"last_legal_day": on_event("elt_out", given["removed"])},
    "elt_battery_entry": battery_entry,
    "transponder": transponder,
    "altimeter_static": counted_from_doing("pitot_static"),
    "vor": vor,
    "vor_entry": vor_entry,
    "time_in_service": lambda given: {
        "add": str(
            ask(
                "flight-time-in-service",
                airborne_hours=given["airborne"],
                running_hours=given["engine_running"],
            )
        )
    },
    "elt_required": lambda given: {
        "required": ask("locator-on-flight", training_within_nm=given["training_within_nm"])
    },
    "static_opened": static_opened,
    "altimeter_max_altitude": altimeter_altitude,
    "altimeter_new": altimeter_new,
    "vor_limit": vor_limit,
    "ia_activity": authorization_activity,
    "ad_conflict": lambda given: {
        "interval_h": str(
            ask("directive-interval", directive=given["ad_h"], quoted=given["service_h"], unit="h")
        )
    },
    "annual_disapproved": annual_unapproved,
    "annual_close": annual_close,
    "ia_expiry": authorization_expiry,
    "registration": registered,
    "ad_recurring": recurring,
    "ad_status": directive_status,
    "ad_months": plain_months,
    "ad_initial": initial,
    "ad_component": component,
    "ad_record": directive_record,
    "ad_ferry": directive_ferry,
    "entry_43_9": work_entry,
    "entry_43_11": inspection_entry,
    "retention_a1": kept_work,
    "retention_annual": kept_annual,
    "retention_a2": kept_status,
    "retention_list": kept_list,
    "defer": defer,
    "defer_followup": defer_followup,
    "life_limit": life_limit,
}

HERE = [case for case in CASES if case["id"] not in WITH_THE_AUTHORITY_TESTS]


@pytest.mark.parametrize("case", HERE, ids=[case["id"] for case in HERE])
def test_the_case_comes_out_as_its_section_says(case: Facts) -> None:
    found = RUN[case["given"]["rule"]](case["given"])
    assert {key: found[key] for key in case["expect"]} == case["expect"], case["cite"]


def test_every_case_is_run_here_or_accounted_for() -> None:
    ids = [case["id"] for case in CASES]
    assert len(ids) == len(set(ids)) == 90
    run = {case["id"] for case in HERE}
    assert set(ids) == run | WITH_THE_AUTHORITY_TESTS
    assert run.isdisjoint(WITH_THE_AUTHORITY_TESTS)


def test_the_day_after_the_last_legal_day_is_overdue() -> None:
    for case in HERE:
        if case["given"]["rule"] == "annual" and "done" in case["given"]:
            known = facts(need("annual"), doings={1: [done(case["given"]["done"])]})
            last = case["expect"]["last_legal_day"]
            assert not overdue(stands(known, last))
            assert overdue(stands(known, last + timedelta(days=1)))
