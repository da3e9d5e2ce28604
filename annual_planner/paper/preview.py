"""Pictures of a PDF's pages for a window's preview; no window library is needed here."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class PageImage:
    """One page as pixels: rows of `stride` bytes, three bytes a pixel in the order blue, green, red."""

    width: int
    height: int
    stride: int
    pixels: bytes


def page_images(
    pdf_bytes: bytes, scale: float, *, first: int = 0, last: int | None = None
) -> Iterator[PageImage]:
    """Draw pages `first` to before `last` (from 0) at `scale` pixels a point, one at a time."""
    import pypdfium2

    document = pypdfium2.PdfDocument(pdf_bytes)
    try:
        for number in range(first, len(document) if last is None else min(last, len(document))):
            bitmap = document[number].render(scale=scale, rev_byteorder=False)
            yield PageImage(bitmap.width, bitmap.height, bitmap.stride, bytes(bitmap.buffer))
    finally:
        document.close()


def page_count(pdf_bytes: bytes) -> int:
    """How many pages a PDF has."""
    import pypdfium2

    document = pypdfium2.PdfDocument(pdf_bytes)
    try:
        return len(document)
    finally:
        document.close()


@dataclass(frozen=True, slots=True)
class PagePart:
    """A part of a paper: its title, the page it begins on (from 0), and whether it lies within another."""

    title: str
    page: int
    within: bool


def parts_of(pdf_bytes: bytes) -> tuple[PagePart, ...]:
    """The parts of a PDF in their order, as its bookmarks name them."""
    import pypdfium2

    document = pypdfium2.PdfDocument(pdf_bytes)
    try:
        marks = ((mark, mark.get_dest()) for mark in document.get_toc())
        return tuple(
            PagePart(mark.get_title(), at.get_index(), mark.level > 0) for mark, at in marks if at is not None
        )
    finally:
        document.close()
