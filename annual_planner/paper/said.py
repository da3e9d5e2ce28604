"""Values as paper says them: dates, hours, quantities, limits, and what a card's stored content holds."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from decimal import Decimal, InvalidOperation

from annual_planner.trade.said import said_date

NOT_KNOWN = "–"


def said_day(day: date | None) -> str:
    """Say a date without doubt about day and month.

    >>> said_day(date(2026, 5, 4))
    '4 May 2026'
    """
    return said_date(day) if day else NOT_KNOWN


def said_number(number: object) -> str:
    """Say a number without useless zeros or an exponent.

    >>> said_number("2.50"), said_number(Decimal("1E+2")), said_number(None)
    ('2.5', '100', '–')
    """
    try:
        value = Decimal(str(number)).normalize()
    except InvalidOperation:
        return str(number) if number is not None else NOT_KNOWN
    return f"{value:f}"


def said_tenths(hours: Decimal | None) -> str:
    """Say hours to a tenth.

    >>> said_tenths(Decimal("1234.56"))
    '1,234.6'
    """
    return f"{hours:,.1f}" if hours is not None else NOT_KNOWN


def said_range(low: Decimal, likely: Decimal, high: Decimal) -> str:
    """Say a card's hours: at best, as a rule, at worst.

    >>> said_range(Decimal("0.5"), Decimal("1.0"), Decimal("2"))
    '0.5 / 1 / 2 h'
    """
    return f"{said_number(low)} / {said_number(likely)} / {said_number(high)} h"


def said_count(number: int, one: str, many: str = "") -> str:
    """Say how many, in the singular for one.

    >>> said_count(1, "card"), said_count(0, "card"), said_count(2, "discrepancy", "discrepancies")
    ('1 card', '0 cards', '2 discrepancies')
    """
    return f"{number:,} {one if number == 1 else many or one + 's'}"


def said_limits(low: object, high: object, unit: str) -> str:
    """Say what a reading must lie between; open when the maker's data hold the limits.

    >>> said_limits("60", None, "psi"), said_limits("80", "80.0", "psi"), said_limits(None, None, "in")
    ('at least 60 psi', 'exactly 80 psi', 'limits: see maker’s data')
    """
    if low is None and high is None:
        return "limits: see maker’s data"
    if high is None:
        return f"at least {said_number(low)} {unit}"
    if low is None:
        return f"at most {said_number(high)} {unit}"
    if said_number(low) == said_number(high):
        return f"exactly {said_number(low)} {unit}"
    return f"{said_number(low)} to {said_number(high)} {unit}"


def said_key(key: str) -> str:
    """Say a stored key as words.

    >>> said_key("hot_checks")
    'Hot checks'
    """
    words = key.replace("_", " ").strip()
    return words[:1].upper() + words[1:]


def said_inside(text: str) -> str:
    """Say a title as it stands inside a line: without its capital, unless that belongs to the word.

    >>> said_inside("Upper cowling"), said_inside("O-ring"), said_inside("VOR receiver")
    ('upper cowling', 'O-ring', 'VOR receiver')
    """
    return text[:1].lower() + text[1:] if text[1:2].islower() else text


def told_once(texts: Sequence[str]) -> tuple[str, ...]:
    """Leave out what another of the texts says already.

    >>> told_once(("14 CFR 39.7; directive 2011-00-05", "Directive 2011-00-05", "maker's manual"))
    ('14 CFR 39.7; directive 2011-00-05', "maker's manual")
    """
    known = tuple(dict.fromkeys(texts))
    low = [text.lower() for text in known]
    return tuple(
        text
        for text, mine in zip(known, low, strict=True)
        if not any(mine in other and mine != other and _ends_in(other, mine) for other in low)
    )


def _ends_in(whole: str, part: str) -> bool:
    """Say whether a part closes the whole after a stop, so that '91.41' is not taken for part of '91.411'."""
    return whole.endswith(("; " + part, ", " + part))


def said_cards(numbers: Iterable[int], *, most: int = 0) -> str:
    """Say card numbers, runs drawn together; after `most` of them only how many there are.

    >>> said_cards((1, 2, 3, 7))
    '1–3, 7'
    >>> said_cards((1, 3, 5, 7), most=2)
    '1, 3 … 4 cards in all'
    """
    known = sorted(set(numbers))
    parts = [_said_run(run) for run in _runs(known)]
    if most and len(parts) > most:
        return f"{', '.join(parts[:most])} … {len(known)} cards in all"
    return ", ".join(parts)


def _runs(numbers: Sequence[int]) -> list[list[int]]:
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return runs


def _said_run(run: Sequence[int]) -> str:
    if len(run) == 1:
        return str(run[0])
    return f"{run[0]}{'–' if len(run) > 2 else ', '}{run[-1]}"


def texts_in(content: Mapping[str, object], key: str) -> tuple[str, ...]:
    """Give a list of texts from a card's content; empty when it holds none."""
    found = content.get(key)
    if isinstance(found, str):
        return (found,)
    if not isinstance(found, Sequence):
        return ()
    return tuple(_text(item) for item in found if item)


def tables_in(content: Mapping[str, object], key: str) -> tuple[Mapping[str, object], ...]:
    """Give a list of tables from a card's content; empty when it holds none."""
    found = content.get(key)
    if not isinstance(found, Sequence) or isinstance(found, str):
        return ()
    return tuple(item for item in found if isinstance(item, Mapping))


def text_in(content: Mapping[str, object], key: str) -> str:
    """Give one text from a mapping; empty when there is none."""
    found = content.get(key)
    return "" if found is None else str(found)


def _text(item: object) -> str:
    if isinstance(item, Mapping):
        return str(item.get("title") or item.get("name") or item.get("key") or "")
    return str(item)
