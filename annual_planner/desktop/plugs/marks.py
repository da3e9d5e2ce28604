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
