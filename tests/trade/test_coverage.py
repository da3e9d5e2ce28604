"""What a set of cards leaves out of an annual's scope, and panels nobody opens or closes."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from annual_planner.trade.cards import (
    CardTemplate,
    Hours,
    InspectionItem,
    Panel,
    Phase,
    Subject,
    WorkKind,
    Zone,
)
from annual_planner.trade.coverage import coverage, panels_astray, scope_checked, why_not_applicable

ALWAYS = InspectionItem("D-b-1", "D(b)(1)", "fuselage", "Skin", ("dents",))
SKIS = InspectionItem("D-e-10", "D(e)(10)", "gear", "Floats and skis", ("cracks",), ("floats", "skis"))
NEVER = InspectionItem("D-b-3", "D(b)(3)", "fuselage", "Envelope", ("wear",), (), "No airplane has one.")
NONE: frozenset[str] = frozenset()

LOOK = CardTemplate(
    "look",
    "Look",
    "fuselage",
    Phase.INSPECT,
    WorkKind.INSPECT,
    Subject.AIRFRAME,
    Hours(Decimal(1), Decimal(1), Decimal(1)),
    ("Look.",),
    covers=("D-b-1",),
)
ZONES = (Zone("fuselage", "Fuselage", (Panel("belly", "Belly"), Panel("well", "Well", ("retractable",)))),)


def test_an_item_is_met_by_the_card_that_covers_it() -> None:
    (found,) = coverage([ALWAYS], [LOOK], NONE)
    assert found.cards == ("look",)
    assert found.met


def test_an_item_without_a_card_is_missing() -> None:
    assert scope_checked([ALWAYS, SKIS], [], frozenset({"skis"})).value == (ALWAYS, SKIS)


def test_a_card_that_does_not_fit_the_airplane_covers_nothing() -> None:
    assert scope_checked([ALWAYS], [replace(LOOK, needs=("fabric",))], NONE).value == (ALWAYS,)


def test_a_card_that_comes_in_only_on_condition_covers_nothing() -> None:
    assert scope_checked([ALWAYS], [replace(LOOK, on_condition=True)], NONE).value == (ALWAYS,)


@pytest.mark.parametrize(("features", "reason"), [(NONE, True), (frozenset({"floats"}), False)])
def test_an_item_of_other_airplanes_is_excused_with_a_reason(features: frozenset[str], reason: bool) -> None:
    (found,) = coverage([SKIS], [], features)
    assert bool(found.not_applicable) is reason
    assert found.met is reason


def test_the_reason_says_features_in_their_own_words() -> None:
    gear = replace(SKIS, applies_to=("gear_electrics",))
    titles = {"gear_electrics": "Electrical parts on the gear"}
    assert why_not_applicable(gear, NONE, titles) == "The airplane has no electrical parts on the gear."
    assert why_not_applicable(gear, NONE) == "The airplane has no gear electrics."


def test_an_item_no_airplane_has_is_excused_by_its_own_reason() -> None:
    (found,) = coverage([NEVER], [], frozenset({"floats"}))
    assert found.not_applicable == "No airplane has one."


def test_the_working_says_of_every_item_what_answers_it() -> None:
    working = scope_checked([ALWAYS, SKIS, NEVER], [LOOK], NONE).working
    assert [step.result for step in working.steps] == [
        "look",
        "not applicable: The airplane has none of: floats, skis.",
        "not applicable: No airplane has one.",
    ]
    assert working.result == "all 3 items"
    assert "43.15(c)(1)" in working.rules[0].citation


def test_the_working_counts_what_is_missing() -> None:
    assert scope_checked([ALWAYS, NEVER], [], NONE).working.result == "1 of 2 items missing"


def opening(kind: WorkKind, *panels: str) -> CardTemplate:
    return replace(LOOK, key=kind.value, kind=kind, panels=panels)


def test_a_panel_nobody_opens_or_closes_is_found() -> None:
    astray = panels_astray([replace(LOOK, panels=("belly",))], ZONES, NONE)
    assert astray.not_opened == ("belly",)
    assert astray.not_closed == ("belly",)


def test_a_panel_opened_and_not_closed_is_found() -> None:
    cards = [replace(LOOK, panels=("belly",)), opening(WorkKind.OPEN, "belly")]
    astray = panels_astray(cards, ZONES, NONE)
    assert (astray.not_opened, astray.not_closed) == ((), ("belly",))


def test_a_panel_opened_and_closed_is_in_order() -> None:
    cards = [
        replace(LOOK, panels=("belly",)),
        opening(WorkKind.OPEN, "belly"),
        opening(WorkKind.CLOSE, "belly"),
    ]
    assert panels_astray(cards, ZONES, NONE).not_closed == ()


def test_a_panel_the_airplane_lacks_is_nobodys() -> None:
    cards = [replace(LOOK, panels=("well",))]
    assert panels_astray(cards, ZONES, NONE).not_opened == ()
    assert panels_astray(cards, ZONES, frozenset({"retractable"})).not_opened == ("well",)
