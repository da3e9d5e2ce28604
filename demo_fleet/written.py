"""The demo's data files as they are written."""

from __future__ import annotations

import tomllib
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field

HERE = Path(__file__).parent


def _decimal_text(value: object) -> object:
    if isinstance(value, float):
        raise ValueError("write hours in quotes, so that no digit is lost")
    return value


Hours = Annotated[Decimal, BeforeValidator(_decimal_text)]


class Written(BaseModel):
    """One table of a demo file; an unknown key is a fault."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class WrittenCertificate(Written):
    """A certificate of a person."""

    kind: str
    number: str
    ratings: tuple[str, ...] = ()
    valid_from: date | None = None
    expires_on: date | None = None
    activity_met: bool = True
    months_worked_in_24: int | None = None


class WrittenPerson(Written):
    """A person of the demo."""

    name: str
    roles: tuple[str, ...]
    contact: str = ""
    certificate: tuple[WrittenCertificate, ...] = ()


class WrittenAssembly(Written):
    """An engine or propeller of a type."""

    maker: str
    model: str
    overhaul_hours: Hours | None = None
    overhaul_months: int | None = None
    type_key: str = ""
    """Key of an engine type of the library."""


class WrittenType(Written):
    """An airplane type."""

    maker: str
    model: str
    features: tuple[str, ...]
    counts: dict[str, int]
    engine: WrittenAssembly
    propeller: WrittenAssembly


class WrittenStep(Written):
    """One step in the life of a discrepancy after it was found."""

    days_ago: int
    step: Literal["judged", "decided", "in work", "corrected", "inspected", "answered", "waiting"]
    by: str
    said: str = ""
    airworthy: bool | None = None
    disposition: str = ""
    until_in_days: int | None = None
    placard: str = ""
    waits_for: str = Field("", alias="for")
    answer: str = ""
    how: str = ""


class WrittenDiscrepancy(Written):
    """A defect that was found, and what became of it."""

    airplane: str
    days_ago: int
    zone: str
    text: str
    how_found: str
    hours: Hours
    cylinder: int | None = None
    parts: str = ""
    cost: Hours | None = None
    risk: str
    steps: tuple[WrittenStep, ...] = ()


class WrittenAircraft(Written):
    """An airplane of the demo, as it stands today."""

    registration: str
    type: str
    serial: str
    year_built: int
    owner: str
    base: str
    uses: tuple[str, ...] = ()
    hours_now: Hours
    engine_hours: Hours
    propeller_hours: Hours
    landings: int
    hours_per_month: float
    season: float
    history: Literal["full", "short", "new"]
    annual_months_ago: int
    meter_replaced_months_ago: int | None = None
    story: str
    directives: tuple[str, ...] = ()


class WrittenDirective(Written):
    """A directive."""

    title: str
    number: str
    revised_on: date
    every_hours: Hours | None = None
    every_months: int | None = None
    every_calendar_months: int | None = None
    logic: Literal["first", "last"] = "first"
    counts_on: Literal["airframe", "engine", "propeller"]
    note: str = ""


class WrittenCylinder(Written):
    """What one cylinder read at its annuals, the last one last, and where air was heard once it was low."""

    cylinder: int
    readings_psi: tuple[float, ...]
    heard: tuple[str, ...] = ()


class WrittenRecheck(Written):
    """A cylinder that was low at the last annual and read again, rung by rung of the ladder."""

    cylinder: int
    first_psi: float
    heard: tuple[str, ...]
    rungs: dict[str, float]


class WrittenTester(Written):
    """The tester in use up to so many annuals before the last."""

    annuals_back: int
    tester: str
    restrictor_in: float
    master_psi: float | None = None


class WrittenCylinderChange(Written):
    """Work on a cylinder a week before an annual."""

    annuals_back: int
    cylinder: int
    what: str
    serial: str = ""


class WrittenRejected(Written):
    """A plug that came out of a place with something that rejects it."""

    annuals_back: int
    place: str
    condition: str


class WrittenEngine(Written):
    """What there is to find in the plugs and cylinders of one engine."""

    registration: str
    position: int = 1
    plug_type: str
    wear_per_100_h_in: float
    gap_growth_per_100_h_in: float = 0.0010
    """Of a massive plug; a fine wire's grows a quarter of it."""
    fast: dict[str, float] = {}
    """Plugs that wear so many times faster, by the place they were first fitted in."""
    tester: str
    restrictor_in: float
    master_psi: float | None = None
    earlier_testers: tuple[WrittenTester, ...] = ()
    cylinders: tuple[WrittenCylinder, ...] = ()
    rechecked: tuple[WrittenRecheck, ...] = ()
    changes: tuple[WrittenCylinderChange, ...] = ()
    rejected: tuple[WrittenRejected, ...] = ()
    looks_every_hours: Hours | None = None
    """Looks at the plugs between annuals, their gaps left as they are."""
    spares: int = 0


class Demo(Written):
    """All of the demo's files together."""

    people: tuple[WrittenPerson, ...]
    types: dict[str, WrittenType]
    aircraft: tuple[WrittenAircraft, ...]
    directives: dict[str, WrittenDirective]
    engines: tuple[WrittenEngine, ...]
    discrepancies: tuple[WrittenDiscrepancy, ...]


def read_demo() -> Demo:
    """Read the demo's files. Raises pydantic.ValidationError when one is wrong."""
    return Demo(
        people=_read("people")["person"],
        types=_read("types"),
        aircraft=_read("aircraft")["aircraft"],
        directives=_read("directives"),
        engines=_read("engines")["engine"],
        discrepancies=_read("discrepancies")["discrepancy"],
    )


def _read(name: str) -> dict[str, Any]:
    return tomllib.loads((HERE / f"{name}.toml").read_text("utf-8"))
