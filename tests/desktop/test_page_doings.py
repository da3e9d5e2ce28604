"""The tables of what can be done on a page are whole, and no two actions answer to one key."""

from types import ModuleType

import pytest

from annual_planner.desktop.aircraft import doings as of_airplane
from annual_planner.desktop.annual import doings as of_annual
from annual_planner.desktop.plugs import doings as of_engine

pytestmark = pytest.mark.desktop
PLACES = pytest.mark.parametrize(
    "place", [of_airplane, of_annual, of_engine], ids=["aircraft", "annual", "plugs"]
)


@PLACES
def test_every_action_a_page_names_stands_in_its_table(place: ModuleType) -> None:
    named = [name for name, sort in place.Doings.__annotations__.items() if sort == "QAction"]
    assert named == [each.name for each in place.ACTIONS]


@PLACES
def test_no_two_actions_of_a_page_answer_to_one_key(place: ModuleType) -> None:
    keys = [each.key for each in place.ACTIONS if each.key]
    assert len(keys) == len(set(keys))


@PLACES
def test_no_two_actions_of_a_page_answer_to_one_letter(place: ModuleType) -> None:
    letters = [each.text.partition("&")[2][:1].lower() for each in place.ACTIONS if "&" in each.text]
    assert len(letters) == len(set(letters))
