"""Colours and signs by meaning, taken from the one table that the paper uses too."""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

from annual_planner.library.look import Look, Shades, load_look


class Colours(NamedTuple):
    """One look of the window."""

    board: str
    """The table the sheets lie on: window ground."""
    paper: str
    """A sheet: lists, fields, cards."""
    wash: str
    """Heading rows and quiet areas."""
    ink: str
    faint: str
    """Quiet text."""
    rule: str
    """Thin lines between things."""
    edge: str
    """Lines around things that can be pressed or filled in."""
    accent: str
    accent_ink: str
    """Text on the accent."""
    chosen: str
    chosen_ink: str
    warn_wash: str
    """Ground of a message that asks for something."""
    bad: str
    soon: str
    good: str
    unknown: str
    ended: str
    outline: str
    """Line around the shape of a sign."""


@lru_cache(maxsize=2)
def colours(dark: bool) -> Colours:
    """The window's colours, light or dark."""
    look = load_look()
    shades = look.dark if dark else look.light
    fills = {name: (state.dark if dark else state.light).fill for name, state in look.states.items()}
    return Colours(
        board=shades.paper, paper=shades.sheet, wash=shades.band, ink=shades.ink, faint=shades.faint,
        rule=shades.rule, edge=shades.edge, accent=shades.accent, accent_ink=shades.on_accent,
        chosen=shades.accent_wash, chosen_ink=shades.ink, warn_wash=_caution_wash(shades),
        bad=fills["overdue"], soon=fills["soon"], good=fills["ok"], unknown=fills["never"],
        ended=fills["ended"], outline=shades.ink,
    )  # fmt: skip


def _caution_wash(shades: Shades) -> str:
    """One part of the caution colour in five of the sheet: text keeps its contrast on it."""
    pairs = ((int(shades.sheet[i : i + 2], 16), int(shades.caution[i : i + 2], 16)) for i in (1, 3, 5))
    return "#" + "".join(f"{round(sheet * 0.8 + caution * 0.2):02X}" for sheet, caution in pairs)


class Sign(NamedTuple):
    """How a word of standing is drawn: a shape and, third, a colour by meaning."""

    shape: str
    colour: str


_OTHER_WORDS: dict[str, Sign] = {
    "may do": Sign("circle", "good"),
    "may do under supervision": Sign("half", "soon"),
    "may not": Sign("cross", "bad"),
    "needs a mechanic's judgement": Sign("ring", "unknown"),
    "covered": Sign("circle", "good"),
    "not covered": Sign("triangle", "bad"),
    "does not apply": Sign("dash", "ended"),
    "open": Sign("ring", "unknown"),
    "done": Sign("circle", "good"),
    "not applicable": Sign("dash", "ended"),
    "carried over": Sign("diamond", "soon"),
    "draft": Sign("half", "soon"),
    "signed": Sign("circle", "good"),
    "superseded": Sign("dash", "ended"),
    "received": Sign("circle", "good"),
    "no longer matches": Sign("cross", "bad"),
    "closing not signed": Sign("half", "soon"),
    "planning": Sign("ring", "unknown"),
    "in work": Sign("half", "soon"),
    "closed": Sign("circle", "good"),
    "caution": Sign("triangle", "soon"),
    "clean": Sign("circle", "good"),
    "replace soon": Sign("diamond", "soon"),
    "replace": Sign("cross", "bad"),
    "to check": Sign("ring", "unknown"),
    "within limits": Sign("circle", "good"),
    "watch": Sign("diamond", "soon"),
    "check again": Sign("triangle", "bad"),
    "may not reach": Sign("half", "soon"),
    "reaches annual": Sign("circle", "good"),
    "no forecast": Sign("dash", "ended"),
    "not judged": Sign("dash", "ended"),
    "no plug": Sign("dash", "ended"),
    "airworthy": Sign("circle", "good"),
    "not airworthy": Sign("cross", "bad"),
    "stops the airplane": Sign("triangle", "bad"),
    "gets worse": Sign("diamond", "soon"),
    "nuisance": Sign("ring", "unknown"),
    "not said": Sign("dash", "ended"),
    "out": Sign("dash", "ended"),
    "to choose": Sign("ring", "unknown"),
    "by the rotation": Sign("circle", "good"),
    "new": Sign("diamond", "good"),
    "departs": Sign("triangle", "soon"),
    "in good time": Sign("circle", "good"),
    "gives up life": Sign("diamond", "soon"),
    "too late": Sign("triangle", "bad"),
    "no place": Sign("cross", "bad"),
}
_STATE_COLOUR = {"overdue": "bad", "soon": "soon", "ok": "good", "never": "unknown", "ended": "ended"}
PLAIN = Sign("dash", "ended")


@lru_cache(maxsize=1)
def signs() -> dict[str, Sign]:
    """The sign of every word of standing."""
    look: Look = load_look()
    due = {state.word: Sign(state.shape, _STATE_COLOUR[name]) for name, state in look.states.items()}
    return {**_OTHER_WORDS, **due}


def sign_of(word: str) -> Sign:
    """The sign for a word of standing; a plain dash for a word that has none."""
    return signs().get(word, PLAIN)
