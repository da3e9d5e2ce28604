"""Type on paper: the program's own font embedded, widths of text, and lines broken to a width."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import lru_cache
from importlib.resources import files
from io import BytesIO

from annual_planner.library.look import load_look
from annual_planner.paper.letters import set_text, stands_alone
from annual_planner.trade.refused import Refused

REGULAR = "Planner"
BOLD = "Planner-Bold"
_HELD = "\u00a0"
"""A space at which no line is broken."""
_UNITS = "h|in|lb|psi|rpm|deg|mm|qt|gal|ft-lb|in-lb|N·m|inHg|kΩ|mΩ|%|°F|°C"
_TOGETHER = re.compile(rf"(?<=\d) (?=(?:{_UNITS})(?![\w-]))|(?<=\bno\.) (?=\d)")
"""The space between a number and its unit, and before a number that tells two things apart."""


@lru_cache(maxsize=1)
def load_faces() -> None:
    """Make both faces known to the PDF library, once. Refused when a font file is missing."""
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    look = load_look()
    for name, file in ((REGULAR, look.regular), (BOLD, look.bold)):
        font = files("resources") / "fonts" / file
        if not font.is_file():
            raise Refused(
                said=f"The font {file} is missing from the program's folder resources/fonts.",
                remedy="Install the program again; paper needs its own font.",
            )
        pdfmetrics.registerFont(TTFont(name, BytesIO(font.read_bytes())))


@lru_cache(maxsize=4)
def _widths(face: str) -> Mapping[int, float]:
    from reportlab.pdfbase import pdfmetrics

    load_faces()
    widths: Mapping[int, float] = pdfmetrics.getFont(face).face.charWidths
    return widths


@lru_cache(maxsize=20_000)
def settable(text: str, face: str) -> str:
    """Give the text as the face can set it, with words in brackets for letters that it lacks."""
    if _usual(face).issuperset(text):
        return text
    widths = _widths(face)
    return set_text(text, lambda letter: ord(letter) in widths)


@lru_cache(maxsize=4)
def _usual(face: str) -> frozenset[str]:
    """Letters and signs of Europe that the face has: text of nothing else needs no further look."""
    letters = (chr(code) for code in _widths(face) if code < 0x530 or 0x1E00 <= code < 0x2600)
    return frozenset(letter for letter in letters if stands_alone(letter))


@lru_cache(maxsize=60_000)
def width_of(text: str, face: str, size: float) -> float:
    """Width of one line of text, points."""
    widths = _widths(face)
    return sum([widths.get(ord(letter), 600.0) for letter in text]) * size / 1000


@lru_cache(maxsize=20_000)
def broken(text: str, face: str, size: float, width: float) -> tuple[str, ...]:
    """Break text into lines no wider than `width` points; a word that is too long is cut, never clipped."""
    lines: list[str] = []
    for paragraph in text.split("\n"):
        lines += _broken_paragraph(paragraph, face, size, width)
    return tuple(lines)


def parted(text: str, face: str, size: float, width: float, most: int) -> tuple[str, str]:
    """Give what of a text goes into so many lines, and the rest; nearly always all and nothing."""
    lines = broken(text, face, size, width)
    if len(lines) <= most:
        return text, ""
    return "\n".join(lines[:most]), "\n".join(lines[most:])


def _broken_paragraph(text: str, face: str, size: float, width: float) -> list[str]:
    lines: list[str] = []
    line = ""
    space = width_of(" ", face, size)
    used = 0.0
    for word in _TOGETHER.sub(_HELD, settable(text, face)).split(" "):
        if not word:
            continue
        long = width_of(word, face, size)
        if line and used + space + long <= width:
            line, used = f"{line} {word}", used + space + long
            continue
        if line:
            lines.append(line)
        pieces = [word] if long <= width else _cut(word, face, size, width)
        lines += pieces[:-1]
        line, used = pieces[-1], width_of(pieces[-1], face, size)
    return [each.replace(_HELD, " ") for each in (*lines, line)]


def _cut(word: str, face: str, size: float, width: float) -> list[str]:
    pieces = [""]
    for letter in word:
        if pieces[-1] and width_of(pieces[-1] + letter, face, size) > width:
            pieces.append("")
        pieces[-1] += letter
    return pieces


def fitted(text: str, face: str, size: float, room: float) -> str:
    """Give as much of a line as there is room for, with three dots where some of it is left out."""
    if width_of(settable(text, face), face, size) <= room:
        return text
    while text and width_of(settable(f"{text}…", face), face, size) > room:
        text = text[:-1]
    return f"{text.rstrip()}…"


def leading(size: float) -> float:
    """Distance from line to line for a type size, points.

    >>> round(leading(10), 2)
    13.0
    """
    return size * 1.3
