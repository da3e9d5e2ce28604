"""All records of one airplane as plain values: what one keeper hands over and the next one takes in."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from annual_planner.store.record_rows import Link

CARRIED = (
    "person", "aircraft", "assembly", "installation", "meter", "meter_reading", "requirement", "compliance",
    "work_package", "package_item", "work_card", "discrepancy",
    "worked_time", "card_result", "card_note", "part_used", "discrepancy_step",
    "spark_plug", "plug_rotation", "plug_stay", "plug_check",
    "compression_test", "cylinder_reading", "cylinder_change", "photograph", "filed_paper",
)  # fmt: skip
"""Tables that go along, in the order in which they refer to each other."""
LATER = {"work_card": ("discrepancy_id",)}
"""References to a table further on: written once its rows are there."""
LEFT: Mapping[str, tuple[str, ...]] = {
    "person": ("roles", "contact", "cost_per_hour"),
    "aircraft": ("owner_id",),
    "spark_plug": ("spare",),
    "plug_rotation": ("planned",),
    "photograph": ("jpeg", "thumbnail"),
    "filed_paper": ("pdf",),
}
"""Columns that stay behind: the keeper's own business, or bytes that go along as files of their own."""
FILES = {"photograph": "jpeg", "filed_paper": "pdf"}
"""Tables with bytes that go along as files of their own, named by their SHA-256, and the bytes' column."""

Rows = Sequence[Mapping[str, Any]]


@dataclass(frozen=True, slots=True)
class SentLink:
    """A signed record that is handed over, and the rows of the same hand-over that it is about."""

    link: Link
    row_id: int | None
    package_id: int | None


@dataclass(frozen=True, slots=True)
class SentChain:
    """The signed records of one keeper about the airplane, in their order."""

    keeper: str
    handed_on: date
    last_link: int
    """How many links the keeper's whole chain had, other airplanes' among them."""
    last_seal: str
    links: tuple[SentLink, ...]


@dataclass(frozen=True, slots=True)
class SentStatement:
    """What the keeper who hands over says of the file as a whole; nobody may have signed it."""

    content: bytes
    """Canonical JSON."""
    parts: int
    """How many parts the file has, without statement and manifest."""
    parts_sha256: str
    """SHA-256 over the canonical JSON of every part's name with its SHA-256."""
    act: bytes = b""
    """What the signature stands over: canonical JSON that names the SHA-256 of the content."""
    signature: bytes = b""
    public_key: bytes = b""


@dataclass(frozen=True, slots=True)
class HandedOver:
    """All records of one airplane. Ids are those of the keeper who hands over."""

    tables: Mapping[str, Rows]
    """By the names in CARRIED; without the columns in LEFT and the rows' versions."""
    chains: tuple[SentChain, ...]
    """Of every keeper, the one who hands over last."""
    statement: SentStatement | None = None
    """Files of version 1 have none."""

    @property
    def aircraft(self) -> Mapping[str, Any]:
        """The airplane itself."""
        return self.tables["aircraft"][0]
