import copy
import tomllib
from importlib.resources import files

import pytest

from annual_planner.library.look import Shades, load_look, look_from, read_look
from annual_planner.trade.periods import DueState
from annual_planner.trade.refused import Refused
from tests.contrast import contrast


@pytest.mark.parametrize("variant", ["light", "dark"])
def test_text_is_legible_on_table_sheet_and_band(variant: str) -> None:
    shades: Shades = getattr(load_look(), variant)
    for ground in (shades.paper, shades.sheet, shades.band, shades.accent_wash):
        assert contrast(shades.ink, ground) >= 7
    for ground in (shades.paper, shades.sheet):
        assert contrast(shades.faint, ground) >= 4.5
        assert contrast(shades.accent, ground) >= 4.5
        assert contrast(shades.edge, ground) >= 3
        assert contrast(shades.focus, ground) >= 3
    assert contrast(shades.on_accent, shades.accent) >= 4.5


@pytest.mark.parametrize("variant", ["light", "dark"])
def test_a_states_words_are_legible_on_paper_and_on_their_fill(variant: str) -> None:
    look = load_look()
    grounds: Shades = getattr(look, variant)
    for state in look.states.values():
        shades = getattr(state, variant)
        assert contrast(shades.text, grounds.paper) >= 4.5
        assert contrast(shades.text, grounds.sheet) >= 4.5
        assert contrast(shades.on_fill, shades.fill) >= 4.5


def test_every_due_state_has_a_look_with_a_shape_of_its_own() -> None:
    looks = [load_look().state(str(state)) for state in DueState]
    assert len({look.shape for look in looks}) == len({look.glyph for look in looks}) == len(DueState)


def test_all_faults_of_a_look_are_named_at_once() -> None:
    table = tomllib.loads((files("resources") / "look.toml").read_text("utf-8"))
    broken = copy.deepcopy(table)
    broken["light"]["ink"] = "black"
    del broken["type"]["paper_pt"]["body"]
    with pytest.raises(Refused) as refused:
        look_from(broken)
    assert "light.ink" in refused.value.said
    assert "type.paper_pt.body" in refused.value.said


@pytest.mark.parametrize(
    ("right", "wrong", "told"),
    [
        ("[light]", "[light", "Expected ']'"),
        ("[light]", "x = 1\n[light]", "x: no such key is known"),
        ('accent = "#1B4A73"', 'akcent = "#1B4A73"', "light.accent: a colour such as"),
        ('accent = "#1B4A73"', 'akcent = "#1B4A73"', "light.akcent: no such key is known"),
        ('accent = "#1B4A73"', 'accent = "#1B4A7"', "light.accent: a colour such as"),
        ('family = "', 'family = "\\u001b', "type.family: text is wanted"),
        ("body = ", "body = nan #", "body: a number above 0"),
        ("body = ", "body = inf #", "body: a number above 0"),
        ("body = ", "body = true #", "body: a number above 0"),
        ("body = ", "body = " + "9" * 5000 + " #", "can't be used"),
    ],
)
def test_whatever_is_wrong_with_a_look_is_said_by_file_and_key(right: str, wrong: str, told: str) -> None:
    text = (files("resources") / "look.toml").read_text("utf-8")
    assert right in text
    with pytest.raises(Refused) as refused:
        read_look(text.replace(right, wrong, 1).encode())
    assert refused.value.said.startswith("look.toml can't be used: ")
    assert told in refused.value.said
    assert refused.value.remedy


@pytest.mark.parametrize("content", [b"\xff\xfe", b"", b"\x00", b"[" * 5000])
def test_a_look_that_is_no_text_of_its_kind_is_refused(content: bytes) -> None:
    with pytest.raises(Refused, match=r"look\.toml can't be used"):
        read_look(content)
