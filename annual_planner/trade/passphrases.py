"""What a passphrase must be, and how its tries are slowed. Nothing here knows or keeps one.

Length, block list with the reason told, no rules of composition and no change by the calendar: NIST
SP 800-63B, read in its draft of December 2023 and as quoted of revision 4.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Collection
from datetime import timedelta

SHORTEST, LONGEST = 15, 256
"""Characters. At least 64 have to be allowed; nothing is ever cut off."""
MOST_TRIES = 10
"""Wrong tries in a row after which a key is closed."""
WAITS_S = (0, 0, 30, 60, 120, 300, 900, 1800, 3600, 3600)
"""Seconds to wait after the first, second … wrong try in a row."""
_SHORTEST_PERIOD = 6
"""A phrase that repeats fewer characters than this over and over is no better than they are."""
_LEAST_LEFT = 6
"""Letters and digits that must be left when blocked words are taken out."""


def normalised(passphrase: str) -> str:
    """The passphrase in Unicode NFC, so that every keyboard's way to write it is the same."""
    return unicodedata.normalize("NFC", passphrase)


def wrong_with(passphrase: str, blocked: Collection[str], own_words: Collection[str] = ()) -> str:
    """Why a new passphrase can't be taken, in words for the person; empty when it can.

    `own_words`: names that others know, such as the person's own.

    >>> wrong_with("otter lamp violin quay", frozenset())
    ''
    >>> wrong_with("too short", frozenset())
    'It has 9 characters; at least 15 are needed. Several words that mean nothing together are easy to keep.'
    """
    phrase = normalised(passphrase)
    if len(phrase) < SHORTEST:
        return (
            f"It has {len(phrase)} characters; at least {SHORTEST} are needed. "
            "Several words that mean nothing together are easy to keep."
        )
    if len(phrase) > LONGEST:
        return f"It has {len(phrase)} characters; {LONGEST} are the most."
    if any(unicodedata.category(letter) in ("Cc", "Cs", "Cn") for letter in phrase):
        return "It holds a character that can't be typed again everywhere, such as a tab or a line break."
    if _repeats(_bare(phrase)):
        return "It repeats the same few characters over and over; that is guessed at once."
    return _guessed(phrase, blocked, own_words)


def wait_after(tries: int) -> timedelta:
    """How long to wait after so many wrong tries in a row."""
    return timedelta(seconds=WAITS_S[min(max(tries, 1), len(WAITS_S)) - 1])


def _guessed(phrase: str, blocked: Collection[str], own_words: Collection[str]) -> str:
    left = _bare(phrase)
    known = {_bare(each) for each in (*blocked, *own_words)} | {
        _bare(part) for each in own_words for part in each.split() if len(part) > 2
    }
    for word in sorted(known - {""}, key=lambda each: (-len(each), each)):
        left = left.replace(word, "")
    left = "".join(letter for letter in left if not letter.isdecimal())
    if len(left) >= _LEAST_LEFT:
        return ""
    return "It is made of words or names that are on every list of guesses; little is left without them."


def _repeats(bare: str) -> bool:
    return any(bare == (bare[:size] * len(bare))[: len(bare)] for size in range(1, _SHORTEST_PERIOD))


def _bare(text: str) -> str:
    folded = unicodedata.normalize("NFKC", text).casefold()
    return "".join(letter for letter in folded if letter.isalnum())
