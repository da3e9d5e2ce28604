"""How signatures stand: whether what was signed is still what the fleet says."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from annual_planner.records.subjects import MODULES, subject
from annual_planner.store.record_rows import SignedLine
from annual_planner.store.signed_reads import contents_of, signed_of
from annual_planner.trade.canonical import NotCanonical, canonical_bytes, read_canonical
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.store.session import Work


@dataclass(frozen=True, slots=True)
class Standing:
    """One signature on a thing, and whether the thing still says what was signed."""

    line: SignedLine
    changed: tuple[str, ...]
    """Names of what no longer matches; empty while the signature holds."""

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
        signed = f"{self.line.meaning}, signed by {self.line.person}"
        if self.superseded:
            return f"{signed}; superseded by record {self.line.corrected_by_id}"
        if self.changed:
            return f"{signed}; CHANGED SINCE: {', '.join(self.changed)}"
        return signed


def signatures_on(work: Work, table: str, ids: Collection[int]) -> dict[int, tuple[Standing, ...]]:
    """Every signature on these rows, the oldest first, each held against the row as it stands now."""
    lines = signed_of(work, table, ids)
    contents = contents_of(work, [line.record_id for line in lines])
    found: dict[int, list[Standing]] = {row_id: [] for row_id in ids}
    now = {row_id: _now(work, table, row_id) for row_id in {line.subject_id for line in lines}}
    for line in lines:
        changed = _differing(contents[line.record_id], now[line.subject_id])
        found[line.subject_id].append(Standing(line, changed))
    return {row_id: tuple(each) for row_id, each in found.items()}


def changed_since(work: Work, table: str, row_id: int, content: bytes) -> tuple[str, ...]:
    """Names of what a row no longer says as it was signed; empty for tables that nobody signs by now."""
    return _differing(content, _now(work, table, row_id)) if table in MODULES else ()


def _now(work: Work, table: str, row_id: int) -> Mapping[str, object] | None:
    try:
        return subject(table).read(work, row_id).values
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
