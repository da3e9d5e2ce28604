"""What ships is whole: every item of an annual, every owner's job, every panel."""

from __future__ import annotations

from itertools import pairwise

import pytest

from annual_planner.library.shelf import Library, load_library
from annual_planner.trade.cards import CardTemplate, Phase, WorkKind
from annual_planner.trade.coverage import coverage, panels_astray, scope_checked
from annual_planner.trade.periods import Force
from annual_planner.trade.requirements import Use
from annual_planner.trade.sequence import CardInOrder, faults, order
from tests.library.conftest import AIRPLANES

BALLOON_OR_PRIMARY_ONLY = {25, 27, 30}


def test_the_scope_is_44_items_and_4_of_the_engine_run(library: Library) -> None:
    ids = [item.id for item in library.items]
    assert sum(each.startswith("D-") for each in ids) == 44
    assert sum(each.startswith("R-") for each in ids) == 4


def test_numbered_items_of_each_paragraph_are_as_many_as_in_the_rule(library: Library) -> None:
    # Part 43 Appendix D, issue of 2026-09-03: paragraphs (b) to (e), (h) and (i) number their items.
    numbered = {"b": 3, "c": 7, "d": 11, "e": 10, "h": 4, "i": 4}
    ids = {item.id for item in library.items}
    for letter, count in numbered.items():
        wanted = {f"D-{letter}-{n}" for n in range(1, count + 1)}
        assert {each for each in ids if each.startswith(f"D-{letter}-")} == wanted


def test_the_sample_airplanes_use_known_features(library: Library, features: frozenset[str]) -> None:
    assert features <= {feature.key for feature in library.features}


def test_every_item_is_looked_at_or_excused(library: Library, features: frozenset[str]) -> None:
    assert scope_checked(library.items, library.cards, features).value == ()


def test_every_item_that_applies_has_a_card(library: Library, features: frozenset[str]) -> None:
    for each in coverage(library.items, library.cards, features):
        assert each.cards or each.not_applicable, each.item.id
        if not each.not_applicable:
            assert each.cards, each.item.id


def test_the_envelope_item_has_its_reason_and_a_card(library: Library, features: frozenset[str]) -> None:
    envelope = next(c for c in coverage(library.items, library.cards, features) if c.item.id == "D-b-3")
    assert "lighter-than-air" in envelope.not_applicable
    assert envelope.cards == ("inspect_no_envelope",)


def test_every_owner_job_usual_on_airplanes_has_a_card(library: Library) -> None:
    owners = {ref for card in library.cards for ref in card.preventive}
    usual = {f"A(c)({n})" for n in range(1, 32) if n not in BALLOON_OR_PRIMARY_ONLY}
    assert owners == usual


def test_every_card_an_owner_may_take_tells_the_owner_something(library: Library) -> None:
    assert [card.key for card in library.cards if card.preventive and not card.owner_note] == []


def test_every_panel_that_work_needs_open_is_opened_and_closed(
    library: Library, features: frozenset[str]
) -> None:
    astray = panels_astray(library.cards, library.zones, features)
    assert (astray.not_opened, astray.not_closed) == ((), ())


def test_there_are_enough_cards_for_a_whole_annual(library: Library) -> None:
    assert len(library.cards) >= 95
    assert {card.phase for card in library.cards} == set(Phase)


def test_inspection_cards_that_cover_an_item_are_the_inspectors(library: Library) -> None:
    assert [card.key for card in library.cards if card.covers and not card.inspector] == []


def test_work_at_the_engine_or_propeller_carries_a_propeller_caution(library: Library) -> None:
    bare = [
        card.key
        for card in library.cards
        if card.zone in {"engine", "propeller"}
        and not {"propeller_live", "engine_running"} & set(card.cautions)
    ]
    assert sorted(bare) == ["service_plugs"]  # done at the bench, with cautions of its own


def test_repair_carries_cautions_wherever_on_the_airplane_it_is(library: Library) -> None:
    cautions = {zone.key: zone.cautions for zone in library.zones}
    assert [key for key, named in cautions.items() if not named] == ["office"]
    assert all("propeller_live" in cautions[zone] for zone in ("engine", "propeller", "whole_airplane"))
    assert all("jacks" in cautions[zone] for zone in ("gear_main", "gear_nose_tail"))


def test_dye_penetrant_carries_the_caution_of_solvents(library: Library) -> None:
    dyed = [card for card in library.cards if "dye penetrant" in card.tools]
    assert dyed
    assert [card.key for card in dyed if "solvents" not in card.cautions] == []


def test_air_behind_a_piston_always_carries_its_caution(library: Library) -> None:
    testers = [card for card in library.cards if any("compression tester" in tool for tool in card.tools)]
    tests = [card for card in testers if card.kind is WorkKind.TEST]
    assert len(tests) >= 2
    assert all("compressed_air_cylinder" in card.cautions for card in tests)


def test_the_hot_checks_run_from_engine_run_to_oil_drain(library: Library) -> None:
    cards = {card.key: card for card in library.cards}
    order = [
        "hot_oil_drain",
        "hot_compression",
        "hot_top_plugs_out",
        "hot_ignition_safe",
        "hot_uncowl",
        "hot_run",
    ]
    for later, earlier in pairwise(order):
        assert earlier in cards[later].after
    assert cards["hot_top_plugs_out"].makes_propeller_safe


def in_order(card: CardTemplate) -> CardInOrder:
    return CardInOrder(
        card.key,
        card.title,
        card.phase,
        card.kind,
        card.zone,
        card.panels,
        card.after,
        card.turns_propeller,
        card.makes_propeller_safe,
    )


def test_the_cards_of_each_airplane_can_be_put_in_order(library: Library, features: frozenset[str]) -> None:
    cards = [in_order(card) for card in library.cards if card.fits(features) and not card.on_condition]
    assert faults(order(cards).value, cards) == ()


def test_all_cards_together_can_be_put_in_order(library: Library) -> None:
    cards = [in_order(card) for card in library.cards]
    assert faults(order(cards).value, cards) == ()


def test_a_whole_annual_takes_days_and_not_months(library: Library, features: frozenset[str]) -> None:
    cards = [card for card in library.cards if card.fits(features) and not card.on_condition]
    assert 30 < sum(card.hours.likely for card in cards) < 80


def test_compression_limits_are_those_of_the_circular(library: Library) -> None:
    # AC 43.13-1B 8-14: a loss of more than 25 % of the supply is suspect; 80 psi x 0.75 = 60 psi.
    card = next(card for card in library.cards if card.key == "hot_compression")
    reading, supply = card.measurements[0], card.measurements[1]
    assert supply.low == supply.high == 80
    assert supply.low is not None
    assert reading.low == supply.low * 3 / 4


def test_gaskets_are_as_many_as_plugs(library: Library) -> None:
    card = next(card for card in library.cards if card.key == "install_plugs")
    gasket = next(part for part in card.parts if "gasket" in part.name)
    assert gasket.quantity.for_counts({"plugs": 12}) == 12


def test_binding_rules_have_the_intervals_of_part_91(library: Library) -> None:
    rules = {each.key: each for each in library.requirements}
    spans = {
        "annual": (None, 12, None),
        "hundred_hour": (100, None, None),
        "elt_inspection": (None, 12, None),
        "pitot_static": (None, 24, None),
        "transponder": (None, 24, None),
        "vor_check": (None, None, 30),
        "registration": (None, 84, None),
        "elt_out": (None, None, 90),
    }
    for key, wanted in spans.items():
        interval = rules[key].interval
        assert interval is not None
        assert (interval.hours, interval.calendar_months, interval.days) == wanted, key
        assert rules[key].force.binding


def test_only_the_hundred_hour_may_be_overflown(library: Library) -> None:
    lenient = [r.key for r in library.requirements if r.interval and r.interval.enroute_excess_hours]
    assert lenient == ["hundred_hour"]


def test_the_hundred_hour_bites_on_hire_and_not_on_private_flying(library: Library) -> None:
    rule = next(r for r in library.requirements if r.key == "hundred_hour")
    assert rule.applies(frozenset(), frozenset({Use.HIRE}))
    assert not rule.applies(frozenset(), frozenset())


def test_what_rests_on_habit_is_never_binding(library: Library) -> None:
    habits = [r for r in library.requirements if "common practice" in r.citation]
    assert len(habits) > 10
    assert all(r.force is Force.RECOMMENDED for r in habits)


def test_every_requirement_that_work_can_meet_is_met_by_a_card(library: Library) -> None:
    met = {key for card in library.cards for key in card.settles}
    assert {r.key for r in library.requirements} - met == {"elt_out", "progressive"}


def places(library: Library, features: frozenset[str]) -> dict[str, int]:
    cards = [in_order(card) for card in library.cards if card.fits(features) and not card.on_condition]
    return {key: n for n, key in enumerate(order(cards).value)}


def test_leaks_are_read_before_water_and_water_comes_before_plates_are_off(
    library: Library, features: frozenset[str]
) -> None:
    place = places(library, features)
    assert place["hot_ignition_safe"] < place["hot_leak_traces"] < place["clean_airframe"]
    assert all(place["clean_airframe"] < place[key] for key in ("open_wing_left", "open_cabin", "open_tail"))
    assert place["hot_leak_traces"] < place["clean_engine"] < place["clean_complete"]


def test_nobody_works_in_or_on_the_airplane_while_it_is_on_jacks(
    library: Library, features: frozenset[str]
) -> None:
    place = places(library, features)
    if "jack_up" not in place:
        assert "wheels" not in features
        return
    zones = {card.key: card.zone for card in library.cards}
    up = {zones[key] for key, n in place.items() if place["jack_up"] <= n <= place["jack_down"]}
    assert up == {"gear_main", "gear_nose_tail"}
    for key in ("inspect_wheels", "service_wheel_bearings", "inspect_gear_swing"):
        assert key not in place or place["jack_up"] < place[key] < place["jack_down"]
    assert place.get("inspect_oleo", -1) < place["jack_up"]  # extension is read on the wheels


def test_the_propeller_is_turned_by_hand_only_between_plugs_out_and_plugs_in(
    library: Library, features: frozenset[str]
) -> None:
    place = places(library, features)
    turning = [
        card.key
        for card in library.cards
        if card.key in place and card.turns_propeller and card.kind is not WorkKind.RUN_UP
    ]
    by_hand = set(turning) - {"run_up_systems", "run_up_pull_through"}
    assert {"hot_compression", "inspect_magnetos"} <= by_hand
    assert all(place["hot_top_plugs_out"] < place[key] < place["install_plugs"] for key in by_hand)
    assert ("run_up_pull_through" in place) == ("radial" in features)


def test_taxi_comes_after_the_leak_check_and_the_cowling(library: Library, features: frozenset[str]) -> None:
    place = places(library, features)
    run = ["run_up_prepare", "run_up_check", "run_up_leak_check", "close_cowling", "run_up_systems"]
    assert [place[key] for key in run] == sorted(place[key] for key in run)
    assert place["run_up_systems"] < place["records_entry_inspection"]


def test_power_is_joined_before_anything_is_tried_at_closing(
    library: Library, features: frozenset[str]
) -> None:
    place = places(library, features)
    tried = [key for key in ("close_radio_rack", "close_instrument_panel", "close_wing_left") if key in place]
    assert all(place.get("close_battery", -1) < place[key] for key in tried)


def test_one_propeller_card_and_no_file_on_wood(library: Library, features: frozenset[str]) -> None:
    place = places(library, features)
    wood = "wooden_propeller" in features
    assert ("inspect_wooden_propeller" in place, "inspect_propeller" in place) == (wood, not wood)
    assert ("dress_blades" in place) != wood
    assert ("service_propeller" in place) == ("constant_speed" in features)


def test_filing_a_blade_is_on_no_owners_list(library: Library) -> None:
    card = next(card for card in library.cards if card.key == "dress_blades")
    assert card.preventive == ()
    assert card.owner_note is not None
    assert card.owner_note.startswith("Leave")


@pytest.mark.parametrize(
    ("features", "names"),
    [
        ({"plugs_14mm"}, ["Torque, 14 mm thread"]),
        ({"plugs_18mm"}, ["Torque, 18 mm thread"]),
        (set(), ["Torque, 14 mm thread", "Torque, 18 mm thread"]),
    ],
)
def test_plug_torque_is_asked_for_the_thread_the_engine_has(
    library: Library, features: set[str], names: list[str]
) -> None:
    card = next(card for card in library.cards if card.key == "install_plugs")
    torques = [
        m.name for m in card.measurements if m.name.startswith("Torque") and m.fits(frozenset(features))
    ]
    assert torques == names


def test_a_tool_has_one_name(library: Library) -> None:
    tools = {tool for card in library.cards for tool in card.tools}
    assert not {f"{tool}s" for tool in tools} & tools
    assert {tool for tool in tools if "torque wrench" in tool} == {"torque wrench in date"}
    assert {tool for tool in tools if "compression tester" in tool} == {"differential compression tester"}


def test_hoses_due_do_not_ask_for_an_overhaul(library: Library) -> None:
    asked = [card.key for card in library.cards if "engine_hoses" in card.settles]
    assert asked == ["replace_engine_hoses"]


def test_a_light_singles_annual_takes_a_mechanic_16_to_30_hours(library: Library) -> None:
    # Without desk work, cleaning and what an owner may do; the span is common practice, no source.
    features = frozenset(AIRPLANES["fixed-gear four"].split())
    desk = {Phase.RESEARCH, Phase.RECORDS}
    shop = [
        card.hours.likely
        for card in library.cards
        if card.fits(features)
        and not card.on_condition
        and not card.preventive
        and card.phase not in desk
        and card.kind is not WorkKind.CLEAN
    ]
    assert 16 <= sum(shop) <= 30


def test_a_card_for_two_finds_room_where_it_is_done(library: Library) -> None:
    holds = load_library().floor.room_for
    for_two = [card for card in library.cards if "second person" in card.tools]
    assert for_two
    assert [card.key for card in for_two if holds[card.zone] < 2] == []
