"""What record entries hold. What the rules ask of each kind stands in resources/entries/."""

from __future__ import annotations

from enum import StrEnum


class EntryPart(StrEnum):
    """One thing an entry holds."""

    DESCRIPTION = "description"
    DATE = "date"
    PERFORMER = "performer"
    SIGNATURE = "signature"
    CERTIFICATE_NUMBER = "certificate number"
    CERTIFICATE_KIND = "kind of certificate"
    TYPE_AND_EXTENT = "type and extent of the inspection"
    TOTAL_TIME = "total time in service"
    STATEMENT = "statement"
    PLACE = "place"
    ERROR = "bearing error"


class DirectivePart(StrEnum):
    """One thing the status line of a directive holds."""

    NUMBER = "number"
    REVISION_DATE = "revision date"
    METHOD = "method of compliance"
    NEXT_HOURS = "next due by time"
    NEXT_DATE = "next due by date"
