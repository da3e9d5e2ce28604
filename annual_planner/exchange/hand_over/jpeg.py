"""The size that a JPEG says it has, read from its own bytes before anything decodes it."""

from __future__ import annotations

_START, _SCAN = b"\xff\xd8", 0xDA
_FRAMES = frozenset({0xC0, 0xC1, 0xC2})
"""Baseline, extended and progressive frames (ITU-T T.81 B.1.1.3); this program writes no others."""


def jpeg_size_px(content: bytes) -> tuple[int, int] | None:
    """Width and height of the picture's frame; None for bytes that are no JPEG of a usual kind.

    >>> jpeg_size_px(bytes.fromhex("ffd8ffe00004abcdffc0000b080028003c01011100"))
    (60, 40)
    """
    if not content.startswith(_START):
        return None
    at = len(_START)
    while at + 9 <= len(content) and content[at] == 0xFF and content[at + 1] != _SCAN:
        if content[at + 1] in _FRAMES:
            height, width = (int.from_bytes(content[at + n : at + n + 2]) for n in (5, 7))
            return width, height
        length = int.from_bytes(content[at + 2 : at + 4])
        if length < 2:
            return None
        at += 2 + length
    return None
