"""What the printed sheets look like: light colours of the shared table, and measures in points.

1 point is 1/72 inch. Print is always light: ink and grey rules on white, so that grey printers lose nothing.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from annual_planner.library.label_sheets import PAPERS
from annual_planner.library.look import Look, Shades, load_look
from annual_planner.trade.refused import Refused

MM = 72 / 25.4
BOX = 6.2 * MM
"""Side of a box to be ticked with a pen: at least 6 mm inside its line."""
BLANK_HIGH = 7.5 * MM
"""Height of a blank that takes a handwritten number."""
HAIR, THIN, FIRM = 0.4, 0.6, 1.4


@dataclass(frozen=True, slots=True)
class Sheet:
    """One size of paper with the frame that text keeps to, in points from the lower left corner."""

    width: float
    height: float
    side: float = 15 * MM
    top: float = 16.2 * MM
    bottom: float = 14.1 * MM

    @property
    def frame_width(self) -> float:
        """Width between the side margins."""
        return self.width - 2 * self.side

    @property
    def frame_height(self) -> float:
        """Height between running head and foot."""
        return self.height - self.top - self.bottom

    @property
    def frame_top(self) -> float:
        """Upper edge of the frame, measured from the lower edge of the sheet."""
        return self.height - self.top


def sheet_of(page_size: str, *, across: bool = False) -> Sheet:
    """Give the sheet of a paper size, 'letter' or 'a4', or of it laid across. Refused for another word."""
    if page_size not in PAPERS:
        raise Refused(
            said=f"There is no paper size '{page_size}'.",
            remedy=f"Choose one of {', '.join(PAPERS)}.",
        )
    width, height = PAPERS[page_size]
    return Sheet(height, width) if across else Sheet(width, height)


@lru_cache(maxsize=200)
def rgb(colour: str) -> tuple[float, float, float]:
    """Turn '#RRGGBB' into three shares of full light.

    >>> rgb("#FF0000")
    (1.0, 0.0, 0.0)
    """
    return (int(colour[1:3], 16) / 255, int(colour[3:5], 16) / 255, int(colour[5:7], 16) / 255)


@lru_cache(maxsize=200)
def rgb_code(colour: str) -> str:
    """Turn '#RRGGBB' into the three shares as a page's drawing code has them (PDF 32000-1, 8.6.8).

    >>> rgb_code("#FF0080")
    '1 0 .502'
    """
    return " ".join(f"{share:.3f}".rstrip("0").rstrip(".").removeprefix("0") or "0" for share in rgb(colour))


def print_shades() -> Shades:
    """Colours of print, by meaning."""
    return load_look().light


def print_look() -> Look:
    """Give the whole shared table, for state words, shapes and type sizes."""
    return load_look()
