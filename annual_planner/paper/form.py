"""Fields of a PDF form that lie over the printed blanks and show nothing until they are filled in.

Appearances are shared between fields of one size, so a paper with thousands of them stays small and the same
bytes come out for the same package.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

PRINTED = 4
"""Annotation flag: it is printed with the page. PDF 32000-1, 12.5.3."""
MANY_LINES = 1 << 12
"""Field flag: text of more than one line. PDF 32000-1, 12.7.4.3."""


@dataclass(slots=True)
class Form:
    """The fields of one document; x and y in points, y counted downwards from `top`."""

    canvas: Canvas
    _empty: dict[tuple[float, float], Any] = field(default_factory=dict)
    _ticks: dict[float, Any] = field(default_factory=dict)

    def text(
        self,
        name: str,
        x: float,
        top: float,
        width: float,
        height: float,
        *,
        says: str,
        longest: int,
        lines: bool = False,
    ) -> None:
        """Lay a field for text over a blank; `says` is what a screen reader tells of it."""
        from reportlab.pdfbase.pdfdoc import PDFDictionary, PDFName, PDFString

        values = {
            "FT": PDFName("Tx"),
            "Ff": MANY_LINES if lines else 0,
            "V": PDFString(""),
            "DA": PDFString("/Helv 0 Tf 0 g" if not lines else "/Helv 8 Tf 0 g"),
            "MaxLen": longest,
            "AP": PDFDictionary({"N": self._blank(round(width, 2), round(height, 2))}),
        }
        self._add(name, says, values, x, top - height, width, height)

    def tick(self, name: str, x: float, top: float, side: float, *, says: str) -> None:
        """Lay a field to tick over a box."""
        from reportlab.pdfbase.pdfdoc import PDFDictionary, PDFName

        values = {
            "FT": PDFName("Btn"),
            "Ff": 0,
            "V": PDFName("Off"),
            "AS": PDFName("Off"),
            "AP": PDFDictionary({"N": self._ticked(side)}),
        }
        self._add(name, says, values, x, top - side, side, side)

    def _add(
        self, name: str, says: str, values: dict[str, Any], x: float, y: float, width: float, height: float
    ) -> None:
        from reportlab.pdfbase.pdfdoc import PDFArray, PDFDictionary, PDFName, PDFString

        form = self.canvas.acroForm
        if not form.fonts:
            form.makeFont("Helvetica")
        rect = [round(each, 2) for each in (x, y, x + width, y + height)]
        widget = PDFDictionary(
            {
                **values,
                "Type": PDFName("Annot"),
                "Subtype": PDFName("Widget"),
                "T": PDFString(name),
                "TU": PDFString(says),
                "F": PRINTED,
                "Rect": PDFArray(rect),
                "P": self.canvas._doc.thisPageRef(),
            }
        )
        self.canvas._addAnnotation(widget)
        form.fields.append(form.getRef(widget))

    def _blank(self, width: float, height: float) -> Any:
        if (width, height) not in self._empty:
            form = self.canvas.acroForm
            stream = form.makeStream(width, height, "/Tx BMC EMC")
            self._empty[width, height] = form.getRef(stream)
        return self._empty[width, height]

    def _ticked(self, side: float) -> Any:
        from reportlab.lib.colors import black
        from reportlab.pdfbase.pdfdoc import PDFDictionary

        if side not in self._ticks:
            form = self.canvas.acroForm
            shapes = {
                value: form.getRef(
                    form.checkboxAP(
                        "N", value, buttonStyle="check", textColor=black, borderWidth=0, size=side
                    )
                )
                for value in ("Off", "Yes")
            }
            self._ticks[side] = PDFDictionary(shapes)
        return self._ticks[side]
