"""A shop's own layout.toml: its rows replace the shipped ones; with a fault in it nothing is loaded."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from annual_planner.library.shelf import load_library
from annual_planner.trade.refused import Refused

COSTS = """
[hour_costs]
inspector = 120.5
mechanic = 90
helper = 35
owner = 0
source = "our price list of May"
"""
CARD = '[[card]]\nkey = "shop_card"\ntitle = "A card of the shop"\n'


def folder(path: Path, **files: str) -> Path:
    for name, text in files.items():
        (path / f"{name}.toml").write_text(text, encoding="utf-8")
    return path


def refusal(path: Path) -> str:
    with pytest.raises(Refused) as caught:
        load_library(path)
    assert "none of them was loaded" in caught.value.said
    return caught.value.said


def test_rows_of_the_shop_replace_the_shipped_ones_and_the_rest_stays(tmp_path: Path) -> None:
    shipped = load_library().floor
    own = load_library(folder(tmp_path, layout=COSTS + '\n[[room]]\nkey = "cockpit"\nholds = 1\n')).floor
    assert own.room_for == {**shipped.room_for, "cockpit": 1} != shipped.room_for
    assert (own.hour_costs.inspector, own.hour_costs.owner) == (Decimal("120.5"), 0)
    assert own.hour_costs.source == "our price list of May"
    assert (own.hot, own.cures, own.defects) == (shipped.hot, shipped.cures, shipped.defects)


def test_a_folder_without_the_file_leaves_the_shipped_one(tmp_path: Path) -> None:
    (tmp_path / "cards").mkdir()
    assert load_library(tmp_path).floor == load_library().floor


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("[hour_costs", "layout.toml, whole file: expected readable TOML"),
        (COSTS.replace("90", "-1"), "layout.toml, layout, hour_costs.mechanic: expected greater than"),
        (COSTS.replace("helper = 35\n", ""), "hour_costs.helper: expected this key; found nothing"),
        (COSTS + "boy = 1\n", "the unknown key boy"),
        (
            '[[room]]\nkey = "cokpit"\nholds = 1\n',
            'room "cokpit", key: expected a known key (such as cockpit',
        ),
        (
            '[[cure]]\nkey = "no_card"\nminutes = 5\nwhy = "it dries"\nsource = "the can"\n',
            'layout.toml, cure "no_card", key: expected a known key',
        ),
        (
            '[[room]]\nkey = "cockpit"\nholds = true\n',
            'layout.toml, room "cockpit", holds: expected a whole number without quotes; found true',
        ),
        (
            '[[room]]\nkey = "cockpit"\nholds = "2"\n',
            "layout.toml, room \"cockpit\", holds: expected a whole number without quotes; found '2'",
        ),
        ("[[room]]\nholds = 2\n", "layout.toml, room number 1, key: expected this key; found nothing"),
        (
            '[[room]]\nkey = "cockpit"\nholds = 2\n' * 2,
            'layout.toml, room "cockpit", key: expected a key of its own; found 2 of them',
        ),
        (
            '[[hot]]\nkey = "hot_oil_drain"\nafter = "hot_run"\nwithin_min = 9\nwhy = "w"\nsource = "s"\n'
            * 2,
            'hot "hot_oil_drain after hot_run", key: expected a key of its own',
        ),
        ("room = 3\n", "layout.toml, layout, room: expected a list in [ ]; found 3"),
        ("[[roam]]\n", "layout.toml, layout, roam: expected one of the keys room, hot"),
        (COSTS.replace("90", "nan"), "hour_costs.mechanic: expected a finite number"),
        (COSTS.replace("90", '"90"'), "hour_costs.mechanic: expected a number without quotes"),
        ("[same_day]\nup_to_hours = true\nsource = 's'\n", "up_to_hours: expected a number without quotes"),
    ],
)
def test_what_is_wrong_is_told_with_its_place(tmp_path: Path, text: str, said: str) -> None:
    assert said in refusal(folder(tmp_path, layout=text))


def test_faults_of_every_file_stand_in_one_message(tmp_path: Path) -> None:
    said = refusal(folder(tmp_path, layout=COSTS.replace("35", "-35"), cards=CARD))
    assert "hour_costs.helper" in said
    assert 'cards.toml, card "shop_card", zone' in said
