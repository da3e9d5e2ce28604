"""What the paper's typeface can set, and words in place of what it can't: never an empty box."""

from __future__ import annotations

import unicodedata
from collections.abc import Callable
from itertools import groupby

SCRIPTS = {"CJK": "Chinese", "HIRAGANA": "Japanese", "KATAKANA": "Japanese", "HANGUL": "Korean"}
"""First words of letters' standard names that are not the name of their script."""
FROM_THE_RIGHT = ("R", "AL")
"""Bidirectional classes of letters that are joined and ordered as this paper doesn't do (Unicode annex 9)."""
Has = Callable[[str], bool]
"""Says whether the typeface has a letter."""


def set_text(text: str, has: Has) -> str:
    """Give the text as it can be set: a letter or sign that the typeface lacks is told in brackets.

    >>> set_text("Łukasz 王小明 🔧", lambda letter: ord(letter) < 0x250)
    'Łukasz [3 Chinese letters] [wrench]'
    >>> set_text("ok\u200b שלום", lambda letter: True)
    'ok [4 Hebrew letters]'
    """
    if text.isascii() and text.isprintable():
        return text
    letters = unicodedata.normalize("NFC", text)
    return "".join(
        _told(script, list(some)) if script else "".join(_plain(letter, has) for letter in some)
        for script, some in groupby(letters, key=lambda letter: _script(letter, has))
    )


def stands_alone(letter: str) -> bool:
    """Say whether a letter or sign shows as itself wherever it stands: no mark, no steering sign."""
    return (
        unicodedata.category(letter)[0] not in "CM"
        and unicodedata.bidirectional(letter) not in FROM_THE_RIGHT
    )


def _settable(letter: str, has: Has) -> bool:
    known = unicodedata.category(letter) not in ("Cc", "Cs") and not _unseen(letter)
    return known and has(letter) and unicodedata.bidirectional(letter) not in FROM_THE_RIGHT


def _unseen(letter: str) -> bool:
    """Say whether it only steers how others are shown: joiners, marks of direction, variants."""
    return unicodedata.category(letter) == "Cf" or unicodedata.name(letter, "").startswith("VARIATION ")


def _script(letter: str, has: Has) -> str:
    """Name the script of a letter that can't be set; empty for what can, and for signs."""
    spoken = unicodedata.category(letter).startswith(("L", "M")) and not _unseen(letter)
    if _settable(letter, has) or not spoken or _simpler(letter, has):
        return ""
    first = unicodedata.name(letter, "").split(" ")[0]
    return SCRIPTS.get(first, first.capitalize())


def _told(script: str, letters: list[str]) -> str:
    many = len(letters)
    return f"[{many} {script} letter{'' if many == 1 else 's'}]"


def _plain(letter: str, has: Has) -> str:
    """Give a letter or sign as it can be set; control signs as a space, invisible ones not at all."""
    if _settable(letter, has):
        return letter
    if unicodedata.category(letter) == "Cc":
        return " "
    if _unseen(letter):
        return ""
    return _simpler(letter, has) or f"[{unicodedata.name(letter, 'sign').lower()}]"


def _simpler(letter: str, has: Has) -> str:
    """Give the plain form of a letter of another width or style, where there is one that can be set."""
    plain = unicodedata.normalize("NFKC", letter)
    return plain if plain != letter and all(_settable(each, has) for each in plain) else ""
