"""The look of the program by meaning: colours, shapes of states, type sizes; for window and paper."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path
from typing import NamedTuple

import resources
from annual_planner.trade.refused import Refused

FILE = "look.toml"
STATES = ("overdue", "soon", "ok", "never", "ended")
SIZES = ("title", "heading", "subheading", "body", "small")
LARGEST = 100
"""Points of a type, or multiples of the person's size: what is larger fits no sheet."""
_HEX = re.compile(r"#[0-9A-F]{6}")


class Shades(NamedTuple):
    """Colours of one variant, each '#RRGGBB', named by what they mean."""

    paper: str
    sheet: str
    band: str
    ink: str
    faint: str
    rule: str
    edge: str
    accent: str
    on_accent: str
    accent_wash: str
    focus: str
    caution: str


class StateShades(NamedTuple):
    """Colours of one state in one variant: a fill (with an ink outline), text on it, text on paper."""

    fill: str
    on_fill: str
    text: str


class StateLook(NamedTuple):
    """How one state of being due is said and drawn: word and shape first, colour third."""

    word: str
    shape: str
    glyph: str
    light: StateShades
    dark: StateShades


class Look(NamedTuple):
    """The whole table. `paper_pt` are points; `window` are multiples of the person's text size."""

    light: Shades
    dark: Shades
    states: Mapping[str, StateLook]
    family: str
    regular: str
    bold: str
    paper_pt: Mapping[str, float]
    window: Mapping[str, float]

    def state(self, word: str) -> StateLook:
        """Give the look of a state by its stored word ('due soon'). KeyError for an unknown word."""
        return next((s for s in self.states.values() if s.word == word), None) or self.states[word]


@lru_cache(maxsize=1)
def load_look() -> Look:
    """Read resources/look.toml once. Refused names every fault in it."""
    return read_look((Path(resources.__path__[0]) / FILE).read_bytes())


def read_look(content: bytes) -> Look:
    """Make the look this TOML file describes; Refused with all its faults at once."""
    try:
        table = tomllib.loads(content.decode("utf-8-sig"))
    except (ValueError, RecursionError) as fault:  # no UTF-8, no TOML, a number too long, nested too deep
        raise Refused(f"{FILE} can't be used: {fault}.", "Put right what is named.") from fault
    return look_from(table)


def look_from(table: Mapping[str, object]) -> Look:
    """Make the look a parsed file describes; Refused with all its faults at once."""
    faults: list[str] = []
    read = _Reading(table, faults)
    look = Look(
        light=read.shades("light"),
        dark=read.shades("dark"),
        states={name: read.state(name) for name in STATES},
        family=read.text("type", "family"),
        regular=read.text("type", "regular"),
        bold=read.text("type", "bold"),
        paper_pt={name: read.number("type", "paper_pt", name) for name in SIZES},
        window={name: read.number("type", "window", name) for name in SIZES},
    )
    read.note_unknown(table)
    if faults:
        raise Refused(said=f"{FILE} can't be used: {'; '.join(faults)}.", remedy="Put the named keys right.")
    return look


class _Reading:
    """Looks keys up and notes what is missing or malformed, so that one answer names all faults."""

    def __init__(self, table: Mapping[str, object], faults: list[str]) -> None:
        self._table = table
        self._faults = faults
        self._asked: set[tuple[str, ...]] = set()

    def text(self, *path: str) -> str:
        """Give text at a path of keys."""
        found = self._at(path)
        if isinstance(found, str) and found.strip() and found.isprintable():
            return found
        return str(self._fault(path, "text is wanted here"))

    def number(self, *path: str) -> float:
        """Give a number above 0 at a path of keys."""
        found = self._at(path)
        if isinstance(found, (int, float)) and not isinstance(found, bool) and 0 < found <= LARGEST:
            return float(found)
        self._fault(path, f"a number above 0, up to {LARGEST}, is wanted here")
        return 1.0

    def colour(self, *path: str) -> str:
        """Give a colour '#RRGGBB' at a path of keys."""
        found = self._at(path)
        if isinstance(found, str) and _HEX.fullmatch(found):
            return found
        return str(self._fault(path, "a colour such as #1B4A73 is wanted here"))

    def shades(self, variant: str) -> Shades:
        """Give all colours of one variant."""
        return Shades(**{field: self.colour(variant, field) for field in Shades._fields})

    def state(self, name: str) -> StateLook:
        """Give one state with both variants."""
        light, dark = (
            StateShades(*(self.colour("state", name, variant, key) for key in ("fill", "on_fill", "text")))
            for variant in ("light", "dark")
        )
        word, shape, glyph = (self.text("state", name, key) for key in ("word", "shape", "glyph"))
        return StateLook(word, shape, glyph, light, dark)

    def note_unknown(self, table: Mapping[str, object], path: tuple[str, ...] = ()) -> None:
        """Note every key that nothing asked for: it was misspelt, or is of no use."""
        for key, found in table.items():
            here = (*path, key)
            if isinstance(found, Mapping) and any(asked[: len(here)] == here for asked in self._asked):
                self.note_unknown(found, here)
            elif here not in self._asked:
                self._fault(here, "no such key is known")

    def _at(self, path: tuple[str, ...]) -> object:
        self._asked.add(path)
        here: object = self._table
        for key in path:
            here = here.get(key) if isinstance(here, Mapping) else None
        return here

    def _fault(self, path: tuple[str, ...], wanted: str) -> str:
        self._faults.append(f"{'.'.join(path)}: {wanted}")
        return ""
