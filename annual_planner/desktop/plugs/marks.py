"""What stands at a place or a cylinder in a drawing: number first, word second, colour third."""

from __future__ import annotations

from dataclasses import dataclass

from annual_planner.trade.engines import Place
from annual_planner.trade.plugs import Verdict

NOT_LOOKED_AT = "to check"
OUT = "out"
EMPTY = "no plug"
CHECK_AGAIN = "check again"


@dataclass(frozen=True, slots=True)
class PlaceMark:
    """One place: number (a gap), word of standing, and whether its plug is out of the engine."""

    number: str = ""
    word: str = ""
    out: bool = False
    tag: str = ""

    @property
    def said(self) -> str:
        """The word, and whether the plug is out."""
        return self.word if not self.out or self.word == OUT else f"out, {self.word}".rstrip(", ")

    def spoken(self, at: Place) -> str:
        """The mark as a sentence."""
        said = [f"cylinder {at.cylinder} {at.row.words}"]
        said += [f"plug {self.tag}"] if self.tag else []
        said += ["out of the engine"] if self.out and self.word != OUT else []
        said += [f"gap {self.number} in"] if self.number else []
        return ", ".join([*said, self.word] if self.word else said)


@dataclass(frozen=True, slots=True)
class CylinderMark:
    """One cylinder: its number (a reading such as 74/80) and its word of standing."""

    number: str = ""
    word: str = ""


@dataclass(frozen=True, slots=True)
class Arrow:
    """The way of one plug; `departs`: not what the rotation says."""

    old: Place
    new: Place
    departs: bool = False


def gap_text(gap_in: float | None) -> str:
    """A gap with three places after the point, as it is written on the tray; nothing for none."""
    return "" if gap_in is None else f"{gap_in:.3f}"


def verdict_word(verdict: Verdict | str | None) -> str:
    """The word for a decision on a plug."""
    return NOT_LOOKED_AT if not verdict else str(verdict)


@dataclass(frozen=True, slots=True)
class TrayPlug:
    """A plug in the box. `number`: its gap, `was`: the one it was left with before; `word`: the decision.

    `gasket`: None until it is asked.
    """

    tag: str
    came_from: Place
    number: str = ""
    word: str = ""
    gasket: bool | None = None
    was: str = ""

    @property
    def gap_said(self) -> str:
        """Its gap; before it is measured, the one it was left with."""
        return self.number or (f"was {self.was.removeprefix('0')}" if self.was else "not measured")

    def spoken(self, at: Place) -> str:
        """What lies there, as a sentence."""
        said = [f"compartment {at}: plug {self.tag}"]
        said += [f"out of {self.came_from}"] if self.came_from != at else []
        said += [f"gap {self.number} in"] if self.number else []
        said += [f"gap was {self.was} in"] if self.was and not self.number else []
        said += [self.word] if self.word else []
        said += ["gasket missing"] if self.gasket is False else []
        return ", ".join(said)
