"""The one way in which content is written as bytes before it is digested and signed.

JSON after RFC 8785 (JSON Canonicalization Scheme): no white space, keys in the order of their UTF-16 code
units, shortest escapes, UTF-8. Narrower than that: text in Unicode NFC, whole numbers only. A number with a
fraction is text with its unit ('1523.4 h'), so that no float is ever written in two ways.
"""

from __future__ import annotations

import json
import unicodedata
from collections.abc import Mapping
from datetime import UTC, date, datetime
from decimal import Decimal

LARGEST_WHOLE = 2**53 - 1
"""Whole numbers beyond this are not the same in every JSON reader. RFC 8785 3.2.2.3, RFC 7493 2.2."""
DEEPEST = 40
"""Levels of lists and tables within each other; content of ours has fewer than ten."""


class NotCanonical(ValueError):  # noqa: N818 - a finding about content, told as such
    """A value that has no canonical form, or bytes that are not in it."""


def canonical_bytes(value: object) -> bytes:
    """The value in its one form.

    Takes None, bool, int, str, lists, tuples, and mappings with text keys. Raises NotCanonical for all else:
    floats and bare decimals, whole numbers beyond 2^53 - 1, text that is no Unicode, keys that become one by
    normalising.

    >>> canonical_bytes({"b": [1, True, None], "a": "1523.4 h"})
    b'{"a":"1523.4 h","b":[1,true,null]}'
    """
    return _written(value, 0).encode()


def read_canonical(content: bytes) -> object:
    """The value of canonical bytes. Raises NotCanonical where they are not exactly what would be written."""
    try:
        value = json.loads(content.decode())
        again = canonical_bytes(value)
    except (UnicodeDecodeError, ValueError, RecursionError) as fault:
        raise NotCanonical(f"not readable: {fault}") from fault
    if again != content:
        raise NotCanonical("not in the canonical form")
    return value


def measured(value: Decimal | float, unit: str = "") -> str:
    """A number with its unit as canonical content holds it; a float by its shortest exact text.

    Raises NotCanonical for what is no number.

    >>> measured(Decimal("1.50E+3"), "h"), measured(0.016, "in"), measured(Decimal("-0.0"))
    ('1500 h', '0.016 in', '0.0')
    """
    exact = value if isinstance(value, Decimal) else Decimal(repr(float(value)))
    if not exact.is_finite():
        raise NotCanonical(f"{value} is no number")
    return f"{exact if exact else abs(exact):f} {unit}".rstrip()


def day_text(day: date | None) -> str | None:
    """A date as canonical content holds it."""
    return None if day is None else day.isoformat()


def moment_text(moment: datetime) -> str:
    """A moment in UTC to the microsecond. Raises ValueError for one without a zone.

    >>> from datetime import timezone, timedelta
    >>> moment_text(datetime(2026, 5, 4, 10, 15, tzinfo=timezone(timedelta(hours=2))))
    '2026-05-04T08:15:00.000000Z'
    """
    if moment.tzinfo is None:
        raise ValueError("a moment needs its zone")
    return moment.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%S.%fZ")


def zone_text(moment: datetime) -> str:
    """How far the clock that gave the moment was from UTC. Raises ValueError for one without a zone.

    >>> zone_text(datetime(2026, 5, 4, tzinfo=UTC))
    '+00:00'
    """
    if moment.tzinfo is None:
        raise ValueError("a moment needs its zone")
    return moment.isoformat()[-6:]


def plain_values(value: object) -> object:
    """Stored values with their decimals, floats, dates and sets turned into what canonical content takes."""
    if isinstance(value, Decimal | float):
        return measured(value)
    if isinstance(value, datetime):
        return moment_text(value)
    if isinstance(value, date):
        return day_text(value)
    if isinstance(value, Mapping):
        return {str(key): plain_values(each) for key, each in value.items()}
    if isinstance(value, set | frozenset):
        return sorted(str(each) for each in value)
    return [plain_values(each) for each in value] if isinstance(value, list | tuple) else value


def _written(value: object, depth: int) -> str:
    if depth > DEEPEST:
        raise NotCanonical("nested too deep")
    if value is None or isinstance(value, bool):
        return {None: "null", True: "true", False: "false"}[value]
    if isinstance(value, int):
        return _whole(value)
    if isinstance(value, str):
        return _text(value)
    if isinstance(value, Mapping):
        return _table(value, depth)
    if isinstance(value, list | tuple):
        return f"[{','.join(_written(each, depth + 1) for each in value)}]"
    raise NotCanonical(f"{type(value).__name__} {value!r:.60} has no canonical form; write it with its unit")


def _whole(value: int) -> str:
    if abs(value) > LARGEST_WHOLE:
        raise NotCanonical(f"{value} is too large to be the same in every reader")
    return str(int(value))


def _text(value: str) -> str:
    if any("\ud800" <= letter <= "\udfff" for letter in value):
        raise NotCanonical("the text holds half a character")
    return json.dumps(unicodedata.normalize("NFC", value), ensure_ascii=False)


def _table(value: Mapping[object, object], depth: int) -> str:
    written: dict[str, str] = {}
    for key, each in value.items():
        if not isinstance(key, str):
            raise NotCanonical(f"the key {key!r:.60} is no text")
        name = unicodedata.normalize("NFC", key)
        if name in written:
            raise NotCanonical(f"the key {name!r:.60} stands twice")
        written[name] = _written(each, depth + 1)
    pairs = sorted(written.items(), key=lambda pair: _units(pair[0]))
    return f"{{{','.join(f'{_text(name)}:{each}' for name, each in pairs)}}}"


def _units(key: str) -> bytes:
    """The key's UTF-16 code units, by which RFC 8785 3.2.3 sorts."""
    return key.encode("utf-16-be", "surrogatepass")
