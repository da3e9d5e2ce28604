"""A bad file is refused whole; the refusal names file, table, key, what was expected and what was found."""

from __future__ import annotations

from pathlib import Path

import pytest

from annual_planner.library.shelf import load_library
from annual_planner.trade.refused import Refused

GOOD = {
    "key": '"shop_card"',
    "title": '"A card of the shop"',
    "zone": '"engine"',
    "phase": '"service"',
    "kind": '"service"',
    "subject": '"engine"',
    "hours": "[0.5, 1.0, 2.0]",
    "references": '["shop habit"]',
    "steps": '["One.", "Two.", "Three."]',
}


def card(**changes: str) -> str:
    fields = GOOD | changes
    return "[[card]]\n" + "\n".join(f"{key} = {value}" for key, value in fields.items() if value) + "\n"


def write(folder: Path, name: str, text: str) -> Path:
    file = folder / name
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_text(text, encoding="utf-8")
    return folder


def refusal(folder: Path) -> str:
    with pytest.raises(Refused) as caught:
        load_library(folder)
    assert caught.value.remedy
    return caught.value.said


def test_a_good_card_of_the_shop_is_added(tmp_path: Path) -> None:
    shipped = len(load_library().cards)
    cards = load_library(write(tmp_path, "cards/shop.toml", card())).cards
    assert len(cards) == shipped + 1
    assert str(cards[-1].hours.expected) == "1.083333333333333333333333333"


def test_a_card_of_the_shop_replaces_the_shipped_one_of_its_key(tmp_path: Path) -> None:
    shipped = load_library().cards
    cards = load_library(write(tmp_path, "cards/shop.toml", card(key='"service_compass"'))).cards
    assert len(cards) == len(shipped)
    assert next(each for each in cards if each.key == "service_compass").title == "A card of the shop"


@pytest.mark.parametrize(
    ("changes", "key", "expected", "found"),
    [
        ({"colour": '"red"'}, "colour", "one of the keys key, title", "colour"),
        ({"title": ""}, "title", "this key", "nothing"),
        ({"zone": '"attic"'}, "zone", "a known key", "attic"),
        ({"panels": '["cowling_topp"]'}, "panels", "such as cowling_top", "cowling_topp"),
        ({"needs": '["retractible"]'}, "needs", "such as retractable", "retractible"),
        ({"excludes": '["wings"]'}, "excludes", "a known key", "wings"),
        ({"cautions": '["sharks"]'}, "cautions", "a known key", "sharks"),
        ({"covers": '["D-z-9"]'}, "covers", "a known key", "D-z-9"),
        ({"settles": '["weekly"]'}, "settles", "a known key", "weekly"),
        ({"after": '["nothing_such"]'}, "after", "a known key", "nothing_such"),
        ({"after": '["records_handover"]'}, "after", "no later than phase service", "records_handover"),
        ({"needs": '["oleo"]', "excludes": '["oleo"]'}, "excludes", "no feature that needs has", "oleo"),
        ({"phase": '"lunch"'}, "phase", "'research'", "lunch"),
        ({"hours": "[2.0, 1.0, 3.0]"}, "hours", "low, likely, high", "[2.0, 1.0, 3.0]"),
        ({"hours": "[1.0, 2.0]"}, "hours", "low, likely, high", "[1.0, 2.0]"),
        ({"hours": "[0, 1, 2]"}, "hours", "above 0", "[0, 1, 2]"),
        ({"steps": '["One."]'}, "steps", "at least 3", "One."),
        ({"preventive": '["A(c)(32)"]'}, "preventive.0", "A(c)(1) to A(c)(31)", "A(c)(32)"),
        ({"per_engine": '"yes"'}, "per_engine", "true or false", "yes"),
        ({"parts": '[{ name = "Oil", unit = "bucket" }]'}, "parts.0.unit", "a unit of", "bucket"),
        ({"parts": '[{ name = "Oil", quantity = "2 * wings" }]'}, "parts.0.quantity", "wheels", "2 * wings"),
        ({"parts": '[{ name = "Oil", quantity = -1 }]'}, "parts.0.quantity", "above 0", "-1"),
        ({"measurements": '[{ name = "P", unit = "bar", low = 1 }]'}, "measurements.0.unit", "psi", "bar"),
        ({"measurements": '[{ name = "P", unit = "in", low = 9, high = 1}]'}, "measurements.0", "low", "9"),
        ({"measurements": '[{ name = "P", unit = "psi" }]'}, "measurements.0", "a note", "psi"),
    ],
)  # fmt: skip
def test_a_fault_in_a_card_is_named(
    tmp_path: Path, changes: dict[str, str], key: str, expected: str, found: str
) -> None:
    said = refusal(write(tmp_path, "cards/shop.toml", card(**changes)))
    line = next(line for line in said.splitlines() if line.startswith("cards/shop.toml"))
    assert f'card "shop_card", {key}: expected ' in line
    told, seen = line.split("; found ", 1)
    assert expected in told
    assert found in seen


REQUIREMENT = """
[[requirement]]
key = "shop_rule"
title = "A rule of the shop"
citation = "shop habit"
force = "recommended"
source = "shop habit"
counts_on = "{counts_on}"
interval = {{ {interval} }}
"""


@pytest.mark.parametrize(
    ("interval", "counts_on", "expected"),
    [
        ("hours = -5", "engine", "greater than 0"),
        ("days = 0", "none", "greater than 0"),
        ("calendar_months = 1, days = 30", "none", "at most one of"),
        ("logic = 'first'", "none", "at least one of"),
        ("days = 30, enroute_excess_hours = 10", "none", "hours beside"),
        ("hours = 50", "none", "counts_on other than 'none'"),
        ("hours = 50, weeks = 2", "engine", "a key known there"),
        ("days = 30, logic = 'middle'", "none", "'first' or 'last'"),
    ],
)
def test_an_impossible_interval_is_named(
    tmp_path: Path, interval: str, counts_on: str, expected: str
) -> None:
    text = REQUIREMENT.format(interval=interval, counts_on=counts_on)
    said = refusal(write(tmp_path, "requirements/shop.toml", text))
    assert 'requirements/shop.toml, requirement "shop_rule"' in said
    assert expected in said


def test_a_good_requirement_of_the_shop_is_added(tmp_path: Path) -> None:
    text = REQUIREMENT.format(interval="hours = 25, days = 60", counts_on="engine")
    added = load_library(write(tmp_path, "requirements/shop.toml", text)).requirements[-1]
    assert added.interval is not None
    assert added.interval.hours == 25
    assert added.interval.days == 60


def test_all_faults_of_all_files_come_at_once(tmp_path: Path) -> None:
    write(tmp_path, "cards/a.toml", card(zone='"attic"', hours="[3, 2, 1]", colour='"red"'))
    write(tmp_path, "cards/b.toml", card(key='"other"', after='["nowhere"]', cautions='["sharks"]'))
    write(tmp_path, "cautions/c.toml", '[[caution]]\nkey = "x"\ntitle = "X"\n')
    said = refusal(tmp_path)
    assert said.startswith("5 faults")
    for part in ("colour", "hours", "nowhere", "sharks", 'caution "x", text'):
        assert part in said


def test_two_cards_of_one_key_in_one_folder_are_a_fault(tmp_path: Path) -> None:
    write(tmp_path, "cards/a.toml", card())
    said = refusal(write(tmp_path, "cards/b.toml", card()))
    assert (
        'cards/b.toml, card "shop_card", key: expected a key of its own; found also in cards/a.toml' in said
    )


def test_a_loop_is_named_with_its_cards(tmp_path: Path) -> None:
    text = card(key='"one"', after='["two"]') + card(key='"two"', after='["one"]')
    said = refusal(write(tmp_path, "cards/shop.toml", text))
    assert "after: expected no loop" in said
    assert "one" in said.split("found")[-1]
    assert "two" in said.split("found")[-1]


def test_a_zones_caution_is_one_that_there_is(tmp_path: Path) -> None:
    said = refusal(
        write(tmp_path, "zones.toml", '[[zone]]\nkey = "attic"\ntitle = "Attic"\ncautions = ["ghosts"]\n')
    )
    assert 'zone "attic", cautions: expected a known key' in said
    assert "ghosts" in said


def test_a_panel_lives_in_one_zone(tmp_path: Path) -> None:
    text = '[[zone]]\nkey = "attic"\ntitle = "Attic"\npanels = [{ key = "spinner", title = "Spinner" }]\n'
    said = refusal(write(tmp_path, "zones.toml", text))
    assert 'zone "attic", panels: expected each panel in one zone' in said


def test_a_file_that_is_no_toml_is_named(tmp_path: Path) -> None:
    said = refusal(write(tmp_path, "cards/shop.toml", "[[card]\nkey = "))
    assert said.count("cards/shop.toml, whole file: expected readable TOML") == 1


def test_a_stray_table_is_named(tmp_path: Path) -> None:
    said = refusal(write(tmp_path, "cards/shop.toml", "[note]\nby = 'me'\n"))
    assert "cards/shop.toml, note: expected tables [[card]] only" in said


def test_a_card_without_a_key_is_named_by_its_number(tmp_path: Path) -> None:
    said = refusal(write(tmp_path, "cards/shop.toml", card() + card(key="")))
    assert "cards/shop.toml, card number 2, key: expected this key; found nothing" in said


@pytest.mark.parametrize(
    "interval",
    [
        "calendar_months = 9999999999",
        "months = 1201",
        "days = 3000000",
        "hours = 1e400",
        "cycles = 1000001",
        "calendar_months = true",
        "months = 1.5",
    ],
)
def test_an_interval_beyond_any_airplanes_life_is_named(tmp_path: Path, interval: str) -> None:
    said = refusal(
        write(tmp_path, "requirements/shop.toml", REQUIREMENT.format(interval=interval, counts_on="airframe"))
    )
    assert f'requirement "shop_rule", interval.{interval.split()[0]}: expected' in said


@pytest.mark.parametrize(
    ("changes", "key"),
    [
        ({"hours": "[nan, nan, nan]"}, "hours"),
        ({"hours": "[1, 2, inf]"}, "hours"),
        ({"hours": "[1, 2, 1e300]"}, "hours"),
        ({"parts": '[{ name = "Rag", quantity = inf }]'}, "parts.0.quantity"),
        ({"parts": '[{ name = "Rag", quantity = nan }]'}, "parts.0.quantity"),
        ({"parts": '[{ name = "Rag", quantity = "99999999 * wheels" }]'}, "parts.0.quantity"),
        ({"title": '"' + "x" * 3000 + '"'}, "title"),
        ({"title": r'"a \u001b[31m b"'}, "title"),
        ({"title": r'"two\nlines"'}, "title"),
        ({"title": r'"a \u009b31m b"'}, "title"),
        ({"title": r'"turned \u202e round"'}, "title"),
        ({"hours": "[true, true, true]"}, "hours"),
        ({"hours": '["1", "2", "3"]'}, "hours"),
        ({"measurements": '[{ name = "P", unit = "psi", low = "60" }]'}, "measurements.0.low"),
        ({"measurements": '[{ name = "P", unit = "psi", low = true }]'}, "measurements.0.low"),
        ({"measurements": '[{ name = "P", unit = "psi", high = 1e30 }]'}, "measurements.0.high"),
        (
            {"measurements": '[{ name = "P", unit = "psi", note = "' + "x" * 3000 + '" }]'},
            "measurements.0.note",
        ),
        ({"measurements": r'[{ name = "P", unit = "psi", note = "a \u001b[31m b" }]'}, "measurements.0.note"),
    ],
)
def test_a_number_or_text_that_no_card_has_room_for_is_named(
    tmp_path: Path, changes: dict[str, str], key: str
) -> None:
    said = refusal(write(tmp_path, "cards/shop.toml", card(**changes)))
    assert f'card "shop_card", {key}: expected' in said


@pytest.mark.parametrize(
    "content",
    [b"\xff\xfe\x00", b"a = " + b"[" * 5000 + b"]" * 5000, b"a = " + b"9" * 5000, b"a = 1\na = 2\n"],
)
def test_a_file_that_is_no_readable_toml_is_named(tmp_path: Path, content: bytes) -> None:
    (tmp_path / "cards").mkdir()
    (tmp_path / "cards/shop.toml").write_bytes(content)
    assert "cards/shop.toml, whole file: expected readable TOML" in refusal(tmp_path)


def test_a_folder_in_the_place_of_a_file_is_named(tmp_path: Path) -> None:
    (tmp_path / "cards/shop.toml").mkdir(parents=True)
    assert "cards/shop.toml, whole file" in refusal(tmp_path)


def test_a_mark_of_byte_order_is_read_over(tmp_path: Path) -> None:
    (tmp_path / "cards").mkdir()
    (tmp_path / "cards/shop.toml").write_bytes(b"\xef\xbb\xbf" + card().encode())
    assert load_library(tmp_path).cards[-1].key == "shop_card"


def test_a_shops_folder_that_is_not_there_is_said(tmp_path: Path) -> None:
    with pytest.raises(Refused, match="no folder"):
        load_library(tmp_path / "nowhere")


@pytest.mark.parametrize(
    ("key", "shown"),
    [
        ('"Two Words"', 'card "Two Words", key: expected small letters, digits and underscores'),
        (r'"esc\u001b"', r"card 'esc\x1b', key: expected small letters, digits and underscores"),
        (f'"{"k" * 5000}"', "key: expected at most 60 letters"),
        ("7", "card number 1, key: expected words in quotes; found 7"),
    ],
)
def test_a_key_that_is_none_is_shown_so_that_a_screen_has_room_for_it(
    tmp_path: Path, key: str, shown: str
) -> None:
    said = refusal(write(tmp_path, "cards/shop.toml", card(key=key)))
    assert shown in said
    assert "\x1b" not in said
    assert len(said) < 400


def test_a_long_word_that_leads_nowhere_is_cut(tmp_path: Path) -> None:
    said = refusal(write(tmp_path, "cards/shop.toml", card(zone=f'"{"z" * 50}"', after=f'["{"a" * 60}"]')))
    assert len(said) < 500


@pytest.mark.parametrize(
    "name",
    [
        "card/ours.toml",
        "cards/ours.TOML",
        "layouts.toml",
        "rules/us.toml",
        "cards.toml/x.toml",
        "layout/x.toml",
    ],
)
def test_a_file_that_nothing_reads_is_named_instead_of_passed_over(tmp_path: Path, name: str) -> None:
    write(tmp_path, "cards/good.toml", card())
    said = refusal(write(tmp_path, name, card(key='"other"')))
    assert f"{name}, whole file: expected a name that is read: layout.toml, cards/" in said


def test_a_folder_with_nothing_of_a_library_is_taken_for_another_one(tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_text("nothing here")
    assert "belongs to a shop's library" in refusal(tmp_path)


def test_ends_of_lines_are_taken_as_any_system_writes_them(tmp_path: Path) -> None:
    (tmp_path / "cards").mkdir()
    (tmp_path / "cards/shop.toml").write_bytes(card().replace("\n", "\r\n").encode())
    assert load_library(tmp_path).cards[-1].key == "shop_card"


def test_what_a_row_of_the_shop_takes_away_is_told_as_missed_by_the_programs_own_files(
    tmp_path: Path,
) -> None:
    text = '[[zone]]\nkey = "propeller"\ntitle = "Propeller"\n'
    with pytest.raises(Refused) as caught:
        load_library(write(tmp_path, "zones.toml", text))
    told = [
        line for line in caught.value.said.splitlines()[1:] if not line.startswith("the program's own cards/")
    ]
    assert told == []
    assert "write it whole" in caught.value.remedy
