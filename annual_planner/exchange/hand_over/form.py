"""What `records.json` holds as a whole. The published schema is made of these models."""

from __future__ import annotations

import json
from typing import Annotated, Literal

from pydantic import Field

from annual_planner.exchange.hand_over.airplane_rows import (
    Aircraft,
    Assembly,
    Compliance,
    Installation,
    Meter,
    MeterReading,
    Person,
    Requirement,
)
from annual_planner.exchange.hand_over.engine_rows import (
    CompressionTest,
    CylinderChange,
    CylinderReading,
    PlugCheck,
    PlugRotation,
    PlugStay,
    SparkPlug,
)
from annual_planner.exchange.hand_over.layout import VERSION
from annual_planner.exchange.hand_over.values import (
    Day,
    Form,
    Hexadecimal,
    Id,
    LongText,
    Moment,
    Sha256,
    Text,
    Word,
)
from annual_planner.exchange.hand_over.work_rows import (
    CardNote,
    CardResult,
    Discrepancy,
    DiscrepancyStep,
    FiledPaper,
    PackageItem,
    PartUsed,
    Photograph,
    WorkCard,
    WorkedTime,
    WorkPackage,
)

_Whole = Annotated[int, Field(ge=0, le=2**31 - 1)]


class Tables(Form):
    """Every table, its rows in the order of their ids; references are ids of rows in this file."""

    person: list[Person]
    aircraft: Annotated[list[Aircraft], Field(min_length=1, max_length=1)]
    assembly: list[Assembly]
    installation: list[Installation]
    meter: list[Meter]
    meter_reading: list[MeterReading]
    requirement: list[Requirement]
    compliance: list[Compliance]
    work_package: list[WorkPackage]
    package_item: list[PackageItem]
    work_card: list[WorkCard]
    discrepancy: list[Discrepancy]
    worked_time: list[WorkedTime]
    card_result: list[CardResult]
    card_note: list[CardNote]
    part_used: list[PartUsed]
    discrepancy_step: list[DiscrepancyStep]
    spark_plug: list[SparkPlug]
    plug_rotation: list[PlugRotation]
    plug_stay: list[PlugStay]
    plug_check: list[PlugCheck]
    compression_test: list[CompressionTest]
    cylinder_reading: list[CylinderReading]
    cylinder_change: list[CylinderChange]
    photograph: list[Photograph]
    filed_paper: list[FiledPaper]


class SignedRecord(Form):
    """A signed record: the very bytes that were shown and signed, and all that its seal takes in.

    `content` and `act` are canonical JSON (RFC 8785) in UTF-8; the signature (Ed25519) stands over `act`,
    which holds the content's SHA-256. `aircraft_id`, `package_id`, `subject_id`, `key_id` and `person_id` are
    numbers of the fleet that signed; `row_id` and `package_row_id` are ids of rows in this file.
    """

    link: Id
    previous_seal: Sha256
    seal: Sha256
    kind: Word
    subject_table: Word
    subject_id: Id
    aircraft_id: Id | None
    package_id: Id | None
    content: LongText
    digest: Sha256
    act: Text
    signature: Hexadecimal
    public_key: Hexadecimal
    key_id: Id
    person_id: Id
    person: Word
    meaning: Word
    work_on: Day | None
    signed_at: Moment
    corrects_link: Id | None
    row_id: Id | None
    package_row_id: Id | None


class Chain(Form):
    """What one keeper signed about the airplane. Other airplanes' links stay behind: numbers have gaps."""

    keeper: Word
    handed_on: Day
    last_link: _Whole
    last_seal: Sha256
    records: list[SignedRecord]


class Records(Form):
    """All records of one airplane, handed over to its next keeper."""

    format: Literal["annual-planner hand-over"]
    version: Literal[1]
    tables: Tables
    chains: Annotated[list[Chain], Field(min_length=1, max_length=100)]


def schema_bytes() -> bytes:
    """The published schema, made anew of the models; a test holds the shipped file to it."""
    schema = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": f"urn:annual-planner:hand-over:{VERSION}",
        **Records.model_json_schema(),
    }
    return f"{json.dumps(schema, indent=1, sort_keys=True, ensure_ascii=False)}\n".encode()


def shipped_schema() -> bytes:
    """The published schema as it ships with the program."""
    from importlib.resources import files

    return files("resources").joinpath("hand_over", "records.schema.json").read_bytes()
