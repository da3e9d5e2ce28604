"""What `records.json` holds as a whole. The published schema is made of these models."""

from __future__ import annotations

import json
from typing import Annotated, Literal

from pydantic import FailFast, Field

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

    person: Annotated[list[Person], FailFast()]
    aircraft: Annotated[list[Aircraft], FailFast(), Field(min_length=1, max_length=1)]
    assembly: Annotated[list[Assembly], FailFast()]
    installation: Annotated[list[Installation], FailFast()]
    meter: Annotated[list[Meter], FailFast()]
    meter_reading: Annotated[list[MeterReading], FailFast()]
    requirement: Annotated[list[Requirement], FailFast()]
    compliance: Annotated[list[Compliance], FailFast()]
    work_package: Annotated[list[WorkPackage], FailFast()]
    package_item: Annotated[list[PackageItem], FailFast()]
    work_card: Annotated[list[WorkCard], FailFast()]
    discrepancy: Annotated[list[Discrepancy], FailFast()]
    worked_time: Annotated[list[WorkedTime], FailFast()]
    card_result: Annotated[list[CardResult], FailFast()]
    card_note: Annotated[list[CardNote], FailFast()]
    part_used: Annotated[list[PartUsed], FailFast()]
    discrepancy_step: Annotated[list[DiscrepancyStep], FailFast()]
    spark_plug: Annotated[list[SparkPlug], FailFast()]
    plug_rotation: Annotated[list[PlugRotation], FailFast()]
    plug_stay: Annotated[list[PlugStay], FailFast()]
    plug_check: Annotated[list[PlugCheck], FailFast()]
    compression_test: Annotated[list[CompressionTest], FailFast()]
    cylinder_reading: Annotated[list[CylinderReading], FailFast()]
    cylinder_change: Annotated[list[CylinderChange], FailFast()]
    photograph: Annotated[list[Photograph], FailFast()]
    filed_paper: Annotated[list[FiledPaper], FailFast()]


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
    records: Annotated[list[SignedRecord], FailFast()]


class Records(Form):
    """All records of one airplane, handed over to its next keeper."""

    format: Literal["annual-planner hand-over"]
    version: Literal[1, 2]
    tables: Tables
    chains: Annotated[list[Chain], FailFast(), Field(min_length=1, max_length=100)]


class StatementSignature(Form):
    """The signature (Ed25519) over `act`, which is canonical JSON and holds the SHA-256 of the content."""

    act: Text
    signature: Hexadecimal
    public_key: Hexadecimal


class ClosingStatement(Form):
    """`statement.json`: what the keeper says of the file as a whole, signed or not.

    `content` is canonical JSON (RFC 8785): airplane, keeper, to whom it was handed and when, for each chain
    the number of its links with the first and the last seal, the number of parts, and `parts_sha256`, the
    SHA-256 of the canonical JSON of every part's name with its SHA-256, this part and the manifest left out.
    """

    format: Literal["annual-planner hand-over statement"]
    version: Literal[1]
    content: Text
    signature: StatementSignature | None


def schema_bytes() -> bytes:
    """The published schema, made anew of the models; a test holds the shipped file to it."""
    records, statement = Records.model_json_schema(), ClosingStatement.model_json_schema()
    within = statement.pop("$defs")
    schema = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": f"urn:annual-planner:hand-over:{VERSION}",
        **records,
        "$defs": {**records["$defs"], **within, "ClosingStatement": statement},
    }
    return f"{json.dumps(schema, indent=1, sort_keys=True, ensure_ascii=False)}\n".encode()


def shipped_schema() -> bytes:
    """The published schema as it ships with the program."""
    from importlib.resources import files

    return files("resources").joinpath("hand_over", "records.schema.json").read_bytes()
