"""What a record entry must hold, and what is missing from one."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from enum import StrEnum

from annual_planner.trade.answer import answer
from annual_planner.trade.working import Step, Worked


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


_WORK = (
    EntryPart.DESCRIPTION,
    EntryPart.DATE,
    EntryPart.SIGNATURE,
    EntryPart.CERTIFICATE_NUMBER,
    EntryPart.CERTIFICATE_KIND,
)
_INSPECTION = (
    EntryPart.TYPE_AND_EXTENT,
    EntryPart.DATE,
    EntryPart.TOTAL_TIME,
    EntryPart.SIGNATURE,
    EntryPart.CERTIFICATE_NUMBER,
    EntryPart.CERTIFICATE_KIND,
    EntryPart.STATEMENT,
)
_VOR = (EntryPart.DATE, EntryPart.PLACE, EntryPart.ERROR, EntryPart.SIGNATURE)
_DIRECTIVE = (DirectivePart.NUMBER, DirectivePart.REVISION_DATE, DirectivePart.METHOD)
_RECURRING = (DirectivePart.NEXT_HOURS, DirectivePart.NEXT_DATE)

Missing = tuple[StrEnum, ...]


def work_entry_missing(
    present: Collection[EntryPart], *, performer_is_signer: bool = True
) -> Worked[Missing]:
    """What an entry for work lacks; the performer is named when someone else signs. Total time isn't asked.

    Source: 14 CFR 43.9(a).
    """
    asked = _WORK if performer_is_signer else (*_WORK, EntryPart.PERFORMER)
    return _missing("Entry for work", asked, present, "14 CFR 43.9(a)")


def inspection_entry_missing(present: Collection[EntryPart]) -> Worked[Missing]:
    """What an entry for an inspection lacks; total time is asked. Source: 14 CFR 43.11(a)."""
    return _missing("Entry for an inspection", _INSPECTION, present, "14 CFR 43.11(a)")


def vor_entry_missing(present: Collection[EntryPart]) -> Worked[Missing]:
    """What an entry for a VOR check lacks. Source: 14 CFR 91.171(d)."""
    return _missing("Entry for a VOR check", _VOR, present, "14 CFR 91.171(d)")


def directive_record_missing(present: Collection[DirectivePart], *, recurring: bool) -> Worked[Missing]:
    """What the status line of a directive lacks; a recurring one needs both time and date of the next doing.

    Source: 14 CFR 91.417(a)(2)(v).
    """
    asked = (*_DIRECTIVE, *_RECURRING) if recurring else _DIRECTIVE
    return _missing("Status of a directive", asked, present, "14 CFR 91.417(a)(2)(v)")


def _missing(
    title: str, asked: tuple[StrEnum, ...], present: Collection[StrEnum], citation: str
) -> Worked[Missing]:
    missing = tuple(part for part in asked if part not in present)
    steps = [Step(part.value, "missing" if part in missing else "there") for part in asked]
    result = f"missing: {', '.join(part.value for part in missing)}" if missing else "complete"
    return answer(missing, title, result, citation=citation, steps=steps)


@dataclass(frozen=True, slots=True)
class MajorWorkPapers:
    """Who approves a major repair and what is written for it."""

    approver: str
    form_337: bool
    work_entry: bool


def major_repair_papers() -> Worked[MajorWorkPapers]:
    """What a mechanic's major repair needs: approval by the holder of an inspection authorization.

    After inspecting it, on approved data; the form besides the entry for work. Others of 43.7 may approve
    within their own ratings.
    Source: 14 CFR 65.95(a)(1), 43.9(d), 43 App. B.
    """
    value = MajorWorkPapers("inspection authorization", form_337=True, work_entry=True)
    steps = [
        Step("approved data"),
        Step("inspected and approved by", value.approver),
        Step("Form 337, besides the entry for the work"),
    ]
    result = "approval by the holder of an inspection authorization, form and entry"
    citation = "14 CFR 65.95(a)(1); 14 CFR 43.9(d); 14 CFR 43 App. B"
    return answer(value, "Major repair", result, citation=citation, steps=steps)
