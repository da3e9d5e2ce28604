"""How signatures stand: whether what was signed is still what the fleet says."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import UTC
from typing import TYPE_CHECKING

from annual_planner.records.signable import MODULES, signable
from annual_planner.store.record_rows import SignedLine
from annual_planner.store.signed_reads import contents_of, signed_of
from annual_planner.trade.canonical import NotCanonical, canonical_bytes, read_canonical
from annual_planner.trade.refused import Refused
from annual_planner.trade.said import said_date

if TYPE_CHECKING:
    from annual_planner.store.session import Work


@dataclass(frozen=True, slots=True)
class Standing:
    """One signature on a thing, and whether the thing still says what was signed."""

    line: SignedLine
    changed: tuple[str, ...]
    """Names of what no longer matches; empty while the signature holds."""
    signer: str = ""
    """Name, kinds and numbers of the certificates, as they stand inside what was signed."""

    @property
    def superseded(self) -> bool:
        """Whether a later signed record took its place; it stays readable, and its seal stays good."""
        return self.line.corrected_by_id is not None

    @property
    def holds(self) -> bool:
        """Whether it is the valid word on the thing as it stands."""
        return not self.changed and not self.superseded

    @property
    def says(self) -> str:
        """In a line for people."""
        return f"{self.line.meaning}, signed by {self.line.person}{self._holds_not}"

    @property
    def says_whole(self) -> str:
        """As it is printed: meaning, who with kind and number of certificates, when, and which record."""
        at = self.line.signed_at.astimezone(UTC)
        when = f"{said_date(at.date())} {at:%H:%M} UTC"
        signer = self.signer or self.line.person
        return (
            f"{self.line.meaning}; signed by {signer}, {when}, record {self.line.record_id}{self._holds_not}"
        )

    @property
    def _holds_not(self) -> str:
        if self.superseded:
            return f"; superseded by record {self.line.corrected_by_id}"
        return f"; CHANGED SINCE: {', '.join(self.changed)}" if self.changed else ""


def signatures_on(work: Work, table: str, ids: Collection[int]) -> dict[int, tuple[Standing, ...]]:
    """Every signature on these rows, the oldest first, each held against the row as it stands now."""
    lines = signed_of(work, table, ids)
    contents = contents_of(work, [line.record_id for line in lines])
    found: dict[int, list[Standing]] = {row_id: [] for row_id in ids}
    now = {row_id: _now(work, table, row_id) for row_id in {line.subject_id for line in lines}}
    for line in lines:
        content = contents[line.record_id]
        changed = _differing(content, now[line.subject_id])
        found[line.subject_id].append(Standing(line, changed, signer_of(content)))
    return {row_id: tuple(each) for row_id, each in found.items()}


def signer_of(content: bytes) -> str:
    """Who signed, as the signed bytes say it: name, kind, number and ratings of each certificate.

    Empty for bytes that don't say it.
    """
    try:
        signed = read_canonical(content)
    except NotCanonical:
        return ""
    signer = signed.get("signer") if isinstance(signed, Mapping) else None
    if not isinstance(signer, Mapping):
        return ""
    held = signer.get("certificates")
    certificates = (
        [_certificate(each) for each in held if isinstance(each, Mapping)] if isinstance(held, list) else []
    )
    return ", ".join([str(signer.get("name", "")), *certificates])


def _certificate(held: Mapping[str, object]) -> str:
    ratings = held.get("ratings")
    rated = f" ({', '.join(str(each) for each in ratings)})" if isinstance(ratings, list) and ratings else ""
    return f"{held.get('kind', '')} {held.get('number', '')}{rated}"


def changed_since(work: Work, table: str, row_id: int, content: bytes) -> tuple[str, ...]:
    """Names of what a row no longer says as it was signed; empty for tables that nobody signs by now."""
    return _differing(content, _now(work, table, row_id)) if table in MODULES else ()


def _now(work: Work, table: str, row_id: int) -> Mapping[str, object] | None:
    try:
        return signable(table).read(work, row_id).values
    except Refused:
        return None


def _differing(content: bytes, now: Mapping[str, object] | None) -> tuple[str, ...]:
    if now is None:
        return ("it is gone",)
    try:
        signed = read_canonical(content)
        values = read_canonical(canonical_bytes(dict(now)))
    except NotCanonical:
        return ("what was signed can't be read",)
    then = signed.get("content") if isinstance(signed, Mapping) else None
    if not isinstance(then, Mapping) or not isinstance(values, Mapping):
        return ("what was signed can't be read",)
    names = sorted({*then, *values})
    return tuple(name for name in names if _counts(then.get(name)) != _counts(values.get(name)))


def _counts(value: object) -> object:
    """What counts of a value: of a reference its id alone, so that a person may take another name."""
    if isinstance(value, Mapping):
        return {"id": value["id"]} if "id" in value else {key: _counts(each) for key, each in value.items()}
    return [_counts(each) for each in value] if isinstance(value, list) else value
