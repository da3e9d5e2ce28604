"""The work in `records.json`: visits, cards and what was done on them, discrepancies with steps, files."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import AfterValidator, Field

from annual_planner.exchange.hand_over.values import (
    Count,
    Cylinder,
    Day,
    Exact,
    Free,
    Id,
    Measured,
    Moment,
    Row,
    Sha256,
    Text,
    Word,
    in_calendar,
)
from annual_planner.trade.cards import Phase, WorkKind
from annual_planner.trade.discrepancy_life import DISPOSITIONS, RISKS, STATES, STEPS, WAITS

_PHASES, _KINDS = tuple(each.value for each in Phase), tuple(each.value for each in WorkKind)
_Px = Annotated[int, Field(ge=1, le=100_000)]


def _card_content(content: dict[str, Any]) -> dict[str, Any]:
    """A card's content has the shape that the program's own cards have."""
    from pydantic import TypeAdapter

    from annual_planner.planning.card_content import CardContent

    TypeAdapter(CardContent).validate_python(content)
    return content


def _step_facts(facts: dict[str, Any]) -> dict[str, Any]:
    """A step may settle a day, which is read as one later, and name the card it was found on."""
    from datetime import date

    card = facts.get("card")
    if card is not None and type(card) is not int:
        raise ValueError("a card is named by its id")
    if facts.get("until"):
        in_calendar(date.fromisoformat(str(facts["until"])))
    return facts


class WorkPackage(Row):
    """Everything planned for one visit, and how it ended."""

    id: Id
    aircraft_id: Id
    number: Word
    title: Word
    start_on: Day
    horizon_on: Day
    state: Word
    hours_at_start: Exact | None
    promised_on: Day | None
    closed_on: Day | None
    result: Literal["", "approved", "not approved"]


class PackageItem(Row):
    """One requirement weighed for a visit."""

    id: Id
    package_id: Id
    requirement_id: Id
    proposed_now: bool
    do_now: bool
    reason: Text
    given_up_hours: Exact | None
    given_up_days: Annotated[int, Field(ge=-100_000, le=100_000)] | None


class WorkCard(Row):
    """One piece of work on a visit; `content` is its template as it was used."""

    id: Id
    package_id: Id
    number: Annotated[int, Field(ge=0, le=100_000)]
    key: Word
    title: Word
    zone: Word
    phase: Literal[_PHASES]  # type: ignore[valid-type]
    kind: Literal[_KINDS]  # type: ignore[valid-type]
    hours_low: Exact
    hours_likely: Exact
    hours_high: Exact
    content: Annotated[Free, AfterValidator(_card_content)]
    origin: Word
    included: bool
    doer: Word
    signer: Word
    entry: Text
    assigned_person_id: Id | None
    requirement_id: Id | None
    discrepancy_id: Id | None
    note: Text
    state: Word
    state_why: Text
    done_by_id: Id | None
    done_on: Day | None


class Discrepancy(Row):
    """A defect found, as it stands; its life is in the steps."""

    id: Id
    aircraft_id: Id
    found_on: Day
    zone: Word
    text: Text
    airworthy: bool | None
    disposition: Literal["", *DISPOSITIONS]  # type: ignore[valid-type]
    closed_on: Day | None
    hours_estimate: Exact | None
    state: Literal[STATES]  # type: ignore[valid-type]
    package_id: Id | None
    card_id: Id | None
    assembly_id: Id | None
    cylinder: Cylinder | None
    how_found: Text
    risk: Literal["", *RISKS]  # type: ignore[valid-type]
    waits_for: Literal["", *WAITS]  # type: ignore[valid-type]
    waits_since: Day | None
    parts: Text
    cost_estimate: Exact | None
    owner_answer: Text
    owner_answered_on: Day | None
    owner_answered_how: Text
    deferred_until: Day | None
    placard: Text


class WorkedTime(Row):
    """A stretch of time one person worked on one card."""

    id: Id
    card_id: Id
    person_id: Id
    started_at: Moment
    stopped_at: Moment | None


class CardResult(Row):
    """One measurement of a card as it was found."""

    id: Id
    card_id: Id
    measurement: Word
    value: Measured | None
    text: Text
    unit: Word
    within: bool | None
    read_at: Moment
    person_id: Id | None


class CardNote(Row):
    """Words written on a card while it was worked."""

    id: Id
    card_id: Id
    written_at: Moment
    person_id: Id | None
    text: Text


class PartUsed(Row):
    """A part used on a card or for a discrepancy."""

    id: Id
    card_id: Id | None
    discrepancy_id: Id | None
    name: Word
    quantity: Exact
    unit: Word
    serial: Word
    cost: Exact | None


class DiscrepancyStep(Row):
    """One step in the life of a discrepancy."""

    id: Id
    discrepancy_id: Id
    step: Literal[STEPS]  # type: ignore[valid-type]
    on: Day
    written_at: Moment
    person_id: Id | None
    said: Text
    facts: Annotated[Free, AfterValidator(_step_facts)]


class Photograph(Row):
    """A photograph; its JPEG stands under `photographs/`, named by its SHA-256."""

    id: Id
    aircraft_id: Id
    card_id: Id | None
    discrepancy_id: Id | None
    taken_at: Moment
    caption: Text
    width_px: _Px
    height_px: _Px
    sha256: Sha256


class FiledPaper(Row):
    """A paper as it was printed; its PDF stands under `papers/`, named by its SHA-256."""

    id: Id
    aircraft_id: Id
    package_id: Id | None
    title: Word
    made_at: Moment
    made_by: Word
    pages: Count
    sha256: Sha256
    last_seal: Word
