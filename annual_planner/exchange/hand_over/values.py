"""The kinds of value in `records.json`: exact numbers as text, days and moments in ISO 8601, bounded text."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from typing import Annotated, Any

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    JsonValue,
    PlainSerializer,
    StringConstraints,
    ValidationInfo,
    WithJsonSchema,
    model_validator,
)

from annual_planner.trade.canonical import moment_text

FIRST_DAY, LAST_DAY = date(1900, 1, 1), date(2199, 12, 31)
"""Days that records can be of; beyond them forecasts would run out of the calendar."""
_EXACT = r"^-?[0-9]{1,7}(\.[0-9]{1,2})?$"
_DAY = r"^[0-9]{4}-[0-9]{2}-[0-9]{2}$"
_MOMENT = r"^[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}[.][0-9]{6}Z$"
_LARGEST = 2**31 - 1


AS_VALUES = "as values"
"""The context in which rows are read as dicts of their values."""


class Form(BaseModel):
    """A table of `records.json`: every field is there, and no other."""

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True, allow_inf_nan=False)


class Row(Form):
    """A row of a table. Read with AS_VALUES for a context it comes as its values alone.

    Then nothing of the model is kept: many small rows take a third of the memory.
    """

    @model_validator(mode="after")
    def _as_values(self, info: ValidationInfo) -> Any:
        return vars(self) if info.context is AS_VALUES else self


def in_calendar(day: date) -> date:
    """The day. Raises ValueError for one that no record can be of."""
    if not FIRST_DAY <= day <= LAST_DAY:
        raise ValueError(f"{day} is outside the years {FIRST_DAY.year} to {LAST_DAY.year}")
    return day


def _as_written(kind: type[date], pattern: str) -> Callable[[Any], Any]:
    """Days and moments are written in one way alone, so that what is equal is the same text."""

    def read(value: Any) -> Any:
        if not isinstance(value, str):
            return value
        if not re.fullmatch(pattern, value):
            raise ValueError("it is not written as it must be")
        return kind.fromisoformat(value)

    return read


def _in_utc(moment: datetime) -> datetime:
    if moment.utcoffset() != timedelta(0):
        raise ValueError("a moment is written in UTC, with a Z behind it")
    in_calendar(moment.date())
    return moment.astimezone(UTC)


def _exact(value: Any) -> Decimal:
    text = f"{value:f}" if isinstance(value, Decimal) else value
    if not isinstance(text, str) or not re.fullmatch(_EXACT, text):
        raise ValueError("an exact number is text such as '1523.4', with at most two places")
    return Decimal(text)


Id = Annotated[int, Field(ge=1, le=_LARGEST)]
Count = Annotated[int, Field(ge=0, le=1_000_000)]
Cylinder = Annotated[int, Field(ge=1, le=99)]
Measured = Annotated[float, Field(ge=-1e9, le=1e9)]
Word = Annotated[str, StringConstraints(max_length=2000)]
Words = Annotated[list[Word], Field(max_length=1000)]
Text = Annotated[str, StringConstraints(max_length=200_000)]
LongText = Annotated[str, StringConstraints(max_length=4_000_000)]
Day = Annotated[
    date,
    BeforeValidator(_as_written(date, _DAY)),
    AfterValidator(in_calendar),
    WithJsonSchema({"type": "string", "format": "date", "pattern": _DAY}),
]
Moment = Annotated[
    datetime,
    BeforeValidator(_as_written(datetime, _MOMENT)),
    AfterValidator(_in_utc),
    PlainSerializer(moment_text, return_type=str, when_used="json"),
    WithJsonSchema({"type": "string", "format": "date-time", "pattern": _MOMENT}),
]
Exact = Annotated[
    Decimal,
    BeforeValidator(_exact),
    PlainSerializer(lambda value: f"{value:f}", return_type=str, when_used="json"),
    WithJsonSchema({"type": "string", "pattern": _EXACT}),
]
"""Hours, quantities and sums of money: at most two places behind the point, as text."""
Sha256 = Annotated[str, StringConstraints(pattern=r"^[0-9a-f]{64}$")]
Hexadecimal = Annotated[str, StringConstraints(pattern=r"^([0-9a-f]{2}){1,100}$")]
Place = Annotated[str, StringConstraints(pattern=r"^[0-9]{1,2}[TBFR]$")]
Free = dict[str, JsonValue]
"""What has no fixed shape: what a step settled, a card's template as it was used."""
