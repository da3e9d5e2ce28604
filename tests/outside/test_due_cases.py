"""The worked cases of due_cases.toml, each against the function that answers it.

Source: 14 CFR, the section each case names, as published in the electronic Code of Federal Regulations
between 24 August and 29 September 2026; cases marked "derived" are reasoned from those words.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from annual_planner.library.deferral import load_equipment
from annual_planner.trade import (
    avionics_checks,
    deferral,
    directives,
    entries,
    locator,
    registration,
    retention,
    signers,
)
from annual_planner.trade.assemblies import Stay, assembly_hours, due_on_airframe, within_life_limit
from annual_planner.trade.entries import DirectivePart, EntryPart
from annual_planner.trade.inspections import (
    ANNUAL,
    Flown,
    InspectionDone,
    InspectionKind,
    annual_allows,
    annual_disapproved,
    annual_due,
    annual_may_be_approved,
    grounded_between,
    hundred_hour_after,
    hundred_hour_applies,
    hundred_hour_due,
    progressive_dropped,
    time_in_service,
)
from annual_planner.trade.intervals import next_due
from annual_planner.trade.periods import DuePoint, Force, Interval, Logic, Point
from annual_planner.trade.standing import due_state, limits_passed
from annual_planner.trade.working import Worked

Facts = dict[str, Any]

CASES: list[Facts] = tomllib.loads((Path(__file__).parent / "due_cases.toml").read_text(encoding="utf-8"))[
    "case"
]

WITH_THE_AUTHORITY_TESTS = {"B05", "B06", "H15", "H16", "K12", "K13"}
"""Who may do and sign work: run by test_authority_cases.py."""

EQUIPMENT = load_equipment()


def hours(text: str) -> Decimal:
    return Decimal(text)


def on_day(worked: Worked[DuePoint]) -> date | None:
    return worked.value.on


def an_annual(on: date, at: str | None = None) -> InspectionDone:
    return InspectionDone(InspectionKind.ANNUAL, on, hours(at) if at else None)


def annual(given: Facts) -> Facts:
    if "flight_date" in given:
        allowed = annual_allows(given["last_legal_day"], given["flight_date"]).value
        return {"legal": allowed.legal, "remedy": allowed.remedy}
    days = [given[key] for key in ("done", "entry_date", "last_annual", "other_date") if key in given]
    found: Facts = {"last_legal_day": on_day(annual_due([an_annual(day) for day in days]))}
    if "previous_last_legal_day" in given:
        grounded = grounded_between(given["previous_last_legal_day"], given["done"]).value
        assert grounded is not None
        found |= {"grounded_from": grounded.first, "grounded_through": grounded.last}
    return found


MODES = {"enroute": Flown.EN_ROUTE, "hire_not_enroute": Flown.HIRE, "private": Flown.PRIVATE}


def hundred_hour(given: Facts) -> Facts:
    if given.get("inspection") == "annual":
        done = InspectionDone(InspectionKind.ANNUAL, date(2026, 1, 1), hours(given["done_at"]))
        return {"next_due": str(hundred_hour_due([done]).value.hours)}
    after = _hundred_hour_after(given)
    return {"violation": after.broken, "next_due": str(after.next_due_hours)}


def _hundred_hour_after(given: Facts) -> Any:
    return hundred_hour_after(
        hours(given["previous_due"]), hours(given["done_at"]), MODES[given["mode"]]
    ).value


def both(given: Facts) -> Facts:
    after = _hundred_hour_after(given)
    return {
        "next_due": str(after.next_due_hours),
        "last_legal_day": on_day(annual_due([an_annual(given["done"], given["done_at"])])),
    }


def applies(given: Facts) -> Facts:
    worked = hundred_hour_applies(
        persons_for_hire=given.get("for_hire_person", False),
        paid_instruction=given.get("hired_instruction", False),
        provided_by_instructor=given.get("aircraft_provided_by_instructor", False),
    )
    return {"applies": worked.value}


def service_time(given: Facts) -> Facts:
    return {"add": str(time_in_service(hours(given["engine_running"]), hours(given["airborne"])).value)}


def dropped(given: Facts) -> Facts:
    last = InspectionDone(
        InspectionKind.PROGRESSIVE_COMPLETE, given["last_complete"], hours(given["last_complete_hours"])
    )
    after = progressive_dropped(last).value
    return {
        "annual_last_legal_day": after.annual_last_legal_day,
        "next_100h": str(after.hundred_hour_due_hours),
    }


def counted_from_doing(interval: Interval) -> Callable[[Facts], Facts]:
    return lambda given: {"last_legal_day": on_day(next_due(interval, Point(on=given["done"])))}


def locator_battery(given: Facts) -> Facts:
    if "use_minutes" in given:
        return {"replace_now": locator.battery_used_up(given["use_minutes"]).value}
    worked = locator.battery_due(
        marked_on=given.get("marked_replacement_date"),
        life_start=given.get("life_start"),
        useful_life_months=given.get("useful_life_months"),
    )
    return {"replace_by": worked.value}


def battery_entry(given: Facts) -> Facts:
    missing = locator.battery_entry_missing(on_unit=given["on_unit"], in_records=given["in_records"]).value
    return {"complete": not missing}


def locator_needed(given: Facts) -> Facts:
    flight = locator.LocatorFlight(training_within_nm=given["training_within_nm"])
    return {"required": locator.locator_required(flight).value}


def transponder(given: Facts) -> Facts:
    if "lapsed" not in given:
        return counted_from_doing(avionics_checks.TRANSPONDER)(given)
    worked = avionics_checks.transponder_may_be_used(date(2026, 5, 31), date(2026, 6, 1))
    return {"legal": worked.value}


def static_opened(given: Facts) -> Facts:
    only_drain = given.get("only_drain_or_alternate", False)
    found: Facts = {
        "static_test_required": avionics_checks.static_test_needed(drain_or_alternate_only=only_drain).value
    }
    if "altimeter_done" in given:
        stands = next_due(avionics_checks.ALTIMETER_STATIC, Point(on=given["altimeter_done"]))
        found["altimeter_last_legal_day"] = on_day(stands)
    return found


def altimeter_altitude(given: Facts) -> Facts:
    return {"legal": avionics_checks.altimeter_allows(given["tested_to_ft"], given["planned_ft"]).value}


def altimeter_new(given: Facts) -> Facts:
    value = avionics_checks.new_altimeter(given["made"], given["fitted"]).value
    return {"last_legal_day": value.last_legal_day, "static_test_required": value.static_test_needed}


def vor(given: Facts) -> Facts:
    if "uses_vor" in given:
        return {"applies": avionics_checks.vor_check_needed(ifr=True, uses_vor=given["uses_vor"]).value}
    return counted_from_doing(avionics_checks.VOR)(given)


def vor_limit(given: Facts) -> Facts:
    ground = avionics_checks.vor_within_limit(avionics_checks.VorCheck.GROUND_POINT, given["ground"])
    air = avionics_checks.vor_within_limit(avionics_checks.VorCheck.AIRBORNE_POINT, given["airborne"])
    return {"pass": [ground.value, air.value]}


PARTS = {
    "date": EntryPart.DATE,
    "error": EntryPart.ERROR,
    "place": EntryPart.PLACE,
    "signature": EntryPart.SIGNATURE,
    "description": EntryPart.DESCRIPTION,
    "cert_number": EntryPart.CERTIFICATE_NUMBER,
    "cert_kind": EntryPart.CERTIFICATE_KIND,
    "total_time": EntryPart.TOTAL_TIME,
}


def vor_entry(given: Facts) -> Facts:
    missing = entries.vor_entry_missing([PARTS[name] for name in given["fields"]]).value
    return {"complete": not missing, "missing": [name for name, part in PARTS.items() if part in missing]}


def work_entry(given: Facts) -> Facts:
    whole = ["description", "date", "signature", "cert_number", "cert_kind"]
    present = [PARTS[name] for name in given.get("fields", whole)]
    is_signer = given.get("performer_is_signer", True)
    return {"complete": not entries.work_entry_missing(present, performer_is_signer=is_signer).value}


def inspection_entry(given: Facts) -> Facts:
    present = [part for part in EntryPart if part is not PARTS[given["missing"]]]
    return {"complete": not entries.inspection_entry_missing(present).value}


def authorization_expiry(given: Facts) -> Facts:
    return {"expires": signers.authorization_expires(given["issued"]).value}


def authorization_activity(given: Facts) -> Facts:
    activity = signers.Activity(annuals=given.get("annuals", 0))
    value = signers.first_year_activity(given["held_from"], activity).value
    return {
        "met": value.met,
        "privileges_stop_after": value.privileges_through,
        "activity_needed": value.needed,
        "expires": value.expires_on,
    }


def annual_signer(given: Facts) -> Facts:
    signer = signers.SignerFacts(
        authorization_expires=given.get("ia_expires", date(2027, 3, 31)),
        first_year_activity_met=given.get("first_year_activity", True),
        base_moved_on=given.get("moved"),
        base_notice_on=given.get("notice"),
    )
    return {"valid": signers.annual_signer_valid(signer, given["date"]).value}


def mechanic_recent(given: Facts) -> Facts:
    return {"current": signers.mechanic_current(Decimal(given["months_in_last_24"])).value}


def registered(given: Facts) -> Facts:
    if given.get("expired"):
        return {"legal": registration.registration_allows(date(2026, 5, 31), date(2026, 6, 1)).value}
    return {"expires": registration.registration_expires(given["issued"]).value}


def recurring(given: Facts) -> Facts:
    interval = Interval(hours=hours(given.get("interval_h", "1")), months=given.get("interval_months"))
    done = given.get("last_h") or given.get("done_h") or "0"
    previous = given.get("previous_due_h")
    due = next_due(
        interval,
        Point(on=given.get("last_date"), hours=hours(done)),
        previous_due=DuePoint(hours=hours(previous)) if previous else None,
        terminated=given.get("terminated", False),
    )
    kept = any("stays in the status list" in step.text for step in due.working.steps)
    late = previous is not None and hours(done) > hours(previous)
    nothing = "none" if due.value.ended else "something"
    found = {"next_h": str(due.value.hours), "next_date": due.value.on, "violation": late}
    return found | {"next": nothing, "keep_record": kept}


def directive_status(given: Facts) -> Facts:
    logic = Logic.LAST if given.get("logic") == "later" else Logic.FIRST
    due = DuePoint(on=given["next_date"], hours=hours(given["next_h"]), logic=logic)
    now = Point(on=given["today"], hours=hours(given["now_h"]))
    state = due_state(due, now, soon_days=0, soon_hours=Decimal(0), force=Force.DIRECTIVE).value
    return {"status": state.name, "by": ", ".join(limits_passed(due, now))}


def plain_months(given: Facts) -> Facts:
    interval = Interval(months=given["interval_months"])
    return {"next_date": on_day(next_due(interval, Point(given["last_date"])))}


def initial(given: Facts) -> Facts:
    once = Interval(hours=hours(given["within_h"]), recurring=False)
    due = next_due(once, None, effective=Point(given["effective"], hours(given["h_at_effective"])))
    return {"due_h": str(due.value.hours)}


def component(given: Facts) -> Facts:
    last_airframe, now_airframe = hours(given["last_airframe_h"]), hours(given["airframe_now"])
    stays = [Stay(last_airframe, hours(given["removed_at"])), Stay(hours(given["refitted_at"]))]
    now = assembly_hours(hours(given["last_engine_h"]), stays, now_airframe).value
    due = next_due(Interval(hours=hours(given["interval_h"])), Point(hours=hours(given["last_engine_h"])))
    assert due.value.hours is not None
    on_airframe = due_on_airframe(due.value.hours, now, now_airframe).value
    return {
        "engine_now": str(now),
        "due_engine_h": str(due.value.hours),
        "due_airframe_h": str(on_airframe),
    }


DIRECTIVE_PARTS = {
    "number": DirectivePart.NUMBER,
    "revision_date": DirectivePart.REVISION_DATE,
    "method": DirectivePart.METHOD,
    "next_h": DirectivePart.NEXT_HOURS,
    "next_date": DirectivePart.NEXT_DATE,
}


def directive_record(given: Facts) -> Facts:
    present = [DIRECTIVE_PARTS[name] for name in given["fields"]]
    missing = entries.directive_record_missing(present, recurring=True).value
    names = [name for name, part in DIRECTIVE_PARTS.items() if part in missing]
    return {"complete": not missing, "missing": names}


def directive_conflict(given: Facts) -> Facts:
    worked = directives.directive_interval(hours(given["ad_h"]), hours(given["service_h"]))
    return {"interval_h": str(worked.value)}


def directive_ferry(given: Facts) -> Facts:
    return {"remedy": directives.directive_allows(overdue=given["overdue"]).value.remedy}


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


def database_update(given: Facts) -> Facts:
    worked = avionics_checks.database_update_is_maintenance(
        from_flight_deck=True, opened=given["disassembly"], tools=given["tools"]
    )
    return {"maintenance": worked.value}


def disapproved(given: Facts) -> Facts:
    value = annual_disapproved(given["entry_date"], given["cleared"]).value
    return {"flyable_from": value.flyable_from, "last_legal_day": value.last_legal_day}


def major_repair(given: Facts) -> Facts:
    value = entries.major_repair_papers().value
    approver = {"inspection authorization": "IA"}[value.approver]
    return {"approver": approver, "form337": value.form_337, "entry_43_9": value.work_entry}


SORTS = {"rate-of-turn": "rate_of_turn", "fuel gauge": "fuel_gauge", "landing light": "landing_light"}
A_LIGHT_PISTON_AIRPLANE = {
    "mel": "no", "small": "yes", "other_rule": "no", "how": "deactivated", "hazard": "yes",
    "type_data": "no", "equipment_list": "no", "directive": "no",
}  # fmt: skip
"""No approved list, the item made unable to work, and somebody entitled finds no hazard."""


def deferrable(given: Facts, **more: str) -> bool:
    stated = {"type_data": "in_type_data", "equipment_list": "on_equipment_list", "directive": "ad_required"}
    told = {key: "yes" if given[name] else "no" for key, name in stated.items() if name in given}
    item = {"item": SORTS[given["item"]], "flight": given["flight"]}
    answers = {**A_LIGHT_PISTON_AIRPLANE, **told, **item, **more}
    found = deferral.deferral(answers, EQUIPMENT).value
    assert found.verdict is not deferral.Verdict.ASK
    return found.may


def defer(given: Facts) -> Facts:
    if given["item"] != "landing light":
        return {"deferrable": deferrable(given)}
    return defer_by_hire(given)


def defer_by_hire(given: Facts) -> Facts:
    return {
        "deferrable_not_hire": deferrable(given, hire="no"),
        "deferrable_hire": deferrable(given, hire="yes"),
    }


RUN: dict[str, Callable[[Facts], Facts]] = {
    "annual": annual,
    "100_hour": hundred_hour,
    "100_hour_applies": applies,
    "time_in_service": service_time,
    "both": both,
    "progressive_dropped": dropped,
    "elt_inspection": counted_from_doing(locator.INSPECTION),
    "elt_battery": locator_battery,
    "elt_removed": lambda given: {"last_legal_day": locator.removed_until(given["removed"]).value},
    "elt_battery_entry": battery_entry,
    "elt_required": locator_needed,
    "transponder": transponder,
    "altimeter_static": counted_from_doing(avionics_checks.ALTIMETER_STATIC),
    "static_opened": static_opened,
    "altimeter_max_altitude": altimeter_altitude,
    "altimeter_new": altimeter_new,
    "vor": vor,
    "vor_limit": vor_limit,
    "vor_entry": vor_entry,
    "ia_expiry": authorization_expiry,
    "ia_activity": authorization_activity,
    "annual_signer": annual_signer,
    "mechanic_recent": mechanic_recent,
    "registration": registered,
    "ad_recurring": recurring,
    "ad_status": directive_status,
    "ad_months": plain_months,
    "ad_initial": initial,
    "ad_component": component,
    "ad_record": directive_record,
    "ad_conflict": directive_conflict,
    "ad_ferry": directive_ferry,
    "entry_43_9": work_entry,
    "entry_43_11": inspection_entry,
    "retention_a1": kept_work,
    "retention_annual": kept_annual,
    "retention_a2": kept_status,
    "retention_list": kept_list,
    "database_update": database_update,
    "annual_disapproved": disapproved,
    "annual_close": lambda g: {
        "may_approve": annual_may_be_approved(engine_run_recorded=g["engine_run"]).value
    },
    "flight_check": lambda given: {"qualified": signers.flight_check_pilot(given["pilot"]).value},
    "major_repair": major_repair,
    "defer": defer,
    "defer_followup": lambda given: {
        "breach": deferral.breach_at_inspection(addressed=given["addressed"]).value
    },
    "life_limit": lambda given: {
        "legal": within_life_limit(hours(given["limit_h"]), hours(given["now_h"])).value
    },
}

ELSEWHERE = WITH_THE_AUTHORITY_TESTS
HERE = [case for case in CASES if case["id"] not in ELSEWHERE]


@pytest.mark.parametrize("case", HERE, ids=[case["id"] for case in HERE])
def test_the_case_comes_out_as_its_section_says(case: Facts) -> None:
    found = RUN[case["given"]["rule"]](case["given"])
    assert {key: found[key] for key in case["expect"]} == case["expect"], case["cite"]


def test_every_case_is_run_here_or_accounted_for() -> None:
    ids = [case["id"] for case in CASES]
    assert len(ids) == len(set(ids)) == 90
    assert set(ids) == {case["id"] for case in HERE} | ELSEWHERE
    assert {case["id"] for case in HERE}.isdisjoint(ELSEWHERE)


def test_the_day_after_the_last_legal_day_is_overdue() -> None:
    for case in HERE:
        if case["given"]["rule"] == "annual" and "done" in case["given"]:
            last = case["expect"]["last_legal_day"]
            due = next_due(ANNUAL, Point(on=case["given"]["done"])).value
            assert due_state(due, Point(on=last)).value.name != "OVERDUE"
            assert due_state(due, Point(on=date.fromordinal(last.toordinal() + 1))).value.name == "OVERDUE"
