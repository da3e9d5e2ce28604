"""The review of discrepancies as rows, as values for scripts, and as a spreadsheet."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from io import BytesIO

from annual_planner.exchange.tables import Cell, as_csv
from annual_planner.exchange.workbook import write_workbook
from annual_planner.library.zone_words import zone_words
from annual_planner.store.review_rows import ReviewLine

REVIEW_HEADINGS = (
    "airplane", "found on", "age days", "place", "what", "airworthy", "risk", "state", "decided", "waits for",
    "waits since", "hours", "cost", "parts", "package", "promised on", "deferred until", "owner",
)  # fmt: skip
_AIRWORTHY = {True: "yes", False: "no", None: "not judged"}
_WIDE = {"what": 60, "parts": 30}


def review_rows(lines: Sequence[ReviewLine], today: date) -> list[list[Cell]]:
    """One row for each line, in the order of REVIEW_HEADINGS."""
    return [
        [
            line.registration, line.found_on, line.age_days(today), zone_words(line.zone), line.text,
            _AIRWORTHY[line.airworthy], line.risk, line.state, line.disposition, line.waits_for,
            line.waits_since, line.hours_estimate, line.cost_estimate, line.parts, line.package,
            line.promised_on, line.deferred_until, line.owner,
        ]
        for line in lines
    ]  # fmt: skip


def review_values(lines: Sequence[ReviewLine], today: date) -> list[dict[str, object]]:
    """One object for each line; keys as REVIEW_HEADINGS with '_' for spaces, and 'discrepancy_id'."""
    keys = [heading.replace(" ", "_") for heading in REVIEW_HEADINGS]
    rows = zip(lines, review_rows(lines, today), strict=True)
    return [
        {"discrepancy_id": line.discrepancy_id, **dict(zip(keys, row, strict=True))} for line, row in rows
    ]


def review_csv(lines: Sequence[ReviewLine], today: date) -> str:
    """The review as CSV; cells that a spreadsheet would run are quoted."""
    return as_csv(REVIEW_HEADINGS, review_rows(lines, today))


def review_xlsx(lines: Sequence[ReviewLine], today: date) -> bytes:
    """The review as a workbook: numbers and dates as such, text always as text, never a formula."""
    out = BytesIO()
    widths = [_WIDE.get(heading, 14) for heading in REVIEW_HEADINGS]
    write_workbook(out, "Discrepancies", REVIEW_HEADINGS, review_rows(lines, today), widths)
    return out.getvalue()
