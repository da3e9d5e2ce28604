"""The pen that draws on one PDF: text, rules, boxes, figures.

Rules, boxes and colours, of which a paper has tens of thousands, are written as drawing code of their own
(PDF 32000-1, 8.5): as numbers that the PDF library formats one by one they took a third of the time.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from annual_planner.library.look import Shades
from annual_planner.paper.faces import BOLD, REGULAR, leading, settable, width_of
from annual_planner.paper.form import Form
from annual_planner.paper.look import FIRM, HAIR, THIN, Sheet, rgb, rgb_code

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

ASCENT = 0.93
"""Share of a type size from the top of a line to its base line, with half of the leading."""


@dataclass(slots=True)
class Pen:
    """Draws with y counted downwards from the top of what is drawn; x and y in points."""

    canvas: Canvas
    sheet: Sheet
    shades: Shades
    pages: int = 0
    page_of: dict[str, int] = field(default_factory=dict)
    """First page of each section, for the contents on the cover."""
    form: Form = field(init=False)
    """Fields that lie over blanks, for filling the sheets in on a screen."""

    def __post_init__(self) -> None:
        self.form = Form(self.canvas)

    def write(
        self,
        x: float,
        top: float,
        text: str,
        size: float,
        *,
        face: str = REGULAR,
        colour: str = "",
        align: str = "left",
    ) -> None:
        """Write one line whose upper edge is at `top`."""
        text = settable(text, face)
        if align != "left":
            wide = width_of(text, face, size)
            x -= wide if align == "right" else wide / 2
        canvas = self.canvas
        canvas.addLiteral(f"{rgb_code(colour or self.shades.ink)} rg")
        canvas.setFont(face, size)
        canvas.drawString(x, top - size * ASCENT - (leading(size) - size) / 2, text)

    def write_lines(
        self,
        x: float,
        top: float,
        lines: Sequence[str],
        size: float,
        *,
        face: str = REGULAR,
        colour: str = "",
    ) -> None:
        """Write lines under one another."""
        for number, line in enumerate(lines):
            self.write(x, top - number * leading(size), line, size, face=face, colour=colour)

    def bold(self, x: float, top: float, text: str, size: float, colour: str = "") -> None:
        """Write one bold line."""
        self.write(x, top, text, size, face=BOLD, colour=colour)

    def rule(self, x: float, y: float, width: float, *, weight: float = HAIR, colour: str = "") -> None:
        """Draw a level line."""
        self._line(x, y, x + width, y, weight, colour)

    def upright(self, x: float, top: float, height: float, *, weight: float = HAIR, colour: str = "") -> None:
        """Draw a plumb line downwards."""
        self._line(x, top, x, top - height, weight, colour)

    def box(
        self,
        x: float,
        top: float,
        width: float,
        height: float,
        *,
        fill: str = "",
        edge: str = "",
        weight: float = THIN,
    ) -> None:
        """Draw a box downwards from `top`, filled, outlined or both."""
        filled = f"{rgb_code(fill)} rg " if fill else ""
        edged = f"{rgb_code(edge)} RG {weight:g} w " if edge else ""
        paint = ("B" if edge else "f") if fill else "S" if edge else "n"
        self.canvas.addLiteral(
            f"{filled}{edged}{x:.2f} {top - height:.2f} {width:.2f} {height:.2f} re {paint}"
        )

    def tick_box(self, x: float, top: float, side: float) -> None:
        """Draw an empty box for a pen's tick."""
        self.box(x, top, side, side, edge=self.shades.ink, weight=0.8)

    def blank(self, x: float, top: float, width: float, height: float) -> None:
        """Draw an empty field for handwriting: a box with a firm lower edge."""
        self.box(x, top, width, height, edge=self.shades.edge, weight=HAIR)
        self.rule(x, top - height, width, weight=0.9, colour=self.shades.ink)

    def shape(
        self, points: Sequence[tuple[float, float]], *, fill: str = "", edge: str = "", weight: float = 1.0
    ) -> None:
        """Draw a closed figure through points (y upwards from the sheet's lower edge)."""
        path = self.canvas.beginPath()
        path.moveTo(*points[0])
        for point in points[1:]:
            path.lineTo(*point)
        path.close()
        if fill:
            self.canvas.setFillColorRGB(*rgb(fill))
        self.canvas.setStrokeColorRGB(*rgb(edge or self.shades.ink))
        self.canvas.setLineWidth(weight)
        self.canvas.drawPath(path, stroke=1 if edge else 0, fill=1 if fill else 0)

    def accent_rule(self, x: float, y: float, width: float) -> None:
        """Draw the firm accent line under a heading."""
        self.rule(x, y, width, weight=FIRM, colour=self.shades.accent)

    def _line(self, x1: float, y1: float, x2: float, y2: float, weight: float, colour: str) -> None:
        drawn = f"{rgb_code(colour or self.shades.rule)} RG {weight:g} w"
        self.canvas.addLiteral(f"{drawn} {x1:.2f} {y1:.2f} m {x2:.2f} {y2:.2f} l S")
