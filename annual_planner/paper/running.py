"""What stands on every sheet: airplane, package, part, page x of y, program version, demo mark."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from importlib.metadata import PackageNotFoundError, version

import annual_planner
from annual_planner.paper.faces import BOLD, REGULAR, fitted, width_of
from annual_planner.paper.look import MM, THIN
from annual_planner.paper.pen import Pen
from annual_planner.paper.text import size_of


@dataclass(frozen=True, slots=True)
class Running:
    """Texts of the running head and foot; `engine` instead of a package number on an engine's own sheets.

    `stands_as`: what stands as of the day, where it is neither a package's plan nor an engine's records.
    """

    registration: str
    number: str
    state_on: str
    demo: bool
    engine: str = ""
    stands_as: str = ""

    @property
    def belongs_to(self) -> str:
        """What the sheet belongs to: the package, or the engine."""
        return self.engine or f"Package {self.number}"

    @property
    def stands(self) -> str:
        """What stands as of a day."""
        return self.stands_as or ("records" if self.engine else "plan")


@lru_cache(maxsize=1)
def program_version() -> str:
    """Version of the program, for the foot of each sheet."""
    told = getattr(annual_planner, "__version__", None)
    if told:
        return str(told)
    try:
        return version("annual-planner")
    except PackageNotFoundError:
        return "working copy"


def draw_running(pen: Pen, running: Running, title: str, page: int, pages: int) -> None:
    """Draw head and foot of one sheet."""
    sheet, small = pen.sheet, size_of("small")
    left, right = sheet.side, sheet.width - sheet.side
    top = sheet.height - 10 * MM
    counted = f"Page {page} of {pages}"
    room = right - left - width_of(counted, BOLD, small) - 12
    registration = fitted(running.registration, BOLD, small + 1.5, room / 2)
    pen.bold(left, top, registration, small + 1.5)
    shift = width_of(registration, BOLD, small + 1.5) + 8
    said = fitted(f"{running.belongs_to} · {title}", REGULAR, small, room - shift)
    pen.write(left + shift, top - 1, said, small, colour=pen.shades.faint)
    pen.write(right, top - 1, counted, small, face=BOLD, align="right")
    pen.rule(left, top - 12.5, right - left, weight=THIN, colour=pen.shades.ink)
    foot = 13.3 * MM  # the lowest ink of the line below it is 10 mm from the edge, where any printer reaches
    pen.rule(left, foot + 0.5, right - left, weight=THIN)
    stands = f"{running.stands} as of {running.state_on}"
    said = f"Annual Planner {program_version()} · {stands} · advises, never approves"
    pen.write(left, foot, said, small, face=REGULAR, colour=pen.shades.faint)
    if running.demo:
        pen.write(right, foot, "DEMONSTRATION – invented, not for use", small, face=BOLD, align="right")
