"""What all tables of the library have in common, and the kinds of field they use."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated, Any

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field, StringConstraints

LONGEST_KEY = 60
"""Letters a key may have: it stands in lists, in answers and in file names."""

KEY = r"^[a-z0-9_]+$"
PLACE = r"^[0-9]{1,2}[A-Z]$"
"""The place of a plug, such as 3T."""

Word = Annotated[str, StringConstraints(pattern=KEY, max_length=LONGEST_KEY)]
"""A key: small letters, digits and underscores."""

LONGEST_TEXT = 1000
"""Letters a text may have: more than any screen or card has room for."""

_UNSEEN = r"\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069"
"""Signs that steer a terminal, end a line or turn the direction of writing; inside [] of a pattern."""

_ONE_LINE = rf"^[^\x00-\x1f{_UNSEEN}]*$"
LINES = rf"^[^\x00-\x09\x0b-\x1f{_UNSEEN}]*$"

Text = Annotated[
    str,
    StringConstraints(strip_whitespace=True, min_length=1, max_length=LONGEST_TEXT, pattern=_ONE_LINE),
]
"""One line of words, without control characters."""

Note = Annotated[str, StringConstraints(strip_whitespace=True, max_length=LONGEST_TEXT, pattern=_ONE_LINE)]
"""As Text, or nothing."""


PATTERNS = {
    KEY: "small letters, digits and underscores",
    PLACE: "places such as 3T",
    _ONE_LINE: "one line of words, without signs that can't be seen",
    LINES: "lines of words, without signs that can't be seen",
}
"""What a pattern asks for, in words."""


def a_number(found: Any) -> Any:
    """Let pass what stands as a number in the file: no words in quotes, no yes and no.

    Raises ValueError for those.
    """
    if isinstance(found, bool | str):
        raise ValueError("a number without quotes")
    return found


Real = Annotated[float, BeforeValidator(a_number)]
Exact = Annotated[Decimal, BeforeValidator(a_number)]
Whole = Annotated[int, Field(strict=True)]


class Row(BaseModel):
    """A table of a data file; a key it doesn't know is a fault."""

    model_config = ConfigDict(extra="forbid", frozen=True)


def _no_twice(values: tuple[str, ...]) -> tuple[str, ...]:
    if len(set(values)) != len(values):
        raise ValueError("each value once")
    return values


Words = Annotated[tuple[Word, ...], AfterValidator(_no_twice)]
Texts = Annotated[tuple[Text, ...], AfterValidator(_no_twice)]
