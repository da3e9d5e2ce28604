"""What all tables of the library have in common, and the kinds of field they use."""

from __future__ import annotations

from typing import Annotated

from pydantic import AfterValidator, BaseModel, ConfigDict, StringConstraints

Word = Annotated[str, StringConstraints(pattern=r"^[a-z0-9_]+$")]
"""A key: small letters, digits and underscores."""

LONGEST_TEXT = 1000
"""Letters a text may have: more than any screen or card has room for."""

Text = Annotated[
    str,
    StringConstraints(
        strip_whitespace=True, min_length=1, max_length=LONGEST_TEXT, pattern=r"^[^\x00-\x1f]*$"
    ),
]
"""One line of words, without control characters."""


class Row(BaseModel):
    """A table of a data file; a key it doesn't know is a fault."""

    model_config = ConfigDict(extra="forbid", frozen=True)


def _no_twice(values: tuple[str, ...]) -> tuple[str, ...]:
    if len(set(values)) != len(values):
        raise ValueError("each value once")
    return values


Words = Annotated[tuple[Word, ...], AfterValidator(_no_twice)]
Texts = Annotated[tuple[Text, ...], AfterValidator(_no_twice)]
