"""The QR code of a card: package number and card number, its dark runs drawn as one path."""

from __future__ import annotations

from functools import lru_cache

from annual_planner.paper.pen import Pen

QUIET = 4
"""Light modules that must surround a code (ISO/IEC 18004, from memory)."""

MASK = 2
"""Which of the eight masks lies over the modules. A reader takes any; trying all for the evenest one (as the
standard advises) took a third of the time of the whole paper."""


@lru_cache(maxsize=2000)
def dark_runs(text: str) -> tuple[int, tuple[tuple[int, int, int], ...]]:
    """Give modules per side with the quiet zone, and each dark run as (column, row, length)."""
    from reportlab.graphics.barcode.qr import QrCodeWidget

    code = QrCodeWidget(text, barLevel="M").qr
    code.version = code.calculate_version()
    code.makeImpl(False, MASK)
    rows = [[bool(module) for module in row] for row in code.modules]
    runs = [
        (start + QUIET, number + QUIET, length)
        for number, row in enumerate(rows)
        for start, length in _runs(row)
    ]
    return len(rows) + 2 * QUIET, tuple(runs)


def _runs(row: list[bool]) -> list[tuple[int, int]]:
    found: list[tuple[int, int]] = []
    start = None
    for place, dark in enumerate([*row, False]):
        if dark and start is None:
            start = place
        elif not dark and start is not None:
            found.append((start, place - start))
            start = None
    return found


def draw_qr(pen: Pen, x: float, top: float, side: float, text: str) -> None:
    """Draw the code of a text in a square of `side` points, quiet zone within it."""
    modules, _ = dark_runs(text)
    unit = side / modules
    canvas = pen.canvas
    canvas.saveState()
    canvas.setFillColorRGB(0, 0, 0)
    canvas.transform(unit, 0, 0, -unit, x, top)
    canvas.addLiteral(_path(text))
    canvas.restoreState()


@lru_cache(maxsize=2000)
def _path(text: str) -> str:
    """Write the runs as one filled path in whole modules: as numbers the library formats, it is slow."""
    _, runs = dark_runs(text)
    return " ".join(f"{column} {row} {length} 1 re" for column, row, length in runs) + " f"


def card_code(package_number: str, card_number: int) -> str:
    """Text a card's code holds.

    >>> card_code("AP-2026-014", 7)
    'AP-2026-014/7'
    """
    return f"{package_number}/{card_number}"
